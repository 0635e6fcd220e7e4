"""Minimum approach distance by formula, where the table of the same regulation is not enough."""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.approach import US_REFERENCE_ALTITUDE_M, altitude_factor
from riskhelper.calc.calculation import Computed, NotApplicable, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing
from riskhelper.units import FOOT_M

EXPOSURES = ("phase_to_ground", "phase_to_phase")

# All from memory of 29 CFR 1910.269 Table R-3; with them every row of Tables comes out exactly.
NO_CONTACT_UP_TO_KV = 0.3
LOW_BAND_KV = 0.75
MIDDLE_BAND_KV = 5.0
ROD_GAP_UP_TO_KV = 72.5
AIR_GAP_M = 0.02  # Appendix B, III.A: assumed air insulation distance, 301 V to 5 kV (read)
MOVEMENT_TO_750_V_M = 0.31  # 1 ft
MOVEMENT_TO_72_KV_M = 0.61  # 2 ft
MOVEMENT_ABOVE_M = 0.31  # 1 ft
ROD_GAP_OVERVOLTAGE_PU = 3.0
ROD_GAP_SHARE = 0.85  # withstand as a share of sparkover
C_GENERAL = 0.011
C_AIR_ONLY = 0.010  # phase to phase with nothing but air in the gap
SATURATION = {  # from peak voltage [kV]: a = (peak - start) / slope
    "phase_to_ground": (
        (635.0, 635.0, 140_000.0),
        (915.0, 645.0, 135_000.0),
        (1050.0, 675.0, 125_000.0),
    ),
    "phase_to_phase": (
        (630.0, 630.0, 155_000.0),
        (848.0, 633.6, 152_207.0),
        (1131.0, 628.0, 153_846.0),
        (1485.0, 350.5, 203_666.0),
    ),
}


def phase_to_phase_overvoltage_pu(phase_to_ground_pu: float) -> float:
    """Per-unit transient overvoltage phase to phase, T_LL = 1.35 T + 0.45 (Table R-3, from memory)."""
    return 1.35 * phase_to_ground_pu + 0.45


def saturation(exposure: str, peak_kv: float) -> float:
    """Saturation term a of Table R-3 at a peak voltage."""
    reached = [line for line in SATURATION[exposure] if peak_kv > line[0]]
    return (peak_kv - reached[-1][1]) / reached[-1][2] if reached else 0.0


@calculation(
    "approach.minimum_approach_distance",
    unit="m",
    relation="to 72.5 kV: MAD = M + A g; above: MAD = 0.3048 (C + a) V_LG T A + M",
    source="29 CFR 1910.269 Table R-3 and Appendix B (from memory; Tables R-6 and R-7 are reproduced)",
    validity="50 V to 800 kV phase to phase, overvoltage 1.5 to 5 per unit; above 900 m with altitude factors",
    directions={
        "voltage_kv": "turns",
        "exposure": "fixed",
        "overvoltage_pu": "up",
        "altitude_m": "up",
    },
    turning_points={"voltage_kv": (ROD_GAP_UP_TO_KV, math.nextafter(ROD_GAP_UP_TO_KV, math.inf))},
    standing=Standing.MEMORY,
)
def minimum_approach_distance(
    rod_gaps: Table,
    voltage_kv: float,
    exposure: str,
    overvoltage_pu: float,
    altitude_m: float = 0.0,
    altitude_factors: Table | None = None,
) -> Outcome:
    """Minimum approach distance of a qualified person from a given overvoltage.

    to 72.5 kV: MAD = M + A * g(V_LG * sqrt(2) * T / 0.85); above: MAD = 0.3048 * (C + a) * V_LG * T * A + M

    Parameters
    ----------
    rod_gaps : Table
        Rod gap sparkover, columns peak_kv and gap_cm.
    voltage_kv : float
        Nominal voltage phase to phase, 0.05 to 800 [kV].
    exposure : str
        phase_to_ground or phase_to_phase (with nothing but air in the gap).
    overvoltage_pu : float
        Transient overvoltage phase to ground T, 1.5 to 5; up to 72.5 kV the rule takes 3.0 whatever is given.
    altitude_m : float
        Height above sea level, -500 to 6000 [m].
    altitude_factors : Table
        Altitude correction factors, needed above 900 m.

    Returns
    -------
    Computed
        Distance [m], rounded up to the centimetre; extra names the unrounded one and the electrical part.

    Validity
    --------
    50 V to 800 kV. In the formula the altitude factor multiplies the electrical part only.

    Source
    ------
    29 CFR 1910.269 Table R-3 and Appendix B, from memory.

    >>> from riskhelper.terms import Standing
    >>> gaps = Table("gap", "29 CFR 1910.269", "2014", "Appendix B, Table 1", "cm", Standing.MEMORY,
    ...              ("peak_kv", "gap_cm"), ((25.0, 2.0), (36.0, 3.0)), "interpolate")
    >>> minimum_approach_distance(gaps, 121.0, "phase_to_ground", 3.5).value
    1.13
    """
    option("exposure", exposure, EXPOSURES)
    broken = outside(
        ("voltage", voltage_kv, 0.05, 800, "kV"),
        ("overvoltage", overvoltage_pu, 1.5, 5, "per unit"),
        ("altitude", altitude_m, -500, 6000, "m"),
    )
    if broken:
        return broken
    factor = altitude_factor(altitude_m, altitude_factors, US_REFERENCE_ALTITUDE_M)
    if isinstance(factor, OutsideLimits):
        return factor
    if voltage_kv <= NO_CONTACT_UP_TO_KV:
        return NotApplicable("up to 300 V contact is avoided; the rule gives no distance")
    to_ground_kv = voltage_kv / math.sqrt(3)
    if voltage_kv <= MIDDLE_BAND_KV:
        movement_m = MOVEMENT_TO_750_V_M if voltage_kv <= LOW_BAND_KV else MOVEMENT_TO_72_KV_M
        electrical_m = AIR_GAP_M
    elif voltage_kv <= ROD_GAP_UP_TO_KV:
        movement_m = MOVEMENT_TO_72_KV_M
        per_unit = _per_unit(exposure, ROD_GAP_OVERVOLTAGE_PU)
        gap_cm = _rod_gap_cm(rod_gaps, to_ground_kv * math.sqrt(2) * per_unit / ROD_GAP_SHARE)
        if isinstance(gap_cm, OutsideLimits):
            return gap_cm
        electrical_m = factor * gap_cm / 100
    else:
        movement_m = MOVEMENT_ABOVE_M
        per_unit = _per_unit(exposure, overvoltage_pu)
        constant = C_GENERAL if exposure == "phase_to_ground" else C_AIR_ONLY
        constant += saturation(exposure, to_ground_kv * per_unit * math.sqrt(2))
        electrical_m = FOOT_M * constant * to_ground_kv * per_unit * factor
    unrounded_m = electrical_m + movement_m
    return Computed(
        table_rows.up_to_the_cm(unrounded_m),
        "m",
        {"unrounded_m": unrounded_m, "electrical_component_m": electrical_m, "altitude_factor": factor},
        ("formula from memory (to be confirmed)",),
    )


@calculation(
    "approach.assumed_overvoltage",
    unit="per unit",
    relation="printed per voltage band",
    source="29 CFR 1910.269 Table R-9",
    validity="over 72.5 kV to 800 kV, where no engineering analysis gives a lower figure",
    directions={"voltage_kv": "down"},
)
def assumed_overvoltage(table: Table, voltage_kv: float) -> Outcome:
    """Transient overvoltage to take when nobody has analysed the system.

    Parameters
    ----------
    table : Table
        Columns up_to_kv and per_unit.
    voltage_kv : float
        Nominal voltage phase to phase, 72.5 to 800 [kV].

    Returns
    -------
    Computed
        Overvoltage phase to ground [per unit].

    Validity
    --------
    Voltages the table covers.

    Source
    ------
    29 CFR 1910.269 Table R-9.

    >>> from riskhelper.terms import Standing
    >>> table = Table("t", "29 CFR 1910.269", "2014", "Table R-9", "", Standing.PUBLISHED,
    ...               ("over_kv", "up_to_kv", "per_unit"), ((72.5, 420.0, 3.5), (420.0, 550.0, 3.0)), "next_row")
    >>> assumed_overvoltage(table, 500.0).value
    3.0
    """
    first = table_rows.number(table, table.rows[0], "over_kv")
    row = table_rows.row_up_to(table, "up_to_kv", voltage_kv)
    if row is None or voltage_kv <= first:
        end = table_rows.number(table, table.rows[-1], "up_to_kv")
        return OutsideLimits(f"voltage over {first:g} to {end:g} kV, got {voltage_kv:g}")
    return Computed(table_rows.number(table, row, "per_unit"), "per unit", notes=(table.cited,))


def _per_unit(exposure: str, phase_to_ground_pu: float) -> float:
    if exposure == "phase_to_ground":
        return phase_to_ground_pu
    return phase_to_phase_overvoltage_pu(phase_to_ground_pu)


def _rod_gap_cm(rod_gaps: Table, peak_kv: float) -> float | OutsideLimits:
    """Rod gap in whole centimetres, rounded up; below the first row the first row counts."""
    first, last = rod_gaps.rows[0], rod_gaps.rows[-1]
    if peak_kv <= table_rows.number(rod_gaps, first, "peak_kv"):
        return table_rows.number(rod_gaps, first, "gap_cm")
    gap_cm = table_rows.between(rod_gaps, "peak_kv", peak_kv, "gap_cm")
    if gap_cm is None:
        end = table_rows.number(rod_gaps, last, "peak_kv")
        return OutsideLimits(f"{rod_gaps.cited} ends at {end:g} kV peak, got {peak_kv:.1f}")
    return math.ceil(round(gap_cm, 9))
