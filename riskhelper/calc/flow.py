"""Jets and orifices: how fast, how much and how far liquid leaves an opening."""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.hydrostatics import bore_area_m2
from riskhelper.calc.oil import GRAVITY_M_PER_S2
from riskhelper.calc.validity import Bound, outside, ratio

TURBULENT_ABOVE_REYNOLDS = 10000.0  # from memory, to be confirmed: below it a constant Cd overstates
_FREE_JET = "free outlet to air, small opening, turbulent; head 0 to 100 m (limits are ours)"


def _jet_bounds(head_m: float, coefficient: float, gravity_m_per_s2: float) -> tuple[Bound, ...]:
    return (
        ("head", head_m, 0, 100, "m"),
        ("coefficient", coefficient, 0.3, 1.0, ""),
        ("gravity", gravity_m_per_s2, 9.7, 9.9, "m/s2"),
    )


def free_fall_speed_m_per_s(head_m: float, gravity_m_per_s2: float = GRAVITY_M_PER_S2) -> float:
    """Speed that a height of fall gives without losses, sqrt(2 g h) [m/s]."""
    return math.sqrt(2 * gravity_m_per_s2 * head_m)


@calculation(
    "flow.jet_speed_m_per_s",
    unit="m/s",
    relation="v = Cv sqrt(2 g H) / sqrt(1 - (a/A)^2)",
    source="Cengel and Cimbala, Fluid Mechanics, example 5-6; de Nevers, example 5.4",
    validity=_FREE_JET + "; outlet at most half the area of the vessel",
    directions={
        "head_m": "up",
        "velocity_coefficient": "up",
        "outlet_to_vessel_area": "up",
        "gravity_m_per_s2": "up",
    },
)
def jet_speed_m_per_s(
    head_m: float,
    velocity_coefficient: float = 1.0,
    outlet_to_vessel_area: float = 0.0,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Speed of the jet from an opening below a liquid surface.

    v = Cv * sqrt(2 * g * H) / sqrt(1 - (a / A)^2)

    Parameters
    ----------
    head_m : float
        Height H of the surface above the opening, 0 to 100 [m].
    velocity_coefficient : float
        Cv, 0.3 to 1 [1].
    outlet_to_vessel_area : float
        Area ratio a / A, 0 to 0.5; next to nothing for a valve on a transformer [1].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Speed v [m/s].

    Validity
    --------
    Free outlet to air, vessel open to air. Limits are ours.

    Source
    ------
    Cengel and Cimbala, example 5-6 (published).

    >>> round(jet_speed_m_per_s(5.0).value, 1)
    9.9
    """
    bounds = _jet_bounds(head_m, velocity_coefficient, gravity_m_per_s2)
    if broken := outside(*bounds, ("outlet area over vessel area", outlet_to_vessel_area, 0, 0.5, "")):
        return broken
    speed = velocity_coefficient * free_fall_speed_m_per_s(head_m, gravity_m_per_s2)
    return Computed(speed / math.sqrt(1 - outlet_to_vessel_area**2), "m/s")


@calculation(
    "flow.jet_throw_m",
    unit="m",
    relation="x = 2 Cv sqrt(y H)",
    source="K. Subramanya, 1000 Solved Problems in Fluid Mechanics, example 13.1",
    validity=_FREE_JET + "; drop 0 to 50 m",
    directions={"head_m": "up", "drop_m": "up", "velocity_coefficient": "up"},
)
def jet_throw_m(head_m: float, drop_m: float, velocity_coefficient: float = 1.0) -> Outcome:
    """How far a level jet reaches before it has fallen by the drop; the liquid does not matter.

    x = 2 * Cv * sqrt(y * H)

    Parameters
    ----------
    head_m : float
        Height H of the surface above the opening, 0 to 100 [m].
    drop_m : float
        Fall y of the jet from opening to ground, 0 to 50 [m].
    velocity_coefficient : float
        Cv, 0.3 to 1; 1 is the longest throw [1].

    Returns
    -------
    Computed
        Reach x [m].

    Validity
    --------
    Level jet, no drag of the air (the longer side), vessel open to air. Limits are ours.

    Source
    ------
    K. Subramanya, example 13.1 part iii (published).

    >>> round(jet_throw_m(2.0, 0.5, 0.949).value, 3)
    1.898
    """
    bounds = _jet_bounds(head_m, velocity_coefficient, GRAVITY_M_PER_S2)
    if broken := outside(*bounds, ("drop", drop_m, 0, 50, "m")):
        return broken
    return Computed(2 * velocity_coefficient * math.sqrt(drop_m * head_m), "m")


@calculation(
    "flow.orifice_flow_m3_per_s",
    unit="m3/s",
    relation="Q = Cd A sqrt(2 (p_c + rho g h) / rho) / sqrt(1 - (A/A_tank)^2)",
    source="textbook relation; question 39678 (pressurised oil tank); J. Lal, Hydraulics, examples 3.4 and 3.6",
    validity=_FREE_JET + "; bore at most 0.7 of the tank diameter",
    directions={
        "density_kg_per_m3": "turns",
        "head_m": "up",
        "cushion_pa": "up",
        "bore_mm": "up",
        "discharge_coefficient": "up",
        "tank_diameter_m": "down",
        "gravity_m_per_s2": "up",
    },
    turning_points={"density_kg_per_m3": ()},  # the sign of the cushion decides
)
def orifice_flow_m3_per_s(
    density_kg_per_m3: float,
    head_m: float,
    cushion_pa: float,
    bore_mm: float,
    discharge_coefficient: float,
    tank_diameter_m: float = 100.0,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Flow from an opening under liquid and gas pressure; nothing leaves at or below zero gauge.

    Q = Cd * A * sqrt(2 * (p_c + rho * g * h) / rho) / sqrt(1 - (d / D)^4)

    Parameters
    ----------
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    head_m : float
        Height h of the surface above the opening, 0 to 100 [m].
    cushion_pa : float
        Gauge pressure p_c of the gas above, -101000 to 1000000 [Pa].
    bore_mm : float
        Diameter d of the opening, 1 to 2000 [mm].
    discharge_coefficient : float
        Cd, 0.3 to 1; an open valve stub is a short tube of 0.82 or better, never 0.61 [1].
    tank_diameter_m : float
        Diameter D of the vessel, 0.01 to 1000; at 100 it no longer matters [m].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Flow Q; `jet_speed_m_per_s` is the speed without losses [m3/s].

    Validity
    --------
    Free outlet to air and turbulent flow; cold oil leaves more slowly. Limits are ours.

    Source
    ------
    Question 39678, closed tank of oil under gas pressure (published).

    >>> round(orifice_flow_m3_per_s(900.0, 0.61, 13780.0, 25.0, 0.61).value, 5)
    0.00195
    """
    bounds = (
        *_jet_bounds(head_m, discharge_coefficient, gravity_m_per_s2),
        ("density", density_kg_per_m3, 500, 2000, "kg/m3"),
        ("gas cushion pressure", cushion_pa, -101000, 1e6, "Pa"),
        ("bore", bore_mm, 1, 2000, "mm"),
        ("tank diameter", tank_diameter_m, 0.01, 1000, "m"),
        ("bore over tank diameter", ratio(bore_mm / 1000, tank_diameter_m), 0, 0.7, ""),
    )
    if broken := outside(*bounds):
        return broken
    # pressure as a height of this liquid, so that density acts on the gas share only
    total_m = max(0.0, head_m + cushion_pa / (density_kg_per_m3 * gravity_m_per_s2))
    approach = math.sqrt(1 - (bore_mm / 1000 / tank_diameter_m) ** 4)
    speed_m_per_s = free_fall_speed_m_per_s(total_m, gravity_m_per_s2) / approach
    flow = discharge_coefficient * bore_area_m2(bore_mm) * speed_m_per_s
    return Computed(flow, "m3/s", extra={"jet_speed_m_per_s": speed_m_per_s})


@calculation(
    "flow.orifice_plate_flow_m3_per_s",
    unit="m3/s",
    relation="Q = C A2 sqrt(2 dp / rho) / sqrt(1 - beta^4), Re = 4 rho Q / (pi D mu)",
    source="ISO 5167 flow equation; coefficient handed in; problem 7.24 of TP 410 for the warning",
    validity="plate in a pipe, beta 0.1 to 0.8; a constant coefficient needs Re above 10000 (memory)",
    directions={
        "density_kg_per_m3": "down",
        "dynamic_viscosity_pa_s": "up",
        "pipe_bore_mm": "down",
        "orifice_bore_mm": "up",
        "pressure_drop_pa": "up",
        "coefficient": "up",
    },
)
def orifice_plate_flow_m3_per_s(
    density_kg_per_m3: float,
    dynamic_viscosity_pa_s: float,
    pipe_bore_mm: float,
    orifice_bore_mm: float,
    pressure_drop_pa: float,
    coefficient: float,
) -> Outcome:
    """Flow through a plate in a pipe, with a warning where the oil is too thick for a constant coefficient.

    Q = C * A2 * sqrt(2 * dp / rho) / sqrt(1 - beta^4); Re = 4 * rho * Q / (pi * D * mu)

    Parameters
    ----------
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    dynamic_viscosity_pa_s : float
        Viscosity mu, 0.0001 to 10 [Pa s].
    pipe_bore_mm : float
        Bore D of the pipe, 5 to 1000 [mm].
    orifice_bore_mm : float
        Bore of the plate, 0.1 to 0.8 of the pipe bore [mm].
    pressure_drop_pa : float
        Pressure drop dp across the plate, 0 to 1000000 [Pa].
    coefficient : float
        Discharge coefficient C at this Reynolds number, 0.3 to 1 [1].

    Returns
    -------
    Computed
        Flow Q; `pipe_reynolds`, and `overstates` as `yes` where a turbulent coefficient would overstate [m3/s].

    Validity
    --------
    In thick oil the turbulent coefficient overstates the flow: the worse side for a leak, the milder one for
    the question whether it will bleed in time. Limits are ours.

    Source
    ------
    ISO 5167 flow equation (published); the 10000 is from memory, to be confirmed.

    >>> plate = orifice_plate_flow_m3_per_s(858.59, 0.04, 77.92, 54.61, 2757.9, 0.716)
    >>> round(plate.value, 4), plate.extra["overstates"]
    (0.0049, 'yes')
    """
    bounds = (
        ("density", density_kg_per_m3, 500, 2000, "kg/m3"),
        ("viscosity", dynamic_viscosity_pa_s, 1e-4, 10, "Pa s"),
        ("pipe bore", pipe_bore_mm, 5, 1000, "mm"),
        ("plate bore over pipe bore", ratio(orifice_bore_mm, pipe_bore_mm), 0.1, 0.8, ""),
        ("pressure drop", pressure_drop_pa, 0, 1e6, "Pa"),
        ("coefficient", coefficient, 0.3, 1, ""),
    )
    if broken := outside(*bounds):
        return broken
    beta = orifice_bore_mm / pipe_bore_mm
    speed_m_per_s = math.sqrt(2 * pressure_drop_pa / density_kg_per_m3) / math.sqrt(1 - beta**4)
    flow = coefficient * bore_area_m2(orifice_bore_mm) * speed_m_per_s
    reynolds = 4 * density_kg_per_m3 * flow / (math.pi * pipe_bore_mm / 1000 * dynamic_viscosity_pa_s)
    warn = "yes" if reynolds < TURBULENT_ABOVE_REYNOLDS else "no"
    return Computed(flow, "m3/s", extra={"pipe_reynolds": reynolds, "overstates": warn})
