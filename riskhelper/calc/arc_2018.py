"""Arc-flash energy by the 2018 edition of IEEE 1584, for the officer's working sheet only.

Only vertical electrodes in a box are carried over, because only they have a published example to prove them.
"""

from __future__ import annotations

import math

from riskhelper.calc.arc import BOUNDARY_J_EXACT, SHEET_NOTE, VALIDITY_MARK, cal_per_cm2
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, calculation
from riskhelper.calc.validity import option, outside

# IEEE 1584-2018, vertical electrodes in a metal box (VCB), Tables 1 to 5 and 7, read in an open library.
VOLTAGES_KV = (0.6, 2.7, 14.3)
CURRENT_K = {
    0.6: (-0.04287, 1.035, -0.083),
    2.7: (0.0065, 1.001, -0.024),
    14.3: (0.005795, 1.015, -0.011),
}
_HIGH_POLYNOMIAL = (-1.557e-12, 4.556e-10, -4.186e-08, 8.346e-07, 5.482e-05, -0.003191, 0.9729)
POLYNOMIAL = {  # k4 to k10, falling powers of the bolted current in kA
    0.6: (0.0, 0.0, -4.783e-09, 1.962e-06, -0.000229, 0.003141, 1.092),
    2.7: _HIGH_POLYNOMIAL,
    14.3: _HIGH_POLYNOMIAL,
}
ENERGY_K = {  # k1, k2, k3, k11, k12, k13
    0.6: (0.753364, 0.566, 1.752636, 0.0, -1.598, 0.957),
    2.7: (2.40021, 0.165, 0.354202, 0.0, -1.569, 0.9778),
    14.3: (3.825917, 0.11, -0.999749, 0.0, -1.568, 0.99),
}
VARIATION = (0.0, -0.0000014269, 0.000083137, -0.0019382, 0.022366, -0.12645, 0.30226)
BOX_FACTOR = (-0.000302, 0.03441, 0.4325)
INCH_PER_MM = 0.03937  # the standard's own rounding
SMALL_BOX_MM, WIDE_BOX_MM, SHALLOW_UP_TO_MM = 508.0, 660.4, 203.2  # 20, 26 and 8 in


@calculation(
    "arc.energy_2018",
    unit="J/cm2",
    relation="IEEE 1584-2018, equations 1 to 25, at 0.6, 2.7 and 14.3 kV and between them",
    source="IEEE Std 1584-2018, Annex D reproduced with its intermediate results",
    validity=f"{VALIDITY_MARK}; vertical electrodes in a box; 0.208 to 15 kV; distance from 305 mm; to 49 in box",
    directions={
        "voltage_v": "fixed",
        "bolted_a": "fixed",
        "gap_mm": "fixed",
        "height_mm": "fixed",
        "width_mm": "fixed",
        "depth_mm": "fixed",
        "current": "fixed",
        "arc_s": "up",
        "distance_mm": "down",
    },
)
def energy_2018(
    voltage_v: float,
    bolted_a: float,
    gap_mm: float,
    distance_mm: float,
    height_mm: float,
    width_mm: float,
    depth_mm: float,
    arc_s: float,
    current: str = "full",
) -> Outcome:
    """Incident energy by the 2018 edition for vertical electrodes in a box.

    The relation is evaluated at 0.6, 2.7 and 14.3 kV and carried over to the open-circuit voltage.

    Parameters
    ----------
    voltage_v : float
        Open-circuit voltage phase to phase, 208 to 15000 [V].
    bolted_a : float
        Bolted fault current, 500 to 106000 up to 600 V, 200 to 65000 above [A].
    gap_mm : float
        Gap between electrodes, 6.35 to 76.2 up to 600 V, 19.05 to 254 above [mm].
    distance_mm : float
        Working distance, 305 to 10000 [mm].
    height_mm : float
        Height of the box, 100 to 1244.6 [mm].
    width_mm : float
        Width of the box, at least four gaps, to 1244.6 [mm].
    depth_mm : float
        Depth of the box, 10 to 2000 [mm].
    arc_s : float
        Clearing time at the current chosen, 0.001 to 10 [s].
    current : str
        full or reduced arcing current; both must be worked, the larger energy counts.

    Returns
    -------
    Computed
        Energy [J/cm2]; extra names it in cal/cm2, currents, box size, factors and boundary.

    Validity
    --------
    Officer only. Larger and shallow boxes, other electrodes and single-phase circuits are left
    to a study.

    Source
    ------
    IEEE Std 1584-2018; coefficients of one electrode arrangement as read in an open library.

    >>> round(energy_2018(4160, 15000, 104, 914.4, 1143, 762, 508, 0.197).value, 3)
    12.152
    """
    option("current", current, ("full", "reduced"))
    broken = _limits_2018(voltage_v, bolted_a, gap_mm, distance_mm, height_mm, width_mm, depth_mm, arc_s)
    if broken:
        return broken
    voltage_kv, bolted_ka = voltage_v / 1000, bolted_a / 1000
    box_in, factor = _box(voltage_kv, height_mm, width_mm)
    variation = _polynomial(VARIATION, voltage_kv)
    share = 1.0 if current == "full" else 1 - variation / 2
    arcs_ka = {kv: share * _arc_at(kv, bolted_ka, gap_mm) for kv in VOLTAGES_KV}
    if voltage_kv <= 0.6:
        model_ka = _arc_at(0.6, bolted_ka, gap_mm)  # never reduced: Annex D.2
        arc_ka = share * _low_voltage_arc(voltage_kv, bolted_ka, model_ka)
        energy, boundary = _energy_at(0.6, arc_ka, model_ka, bolted_ka, gap_mm, distance_mm, arc_s, factor)
    else:
        arc_ka = _between_voltages(voltage_kv, arcs_ka)
        each = {
            kv: _energy_at(kv, arcs_ka[kv], arcs_ka[kv], bolted_ka, gap_mm, distance_mm, arc_s, factor)
            for kv in VOLTAGES_KV
        }
        energy = _between_voltages(voltage_kv, {kv: both[0] for kv, both in each.items()})
        boundary = _between_voltages(voltage_kv, {kv: both[1] for kv, both in each.items()})
    extra = {
        "energy_cal_per_cm2": cal_per_cm2(energy),
        "boundary_mm": boundary,
        "arcing_current_a": 1000 * arc_ka,
        "arcing_current_600_v_a": 1000 * arcs_ka[0.6],
        "arcing_current_2700_v_a": 1000 * arcs_ka[2.7],
        "arcing_current_14300_v_a": 1000 * arcs_ka[14.3],
        "equivalent_box_in": box_in,
        "correction_factor": factor,
        "variation_factor": variation,
    }
    return Computed(energy, "J/cm2", extra, (SHEET_NOTE, "work full and reduced current; the larger counts"))


def _limits_2018(
    voltage_v: float,
    bolted_a: float,
    gap_mm: float,
    distance_mm: float,
    height_mm: float,
    width_mm: float,
    depth_mm: float,
    arc_s: float,
) -> OutsideLimits | None:
    low_voltage = voltage_v <= 600
    if voltage_v < 600 and max(height_mm, width_mm) < SMALL_BOX_MM and depth_mm <= SHALLOW_UP_TO_MM:
        return OutsideLimits(
            f"below 600 V a box under {SMALL_BOX_MM:g} mm is shallow to {SHALLOW_UP_TO_MM:g} mm: left to a study"
        )
    return outside(
        ("voltage", voltage_v, 208, 15_000, "V"),
        ("bolted fault current", bolted_a, *((500, 106_000) if low_voltage else (200, 65_000)), "A"),
        ("gap", gap_mm, *((6.35, 76.2) if low_voltage else (19.05, 254)), "mm"),
        ("working distance", distance_mm, 305, 10_000, "mm"),
        ("box height", height_mm, 100, 1244.6, "mm"),
        ("box width", width_mm, 4 * gap_mm, 1244.6, "mm"),
        ("box depth", depth_mm, 10, 2000, "mm"),
        ("clearing time", arc_s, 0.001, 10, "s"),
    )


def _polynomial(coefficients: tuple[float, ...], value: float) -> float:
    """Falling powers, by Horner's rule."""
    total = 0.0
    for coefficient in coefficients:
        total = total * value + coefficient
    return total


def _arc_at(kv: float, bolted_ka: float, gap_mm: float) -> float:
    """Equation 1: arcing current at one of the three model voltages [kA]."""
    k1, k2, k3 = CURRENT_K[kv]
    lg_base = k1 + k2 * math.log10(bolted_ka) + k3 * math.log10(gap_mm)
    return 10**lg_base * _polynomial(POLYNOMIAL[kv], bolted_ka)


def _low_voltage_arc(voltage_kv: float, bolted_ka: float, arc_600_ka: float) -> float:
    """Equation 25: final arcing current up to 600 V [kA]."""
    inverse = 1 / arc_600_ka**2 - (0.6**2 - voltage_kv**2) / (0.6**2 * bolted_ka**2)
    return voltage_kv / 0.6 / math.sqrt(inverse)


def _between_voltages(voltage_kv: float, at: dict[float, float]) -> float:
    """Equations 16 to 24: from the three model voltages to the actual one."""
    first = at[2.7] + (at[2.7] - at[0.6]) / 2.1 * (voltage_kv - 2.7)
    second = at[14.3] + (at[14.3] - at[2.7]) / 11.6 * (voltage_kv - 14.3)
    if voltage_kv > 2.7:
        return second
    return first * (2.7 - voltage_kv) / 2.1 + second * (voltage_kv - 0.6) / 2.1


def _energy_at(
    kv: float,
    arc_ka: float,
    model_arc_ka: float,
    bolted_ka: float,
    gap_mm: float,
    distance_mm: float,
    arc_s: float,
    factor: float,
) -> tuple[float, float]:
    """Equations 3 to 10: incident energy [J/cm2] and boundary [mm] at a model voltage."""
    k1, k2, k3, k11, k12, k13 = ENERGY_K[kv]
    lg_at_one_mm = (
        k1
        + k2 * math.log10(gap_mm)
        + k3 * model_arc_ka / (bolted_ka * _polynomial(POLYNOMIAL[kv], bolted_ka))
        + k11 * math.log10(bolted_ka)
        + k13 * math.log10(arc_ka)
        - math.log10(factor)
    )
    at_one_mm = 12.552 / 50 * 1000 * arc_s * 10**lg_at_one_mm
    return at_one_mm * distance_mm**k12, (BOUNDARY_J_EXACT / at_one_mm) ** (1 / k12)


def _box(voltage_kv: float, height_mm: float, width_mm: float) -> tuple[float, float]:
    """Equations 11 to 15 and Table 7: equivalent box size [in] and size correction factor."""
    height_mm, width_mm = max(height_mm, SMALL_BOX_MM), max(width_mm, SMALL_BOX_MM)
    width_in = width_mm * INCH_PER_MM
    if width_mm > WIDE_BOX_MM:
        width_in = (WIDE_BOX_MM + (width_mm - WIDE_BOX_MM) * (voltage_kv + 4) / 20) / 25.4
    box_in = (width_in + height_mm * INCH_PER_MM) / 2
    return box_in, _polynomial(BOX_FACTOR, box_in)
