"""Arc-flash energy by simple published relations, for the officer's working sheet only.

None of these results goes on a method statement or permit. A calculated energy is never turned into a
category of clothing: categories belong to the equipment tables. Clearing time must come from a person.
"""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import outside
from riskhelper.units import FOOT_M, INCH_M

OFFICER_ONLY = (
    "arc.arc_length",
    "arc.arcing_current_2002",
    "arc.clothing_rating",
    "arc.curable_burn_distance",
    "arc.energy_2002",
    "arc.energy_2018",
    "arc.lee_energy",
)
SHEET_NOTE = "for the officer's working sheet only, never on a statement"
VALIDITY_MARK = "officer only"

JOULE_PER_CALORIE = 4.184  # thermochemical calorie, exact
BOUNDARY_CAL_PER_CM2 = 1.2  # IEEE 1584-2018 definition, onset of a second-degree burn
BOUNDARY_J_PER_CM2 = 5.0  # same, as printed (1.2 x 4.184 = 5.0208)
BOUNDARY_J_EXACT = BOUNDARY_CAL_PER_CM2 * JOULE_PER_CALORIE
LEE_CONSTANT = 2.142e6  # IEEE 1584-2002, equation 8: V in kV, I in kA, t in s, D in mm gives J/cm2
BURN_CONSTANT = 2.65  # NFPA 70E: D_c in ft from MVA and s
ARC_KV_PER_INCH = 10.0  # 29 CFR 1910.269 Appendix E, note 4, phase to ground


def cal_per_cm2(j_per_cm2: float) -> float:
    """The same energy in calories."""
    return j_per_cm2 / JOULE_PER_CALORIE


@calculation(
    "arc.lee_energy",
    unit="J/cm2",
    relation="E = 2.142e6 V I t / D^2 (V kV, I kA, t s, D mm)",
    source="IEEE 1584-2002, equation 8 (Lee)",
    validity=f"{VALIDITY_MARK}; three-phase open air; very high above 15 kV, can be low for a box below 1 kV",
    directions={"voltage_v": "up", "bolted_a": "up", "arc_s": "up", "distance_mm": "down"},
)
def lee_energy(voltage_v: float, bolted_a: float, arc_s: float, distance_mm: float) -> Outcome:
    """Incident energy of an open-air arc by the theoretical upper relation.

    E = 2.142e6 * V * I_bf * t / D**2; D_B = sqrt(2.142e6 * V * I_bf * t / 5.0)

    Parameters
    ----------
    voltage_v : float
        Voltage phase to phase, 50 to 800000 [V].
    bolted_a : float
        Bolted fault current, 1 to 1000000 [A].
    arc_s : float
        Clearing time, 0.001 to 10 [s].
    distance_mm : float
        Working distance, 100 to 100000 [mm].

    Returns
    -------
    Computed
        Energy [J/cm2]; extra names it in cal/cm2 and the boundary.

    Validity
    --------
    Officer only. Open air, three-phase. Copies that read the constant as cal/cm2 are 4.184 times too high.

    Source
    ------
    IEEE 1584-2002, equation 8; checked against the NFPA 70E curable burn distance.

    >>> round(lee_energy(480.0, 25000.0, 0.1, 457.2).value, 3)
    12.297
    """
    broken = outside(
        ("voltage", voltage_v, 50, 800_000, "V"),
        ("bolted fault current", bolted_a, 1, 1_000_000, "A"),
        ("clearing time", arc_s, 0.001, 10, "s"),
        ("working distance", distance_mm, 100, 100_000, "mm"),
    )
    if broken:
        return broken
    at_one_mm = LEE_CONSTANT * voltage_v / 1000 * bolted_a / 1000 * arc_s
    energy = at_one_mm / distance_mm**2
    extra = {
        "energy_cal_per_cm2": cal_per_cm2(energy),
        "boundary_mm": math.sqrt(at_one_mm / BOUNDARY_J_PER_CM2),
    }
    return Computed(energy, "J/cm2", extra, (SHEET_NOTE,))


@calculation(
    "arc.curable_burn_distance",
    unit="m",
    relation="D_c = sqrt(2.65 MVA_bf t) ft",
    source="NFPA 70E, Annex D",
    validity=f"{VALIDITY_MARK}; three-phase open air",
    directions={"voltage_v": "up", "bolted_a": "up", "arc_s": "up"},
)
def curable_burn_distance(voltage_v: float, bolted_a: float, arc_s: float) -> Outcome:
    """Distance at which an open-air arc gives a just curable burn.

    D_c = sqrt(2.65 * MVA_bf * t) in feet

    Parameters
    ----------
    voltage_v : float
        Voltage phase to phase, 50 to 800000 [V].
    bolted_a : float
        Bolted fault current, 1 to 1000000 [A].
    arc_s : float
        Clearing time, 0.001 to 10 [s].

    Returns
    -------
    Computed
        Distance [m]; extra names it in feet, the fault power and the largest arc power.

    Validity
    --------
    Officer only. Limits are ours.

    Source
    ------
    NFPA 70E, Annex D; the largest arc power is half the bolted power (0.707 squared).

    >>> round(curable_burn_distance(13800.0, 20000.0, 0.2).extra["distance_ft"], 3)
    15.917
    """
    broken = outside(
        ("voltage", voltage_v, 50, 800_000, "V"),
        ("bolted fault current", bolted_a, 1, 1_000_000, "A"),
        ("clearing time", arc_s, 0.001, 10, "s"),
    )
    if broken:
        return broken
    bolted_mva = math.sqrt(3) * voltage_v * bolted_a / 1e6
    distance_ft = math.sqrt(BURN_CONSTANT * bolted_mva * arc_s)
    extra = {"distance_ft": distance_ft, "bolted_mva": bolted_mva, "arc_power_w": 1e6 * bolted_mva / 2}
    return Computed(distance_ft * FOOT_M, "m", extra, (SHEET_NOTE,))


@calculation(
    "arc.arc_length",
    unit="mm",
    relation="L = V_LG / (10 kV per inch)",
    source="29 CFR 1910.269 and 1926 Subpart V, Appendix E, note 4",
    validity=f"{VALIDITY_MARK}; 0.6 to 800 kV phase to phase (limits are ours)",
    directions={"voltage_kv": "up"},
)
def arc_length(voltage_kv: float) -> Outcome:
    """Arc length to assume for estimates in open air.

    L = V_LG * 25.4 / 10

    Parameters
    ----------
    voltage_kv : float
        Voltage phase to phase, 0.6 to 800 [kV].

    Returns
    -------
    Computed
        Length [mm].

    Validity
    --------
    Officer only. Phase-to-ground arc.

    Source
    ------
    29 CFR 1910.269, Appendix E, note 4: 10 kV per 25.4 mm.

    >>> round(arc_length(15.0).value, 1)
    22.0
    """
    broken = outside(("voltage", voltage_kv, 0.6, 800, "kV"))
    if broken:
        return broken
    return Computed(voltage_kv / math.sqrt(3) / ARC_KV_PER_INCH * INCH_M * 1000, "mm", notes=(SHEET_NOTE,))


@calculation(
    "arc.clothing_rating",
    unit="cal/cm2",
    relation="printed per category",
    source="NFPA 70E Table 130.7(C)(15)(c)",
    validity=f"{VALIDITY_MARK}; a category comes from the equipment tables, never from a calculated energy",
    directions={"category": "fixed"},
)
def clothing_rating(table: Table, category: float) -> Outcome:
    """Least arc rating of clothing for a category of the equipment tables.

    Parameters
    ----------
    table : Table
        Columns category and least_arc_rating_cal_per_cm2.
    category : float
        Category of the table method, 1 to 4.

    Returns
    -------
    Computed
        Arc rating [cal/cm2].

    Validity
    --------
    Officer only. Never read backwards from an energy.

    Source
    ------
    NFPA 70E Table 130.7(C)(15)(c).

    >>> from riskhelper.terms import Standing
    >>> table = Table("p", "NFPA 70E", "2018", "130.7", "cal/cm2", Standing.PUBLISHED,
    ...               ("category", "least_arc_rating_cal_per_cm2"), ((2.0, 8.0),), "exact")
    >>> clothing_rating(table, 2.0).value
    8.0
    """
    row = table_rows.row_of(table, "category", category)
    if row is None:
        return OutsideLimits(f"category one of those listed in {table.cited}, got {category:g}")
    return Computed(table_rows.number(table, row, "least_arc_rating_cal_per_cm2"), "cal/cm2", notes=(SHEET_NOTE,))
