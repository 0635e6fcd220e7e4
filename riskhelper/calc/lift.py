"""Lifting equation of NIOSH 94-110: recommended weight from layout, or from multipliers of a worksheet."""

from __future__ import annotations

from math import prod

from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.lift_multipliers import (
    HAND_HEIGHT_OF_LEAST_STRAIN_CM,
    MANUAL,
    asymmetry_multiplier,
    coupling_multiplier,
    distance_multiplier,
    frequency_multiplier,
    horizontal_multiplier,
    vertical_multiplier,
)
from riskhelper.calc.validity import outside

LOAD_CONSTANT_KG = 23.0
_TWO_HANDS = (
    "two hands, standing, firm floor with friction 0.4 or more, 19 to 26 degC, smooth lift, no carrying: "
    "not one hand, kneeling, seated, in a cramped space or from a ladder (limits of the manual)"
)


@calculation(
    "lift.recommended_weight_kg",
    unit="kg",
    relation="RWL = 23 HM VM DM AM FM CM",
    source=f"{MANUAL}, p. 7",
    validity=_TWO_HANDS,
    directions={
        "horizontal_m": "down",
        "vertical_m": "turns",
        "origin_height_m": "up",
        "travel_m": "down",
        "asymmetry_deg": "down",
        "frequency_per_min": "down",
        "duration": "fixed",
        "coupling": "fixed",
        "frequencies": "fixed",
    },
    turning_points={"vertical_m": (HAND_HEIGHT_OF_LEAST_STRAIN_CM / 100,)},
)
def recommended_weight_kg(
    horizontal_m: float,
    vertical_m: float,
    origin_height_m: float,
    travel_m: float,
    asymmetry_deg: float,
    frequency_per_min: float,
    duration: str,
    coupling: str,
    frequencies: Table,
) -> Outcome:
    """Weight that nearly all healthy workers can lift this way, at one end of the lift.

    RWL = 23 * HM * VM * DM * AM * FM * CM

    Parameters
    ----------
    horizontal_m : float
        Distance of the hands in front of the ankles, 0 to 2 [m].
    vertical_m : float
        Height of the hands at the end of the lift that is evaluated, 0 to 3 [m].
    origin_height_m : float
        Height of the hands at the origin of the lift, 0 to 3 [m].
    travel_m : float
        Vertical travel of the hands, 0 to 3 [m].
    asymmetry_deg : float
        Twist of the body, 0 to 180 [deg].
    frequency_per_min : float
        Lifts a minute, 0 to 60 [1/min].
    duration : str
        `short`, `moderate` or `long`.
    coupling : str
        `good`, `fair` or `poor`.
    frequencies : Table
        Table 5 of the manual.

    Returns
    -------
    Computed
        Recommended weight RWL; 0 where a limit of the manual is passed [kg].

    Validity
    --------
    Two hands, standing, firm floor, 19 to 26 degC, smooth lift; not from a ladder (manual).

    Source
    ------
    NIOSH 94-110, p. 7; the example is the origin of example 4, 34.9 lb (15.83 kg) with
    rounded multipliers and US constants.

    >>> from riskhelper.terms import Standing
    >>> columns = ("per_min", "short_low", "short_high", "moderate_low", "moderate_high", "long_low", "long_high")
    >>> rows = ((2.0, 0.91, 0.91, 0.84, 0.84, 0.65, 0.65), (3.0, 0.88, 0.88, 0.79, 0.79, 0.55, 0.55))
    >>> two = Table("two", "NIOSH 94-110", "2021", "5", "", Standing.PUBLISHED, columns, rows, "interpolate")
    >>> round(recommended_weight_kg(0.254, 0.5588, 0.5588, 0.9398, 0.0, 3.0, "short", "fair", two).value, 2)
    15.48
    """
    factors = (
        horizontal_multiplier(horizontal_m),
        vertical_multiplier(vertical_m),
        distance_multiplier(travel_m),
        asymmetry_multiplier(asymmetry_deg),
        frequency_multiplier(frequency_per_min, duration, origin_height_m, frequencies),
        coupling_multiplier(coupling, vertical_m),
    )
    numbers: list[float] = []
    for factor in factors:
        if not isinstance(factor, Computed):
            return factor
        numbers.append(factor.value)
    return weight_from_multipliers_kg(LOAD_CONSTANT_KG, *numbers)


@calculation(
    "lift.weight_from_multipliers_kg",
    unit="kg",
    relation="RWL = LC HM VM DM AM FM CM",
    source=f"{MANUAL}, p. 7",
    validity="load constant 0 to 25 kg, multipliers 0 to 1; " + _TWO_HANDS,
    directions={
        "load_constant_kg": "up",
        "horizontal": "up",
        "vertical": "up",
        "distance": "up",
        "asymmetry": "up",
        "frequency": "up",
        "coupling": "up",
    },
)
def weight_from_multipliers_kg(
    load_constant_kg: float,
    horizontal: float,
    vertical: float,
    distance: float,
    asymmetry: float,
    frequency: float,
    coupling: float,
) -> Computed | OutsideLimits:
    """Recommended weight from multipliers read off a worksheet.

    RWL = LC * HM * VM * DM * AM * FM * CM

    Parameters
    ----------
    load_constant_kg : float
        Load constant LC, 23 in the metric form, 23.13 (51 lb) in the US form, 0 to 25 [kg].
    horizontal : float
        Multiplier HM, 0 to 1 [1].
    vertical : float
        Multiplier VM, 0 to 1 [1].
    distance : float
        Multiplier DM, 0 to 1 [1].
    asymmetry : float
        Multiplier AM, 0 to 1 [1].
    frequency : float
        Multiplier FM, 0 to 1 [1].
    coupling : float
        Multiplier CM, 0 to 1 [1].

    Returns
    -------
    Computed
        Recommended weight RWL [kg].

    Validity
    --------
    Rounded multipliers and US constants give results up to 4 percent from the equation.

    Source
    ------
    NIOSH 94-110, p. 7; the example is the worksheet of example 4, printed 34.9 lb (15.83 kg).

    >>> round(weight_from_multipliers_kg(23.1332, 1.0, 0.94, 0.87, 1.0, 0.88, 0.95).value, 2)
    15.82
    """
    multipliers = {
        "HM": horizontal,
        "VM": vertical,
        "DM": distance,
        "AM": asymmetry,
        "FM": frequency,
        "CM": coupling,
    }
    constant = ("load constant", load_constant_kg, 0.0, 25.0, "kg")
    shares = ((f"multiplier {name}", value, 0.0, 1.0, "") for name, value in multipliers.items())
    return outside(constant, *shares) or Computed(load_constant_kg * prod(multipliers.values()), "kg")
