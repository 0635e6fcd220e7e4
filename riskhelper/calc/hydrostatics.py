"""Pressure and force of liquid at rest: columns, layers, blanks and plugs, gauge and absolute."""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, calculation
from riskhelper.calc.oil import GRAVITY_M_PER_S2, hydrostatic_pa
from riskhelper.calc.validity import Bound, outside
from riskhelper.units import STANDARD_ATMOSPHERE_PA

LIQUID_AT_REST = "liquid at rest; density 500 to 2000 kg/m3, 0 to 100 m, -101 to 1000 kPa (limits are ours)"


def liquid_bounds(density_kg_per_m3: float, height_m: float, gravity_m_per_s2: float) -> tuple[Bound, ...]:
    """Limits shared by columns of liquid."""
    return (
        ("density", density_kg_per_m3, 500, 2000, "kg/m3"),
        ("height of liquid", height_m, 0, 100, "m"),
        ("gravity", gravity_m_per_s2, 9.7, 9.9, "m/s2"),
    )


def _with_absolute(gauge_pa: float, atmosphere_pa: float) -> Outcome:
    """Gauge pressure with its absolute partner; an absolute pressure of nothing or less is refused."""
    absolute_pa = gauge_pa + atmosphere_pa
    if absolute_pa <= 0:
        return OutsideLimits(f"absolute pressure must stay above 0 Pa, the relation gives {absolute_pa:.1f}")
    drawn_in = "yes" if gauge_pa < 0 else "no"
    return Computed(gauge_pa, "Pa", extra={"absolute_pa": absolute_pa, "air_is_drawn_in": drawn_in})


@calculation(
    "hydrostatics.head_pressure_pa",
    unit="Pa",
    relation="p = p_c + rho g h",
    source="Cengel and Cimbala, Fluid Mechanics, chapter 3; de Nevers, example 2.3",
    validity=LIQUID_AT_REST,
    directions={
        "density_kg_per_m3": "up",
        "head_m": "up",
        "cushion_pa": "up",
        "gravity_m_per_s2": "up",
        "atmosphere_pa": "fixed",
    },
)
def head_pressure_pa(
    density_kg_per_m3: float,
    head_m: float,
    cushion_pa: float = 0.0,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
    atmosphere_pa: float = STANDARD_ATMOSPHERE_PA,
) -> Outcome:
    """Gauge pressure under a column of liquid with gas above it.

    p = p_c + rho * g * h; p_abs = p + p_atm

    Parameters
    ----------
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    head_m : float
        Height h of the liquid, 0 to 100 [m].
    cushion_pa : float
        Gauge pressure p_c of the gas, signed, -101000 to 1000000 [Pa].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].
    atmosphere_pa : float
        Pressure p_atm outside, 50000 to 110000 [Pa].

    Returns
    -------
    Computed
        Gauge pressure p; `absolute_pa` and `air_is_drawn_in` beside it [Pa].

    Validity
    --------
    Liquid at rest. An absolute pressure of nothing or less is refused. Limits are ours.

    Source
    ------
    de Nevers, Fluid Mechanics for Chemical Engineers, example 2.3 (published, below in SI).

    >>> round(head_pressure_pa(881.015, 18.288, gravity_m_per_s2=9.80665).value / 1000, 1)
    158.0
    """
    bounds = liquid_bounds(density_kg_per_m3, head_m, gravity_m_per_s2)
    if broken := outside(*bounds, *_gas_bounds(cushion_pa, atmosphere_pa)):
        return broken
    column_pa = hydrostatic_pa(density_kg_per_m3, head_m, gravity_m_per_s2)
    return _with_absolute(cushion_pa + column_pa, atmosphere_pa)


def _gas_bounds(gauge_pa: float, atmosphere_pa: float) -> tuple[Bound, ...]:
    return (
        ("gauge pressure", gauge_pa, -101000, 1e6, "Pa"),
        ("atmospheric pressure", atmosphere_pa, 50000, 110000, "Pa"),
    )


@calculation(
    "hydrostatics.two_layer_pressure_pa",
    unit="Pa",
    relation="p = p_c + g (rho1 h1 + rho2 h2)",
    source="I. A. Khan, Fluid Mechanics, example 2.3",
    validity=LIQUID_AT_REST,
    directions={
        "cushion_pa": "up",
        "upper_density_kg_per_m3": "up",
        "upper_height_m": "up",
        "lower_density_kg_per_m3": "up",
        "lower_height_m": "up",
        "gravity_m_per_s2": "up",
    },
)
def two_layer_pressure_pa(
    cushion_pa: float,
    upper_density_kg_per_m3: float,
    upper_height_m: float,
    lower_density_kg_per_m3: float,
    lower_height_m: float,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Gauge pressure under two layers, such as oil over water that has settled below it.

    p = p_c + g * (rho1 * h1 + rho2 * h2)

    Parameters
    ----------
    cushion_pa : float
        Gauge pressure p_c above the upper layer, -101000 to 1000000 [Pa].
    upper_density_kg_per_m3 : float
        Density rho1, 500 to 2000 [kg/m3].
    upper_height_m : float
        Height h1, 0 to 100 [m].
    lower_density_kg_per_m3 : float
        Density rho2, 500 to 2000 [kg/m3].
    lower_height_m : float
        Height h2, 0 to 100 [m].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Gauge pressure p [Pa].

    Validity
    --------
    Liquids at rest that do not mix. Limits are ours.

    Source
    ------
    I. A. Khan, Fluid Mechanics, example 2.3 (published).

    >>> round(two_layer_pressure_pa(150000.0, 850.0, 0.8, 1000.0, 2.0).value, -2)
    176300.0
    """
    bounds = (
        *liquid_bounds(upper_density_kg_per_m3, upper_height_m, gravity_m_per_s2),
        *liquid_bounds(lower_density_kg_per_m3, lower_height_m, gravity_m_per_s2),
        *_gas_bounds(cushion_pa, STANDARD_ATMOSPHERE_PA),
    )
    if broken := outside(*bounds):
        return broken
    upper_pa = hydrostatic_pa(upper_density_kg_per_m3, upper_height_m, gravity_m_per_s2)
    lower_pa = hydrostatic_pa(lower_density_kg_per_m3, lower_height_m, gravity_m_per_s2)
    return _with_absolute(cushion_pa + upper_pa + lower_pa, STANDARD_ATMOSPHERE_PA)


def bore_area_m2(bore_mm: float) -> float:
    """Area of a round bore [m2]."""
    return math.pi / 4 * (bore_mm / 1000) ** 2


@calculation(
    "hydrostatics.head_for_pressure_m",
    unit="m",
    relation="h = p / (rho g)",
    source="Cengel and Cimbala, Fluid Mechanics, examples 3-3 and 5-5",
    validity="0 to 1000 kPa, density 500 to 2000 kg/m3 (limits are ours)",
    directions={"pressure_pa": "up", "density_kg_per_m3": "down", "gravity_m_per_s2": "down"},
)
def head_for_pressure_m(
    pressure_pa: float, density_kg_per_m3: float, gravity_m_per_s2: float = GRAVITY_M_PER_S2
) -> Outcome:
    """Height of liquid that gives a pressure; also the most a jet of that pressure can rise.

    h = p / (rho * g)

    Parameters
    ----------
    pressure_pa : float
        Gauge pressure p, 0 to 1000000 [Pa].
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Height h; for a jet an upper bound, as air drags on it [m].

    Validity
    --------
    Liquid at rest, or a jet without losses. Limits are ours.

    Source
    ------
    Cengel and Cimbala, example 5-5 (published).

    >>> round(head_for_pressure_m(400000.0, 1000.0).value, 1)
    40.8
    """
    bounds = liquid_bounds(density_kg_per_m3, 0, gravity_m_per_s2)
    if broken := outside(*bounds, ("pressure", pressure_pa, 0, 1e6, "Pa")):
        return broken
    return Computed(pressure_pa / hydrostatic_pa(density_kg_per_m3, 1.0, gravity_m_per_s2), "m")


@calculation(
    "hydrostatics.absolute_pressure_pa",
    unit="Pa",
    relation="p_abs = p + p_atm",
    source="Cengel and Cimbala, Fluid Mechanics, example 3-1",
    validity="gauge -101 to 1000 kPa, atmosphere 50 to 110 kPa (limits are ours)",
    directions={"pressure_pa": "up", "atmosphere_pa": "up"},
)
def absolute_pressure_pa(pressure_pa: float, atmosphere_pa: float = STANDARD_ATMOSPHERE_PA) -> Outcome:
    """Absolute pressure of a gauge reading, signed; nothing or less is refused.

    p_abs = p + p_atm

    Parameters
    ----------
    pressure_pa : float
        Gauge pressure p, -101000 to 1000000 [Pa].
    atmosphere_pa : float
        Pressure p_atm outside, 50000 to 110000 [Pa].

    Returns
    -------
    Computed
        Absolute pressure p_abs [Pa].

    Validity
    --------
    No absolute pressure of nothing or less exists. Limits are ours.

    Source
    ------
    Cengel and Cimbala, example 3-1 (published).

    >>> absolute_pressure_pa(-40000.0, 100000.0).value
    60000.0
    """
    if broken := outside(*_gas_bounds(pressure_pa, atmosphere_pa)):
        return broken
    both = _with_absolute(pressure_pa, atmosphere_pa)
    return Computed(pressure_pa + atmosphere_pa, "Pa") if isinstance(both, Computed) else both


@calculation(
    "hydrostatics.siphon_crest_pressure_pa",
    unit="Pa",
    relation="p_abs = p_atm - rho g (z_crest + z_outlet)",
    source="N. de Nevers, Fluid Mechanics for Chemical Engineers, example 5.12",
    validity="running siphon without losses; absolute pressure above nothing (limits are ours)",
    directions={
        "atmosphere_pa": "up",
        "density_kg_per_m3": "down",
        "crest_above_level_m": "down",
        "outlet_below_level_m": "down",
        "gravity_m_per_s2": "down",
    },
)
def siphon_crest_pressure_pa(
    atmosphere_pa: float,
    density_kg_per_m3: float,
    crest_above_level_m: float,
    outlet_below_level_m: float,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Absolute pressure at the crest of a hose that siphons over an edge.

    p_abs = p_atm - rho * g * (z_crest + z_outlet)

    Parameters
    ----------
    atmosphere_pa : float
        Pressure p_atm on the surface, 50000 to 110000 [Pa].
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    crest_above_level_m : float
        Height z_crest of the crest above the surface, 0 to 100 [m].
    outlet_below_level_m : float
        Depth z_outlet of the outlet below the surface, 0 to 100 [m].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Absolute pressure p_abs [Pa].

    Validity
    --------
    One bore throughout, no losses; a figure of nothing or less means the siphon breaks and is refused.

    Source
    ------
    N. de Nevers, example 5.12 (published), which shows the refused figure.

    >>> siphon_crest_pressure_pa(101353.0, 997.95, 12.192, 3.048, 9.80665)
    OutsideLimits(limit='absolute pressure must stay above 0 Pa, the relation gives -47794.0')
    """
    bounds = (
        *liquid_bounds(density_kg_per_m3, crest_above_level_m, gravity_m_per_s2),
        *liquid_bounds(density_kg_per_m3, outlet_below_level_m, gravity_m_per_s2),
        *_gas_bounds(0.0, atmosphere_pa),
    )
    if broken := outside(*bounds):
        return broken
    lift_m = crest_above_level_m + outlet_below_level_m
    gauge = _with_absolute(-hydrostatic_pa(density_kg_per_m3, lift_m, gravity_m_per_s2), atmosphere_pa)
    return Computed(gauge.value + atmosphere_pa, "Pa") if isinstance(gauge, Computed) else gauge
