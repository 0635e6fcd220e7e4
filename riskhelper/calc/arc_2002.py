"""Arc-flash energy by the 2002 edition of IEEE 1584, for the officer's working sheet only.

The editions give different figures and are never mixed.
"""

from __future__ import annotations

import math

from riskhelper.calc.arc import BOUNDARY_J_EXACT, JOULE_PER_CALORIE, SHEET_NOTE, VALIDITY_MARK, cal_per_cm2
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, calculation
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing

ENCLOSURES = ("open", "box")
EARTHINGS = ("earthed", "not_earthed")

# IEEE 1584-2002. The low-voltage current relation and K = -0.097 are published (NFPA 70E-2015 Annex D.4.2);
# all other figures of this block are from memory, to be confirmed.
K_CURRENT_2002 = {"open": -0.153, "box": -0.097}
K1_2002 = {"open": -0.792, "box": -0.555}
K2_2002 = {"not_earthed": 0.0, "earthed": -0.113}


@calculation(
    "arc.arcing_current_2002",
    unit="A",
    relation="lg I_a = K + 0.662 lg I + 0.0966 V + 0.000526 G + 0.5588 V lg I - 0.00304 G lg I (below 1 kV)",
    source="IEEE 1584-2002; NFPA 70E-2015 Annex D.4.2",
    validity=f"{VALIDITY_MARK}; three-phase, 0.208 to 15 kV, 0.7 to 106 kA, gap 13 to 152 mm",
    directions={"voltage_v": "fixed", "bolted_a": "fixed", "gap_mm": "fixed", "enclosure": "fixed"},
)
def arcing_current_2002(voltage_v: float, bolted_a: float, gap_mm: float, enclosure: str) -> Outcome:
    """Arcing current by the 2002 edition.

    lg I_a = K + 0.662 lg I_bf + 0.0966 V + 0.000526 G + 0.5588 V lg I_bf - 0.00304 G lg I_bf below 1 kV;
    lg I_a = 0.00402 + 0.983 lg I_bf from 1 kV (from memory)

    Parameters
    ----------
    voltage_v : float
        Voltage phase to phase, 208 to 15000 [V].
    bolted_a : float
        Bolted fault current, 700 to 106000 [A].
    gap_mm : float
        Gap between conductors, 13 to 152 [mm].
    enclosure : str
        open or box.

    Returns
    -------
    Computed
        Current [A]; extra names its logarithm (kA).

    Validity
    --------
    Officer only. A lower current can give more energy because protection is slower.

    Source
    ------
    IEEE 1584-2002; NFPA 70E-2015 Annex D.4.2.

    >>> round(arcing_current_2002(460.0, 34730.0, 25.0, "box").value, 2)
    18174.99
    """
    option("enclosure", enclosure, ENCLOSURES)
    broken = _limits_2002(voltage_v, bolted_a, gap_mm)
    if broken:
        return broken
    lg_bolted = math.log10(bolted_a / 1000)
    voltage_kv = voltage_v / 1000
    if voltage_kv < 1:
        lg_arc = (
            K_CURRENT_2002[enclosure]
            + 0.662 * lg_bolted
            + 0.0966 * voltage_kv
            + 0.000526 * gap_mm
            + 0.5588 * voltage_kv * lg_bolted
            - 0.00304 * gap_mm * lg_bolted
        )
    else:
        lg_arc = 0.00402 + 0.983 * lg_bolted
    return Computed(1000 * 10**lg_arc, "A", {"lg_arcing_current_ka": lg_arc}, (SHEET_NOTE,))


@calculation(
    "arc.energy_2002",
    unit="J/cm2",
    relation="lg E_n = K1 + K2 + 1.081 lg I_a + 0.0011 G; E = 4.184 C_f E_n (t / 0.2) (610^x / D^x)",
    source="IEEE 1584-2002 (K1, K2, 1.081 and 0.0011 from memory)",
    validity=f"{VALIDITY_MARK}; three-phase, 0.208 to 15 kV, 0.7 to 106 kA, gap 13 to 152 mm, 305 mm and more",
    directions={
        "voltage_v": "fixed",
        "bolted_a": "fixed",
        "gap_mm": "fixed",
        "enclosure": "fixed",
        "earthing": "fixed",
        "distance_exponent": "fixed",
        "arc_s": "up",
        "distance_mm": "down",
    },
    standing=Standing.MEMORY,
)
def energy_2002(
    voltage_v: float,
    bolted_a: float,
    gap_mm: float,
    enclosure: str,
    earthing: str,
    distance_exponent: float,
    arc_s: float,
    distance_mm: float,
) -> Outcome:
    """Incident energy by the 2002 edition.

    lg E_n = K1 + K2 + 1.081 lg I_a + 0.0011 G; E = 4.184 C_f E_n (t / 0.2) (610**x / D**x)

    Parameters
    ----------
    voltage_v : float
        Voltage phase to phase, 208 to 15000 [V].
    bolted_a : float
        Bolted fault current, 700 to 106000 [A].
    gap_mm : float
        Gap between conductors, 13 to 152 [mm].
    enclosure : str
        open or box.
    earthing : str
        earthed or not_earthed (also high-resistance).
    distance_exponent : float
        Exponent x of the equipment, 0.9 to 2.
    arc_s : float
        Clearing time, 0.001 to 10 [s].
    distance_mm : float
        Working distance, 305 to 10000 [mm].

    Returns
    -------
    Computed
        Energy [J/cm2]; extra names it in cal/cm2, the arcing current and the boundary.

    Validity
    --------
    Officer only. Constants to be confirmed.

    Source
    ------
    IEEE 1584-2002, partly from memory: to be confirmed.

    >>> round(energy_2002(460.0, 34730.0, 25.0, "box", "earthed", 1.641, 0.2, 610.0).extra["arcing_current_a"])
    18175
    """
    option("earthing", earthing, EARTHINGS)
    current = arcing_current_2002(voltage_v, bolted_a, gap_mm, enclosure)
    if not isinstance(current, Computed):
        return current
    broken = outside(
        ("distance exponent", distance_exponent, 0.9, 2, ""),
        ("clearing time", arc_s, 0.001, 10, "s"),
        ("working distance", distance_mm, 305, 10_000, "mm"),
    )
    if broken:
        return broken
    lg_normalised = (
        K1_2002[enclosure] + K2_2002[earthing] + 1.081 * math.log10(current.value / 1000) + 0.0011 * gap_mm
    )
    calculation_factor = 1.5 if voltage_v <= 1000 else 1.0
    at_610_mm = JOULE_PER_CALORIE * calculation_factor * 10**lg_normalised * arc_s / 0.2
    energy = at_610_mm * (610 / distance_mm) ** distance_exponent
    extra = {
        "energy_cal_per_cm2": cal_per_cm2(energy),
        "arcing_current_a": current.value,
        "boundary_mm": 610 * (at_610_mm / BOUNDARY_J_EXACT) ** (1 / distance_exponent),
    }
    return Computed(energy, "J/cm2", extra, (SHEET_NOTE, "constants from memory (to be confirmed)"))


def _limits_2002(voltage_v: float, bolted_a: float, gap_mm: float) -> OutsideLimits | None:
    return outside(
        ("voltage", voltage_v, 208, 15_000, "V"),
        ("bolted fault current", bolted_a, 700, 106_000, "A"),
        ("gap", gap_mm, 13, 152, "mm"),
    )
