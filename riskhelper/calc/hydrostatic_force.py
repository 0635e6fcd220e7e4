"""Force of liquid under pressure on blanks, plates and plugs."""

from __future__ import annotations

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.hydrostatics import LIQUID_AT_REST, bore_area_m2, head_pressure_pa
from riskhelper.calc.oil import GRAVITY_M_PER_S2
from riskhelper.calc.validity import outside


@calculation(
    "hydrostatics.plate_force_n",
    unit="N",
    relation="F = (p_c + rho g h_c) A",
    source="Munson, Young and Okiishi, Fundamentals of Fluid Mechanics, example 2.8",
    validity=LIQUID_AT_REST + "; plate up to 100 m2",
    directions={
        "density_kg_per_m3": "up",
        "centre_depth_m": "up",
        "cushion_pa": "up",
        "area_m2": "turns",
        "gravity_m_per_s2": "up",
    },
    turning_points={"area_m2": ()},  # the sign of the pressure decides
)
def plate_force_n(
    density_kg_per_m3: float,
    centre_depth_m: float,
    cushion_pa: float,
    area_m2: float,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Net force of liquid on a flat plate or blank, outward where positive.

    F = (p_c + rho * g * h_c) * A

    Parameters
    ----------
    density_kg_per_m3 : float
        Density rho, 500 to 2000 [kg/m3].
    centre_depth_m : float
        Depth h_c of the centre of the plate below the surface, 0 to 100 [m].
    cushion_pa : float
        Gauge pressure p_c above the liquid, -101000 to 1000000 [Pa].
    area_m2 : float
        Area A of the plate, 0 to 100 [m2].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Force F; under suction it grows inward with the area [N].

    Validity
    --------
    Liquid at rest, the other side of the plate in open air. Limits are ours.

    Source
    ------
    Munson, Young and Okiishi, example 2.8 (published).

    >>> round(plate_force_n(900.0, 2.3, 50000.0, 0.36).value, -1)
    25310.0
    """
    if broken := outside(("area", area_m2, 0, 100, "m2")):
        return broken
    pressure = head_pressure_pa(density_kg_per_m3, centre_depth_m, cushion_pa, gravity_m_per_s2)
    return Computed(pressure.value * area_m2, "N") if isinstance(pressure, Computed) else pressure


@calculation(
    "hydrostatics.plug_force_n",
    unit="N",
    relation="F = p pi d^2 / 4",
    source="B. K. Sarkar, Fluid Mechanics and Hydraulic Machines, example 1.13",
    validity="0 to 1000 kPa, bore 1 to 1000 mm (limits are ours)",
    directions={"pressure_pa": "up", "bore_mm": "up"},
)
def plug_force_n(pressure_pa: float, bore_mm: float) -> Outcome:
    """Force with which pressure pushes a plug or blank off a round bore.

    F = p * pi * d^2 / 4

    Parameters
    ----------
    pressure_pa : float
        Gauge pressure p behind the plug, 0 to 1000000 [Pa].
    bore_mm : float
        Bore d, 1 to 1000 [mm].

    Returns
    -------
    Computed
        Force F [N].

    Validity
    --------
    Pressure over the whole bore, open air outside. Limits are ours.

    Source
    ------
    B. K. Sarkar, example 1.13 (published).

    >>> round(plug_force_n(490500.0, 150.0).value, 2)
    8667.85
    """
    bounds = (("pressure", pressure_pa, 0, 1e6, "Pa"), ("bore", bore_mm, 1, 1000, "mm"))
    return outside(*bounds) or Computed(pressure_pa * bore_area_m2(bore_mm), "N")
