"""What a measured or a wanted drain says about the outlet: its discharge coefficient, its bore."""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.drain import BREATHING, drain_bounds, root_fall
from riskhelper.calc.hydrostatics import bore_area_m2
from riskhelper.calc.oil import GRAVITY_M_PER_S2
from riskhelper.calc.validity import outside


@calculation(
    "drain.coefficient_from_fall",
    unit="",
    relation="Cd = 2 A (sqrt h1 - sqrt h2) / (t a sqrt(2 g))",
    source="J. Lal, Hydraulics, example 3.6",
    validity=BREATHING + "; a result above 1 is refused",
    directions={
        "vessel_area_m2": "up",
        "bore_mm": "down",
        "level_start_m": "up",
        "level_end_m": "down",
        "time_s": "down",
        "gravity_m_per_s2": "down",
    },
)
def coefficient_from_fall(
    vessel_area_m2: float,
    bore_mm: float,
    level_start_m: float,
    level_end_m: float,
    time_s: float,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Discharge coefficient of an outlet from the measured fall of a level.

    Cd = 2 * A * (sqrt(h1) - sqrt(h2)) / (t * a * sqrt(2 * g))

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
    time_s : float
        Measured time t, 0.1 to 1000000 [s].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Cd [1].

    Validity
    --------
    More than 1 means a wrong measurement. Limits are ours.

    Source
    ------
    J. Lal, Hydraulics, example 3.6 (published).

    >>> round(coefficient_from_fall(1.16745, 50.8, 1.8288, 0.6096, 240.0).value, 3)
    0.619
    """
    bounds = (
        *drain_bounds(level_start_m, level_end_m, 1.0, gravity_m_per_s2),
        ("vessel area", vessel_area_m2, 1e-4, 1000, "m2"),
        ("bore", bore_mm, 1, 1000, "mm"),
        ("time", time_s, 0.1, 1e6, "s"),
    )
    if broken := outside(*bounds):
        return broken
    lossless_s = vessel_area_m2 / bore_area_m2(bore_mm) * root_fall(level_start_m, level_end_m, gravity_m_per_s2)
    coefficient = lossless_s / time_s
    return outside(("discharge coefficient", coefficient, 0, 1, "")) or Computed(coefficient, "")


@calculation(
    "drain.bore_for_time_mm",
    unit="mm",
    relation="d = sqrt(8 A (sqrt h1 - sqrt h2) / (pi n Cd t sqrt(2 g)))",
    source="B. K. Sarkar, Fluid Mechanics and Hydraulic Machines, example 4.7",
    validity=BREATHING + "; 1 to 20 equal outlets",
    directions={
        "vessel_area_m2": "up",
        "level_start_m": "up",
        "level_end_m": "down",
        "discharge_coefficient": "down",
        "time_s": "down",
        "outlets": "down",
        "gravity_m_per_s2": "down",
    },
)
def bore_for_time_mm(
    vessel_area_m2: float,
    level_start_m: float,
    level_end_m: float,
    discharge_coefficient: float,
    time_s: float,
    outlets: float = 1.0,
    gravity_m_per_s2: float = GRAVITY_M_PER_S2,
) -> Outcome:
    """Bore of each of several equal outlets that drain a vessel in a wanted time.

    d = sqrt(8 * A * (sqrt(h1) - sqrt(h2)) / (pi * n * Cd * t * sqrt(2 * g)))

    Parameters
    ----------
    vessel_area_m2 : float
        Area A of the liquid surface, 0.0001 to 1000 [m2].
    level_start_m : float
        Level h1 above the outlets at the start, 0.001 to 20 [m].
    level_end_m : float
        Level h2 at the end, 0 to h1 [m].
    discharge_coefficient : float
        Cd, 0.3 to 1 [1].
    time_s : float
        Wanted time t, 0.1 to 1000000 [s].
    outlets : float
        Number n of outlets, 1 to 20 [1].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Bore d of each outlet [mm].

    Validity
    --------
    Vessel open to air, turbulent flow. Limits are ours.

    Source
    ------
    B. K. Sarkar, example 4.7 (published).

    >>> round(bore_for_time_mm(200.0, 1.5, 0.0, 0.62, 300.0, 4.0).value)
    435
    """
    bounds = (
        *drain_bounds(level_start_m, level_end_m, discharge_coefficient, gravity_m_per_s2),
        ("vessel area", vessel_area_m2, 1e-4, 1000, "m2"),
        ("time", time_s, 0.1, 1e6, "s"),
        ("number of outlets", outlets, 1, 20, ""),
    )
    if broken := outside(*bounds):
        return broken
    area_m2 = (
        vessel_area_m2
        * root_fall(level_start_m, level_end_m, gravity_m_per_s2)
        / (outlets * discharge_coefficient * time_s)
    )
    return Computed(1000 * math.sqrt(4 * area_m2 / math.pi), "mm")
