"""Lifting index: load over recommended weight, for the unit at the valve and for what is carried by hand.

Our conventions for a crew at a valve, each on the worse side: the load travels from 0.2 m above the ground
(the handle of a crate) to the hands; the grip is fair and counts as below 0.75 m at every height; at most one
lift in five minutes for at most an hour, hence no multiplier for frequency.
"""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, calculation
from riskhelper.calc.lift import LOAD_CONSTANT_KG, weight_from_multipliers_kg
from riskhelper.calc.lift_multipliers import (
    COUPLING,
    FARTHEST_REACH_CM,
    HAND_HEIGHT_OF_LEAST_STRAIN_CM,
    HIGHEST_HAND_CM,
    MANUAL,
    SHORTEST_TRAVEL_CM,
    TRAVEL_CM,
    TRAVEL_SHARE,
    VERTICAL_PER_CM,
    WIDEST_TWIST_DEG,
    asymmetry_multiplier,
    distance_multiplier,
    horizontal_multiplier,
    vertical_multiplier,
)
from riskhelper.calc.validity import YES_NO, Bound, option, outside
from riskhelper.terms import Standing

CRATE_HANDLE_M = 0.2  # ours: hands at the handle of a crate that stands on the ground
CARRY_HEIGHT_M = 0.9  # ours: hands at the height at which a thing is carried
CARRY_REACH_M = 0.3  # ours: hands in front of the ankles when a thing is picked up close to the body
HEAVIEST_KG = 60.0  # ours: nothing heavier is asked about
SELDOM = 1.0  # table 5 of the manual, first row, up to an hour

_VALIDITY = (
    "two hands, standing, firm floor; not one hand, kneeling or from a ladder (manual); "
    "travel, grip and frequency are our conventions"
)


def _travel_turn_m() -> float:
    """Hand height at which falling DM and rising VM balance: u^2 = 4.5 (VM at the handle) / (0.003 * 0.82)."""
    handle_cm = CRATE_HANDLE_M * 100
    at_handle = 1 - VERTICAL_PER_CM * (HAND_HEIGHT_OF_LEAST_STRAIN_CM - handle_cm)
    return CRATE_HANDLE_M + math.sqrt(TRAVEL_CM * at_handle / (VERTICAL_PER_CM * TRAVEL_SHARE)) / 100


HAND_TURNS_M = (
    CRATE_HANDLE_M + SHORTEST_TRAVEL_CM / 100,
    _travel_turn_m(),
    HAND_HEIGHT_OF_LEAST_STRAIN_CM / 100,
)


@calculation(
    "lift.index_worst",
    unit="",
    relation="LI = largest of m_unit / RWL(hands, reach, twist) and max(m_unit, m_other) / RWL(ground to 0.9 m)",
    source=f"{MANUAL}, pp. 7-12, 21 and 26",
    validity=f"hands 0 to 1.75 m, reach up to 0.63 m, twist 0 to 135 degrees (manual); {_VALIDITY}",
    directions={
        "unit_kg": "up",
        "heaviest_kg": "up",
        "hand_m": "turns",
        "reach_m": "up",
        "twist_deg": "up",
    },
    turning_points={"hand_m": HAND_TURNS_M},
    standing=Standing.DERIVED,
)
def index_worst(unit_kg: float, heaviest_kg: float, hand_m: float, reach_m: float, twist_deg: float) -> Outcome:
    """Lifting index of the day: the unit held at the valve, or the heaviest thing picked up from the ground.

    LI = max(m_unit / RWL at the valve, max(m_unit, m_other) / RWL from the ground to 0.9 m)

    Parameters
    ----------
    unit_kg : float
        Mass of the unit with its adapters, 0 to 60 [kg].
    heaviest_kg : float
        Mass of the heaviest other thing one person lifts, 0 to 60 [kg].
    hand_m : float
        Height of the hands when the unit is hung, 0 to 1.75 [m].
    reach_m : float
        Distance of the hands in front of the ankles then, 0 to 0.63; below 0.25 counts as 0.25 [m].
    twist_deg : float
        Twist of the body then, 0 to 135 [deg].

    Returns
    -------
    Computed
        Lifting index LI; up to 1 is the design goal of the manual [1].

    Validity
    --------
    Two hands on firm ground; hanging the unit needs careful placing, so the valve end counts (manual).
    Travel from a crate on the ground, fair grip, at most one lift in five minutes for an hour (ours).

    Source
    ------
    NIOSH 94-110, pp. 7-12, 21 and 26; the example is a recomputation by hand.

    >>> round(index_worst(6.0, 7.0, 1.5, 0.5, 30.0).value, 2)
    0.92
    """
    bounds: tuple[Bound, ...] = (
        ("unit", unit_kg, 0, HEAVIEST_KG, "kg"),
        ("heaviest other thing", heaviest_kg, 0, HEAVIEST_KG, "kg"),
        ("hands when the unit is hung", hand_m, 0, HIGHEST_HAND_CM / 100, "m"),
        ("reach in front of the ankles", reach_m, 0, FARTHEST_REACH_CM / 100, "m"),
        ("twist", twist_deg, 0, WIDEST_TWIST_DEG, "deg"),
    )
    if broken := outside(*bounds):
        return broken
    carried = index_carried(max(unit_kg, heaviest_kg))
    placed = _index(unit_kg, hand_m, reach_m, abs(hand_m - CRATE_HANDLE_M), twist_deg)
    if isinstance(carried, Computed) and isinstance(placed, Computed):
        extra = {"placed_li": placed.value, "carried_li": carried.value}
        return Computed(max(placed.value, carried.value), "", extra)
    return carried if isinstance(placed, Computed) else placed


@calculation(
    "lift.index_carried",
    unit="",
    relation="LI = m / RWL(ground to 0.9 m, reach 0.3 m, no twist)",
    source=f"{MANUAL}, pp. 7-12",
    validity=f"0 to 60 kg; {_VALIDITY}",
    directions={"heaviest_kg": "up"},
    standing=Standing.DERIVED,
)
def index_carried(heaviest_kg: float) -> Outcome:
    """Lifting index of a thing one person picks up from the ground and carries.

    LI = m / RWL, hands at the ground, 0.3 m in front of the ankles, lifted to 0.9 m, fair grip

    Parameters
    ----------
    heaviest_kg : float
        Mass m of the thing, 0 to 60 [kg].

    Returns
    -------
    Computed
        Lifting index LI [1].

    Validity
    --------
    Two hands, close to the body, firm floor; carrying itself is outside the equation (manual).

    Source
    ------
    NIOSH 94-110, pp. 7-12; the layout is ours; the example is 7 / (23 x 0.8333 x 0.775 x 0.87 x 0.95).

    >>> round(index_carried(7.0).value, 2)
    0.57
    """
    if broken := outside(("heaviest thing", heaviest_kg, 0, HEAVIEST_KG, "kg")):
        return broken
    return _index(heaviest_kg, 0.0, CARRY_REACH_M, CARRY_HEIGHT_M, 0.0)


@calculation(
    "lift.index",
    unit="",
    relation="LI = L / RWL",
    source=f"{MANUAL}, p. 13",
    validity="load 0 to 200 kg (ours), recommended weight above 0",
    directions={"load_kg": "up", "recommended_kg": "down"},
)
def index(load_kg: float, recommended_kg: float) -> Computed | OutsideLimits:
    """Lifting index of one lift.

    LI = L / RWL

    Parameters
    ----------
    load_kg : float
        Mass lifted L, 0 to 200 [kg].
    recommended_kg : float
        Recommended weight RWL, above 0 [kg].

    Returns
    -------
    Computed
        Lifting index LI [1].

    Validity
    --------
    Undefined where the recommended weight is 0: a limit of the equation is passed.

    Source
    ------
    NIOSH 94-110, p. 13; the example is example 1, origin, printed 2.7 (from memory).

    >>> round(index(19.96, 7.39).value, 1)
    2.7
    """
    if recommended_kg <= 0:
        return OutsideLimits("recommended weight above 0 kg: a limit of the lifting equation is passed")
    bounds = (("load", load_kg, 0, 200, "kg"), ("recommended weight", recommended_kg, 0, 25, "kg"))
    return outside(*bounds) or Computed(load_kg / recommended_kg, "")


@calculation(
    "lift.governing_weight_kg",
    unit="kg",
    relation="RWL = min(RWL origin, RWL destination) with control at the destination, else RWL origin",
    source=f"{MANUAL}, pp. 21 and 26",
    validity="recommended weights 0 to 25 kg",
    directions={"origin_kg": "up", "destination_kg": "up", "placed_with_care": "fixed"},
)
def governing_weight_kg(origin_kg: float, destination_kg: float, placed_with_care: str) -> Computed | OutsideLimits:
    """Recommended weight of the end of the lift that governs.

    RWL = min(origin, destination) when the load is re-grasped, held or placed with care, else origin

    Parameters
    ----------
    origin_kg : float
        Recommended weight at the origin, 0 to 25 [kg].
    destination_kg : float
        Recommended weight at the destination, 0 to 25 [kg].
    placed_with_care : str
        `yes` when control at the destination is significant, else `no`.

    Returns
    -------
    Computed
        Recommended weight that governs [kg].

    Validity
    --------
    Significant control: re-grasp near the destination, momentary hold, or careful placing (manual).

    Source
    ------
    NIOSH 94-110, pp. 21 and 26; example 4.

    >>> governing_weight_kg(15.83, 6.89, "yes").value
    6.89
    """
    option("placed with care", placed_with_care, YES_NO)
    bounds = (("origin", origin_kg, 0, 25, "kg"), ("destination", destination_kg, 0, 25, "kg"))
    lower_kg = min(origin_kg, destination_kg)
    return outside(*bounds) or Computed(lower_kg if placed_with_care == "yes" else origin_kg, "kg")


@calculation(
    "lift.composite_index",
    unit="",
    relation="CLI = STLI1 + sum of FILIn (1 / FM(1..n) - 1 / FM(1..n-1))",
    source=f"{MANUAL}, section 2.4.5, p. 28 (from memory)",
    validity="up to three kinds of lift, hardest first; frequency multipliers above 0 and falling",
    directions={
        "hardest_index": "up",
        "first_multiplier": "up",
        "second_index": "up",
        "second_multiplier": "fixed",
        "third_index": "up",
        "third_multiplier": "down",
    },
    standing=Standing.MEMORY,
)
def composite_index(
    hardest_index: float,
    first_multiplier: float,
    second_index: float,
    second_multiplier: float,
    third_index: float = 0.0,
    third_multiplier: float = 0.0,
) -> Computed | OutsideLimits:
    """Lifting index of a job made of two or three kinds of lift.

    CLI = STLI1 + FILI2 * (1 / FM12 - 1 / FM1) + FILI3 * (1 / FM123 - 1 / FM12)

    Parameters
    ----------
    hardest_index : float
        Single-task index STLI1 of the hardest kind, frequency included, 0 to 20 [1].
    first_multiplier : float
        Frequency multiplier FM1 of the first kind alone, above 0, up to 1 [1].
    second_index : float
        Frequency-independent index FILI2 of the second kind, 0 to 20 [1].
    second_multiplier : float
        Frequency multiplier FM12 of the first and second together, above 0 [1].
    third_index : float
        Frequency-independent index FILI3 of the third kind; 0 when there is none, 0 to 20 [1].
    third_multiplier : float
        Frequency multiplier FM123 of all three together; 0 when there is none [1].

    Returns
    -------
    Computed
        Composite lifting index CLI [1].

    Validity
    --------
    Kinds in falling order of STLI; multipliers above 0 and not rising.

    Source
    ------
    NIOSH 94-110, section 2.4.5, p. 28 (from memory); the example is its three-task table, printed 1.9.

    >>> round(composite_index(1.6, 0.94, 1.0, 0.88, 0.67, 0.7).value, 1)
    1.9
    """
    indexes = (("first index", hardest_index), ("second index", second_index), ("third index", third_index))
    if broken := outside(*((words, value, 0, 20, "") for words, value in indexes)):
        return broken
    third_absent = third_index == 0 and third_multiplier == 0
    last = second_multiplier if third_absent else third_multiplier
    if not 0 < last <= second_multiplier <= first_multiplier <= 1:
        return OutsideLimits("frequency multipliers above 0, at most 1, each at most the one before")
    second = second_index * (1 / second_multiplier - 1 / first_multiplier)
    third = third_index * (1 / last - 1 / second_multiplier)
    return Computed(hardest_index + second + third, "")


def _index(load_kg: float, vertical_m: float, reach_m: float, travel_m: float, twist_deg: float) -> Outcome:
    factors = (
        horizontal_multiplier(reach_m),
        vertical_multiplier(vertical_m),
        distance_multiplier(travel_m),
        asymmetry_multiplier(twist_deg),
    )
    numbers: list[float] = []
    for factor in factors:
        if not isinstance(factor, Computed):
            return factor
        numbers.append(factor.value)
    weight = weight_from_multipliers_kg(LOAD_CONSTANT_KG, *numbers, SELDOM, COUPLING["fair"][0])
    return index(load_kg, weight.value) if isinstance(weight, Computed) else weight
