"""A moment as people type it on site, read on the site's clock."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

from riskhelper.acts.context import Refused

EXPECTED = "such as 14:30 or 1430, today 18:00, tomorrow 7:00, 2031-02-03 14:30, or now"
AHEAD = frozenset({"ends"})
"""Fields whose hour alone lies ahead."""
WHOLE_DAY = {"starts": time(), **dict.fromkeys(("ends", "until", "due"), time(23, 59))}
"""At which time a day alone is taken, by field; elsewhere a time of day is needed."""
_CLOCK = re.compile(r"(\d{1,2})[:.]?(\d{2})")
_NAMED = re.compile(r"(today|tomorrow|yesterday)(?:[ ,]+(\d{1,2})[:.]?(\d{2}))?", re.IGNORECASE)
_DAYS = {"today": 0, "tomorrow": 1, "yesterday": -1}
_BARE = re.compile(r"\d{4}-\d{2}-\d{2}")
_DAY = re.compile(r"(\d{4}-\d{2}-\d{2})[ T](\d{1,2})[:.](\d{2})")


def moment_typed(
    what: str, typed: str, now: datetime, *, ahead: bool = False, whole_day: time | None = None
) -> datetime:
    """A moment on the clock of `now`. An hour alone is today; with `ahead`, tomorrow where it has passed today. A day
    alone is taken at the time `whole_day`; without one it is refused.

    >>> from datetime import UTC
    >>> now = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)
    >>> moment_typed("The end", "7:00", now, ahead=True).isoformat()
    '2031-02-04T07:00:00+00:00'
    """
    words = typed.strip()
    if words.lower() == "now":
        return now
    try:
        if found := _NAMED.fullmatch(words):
            hour = time(int(found[2]), int(found[3])) if found[2] else whole_day
            if hour is None:
                raise Refused(f"{what} needs a time of day too, such as {words} 14:30")
            return datetime.combine(now.date() + timedelta(days=_DAYS[found[1].lower()]), hour, now.tzinfo)
        if _BARE.fullmatch(words):
            if whole_day is None:
                raise Refused(f"{what} needs a time of day too, such as {words} 14:30")
            return datetime.combine(date.fromisoformat(words), whole_day, now.tzinfo)
        if found := _CLOCK.fullmatch(words):
            at = datetime.combine(now.date(), time(int(found[1]), int(found[2])), now.tzinfo)
            return at + timedelta(days=1) if ahead and at <= now else at
        if found := _DAY.fullmatch(words):
            return datetime.combine(date.fromisoformat(found[1]), time(int(found[2]), int(found[3])), now.tzinfo)
        at = datetime.fromisoformat(words)
        if at.tzinfo is not None:
            return at
    except ValueError:
        pass
    raise Refused(f"{what} should be a moment {EXPECTED}; you wrote `{words}`")


def end_of_day(what: str, typed: str, now: datetime) -> datetime:
    """The end of a day on the clock of `now`."""
    try:
        return datetime.combine(date.fromisoformat(typed.strip()), time(), now.tzinfo) + timedelta(days=1)
    except (ValueError, OverflowError) as fault:
        raise Refused(f"{what} should be a day such as 2031-12-31; you wrote `{typed}`") from fault


def moment_words(at: datetime, now: datetime) -> str:
    """A moment as one says it, on the clock of `now`."""
    here = at.astimezone(now.tzinfo)
    return f"{day_words(at, now)}, {here:%H:%M}"


def day_words(at: datetime, now: datetime) -> str:
    """A day as one says it, on the clock of `now`.

    >>> from datetime import UTC
    >>> day_words(datetime(2031, 2, 4, 7, tzinfo=UTC), datetime(2031, 2, 3, 15, tzinfo=UTC))
    'tomorrow, Tuesday 4 February'
    """
    here = at.astimezone(now.tzinfo)
    named = {0: "today", 1: "tomorrow, ", -1: "yesterday, "}.get((here.date() - now.date()).days, "")
    if named == "today":
        return named
    return f"{named}{here:%A} {here.day} {here:%B}" + ("" if here.year == now.year else f" {here.year}")


def span_words(starts: datetime, ends: datetime, now: datetime) -> str:
    """From when to when, the day said once where it is one day."""
    first, last = (at.astimezone(now.tzinfo) for at in (starts, ends))
    end = f"{last:%H:%M}" if first.date() == last.date() else moment_words(ends, now)
    return f"{moment_words(starts, now)} to {end}"
