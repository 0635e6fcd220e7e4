"""Cold, thick oil in narrow tubes: laminar pressure drop and how slowly a bleed tube drains."""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.hydrostatics import bore_area_m2
from riskhelper.calc.oil import GRAVITY_M_PER_S2, hydrostatic_pa
from riskhelper.calc.validity import Bound, outside

LAMINAR_BELOW_REYNOLDS = 2000.0  # common to the textbooks; between 2000 and 4000 flow may be either
_LAMINAR = "laminar flow, Reynolds number up to 2000; round tube, ends neglected (limits are ours)"


def _tube_bounds(
    density_kg_per_m3: float, viscosity_pa_s: float, bore_mm: float, length_m: float
) -> tuple[Bound, ...]:
    return (
        ("density", density_kg_per_m3, 500, 2000, "kg/m3"),
        ("viscosity", viscosity_pa_s, 1e-4, 100, "Pa s"),
        ("bore", bore_mm, 1, 500, "mm"),
        ("length", length_m, 0.01, 1000, "m"),
    )


def _reynolds(density_kg_per_m3: float, speed_m_per_s: float, bore_mm: float, viscosity_pa_s: float) -> float:
    return density_kg_per_m3 * speed_m_per_s * bore_mm / 1000 / viscosity_pa_s


def _laminar(reynolds: float) -> Bound:
    return ("Reynolds number (laminar flow)", reynolds, 0, LAMINAR_BELOW_REYNOLDS, "")


@calculation(
    "viscous.tube_pressure_drop_pa",
    unit="Pa",
    relation="dp = 32 mu L v / d^2, Re = rho v d / mu",
    source="Munson, Young and Okiishi, Fundamentals of Fluid Mechanics, example 8.2; Massey, example 6.1",
    validity=_LAMINAR,
    directions={
        "density_kg_per_m3": "up",
        "dynamic_viscosity_pa_s": "up",
        "bore_mm": "down",
        "length_m": "up",
        "speed_m_per_s": "up",
    },
)
def tube_pressure_drop_pa(
    density_kg_per_m3: float,
    dynamic_viscosity_pa_s: float,
    bore_mm: float,
    length_m: float,
    speed_m_per_s: float,
) -> Outcome:
    """Pressure lost along a tube in laminar flow.

    dp = 32 * mu * L * v / d^2; Re = rho * v * d / mu

    Parameters
    ----------
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    dynamic_viscosity_pa_s : float
        Viscosity mu, 0.0001 to 100 [Pa s].
    bore_mm : float
        Bore d, 1 to 500 [mm].
    length_m : float
        Length L, 0.01 to 1000 [m].
    speed_m_per_s : float
        Mean speed v, 0 to 50 [m/s].

    Returns
    -------
    Computed
        Pressure drop dp; `reynolds` and `speed_on_axis_m_per_s` beside it [Pa].

    Validity
    --------
    Reynolds number up to 2000, round tube, ends neglected. Limits are ours.

    Source
    ------
    Massey and Ward-Smith, Mechanics of Fluids, example 6.1 (published).

    >>> drop = tube_pressure_drop_pa(830.0, 0.08, 12.0, 1.0, 2.3)
    >>> round(drop.value, 1), round(drop.extra["reynolds"], 1)
    (40888.9, 286.3)
    """
    bounds = _tube_bounds(density_kg_per_m3, dynamic_viscosity_pa_s, bore_mm, length_m)
    if broken := outside(*bounds, ("speed", speed_m_per_s, 0, 50, "m/s")):
        return broken
    reynolds = _reynolds(density_kg_per_m3, speed_m_per_s, bore_mm, dynamic_viscosity_pa_s)
    if broken := outside(_laminar(reynolds)):
        return broken
    drop_pa = 32 * dynamic_viscosity_pa_s * length_m * speed_m_per_s / (bore_mm / 1000) ** 2
    return Computed(drop_pa, "Pa", extra={"reynolds": reynolds, "speed_on_axis_m_per_s": 2 * speed_m_per_s})


@calculation(
    "viscous.tube_drain_s",
    unit="s",
    relation="t = 32 mu L A ln(h1/h2) / (a rho g d^2)",
    source="C. Schaschke, Fluid Mechanics: Worked Examples for Engineers, problem 6.10",
    validity=_LAMINAR + "; vessel open to air; levels 0.001 to 20 m above the end of the tube",
    directions={
        "vessel_area_m2": "up",
        "bore_mm": "down",
        "length_m": "up",
        "dynamic_viscosity_pa_s": "up",
        "density_kg_per_m3": "down",
        "level_start_m": "up",
        "level_end_m": "down",
        "gravity_m_per_s2": "down",
    },
)
def tube_drain_s(
    vessel_area_m2: float,
    bore_mm: float,
    length_m: float,
    dynamic_viscosity_pa_s: float,
    density_kg_per_m3: float,
    level_start_m: float,
    level_end_m: float,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Time for a level to fall through a narrow tube of thick oil, as when bleeding in the cold.

    t = 32 * mu * L * A * ln(h1 / h2) / (a * rho * g * d^2)

    Parameters
    ----------
    vessel_area_m2 : float
        Area A of the liquid surface, 0.0001 to 1000 [m2].
    bore_mm : float
        Bore d of the tube of area a, 1 to 500 [mm].
    length_m : float
        Length L of the tube, 0.01 to 1000 [m].
    dynamic_viscosity_pa_s : float
        Viscosity mu, 0.0001 to 100 [Pa s].
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    level_start_m : float
        Level h1 at the start, 0.001 to 20 [m].
    level_end_m : float
        Level h2 at the end, 0.001 to h1; the level never quite reaches 0 [m].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Time t; `reynolds_start` beside it [s].

    Validity
    --------
    Laminar from the start (Reynolds number up to 2000). Warmer oil is turbulent and drains faster. Limits are ours.

    Source
    ------
    C. Schaschke, problem 6.10 (published, with e taken as 2.71: 1535.8 s).

    >>> round(tube_drain_s(1.13097, 25.0, 3.0, 0.08, 1100.0, 1.5, 0.83685).value)
    1531
    """
    bounds = (
        *_tube_bounds(density_kg_per_m3, dynamic_viscosity_pa_s, bore_mm, length_m),
        ("vessel area", vessel_area_m2, 1e-4, 1000, "m2"),
        ("level at the start", level_start_m, 0.001, 20, "m"),
        ("level at the end", level_end_m, 0.001, level_start_m, "m"),
        ("gravity", gravity_m_per_s2, 9.7, 9.9, "m/s2"),
    )
    if broken := outside(*bounds):
        return broken
    resistance_s_per_m = 32 * dynamic_viscosity_pa_s * length_m / (bore_mm / 1000) ** 2
    weight_pa_per_m = hydrostatic_pa(density_kg_per_m3, 1.0, gravity_m_per_s2)
    speed_m_per_s = weight_pa_per_m * level_start_m / resistance_s_per_m
    reynolds = _reynolds(density_kg_per_m3, speed_m_per_s, bore_mm, dynamic_viscosity_pa_s)
    if broken := outside(_laminar(reynolds)):
        return broken
    seconds = (
        resistance_s_per_m
        * vessel_area_m2
        * math.log(level_start_m / level_end_m)
        / (bore_area_m2(bore_mm) * weight_pa_per_m)
    )
    return Computed(seconds, "s", extra={"reynolds_start": reynolds})


@calculation(
    "viscous.bleed_flow_l_per_min",
    unit="L/min",
    relation="Q = pi d^4 dp / (128 mu L)",
    source="laminar relation of Munson, Young and Okiishi, example 8.2, solved for the flow",
    validity=_LAMINAR,
    directions={
        "pressure_kpa": "up",
        "density_kg_per_m3": "down",
        "kinematic_viscosity_mm2_per_s": "down",
        "bore_mm": "up",
        "length_m": "down",
    },
)
def bleed_flow_l_per_min(
    pressure_kpa: float,
    density_kg_per_m3: float,
    kinematic_viscosity_mm2_per_s: float,
    bore_mm: float,
    length_m: float,
) -> Outcome:
    """Flow of cold oil through a bleed tube.

    Q = pi * d^4 * dp / (128 * mu * L), mu = nu * rho

    Parameters
    ----------
    pressure_kpa : float
        Gauge pressure dp at the start of the tube, 0 to 500 [kPa].
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    kinematic_viscosity_mm2_per_s : float
        Viscosity nu at oil temperature, 1 to 10000; limits for mineral oil are 12 at 40 and 1800 at -30 degC [mm2/s].
    bore_mm : float
        Bore d, 1 to 500 [mm].
    length_m : float
        Length L, 0.01 to 1000 [m].

    Returns
    -------
    Computed
        Flow Q; `reynolds` beside it [L/min].

    Validity
    --------
    Reynolds number up to 2000, free outlet level with the inlet. Limits are ours.

    Source
    ------
    Munson, Young and Okiishi, example 8.2 (published: 20.4 kPa drive 0.02 L/s).

    >>> round(bleed_flow_l_per_min(20.372, 900.0, 444.444, 20.0, 10.0).value, 2)
    1.2
    """
    viscosity_pa_s = kinematic_viscosity_mm2_per_s * 1e-6 * density_kg_per_m3
    bounds = (
        ("pressure", pressure_kpa, 0, 500, "kPa"),
        ("kinematic viscosity", kinematic_viscosity_mm2_per_s, 1, 10000, "mm2/s"),
        *_tube_bounds(density_kg_per_m3, viscosity_pa_s, bore_mm, length_m),
    )
    if broken := outside(*bounds):
        return broken
    speed_m_per_s = pressure_kpa * 1000 * (bore_mm / 1000) ** 2 / (32 * viscosity_pa_s * length_m)
    reynolds = _reynolds(density_kg_per_m3, speed_m_per_s, bore_mm, viscosity_pa_s)
    if broken := outside(_laminar(reynolds)):
        return broken
    return Computed(speed_m_per_s * bore_area_m2(bore_mm) * 60000, "L/min", extra={"reynolds": reynolds})
