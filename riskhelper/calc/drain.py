"""How long a vessel takes to drain.

All relations assume a vessel that breathes: a gas cushion or vacuum above the oil changes while it drains.
"""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.flow import free_fall_speed_m_per_s
from riskhelper.calc.hydrostatics import bore_area_m2
from riskhelper.calc.oil import GRAVITY_M_PER_S2
from riskhelper.calc.validity import Bound, outside, ratio

BREATHING = "vessel open to air, turbulent outlet, liquid warm and thin; levels 0 to 20 m (limits are ours)"
_SLICES = 400  # Simpson's rule, even; the cross-check against scipy agrees to 1e-6


def drain_bounds(
    level_start_m: float, level_end_m: float, coefficient: float, gravity_m_per_s2: float
) -> tuple[Bound, ...]:
    """Bounds of every relation between a fall of the level and its time."""
    return (
        ("level at the start", level_start_m, 0.001, 20, "m"),
        ("level at the end", level_end_m, 0, level_start_m, "m"),
        ("discharge coefficient", coefficient, 0.3, 1, ""),
        ("gravity", gravity_m_per_s2, 9.7, 9.9, "m/s2"),
    )


def root_fall(level_start_m: float, level_end_m: float, gravity_m_per_s2: float) -> float:
    """2 (sqrt h1 - sqrt h2) / sqrt(2 g): seconds for a vessel whose area equals the working outlet area."""
    fall = math.sqrt(level_start_m) - math.sqrt(level_end_m)
    return 2 * fall / math.sqrt(2 * gravity_m_per_s2)


@calculation(
    "drain.upright_vessel_s",
    unit="s",
    relation="t = 2 A (sqrt h1 - sqrt h2) / (Cd a sqrt(2 g))",
    source="Cengel and Cimbala, Fluid Mechanics, example 5-2; Choudhary and Prakash, examples 6.16 and 6.18",
    validity=BREATHING,
    directions={
        "vessel_area_m2": "up",
        "bore_mm": "down",
        "level_start_m": "up",
        "level_end_m": "down",
        "discharge_coefficient": "down",
        "gravity_m_per_s2": "down",
    },
)
def upright_vessel_s(
    vessel_area_m2: float,
    bore_mm: float,
    level_start_m: float,
    level_end_m: float,
    discharge_coefficient: float,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Time for the level above the outlet to fall in a vessel of constant area.

    t = 2 * A * (sqrt(h1) - sqrt(h2)) / (Cd * a * sqrt(2 * g))

    Parameters
    ----------
    vessel_area_m2 : float
        Area A of the liquid surface, 0.0001 to 1000 [m2].
    bore_mm : float
        Bore of the outlet of area a, 1 to 1000 [mm].
    level_start_m : float
        Level h1 above the outlet at the start, 0.001 to 20 [m].
    level_end_m : float
        Level h2 at the end, 0 to h1 [m].
    discharge_coefficient : float
        Cd, 0.3 to 1 [1].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Time t; cold, thick oil takes longer [s].

    Validity
    --------
    Vessel open to air, outlet much smaller than the vessel, turbulent flow. Limits are ours.

    Source
    ------
    Choudhary and Prakash, example 6.16 (published).

    >>> round(upright_vessel_s(12.566, 500.0, 5.0, 2.0, 0.6).value, 1)
    39.6
    """
    bounds = (
        *drain_bounds(level_start_m, level_end_m, discharge_coefficient, gravity_m_per_s2),
        ("vessel area", vessel_area_m2, 1e-4, 1000, "m2"),
        ("bore", bore_mm, 1, 1000, "mm"),
    )
    if broken := outside(*bounds):
        return broken
    ratio = vessel_area_m2 / (discharge_coefficient * bore_area_m2(bore_mm))
    return Computed(ratio * root_fall(level_start_m, level_end_m, gravity_m_per_s2), "s")


@calculation(
    "drain.lying_cylinder_s",
    unit="s",
    relation="t = integral of A(h) dh / (Cd a sqrt(2 g (h + H0))), A(h) = 2 L sqrt(h (D - h))",
    source="Torricelli's relation over the surface of a lying cylinder; H0 = 0: B. K. Sarkar, example 4.9",
    validity=BREATHING + "; cylinder 0.1 to 5 m across, 0.1 to 20 m long, 0 to 20 m above the outlet",
    directions={
        "length_m": "up",
        "diameter_m": "up",
        "bore_mm": "down",
        "level_start_m": "up",
        "level_end_m": "down",
        "height_above_outlet_m": "down",
        "discharge_coefficient": "down",
        "gravity_m_per_s2": "down",
    },
)
def lying_cylinder_s(
    length_m: float,
    diameter_m: float,
    bore_mm: float,
    level_start_m: float,
    level_end_m: float,
    height_above_outlet_m: float,
    discharge_coefficient: float,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Time for the level to fall in a conservator whose outlet lies well below it.

    t = integral from h2 to h1 of 2 * L * sqrt(h * (D - h)) dh / (Cd * a * sqrt(2 * g * (h + H0)))

    Parameters
    ----------
    length_m : float
        Length L of the lying cylinder, 0.1 to 20 [m].
    diameter_m : float
        Diameter D, 0.1 to 5 [m].
    bore_mm : float
        Bore of the outlet of area a, 1 to 1000 [mm].
    level_start_m : float
        Level h1 in the cylinder at the start, above its bottom, 0.001 to D [m].
    level_end_m : float
        Level h2 at the end, 0 to h1 [m].
    height_above_outlet_m : float
        Height H0 of the cylinder's bottom above the outlet, 0 to 20; 0 is the case printed in textbooks [m].
    discharge_coefficient : float
        Cd, 0.3 to 1 [1].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Time t; `flow_start_l_per_s` and `flow_end_l_per_s` show that the flow does not die away [s].

    Validity
    --------
    Conservator that breathes, pipe losses within Cd, flow-operated shut-off valve not acting. Limits are ours.

    Source
    ------
    B. K. Sarkar, example 4.9 (published, outlet at the bottom of the vessel).

    >>> round(lying_cylinder_s(8.0, 2.0, 100.0, 2.0, 0.0, 0.0, 0.8).value / 60, 1)
    18.1
    """
    bounds = (
        *drain_bounds(level_start_m, level_end_m, discharge_coefficient, gravity_m_per_s2),
        ("length", length_m, 0.1, 20, "m"),
        ("diameter", diameter_m, 0.1, 5, "m"),
        ("level over diameter", ratio(level_start_m, diameter_m), 0, 1, ""),
        ("height above the outlet", height_above_outlet_m, 0, 20, "m"),
        ("bore", bore_mm, 1, 1000, "mm"),
    )
    if broken := outside(*bounds):
        return broken
    outlet_m2 = discharge_coefficient * bore_area_m2(bore_mm)
    integral = _surface_over_root(diameter_m, level_start_m, level_end_m, height_above_outlet_m)
    flows = {
        f"flow_{when}_l_per_s": 1000
        * outlet_m2
        * free_fall_speed_m_per_s(level_m + height_above_outlet_m, gravity_m_per_s2)
        for when, level_m in (("start", level_start_m), ("end", level_end_m))
    }
    seconds = length_m * integral / (outlet_m2 * math.sqrt(2 * gravity_m_per_s2))
    return Computed(seconds, "s", extra=flows)


def _surface_over_root(diameter_m: float, start_m: float, end_m: float, below_m: float) -> float:
    """Integral of 2 sqrt(h (D - h)) / sqrt(h + H0) over the level.

    With h = D sin^2(u) the integrand becomes D^2 sin^2(2u) / sqrt(D sin^2(u) + H0), which is smooth at both ends.
    """
    low, high = (math.asin(math.sqrt(min(1.0, level / diameter_m))) for level in (end_m, start_m))
    step = (high - low) / _SLICES

    def integrand(u: float) -> float:
        depth_m = diameter_m * math.sin(u) ** 2 + below_m
        return diameter_m**2 * math.sin(2 * u) ** 2 / math.sqrt(depth_m) if depth_m > 0 else 0.0

    weights = (1 if k in (0, _SLICES) else 4 if k % 2 else 2 for k in range(_SLICES + 1))
    return sum(w * integrand(low + k * step) for k, w in enumerate(weights)) * step / 3


@calculation(
    "drain.litres_escape_s",
    unit="s",
    relation="t = V / (Cd a sqrt(2 g H))",
    source="Cengel and Cimbala, Fluid Mechanics, example 5-7 part a",
    validity="head held at its first value (the worse side); 0.01 to 20 m, bore 1 to 1000 mm (limits are ours)",
    directions={
        "volume_l": "up",
        "head_m": "down",
        "bore_mm": "down",
        "discharge_coefficient": "down",
        "gravity_m_per_s2": "down",
    },
)
def litres_escape_s(
    volume_l: float,
    head_m: float,
    bore_mm: float,
    discharge_coefficient: float,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Seconds in which a volume escapes at full head: the time there is to shut the valve.

    t = V / (Cd * a * sqrt(2 * g * H))

    Parameters
    ----------
    volume_l : float
        Volume V, 0 to 10000 [L].
    head_m : float
        Head H, 0.01 to 20 [m].
    bore_mm : float
        Bore of the outlet of area a, 1 to 1000 [mm].
    discharge_coefficient : float
        Cd, 0.3 to 1 [1].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Time t [s].

    Validity
    --------
    The head hardly falls meanwhile. Limits are ours.

    Source
    ------
    Cengel and Cimbala, example 5-7 part a (published).

    >>> round(litres_escape_s(4.0, 0.75, 5.0, 1.0).value, 1)
    53.1
    """
    bounds = (
        ("volume", volume_l, 0, 10000, "L"),
        ("head", head_m, 0.01, 20, "m"),
        ("bore", bore_mm, 1, 1000, "mm"),
        ("discharge coefficient", discharge_coefficient, 0.3, 1, ""),
        ("gravity", gravity_m_per_s2, 9.7, 9.9, "m/s2"),
    )
    if broken := outside(*bounds):
        return broken
    speed = free_fall_speed_m_per_s(head_m, gravity_m_per_s2)
    return Computed(volume_l / 1000 / (discharge_coefficient * bore_area_m2(bore_mm) * speed), "s")
