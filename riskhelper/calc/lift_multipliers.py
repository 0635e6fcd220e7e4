"""Multipliers of the lifting equation of NIOSH 94-110.

The metric form is used throughout. The US form is no exact conversion of it (51 lb = 23.13 kg, 30 in =
76.2 cm), and worksheets multiply rounded multipliers: printed results differ from these by up to 4 percent.
"""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside

HAND_HEIGHT_OF_LEAST_STRAIN_CM = 75.0
NEAREST_REACH_CM = 25.0
FARTHEST_REACH_CM = 63.0
HIGHEST_HAND_CM = 175.0
SHORTEST_TRAVEL_CM = 25.0
LONGEST_TRAVEL_CM = 175.0
WIDEST_TWIST_DEG = 135.0
VERTICAL_PER_CM = 0.003
TRAVEL_SHARE = 0.82
TRAVEL_CM = 4.5
TWIST_PER_DEG = 0.0032
HIGHEST_FREQUENCY_PER_MIN = 15.0
LOWEST_FREQUENCY_PER_MIN = 0.2
NEAR_TORSO_CM = 20.0
LOW_HANDS_CM = 25.0

COUPLING = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.9, 0.9)}  # hands below 0.75 m, at or above
DURATIONS = ("short", "moderate", "long")

MANUAL = "NIOSH 94-110, Applications Manual for the Revised NIOSH Lifting Equation, rev. September 2021"


@calculation(
    "lift.horizontal_multiplier",
    unit="",
    relation="HM = 25 / H, H in cm; H below 25 counts as 25, above 63 HM = 0",
    source=f"{MANUAL}, p. 8 and table 1",
    validity="0 to 2 m (ours); above 0.63 m the manual gives 0",
    directions={"horizontal_m": "down"},
)
def horizontal_multiplier(horizontal_m: float) -> Computed | OutsideLimits:
    """Multiplier for the distance of the hands in front of the ankles.

    HM = 25 / H (H in cm)

    Parameters
    ----------
    horizontal_m : float
        Distance H from the middle between the ankles to the hands, 0 to 2 [m].

    Returns
    -------
    Computed
        Multiplier HM, 0 to 1 [1].

    Validity
    --------
    H below 0.25 m counts as 0.25 m; above 0.63 m HM is 0 (manual).

    Source
    ------
    NIOSH 94-110, p. 8 and table 1.

    >>> round(horizontal_multiplier(0.40).value, 3)
    0.625
    """
    if broken := outside(("reach", horizontal_m, 0, 2, "m")):
        return broken
    horizontal_cm = max(horizontal_m * 100, NEAREST_REACH_CM)
    beyond = _exceeds_cm(horizontal_cm, FARTHEST_REACH_CM)
    return Computed(0.0 if beyond else NEAREST_REACH_CM / horizontal_cm, "")


@calculation(
    "lift.vertical_multiplier",
    unit="",
    relation="VM = 1 - 0.003 |V - 75|, V in cm; above 175 VM = 0",
    source=f"{MANUAL}, pp. 9-10 and table 2",
    validity="0 to 3 m (ours); above 1.75 m the manual gives 0",
    directions={"vertical_m": "turns"},
    turning_points={"vertical_m": (HAND_HEIGHT_OF_LEAST_STRAIN_CM / 100,)},
)
def vertical_multiplier(vertical_m: float) -> Computed | OutsideLimits:
    """Multiplier for the height of the hands above the floor.

    VM = 1 - 0.003 * |V - 75| (V in cm)

    Parameters
    ----------
    vertical_m : float
        Height V of the hands above the floor, 0 to 3 [m].

    Returns
    -------
    Computed
        Multiplier VM, 0 to 1 [1].

    Validity
    --------
    Above 1.75 m VM is 0 (manual).

    Source
    ------
    NIOSH 94-110, pp. 9-10 and table 2.

    >>> round(vertical_multiplier(1.10).value, 3)
    0.895
    """
    if broken := outside(("height of the hands", vertical_m, 0, 3, "m")):
        return broken
    vertical_cm = vertical_m * 100
    if _exceeds_cm(vertical_cm, HIGHEST_HAND_CM):
        return Computed(0.0, "")
    return Computed(1 - VERTICAL_PER_CM * abs(vertical_cm - HAND_HEIGHT_OF_LEAST_STRAIN_CM), "")


@calculation(
    "lift.distance_multiplier",
    unit="",
    relation="DM = 0.82 + 4.5 / D, D in cm; D below 25 counts as 25, above 175 DM = 0",
    source=f"{MANUAL}, p. 10 and table 3",
    validity="0 to 3 m (ours); above 1.75 m the manual gives 0",
    directions={"travel_m": "down"},
)
def distance_multiplier(travel_m: float) -> Computed | OutsideLimits:
    """Multiplier for how far up or down the load travels.

    DM = 0.82 + 4.5 / D (D in cm)

    Parameters
    ----------
    travel_m : float
        Vertical travel D of the hands, up or down, 0 to 3 [m].

    Returns
    -------
    Computed
        Multiplier DM, 0 to 1 [1].

    Validity
    --------
    D below 0.25 m counts as 0.25 m; above 1.75 m DM is 0 (manual).

    Source
    ------
    NIOSH 94-110, p. 10 and table 3.

    >>> round(distance_multiplier(0.40).value, 4)
    0.9325
    """
    if broken := outside(("travel of the load", travel_m, 0, 3, "m")):
        return broken
    travel_cm = max(travel_m * 100, SHORTEST_TRAVEL_CM)
    beyond = _exceeds_cm(travel_cm, LONGEST_TRAVEL_CM)
    return Computed(0.0 if beyond else TRAVEL_SHARE + TRAVEL_CM / travel_cm, "")


@calculation(
    "lift.asymmetry_multiplier",
    unit="",
    relation="AM = 1 - 0.0032 A, A in degrees; above 135 AM = 0",
    source=f"{MANUAL}, p. 11 and table 4",
    validity="0 to 180 degrees; above 135 the manual gives 0",
    directions={"asymmetry_deg": "down"},
)
def asymmetry_multiplier(asymmetry_deg: float) -> Computed | OutsideLimits:
    """Multiplier for the twist of the body.

    AM = 1 - 0.0032 * A

    Parameters
    ----------
    asymmetry_deg : float
        Angle A between the hands and straight ahead, 0 to 180 [deg].

    Returns
    -------
    Computed
        Multiplier AM, 0 to 1 [1].

    Validity
    --------
    Above 135 degrees AM is 0 (manual).

    Source
    ------
    NIOSH 94-110, p. 11 and table 4.

    >>> round(asymmetry_multiplier(90.0).value, 3)
    0.712
    """
    if broken := outside(("twist", asymmetry_deg, 0, 180, "deg")):
        return broken
    return Computed(0.0 if asymmetry_deg > WIDEST_TWIST_DEG else 1 - TWIST_PER_DEG * asymmetry_deg, "")


@calculation(
    "lift.coupling_multiplier",
    unit="",
    relation="CM by table: good 1, fair 0.95 or 1, poor 0.9",
    source=f"{MANUAL}, table 7, p. 18",
    validity="height of the hands 0 to 3 m, at the end of the lift that is evaluated",
    directions={"coupling": "fixed", "vertical_m": "up"},
)
def coupling_multiplier(coupling: str, vertical_m: float) -> Computed | OutsideLimits:
    """Multiplier for the grip on the load.

    CM = value of table 7; the hands at 0.75 m already belong to the upper column

    Parameters
    ----------
    coupling : str
        `good`, `fair` or `poor`.
    vertical_m : float
        Height of the hands at the end of the lift that is evaluated, 0 to 3 [m].

    Returns
    -------
    Computed
        Multiplier CM, 0.9 to 1 [1].

    Validity
    --------
    The height is that of the point evaluated, unlike that of the frequency multiplier (origin).

    Source
    ------
    NIOSH 94-110, table 7, p. 18; the column rule is read from its example 4.

    >>> coupling_multiplier("fair", 0.60).value
    0.95
    """
    option("coupling", coupling, COUPLING)
    if broken := outside(("height of the hands", vertical_m, 0, 3, "m")):
        return broken
    return Computed(COUPLING[coupling][1 if _is_high(vertical_m) else 0], "")


@calculation(
    "lift.frequency_multiplier",
    unit="",
    relation="FM by table 5, linear between rows; F below 0.2 counts as 0.2, above 15 FM = 0",
    source=f"{MANUAL}, table 5, p. 15; between rows p. 7 and example 7",
    validity="0 to 60 lifts a minute; at most 8 hours",
    directions={
        "frequency_per_min": "down",
        "duration": "fixed",
        "origin_height_m": "up",
        "frequencies": "fixed",
    },
)
def frequency_multiplier(
    frequency_per_min: float, duration: str, origin_height_m: float, frequencies: Table
) -> Computed | OutsideLimits:
    """Multiplier for how often and how long one lifts.

    FM = value of table 5, linear between its rows

    Parameters
    ----------
    frequency_per_min : float
        Lifts a minute F, averaged over 15 minutes, 0 to 60 [1/min].
    duration : str
        `short` (up to 1 h), `moderate` (up to 2 h) or `long` (up to 8 h).
    origin_height_m : float
        Height of the hands at the origin, also when the destination is evaluated, 0 to 3 [m].
    frequencies : Table
        Table 5: `per_min`, then `short_low`, `short_high` (origin at 0.75 m or higher) and so on.

    Returns
    -------
    Computed
        Multiplier FM, 0 to 1 [1].

    Validity
    --------
    F below 0.2 counts as 0.2; above 15 FM is 0 (manual).

    Source
    ------
    NIOSH 94-110, table 5, p. 15; a reprint of 2021 misprints the first row as 2 instead of 0.2.

    >>> rows = ((2.0, 0.91, 0.91, 0.84, 0.84, 0.65, 0.65), (3.0, 0.88, 0.88, 0.79, 0.79, 0.55, 0.55))
    >>> from riskhelper.terms import Standing
    >>> columns = ("per_min", "short_low", "short_high", "moderate_low", "moderate_high", "long_low", "long_high")
    >>> two = Table("two", "NIOSH 94-110", "2021", "5", "", Standing.PUBLISHED, columns, rows, "interpolate")
    >>> round(frequency_multiplier(2.4, "short", 0.80, two).value, 3)
    0.898
    """
    option("duration", duration, DURATIONS)
    height = ("height of the hands at the origin", origin_height_m, 0.0, 3.0, "m")
    if broken := outside(("lifts a minute", frequency_per_min, 0, 60, ""), height):
        return broken
    if frequency_per_min > HIGHEST_FREQUENCY_PER_MIN:
        return Computed(0.0, "")
    column = f"{duration}_{'high' if _is_high(origin_height_m) else 'low'}"
    rate = max(frequency_per_min, LOWEST_FREQUENCY_PER_MIN)
    multiplier = table_rows.between(frequencies, "per_min", rate, column)
    if multiplier is None:
        return OutsideLimits(f"table `{frequencies.id}` does not cover {rate:g} lifts a minute")
    return Computed(multiplier, "")


@calculation(
    "lift.reach_estimate_m",
    unit="m",
    relation="H = 20 + W / 2 with hands at 25 cm or higher, else 25 + W / 2, in cm",
    source=f"{MANUAL}, p. 8",
    validity="container 0 to 0.86 m deep, hands 0 to 1.75 m; for loads held at their sides (manual)",
    directions={"container_depth_m": "up", "vertical_m": "down"},
)
def reach_estimate_m(container_depth_m: float, vertical_m: float) -> Computed | OutsideLimits:
    """Distance of the hands in front of the ankles, where it cannot be measured.

    H = 20 + W / 2 (V at least 25), H = 25 + W / 2 (V below 25), all in cm

    Parameters
    ----------
    container_depth_m : float
        Depth W of the load away from the body, 0 to 0.86 [m].
    vertical_m : float
        Height V of the hands above the floor, 0 to 1.75 [m].

    Returns
    -------
    Computed
        Distance H [m].

    Validity
    --------
    Load held at its sides, close to the body; a deeper load puts the hands beyond the equation.

    Source
    ------
    NIOSH 94-110, p. 8.

    >>> round(reach_estimate_m(0.40, 0.75).value, 3)
    0.4
    """
    deepest_m = 2 * (FARTHEST_REACH_CM - NEAR_TORSO_CM) / 100
    bounds = (
        ("depth of the load", container_depth_m, 0.0, deepest_m, "m"),
        ("height of the hands", vertical_m, 0.0, HIGHEST_HAND_CM / 100, "m"),
    )
    is_low = vertical_m * 100 < LOW_HANDS_CM
    body_cm = NEAREST_REACH_CM if is_low else NEAR_TORSO_CM
    return outside(*bounds) or Computed((body_cm + container_depth_m * 100 / 2) / 100, "m")


def _exceeds_cm(value_cm: float, limit_cm: float) -> bool:
    """Whether a length passes a limit by more than the rounding of its conversion from metres."""
    return value_cm > limit_cm + 1e-9


def _is_high(height_m: float) -> bool:
    return height_m * 100 >= HAND_HEIGHT_OF_LEAST_STRAIN_CM
