"""Noise exposure: energy-equal daily level (3 dB), points, weekly level, UK values."""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Direction, NotApplicable, Outcome, Table, calculation
from riskhelper.calc.validity import Bound, option, outside

DAY_H = 8.0
POINTS_LEVEL_DBA = 85.0
POINTS = 100.0
WORKING_DAYS = 5.0
STATES = ("below", "lower_action", "upper_action", "limit")
EARS = ("as_measured", "under_protection")
_HSE = "Control of Noise at Work Regulations 2005; HSE noise exposure ready-reckoner"
THREE_UP: dict[str, Direction] = {
    "first_dba": "up",
    "first_h": "up",
    "second_dba": "up",
    "second_h": "up",
    "third_dba": "up",
    "third_h": "up",
}


def parts_of_a_day(*levels_and_hours: tuple[float, float]) -> tuple[Bound, ...]:
    """Bounds of levels and hours of up to three parts of a day."""
    bounds: list[Bound] = []
    for level_dba, hours in levels_and_hours:
        bounds += [("sound level", level_dba, 0, 140, "dBA"), ("duration", hours, 0, 24, "h")]
    total_h = sum(hours for _, hours in levels_and_hours)
    return (*bounds, ("duration of all parts", total_h, 0, 24, "h"))


@calculation(
    "noise.daily_dba",
    unit="dBA",
    relation="Lep,d = 10 log10(sum(t_i 10^(L_i / 10)) / 8 h)",
    source=_HSE,
    validity="levels 0 to 140 dBA, together at most 24 h; hearing protection not counted",
    directions=THREE_UP,
)
def daily_dba(
    first_dba: float,
    first_h: float,
    second_dba: float = 0.0,
    second_h: float = 0.0,
    third_dba: float = 0.0,
    third_h: float = 0.0,
) -> Outcome:
    """Daily noise exposure of up to three parts of a day.

    Lep,d = 10 * log10(sum(t_i * 10^(L_i / 10)) / 8)

    Parameters
    ----------
    first_dba : float
        Level of the first part, 0 to 140 [dBA].
    first_h : float
        Its duration, 0 to 24 [h].
    second_dba : float
        Level of the second part, 0 to 140 [dBA].
    second_h : float
        Its duration; 0 when there is none [h].
    third_dba : float
        Level of the third part, 0 to 140 [dBA].
    third_h : float
        Its duration; 0 when there is none [h].

    Returns
    -------
    Computed
        Daily exposure Lep,d [dBA].

    Validity
    --------
    Levels at the ear without protection.

    Source
    ------
    HSE guidance, equal exposures: 83 dBA for 240 minutes is 80 dBA.

    >>> round(daily_dba(83.0, 4.0).value, 1)
    80.0
    """
    parts = ((first_dba, first_h), (second_dba, second_h), (third_dba, third_h))
    if broken := outside(*parts_of_a_day(*parts)):
        return broken
    energy = sum(hours * 10 ** (level_dba / 10) for level_dba, hours in parts)
    if energy == 0:
        return NotApplicable("no time in noise was given")
    return Computed(10 * math.log10(energy / DAY_H), "dBA")


@calculation(
    "noise.points",
    unit="",
    relation="points = 100 * 10^((Lep,d - 85) / 10)",
    source=_HSE,
    validity="0 to 140 dBA",
    directions={"daily_dba": "up"},
)
def points(daily_dba: float) -> Outcome:
    """Exposure points of a day; 100 points are 85 dBA.

    points = 100 * 10^((Lep,d - 85) / 10)

    Parameters
    ----------
    daily_dba : float
        Daily exposure Lep,d, 0 to 140 [dBA].

    Returns
    -------
    Computed
        Exposure points [1].

    Validity
    --------
    The reckoner rounds its points.

    Source
    ------
    HSE noise exposure ready-reckoner: 80 dBA, 32 points.

    >>> round(points(80.0).value)
    32
    """
    return outside(("daily exposure", daily_dba, 0, 140, "dBA")) or Computed(
        POINTS * 10 ** ((daily_dba - POINTS_LEVEL_DBA) / 10), ""
    )


@calculation(
    "noise.weekly_dba",
    unit="dBA",
    relation="Lep,w = 85 + 10 log10(points / 500)",
    source=_HSE,
    validity="1 to 10 million points in a week, mean over five days",
    directions={"week_points": "up"},
)
def weekly_dba(week_points: float) -> Outcome:
    """Weekly noise exposure from the points of all its days.

    Lep,w = 85 + 10 * log10(points / 500)

    Parameters
    ----------
    week_points : float
        Sum of the points of the week, 1 to 10000000 [1].

    Returns
    -------
    Computed
        Weekly exposure Lep,w [dBA].

    Validity
    --------
    Only where exposure differs much between days and the rules permit a weekly mean.

    Source
    ------
    HSE ready-reckoner (weekly): 2000 points, 91 dBA.

    >>> round(weekly_dba(2000.0).value)
    91
    """
    if broken := outside(("points of the week", week_points, 1, 1e7, "")):
        return broken
    return Computed(POINTS_LEVEL_DBA + 10 * math.log10(week_points / (POINTS * WORKING_DAYS)), "dBA")


@calculation(
    "noise.action_state",
    unit="",
    relation="number of the last value reached: 0 below, 1 lower action, 2 upper action, 3 limit",
    source="Control of Noise at Work Regulations 2005, regulation 4",
    validity="0 to 140 dBA; action values without protection, the limit value under protection",
    directions={"daily_dba": "up", "ear": "fixed", "values": "fixed"},
)
def action_state(daily_dba: float, ear: str, values: Table) -> Outcome:
    """Which UK exposure value a daily or weekly exposure reaches.

    state = last row reached; protectors count only against the limit

    Parameters
    ----------
    daily_dba : float
        Daily or weekly exposure, 0 to 140 [dBA].
    ear : str
        `as_measured` for the action values, `under_protection` for the limit value.
    values : Table
        Rows with `state` and `exposure_dba`, lowest first.

    Returns
    -------
    Computed
        State 0 to 3 [1]; `extra` holds its name.

    Validity
    --------
    Peak levels (135, 137 and 140 dBC) are a check of their own.

    Source
    ------
    Control of Noise at Work Regulations 2005, regulation 4: upper action value at 85 dBA, included.

    >>> from riskhelper.terms import Standing
    >>> rows = (("lower_action", 80.0, 135.0), ("upper_action", 85.0, 137.0), ("limit", 87.0, 140.0))
    >>> uk = Table("n", "Control of Noise at Work Regulations", "2005", "4", "dBA", Standing.PUBLISHED,
    ...     ("state", "exposure_dba", "peak_dbc"), rows, "next_row")
    >>> action_state(85.0, "as_measured", uk).extra["state"]
    'upper_action'
    """
    option("ear", ear, EARS)
    if broken := outside(("daily exposure", daily_dba, 0, 140, "dBA")):
        return broken
    counted = STATES[:3] if ear == "as_measured" else ("below", "limit")
    reached = [
        table_rows.words(values, row, "state")
        for row in values.rows
        if daily_dba >= table_rows.number(values, row, "exposure_dba")
    ]
    state = next((name for name in reversed(reached) if name in counted), "below")
    return Computed(float(STATES.index(state)), "", extra={"state": state}, notes=(values.cited,))
