"""Oil leaving an open bore at the valve: rate, litres spilt before it is shut, time to fill the tray."""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, OutsideLimits, calculation
from riskhelper.calc.hydrostatics import bore_area_m2
from riskhelper.calc.oil import (
    DENSITY_SHARE,
    density_kg_per_m3,
    hydrostatic_pa,
    state_bounds,
)
from riskhelper.calc.validity import outside
from riskhelper.terms import Standing

SHORT_TUBE_COEFFICIENT = 0.82  # reference table 'Typical Cd values'; 0.80 and 0.833 are printed elsewhere
LONGEST_FILL_S = 86400.0  # ours: a day; longer times are not told apart


@calculation(
    "oil.open_bore_flow_l_per_s",
    unit="L/s",
    relation="Q = 0.82 A sqrt(2 p / rho), p = p_c + rho g h",
    source="short tube: reference table 'Typical Cd values'; jet: Cengel and Cimbala, Fluid Mechanics, "
    "example 5-6; density from memory, to be confirmed",
    validity="free outlet to air, pumps stopped, surface 2 m below to 27 m above the valve, "
    "cushion -75 to 115 kPa, bore 1 to 200 mm (limits are ours)",
    directions={
        "head_m": "up",
        "cushion_kpa": "up",
        "liquid": "fixed",
        "oil_c": "turns",
        "bore_mm": "up",
        "density_share": "turns",
    },
    turning_points={"oil_c": (), "density_share": ()},  # the sign of the cushion decides
    standing=Standing.MEMORY,
    spreads={"density_share": DENSITY_SHARE},
)
def open_bore_flow_l_per_s(
    head_m: float, cushion_kpa: float, liquid: str, oil_c: float, bore_mm: float, density_share: float = 0.0
) -> Computed | OutsideLimits:
    """Flow of oil from the open valve stub at full pressure; nothing leaves at or below zero gauge.

    Q = 0.82 * A * sqrt(2 * (p_c / rho + g * h))

    Parameters
    ----------
    head_m : float
        Height h of the oil surface above the valve centre, -2 to 27 [m].
    cushion_kpa : float
        Gauge pressure p_c of the gas above the oil, signed, -75 to 115 [kPa].
    liquid : str
        `mineral`, `natural_ester`, `synthetic_ester` or `silicone`.
    oil_c : float
        Oil temperature, -50 to 130 [degC].
    bore_mm : float
        Diameter of the free bore, 1 to 200 [mm].
    density_share : float
        Departure of density from its table value; -0.01 to 0.01 unless given [1].

    Returns
    -------
    Computed
        Flow Q [L/s]; for cold, thick oil an upper bound.

    Validity
    --------
    Free outlet to air, an open stub taken as a short tube (0.82; 1.0 would be the ceiling). Limits are ours.

    Source
    ------
    Reference table 'Typical Cd values' (0.82, published); Cengel and Cimbala, example 5-6 (relation);
    density from memory, to be confirmed.

    >>> round(open_bore_flow_l_per_s(3.1, 0.0, "mineral", 38.0, 50.0).value, 2)
    12.56
    """
    bounds = state_bounds(head_m, cushion_kpa, oil_c, density_share)
    if broken := outside(*bounds, ("bore", bore_mm, 1, 200, "mm")):
        return broken
    rho = density_kg_per_m3(liquid, oil_c, density_share)
    pressure_pa = cushion_kpa * 1000 + hydrostatic_pa(rho, head_m)
    speed_m_per_s = math.sqrt(2 * max(0.0, pressure_pa) / rho)
    flow = SHORT_TUBE_COEFFICIENT * bore_area_m2(bore_mm) * speed_m_per_s * 1000
    return Computed(flow, "L/s", extra={"speed_m_per_s": speed_m_per_s})


@calculation(
    "oil.spill_l",
    unit="L",
    relation="V = Q t",
    source="flow at full head over the reaction time; the head hardly falls in seconds (the worse side)",
    validity="0 to 500 L/s, 0 to 3600 s (ours)",
    directions={"flow_l_per_s": "up", "reaction_s": "up"},
    standing=Standing.DERIVED,
)
def spill_l(flow_l_per_s: float, reaction_s: float) -> Computed | OutsideLimits:
    """Litres lost between the start of a leak and the valve being shut.

    V = Q * t

    Parameters
    ----------
    flow_l_per_s : float
        Flow Q at full pressure, 0 to 500 [L/s].
    reaction_s : float
        Time t until the valve is shut, 0 to 3600 [s].

    Returns
    -------
    Computed
        Volume V [L].

    Validity
    --------
    Flow held at its first value, which is the worse side. Limits are ours.

    Source
    ------
    Cengel and Cimbala, example 5-7 part a, read backwards (published relation).

    >>> spill_l(12.5, 4.0).value
    50.0
    """
    bounds = (("flow", flow_l_per_s, 0, 500, "L/s"), ("time to shut", reaction_s, 0, 3600, "s"))
    return outside(*bounds) or Computed(flow_l_per_s * reaction_s, "L")


@calculation(
    "oil.fill_time_s",
    unit="s",
    relation="t = V / Q, at most a day",
    source="volume over flow at full pressure (the worse side)",
    validity="catch 0 to 5000 L, flow 0 to 500 L/s (ours); a day or longer is shown as a day",
    directions={"catch_l": "up", "flow_l_per_s": "down"},
    standing=Standing.DERIVED,
)
def fill_time_s(catch_l: float, flow_l_per_s: float) -> Computed | OutsideLimits:
    """Time until an open bore has filled the tray.

    t = V / Q, counted up to a day

    Parameters
    ----------
    catch_l : float
        Litres V the tray and absorbents hold, 0 to 5000 [L].
    flow_l_per_s : float
        Flow Q from the open bore, 0 to 500 [L/s].

    Returns
    -------
    Computed
        Time t, 0 to 86400 [s]; 86400 stands for a day or longer, and for no flow.

    Validity
    --------
    Flow held at its first value, which is the worse side. Limits are ours.

    Source
    ------
    Volume over flow (definition).

    >>> round(fill_time_s(60.0, 12.56).value, 1)
    4.8
    """
    if broken := outside(("tray", catch_l, 0, 5000, "L"), ("flow", flow_l_per_s, 0, 500, "L/s")):
        return broken
    if catch_l >= LONGEST_FILL_S * flow_l_per_s and catch_l > 0:
        return Computed(LONGEST_FILL_S, "s", notes=("a day or longer",))
    return Computed(catch_l / flow_l_per_s if flow_l_per_s > 0 else 0.0, "s")
