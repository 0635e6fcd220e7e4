"""Falls from height: clearance with its datum named, free fall, swing, arrest force."""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.oil import GRAVITY_M_PER_S2
from riskhelper.calc.validity import Bound, option, outside
from riskhelper.terms import Standing

DATUMS = ("anchor", "walking_surface", "not_stated")
_CLEARANCE_SOURCE = "ten published sums, 6.0 to 9.0 m and 12 to 19.5 ft; they differ in parts counted and in datum"


@calculation(
    "height.fall_clearance_m",
    unit="m",
    relation="clearance = fall + stopping + harness + line + body + margin",
    source=_CLEARANCE_SOURCE,
    validity="fall and parts 0 to 20 m each (ours); the maker's own table wins",
    directions={
        "measured_from": "fixed",
        "fall_m": "up",
        "stopping_m": "up",
        "body_m": "up",
        "margin_m": "up",
        "harness_m": "up",
        "line_m": "up",
    },
    standing=Standing.DERIVED,
)
def fall_clearance_m(
    measured_from: str,
    fall_m: float,
    stopping_m: float,
    body_m: float,
    margin_m: float,
    harness_m: float = 0.0,
    line_m: float = 0.0,
) -> Outcome:
    """Free height needed below the datum for a fall arrest to end above the ground.

    clearance = fall + stopping + harness + line + body + margin

    Parameters
    ----------
    measured_from : str
        Datum: `anchor`, `walking_surface` or `not_stated`.
    fall_m : float
        Length of the lanyard, counted from the anchor, or free fall of the body [m].
    stopping_m : float
        Extension of the absorber, or deceleration distance [m].
    body_m : float
        Body below the D-ring: 1.5 to the feet of a standing person, some count 1.8; 0 when left out [m].
    margin_m : float
        Margin that stays below the feet [m].
    harness_m : float
        Stretch of the harness and slide of the D-ring [m].
    line_m : float
        Stretch or sag of a line or rail [m].

    Returns
    -------
    Computed
        Clearance below the datum [m]; `extra` holds `measured_from`.

    Validity
    --------
    The sum says nothing of what stands in the way; the maker's table wins. Parts 0 to 20 m (ours).

    Source
    ------
    Design note for EN 354, EN 355 and EN 361 systems: 2.0 + 1.75 + 1.5 + 1.0 = 6.25 m.

    >>> fall_clearance_m("walking_surface", 2.0, 1.75, 1.5, 1.0).value
    6.25
    """
    option("measured from", measured_from, DATUMS)
    parts = (
        ("fall", fall_m),
        ("stopping", stopping_m),
        ("body below the D-ring", body_m),
        ("margin", margin_m),
        ("harness", harness_m),
        ("line", line_m),
    )
    if broken := outside(*((words, value, 0.0, 20.0, "m") for words, value in parts)):
        return broken
    notes = [f"measured downwards from: {measured_from.replace('_', ' ')}"]
    if measured_from == "not_stated":
        notes.append("the source names no datum: count from the lower of anchor and walking surface")
    if body_m == 0:
        notes.append("the body below the D-ring is left out")
    total_m = sum(value for _, value in parts)
    return Computed(total_m, "m", extra={"measured_from": measured_from}, notes=tuple(notes))


@calculation(
    "height.free_fall_m",
    unit="m",
    relation="free fall = lanyard - anchor above D-ring, at least 0",
    source="OSHA Technical Manual, section V, chapter 4 (rule; its printed results were not readable)",
    validity="lanyard 0 to 20 m; anchor 2 m below to 20 m above the D-ring (ours)",
    directions={"lanyard_m": "up", "anchor_above_dring_m": "down"},
    standing=Standing.DERIVED,
)
def free_fall_m(lanyard_m: float, anchor_above_dring_m: float) -> Outcome:
    """Free fall before a lanyard begins to hold.

    free fall = lanyard - anchor above D-ring

    Parameters
    ----------
    lanyard_m : float
        Length of the lanyard, 0 to 20 [m].
    anchor_above_dring_m : float
        Height of the anchor above the D-ring; negative when it is below, -2 to 20 [m].

    Returns
    -------
    Computed
        Free fall, 0 where the lanyard is taut [m].

    Validity
    --------
    Anchor straight above; a swing adds to it.

    Source
    ------
    OSHA Technical Manual, section V, chapter 4, inputs of example 4: 6 ft lanyard, anchor 4 ft up.

    >>> round(free_fall_m(1.8288, 1.2192).value, 4)
    0.6096
    """
    bounds: tuple[Bound, ...] = (
        ("lanyard", lanyard_m, 0, 20, "m"),
        ("anchor above the D-ring", anchor_above_dring_m, -2, 20, "m"),
    )
    return outside(*bounds) or Computed(max(0.0, lanyard_m - anchor_above_dring_m), "m")


@calculation(
    "height.swing_drop_m",
    unit="m",
    relation="extra drop = sqrt(h^2 + x^2) - h",
    source="instruction manual chart of additional clearance due to swing fall, whole feet (reproduced)",
    validity="anchor 0 to 50 m above the D-ring, 0 to 50 m to the side (ours)",
    directions={"anchor_above_dring_m": "down", "offset_m": "up"},
    standing=Standing.DERIVED,
)
def swing_drop_m(anchor_above_dring_m: float, offset_m: float) -> Outcome:
    """Extra drop when a person falls to the side of the anchor and swings.

    extra drop = sqrt(h^2 + x^2) - h

    Parameters
    ----------
    anchor_above_dring_m : float
        Height h of the anchor above the D-ring, 0 to 50 [m].
    offset_m : float
        Distance x to the side of the anchor, 0 to 50 [m].

    Returns
    -------
    Computed
        Extra drop [m].

    Validity
    --------
    Line without stretch and nothing in the way of the swing, where people are hit.

    Source
    ------
    Chart in whole feet: anchor 10 ft up, 6 ft to the side, printed 2 ft (0.61 m).

    >>> round(swing_drop_m(3.048, 1.8288).value, 2)
    0.51
    """
    bounds: tuple[Bound, ...] = (
        ("anchor above the D-ring", anchor_above_dring_m, 0, 50, "m"),
        ("distance to the side", offset_m, 0, 50, "m"),
    )
    drop_m = math.hypot(anchor_above_dring_m, offset_m) - anchor_above_dring_m
    return outside(*bounds) or Computed(drop_m, "m")


@calculation(
    "height.mean_arrest_force_n",
    unit="N",
    relation="F = m g (h + s) / s",
    source="energy balance; EN 355:2002 test, 100 kg falling twice a 2 m lanyard, 1.75 m extension, 6 kN peak",
    validity="mass 0 to 200 kg, fall 0 to 20 m, stopping 0.1 to 20 m (ours); a mean, the peak is higher",
    directions={"mass_kg": "up", "free_fall_m": "up", "stopping_m": "down"},
    standing=Standing.DERIVED,
)
def mean_arrest_force_n(mass_kg: float, free_fall_m: float, stopping_m: float) -> Outcome:
    """Mean force on the body while the fall is stopped.

    F = m * g * (h + s) / s

    Parameters
    ----------
    mass_kg : float
        Mass m of person and tools, 0 to 200 [kg].
    free_fall_m : float
        Free fall h, 0 to 20 [m].
    stopping_m : float
        Stopping distance s, 0.1 to 20 [m].

    Returns
    -------
    Computed
        Mean force F [N].

    Validity
    --------
    A mean: the peak is higher. A paper of 2021 (IJERPH 18(11):5823) found extensions underestimated by up
    to 70 percent and a fifth of the absorbers above 6 kN.

    Source
    ------
    Energy balance; EN 355:2002 test figures give 3.22 kN.

    >>> round(mean_arrest_force_n(100.0, 4.0, 1.75).value)
    3223
    """
    bounds: tuple[Bound, ...] = (
        ("mass", mass_kg, 0, 200, "kg"),
        ("free fall", free_fall_m, 0, 20, "m"),
        ("stopping distance", stopping_m, 0.1, 20, "m"),
    )
    if broken := outside(*bounds):
        return broken
    return Computed(mass_kg * GRAVITY_M_PER_S2 * (free_fall_m + stopping_m) / stopping_m, "N")
