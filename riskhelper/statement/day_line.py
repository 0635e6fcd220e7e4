"""The day of one job on one line: daylight, how long the weather seen counts, the permit window, hold points.

It shows what fits into what. It never says when something will be done: a hold point has a time only once passed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from riskhelper.assessment.wording import plain_name
from riskhelper.calc.calculation import Computed
from riskhelper.calc.daylight import dawn_min, dusk_min, sunrise_min, sunset_min
from riskhelper.evidence import Answer, Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.document import Block, Ink, Lane, Picture, Upright
from riskhelper.statement.header import Header
from riskhelper.statement.selection import Selection

HOURS_LEFT = "weather.daylight_h"
WORK_HOURS = "job.planned_h"
LIGHT, TWILIGHT, WEATHER, WINDOW, WORK = "=", "-", "~", "#", "o"
SHIFT_MIN = 720
"""What counts for a whole shift is no weather, and has no lane. Ours."""
_ROOM = timedelta(minutes=30)
_SHORTEST = timedelta(hours=6)
_DEGREES = re.compile(r"(-?\d{1,2}\.\d{2,}),?\s+(-?\d{1,3}\.\d{2,})")
_MOST_NORTH_DEG, _MOST_EAST_DEG = 90.0, 180.0


@dataclass(frozen=True, slots=True)
class Place:
    """Where the site lies: north and east positive [deg]."""

    latitude_deg: float
    longitude_east_deg: float


def site_place(header: Header) -> Place | None:
    """Where the site lies: as the way in names it in decimal degrees, else as the configuration has it.

    >>> site_place(Header(directions="North gate, 54.105, -2.31, then left"))
    Place(latitude_deg=54.105, longitude_east_deg=-2.31)
    """
    named = _DEGREES.search(header.directions)
    if named is not None:
        north, east = float(named[1]), float(named[2])
        if abs(north) <= _MOST_NORTH_DEG and abs(east) <= _MOST_EAST_DEG:
            return Place(north, east)
    return Place(*header.place) if header.place is not None else None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of the day: from when to when, the sign that draws it, and what it is in words."""

    label: str
    starts: datetime
    ends: datetime
    sign: str
    words: str


@dataclass(frozen=True, slots=True)
class Passed:
    """A hold point that was passed, and when."""

    words: str
    at: datetime


@dataclass(frozen=True)
class DayLine:
    """The line: stretches in lanes, hold points passed with their time, those ahead in the order of the work."""

    now: datetime
    stretches: tuple[Stretch, ...]
    passed: tuple[Passed, ...]
    ahead: tuple[str, ...]
    told: tuple[str, ...]

    @property
    def starts(self) -> datetime:
        """The full hour at which the line begins."""
        first = min((self.now, *(s.starts for s in self.stretches), *(p.at for p in self.passed)))
        return (first - _ROOM).replace(minute=0, second=0, microsecond=0)

    @property
    def ends(self) -> datetime:
        """The full hour at which the line ends."""
        last = max(
            (self.now, self.starts + _SHORTEST, *(s.ends for s in self.stretches), *(p.at for p in self.passed))
        )
        return (last + _ROOM).replace(minute=0, second=0, microsecond=0) + timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Window:
    """What the permit and the site add to the answers; each may be missing."""

    starts: datetime | None = None
    ends: datetime | None = None
    passed: Mapping[str, datetime] = field(default_factory=dict)
    place: Place | None = None


def day_line(rules: RuleSet, job: Job, points: tuple[str, ...], window: Window, now: datetime) -> DayLine:
    """The day of a job; `points` are the hold points of this job in the order of the work."""
    stretches = [*_daylight(job, window.place, now), *_weather(rules, job, now)]
    told: list[str] = []
    if window.starts is not None and window.ends is not None:
        stretches += _permit(job, window.starts, window.ends, now)
    else:
        told.append("No permit window is set yet: whoever approves sets it.")
    if not any(s.sign == LIGHT for s in stretches):
        told.append("Daylight is not known: no hours of daylight were answered, and the site's place is not set.")
    if window.place is None and any(s.sign == LIGHT and s.ends < now for s in stretches):
        told.append("Daylight as it was answered has ended: it is to be asked again.")
    told += _compared(stretches)
    words = {name: rules.hold_points[name].words for name in points}
    passed = tuple(Passed(words[n], at) for n, at in window.passed.items() if n in words)
    ahead = tuple(said for name, said in words.items() if name not in window.passed)
    return DayLine(now, tuple(stretches), passed, ahead, tuple(told))


def _daylight(job: Job, place: Place | None, now: datetime) -> list[Stretch]:
    """Worked out from the site's place where that is set; else as somebody at the gate looked it up."""
    if place is not None:
        day = now.date().isoformat()
        at = [
            _moment(now, event(day, place.latitude_deg, place.longitude_east_deg))
            for event in (dawn_min, sunrise_min, sunset_min, dusk_min)
        ]
        dawn, rise, sets, dusk = at
        if rise is not None and sets is not None:
            twilight = (
                [Stretch("Twilight", dawn, dusk, TWILIGHT, f"{_clock(dawn, now)} to {_clock(dusk, now)}")]
                if dawn and dusk
                else []
            )
            return [*twilight, Stretch("Daylight", rise, sets, LIGHT, f"{_clock(rise, now)} to {_clock(sets, now)}")]
    left = job.answers.get(HOURS_LEFT)
    if left is None or not isinstance(left.value, float) or left.at is None:
        return []
    ends = left.at + timedelta(hours=left.value)
    words = f"until {_clock(ends, now)}, as answered at {_clock(left.at, now)}"
    return [Stretch("Daylight", left.at, ends, LIGHT, words)]


def _moment(now: datetime, outcome: object) -> datetime | None:
    if not isinstance(outcome, Computed):
        return None
    midnight = datetime.fromisoformat(f"{now.date().isoformat()}T00:00+00:00")
    return (midnight + timedelta(minutes=outcome.value)).astimezone(now.tzinfo)


def _weather(rules: RuleSet, job: Job, now: datetime) -> list[Stretch]:
    """Answers that age, together where they were seen together: each counts from when it was seen until its end."""
    lives: dict[tuple[datetime, datetime], list[str]] = {}
    for name, answer in _aging(rules, job).items():
        assert answer.at is not None
        seen = answer.at.replace(second=0, microsecond=0)
        life = timedelta(minutes=rules.questions[name].life_min or 0)
        lives.setdefault((seen, seen + life), []).append(plain_name(name))
    return [
        Stretch("Seen, counts", seen, ends, WEATHER, f"{', '.join(names)}: until {_clock(ends, now)}")
        for (seen, ends), names in sorted(lives.items())
    ]


def _aging(rules: RuleSet, job: Job) -> dict[str, Answer]:
    return {
        name: answer
        for name, answer in job.answers.items()
        if name in rules.questions
        and 0 < (rules.questions[name].life_min or 0) < SHIFT_MIN
        and answer.at is not None
        and answer.is_known
    }


def _permit(job: Job, starts: datetime, ends: datetime, now: datetime) -> list[Stretch]:
    found = [Stretch("Permit", starts, ends, WINDOW, f"{_clock(starts, now)} to {_clock(ends, now)}")]
    hours = job.answers.get(WORK_HOURS)
    if hours is not None and isinstance(hours.value, float):
        done = starts + timedelta(hours=hours.value)
        found.append(Stretch("Work", starts, done, WORK, f"{hours.value:g} h as planned: until {_clock(done, now)}"))
    return found


def _compared(stretches: list[Stretch]) -> list[str]:
    """What does not fit into what."""
    ends = {s.sign: s.ends for s in stretches}
    said = []
    if WORK in ends and WINDOW in ends and ends[WORK] > ends[WINDOW]:
        said.append(f"The work as planned ends {_after(ends[WORK], ends[WINDOW])} after the permit.")
    for sign, what in ((WORK, "The work as planned"), (WINDOW, "The permit")):
        if sign in ends and LIGHT in ends and ends[sign] > ends[LIGHT]:
            said.append(f"{what} ends {_after(ends[sign], ends[LIGHT])} after daylight.")
            break
    return said


def _after(later: datetime, earlier: datetime) -> str:
    hours, minutes = divmod(round((later - earlier).total_seconds() / 60), 60)
    return " ".join(part for part in (f"{hours} h" if hours else "", f"{minutes} min" if minutes else "") if part)


def _clock(at: datetime, now: datetime) -> str:
    """The time of day, with the day where it is another one."""
    return f"{at:%H:%M}" if at.date() == now.date() else f"{at:%d %b %H:%M}"


def drawn(line: DayLine, width: int) -> list[str]:
    """The line in characters, no wider than `width`: a lane for each stretch, hours below, then what is ahead."""
    label = max(len(name) for name in (*(s.label for s in line.stretches), "Passed")) + 1
    across = max(width - label - 1, 20)
    across -= across % max(_span_h(line), 1) if _span_h(line) <= across else 0  # every hour as wide as the next
    rows = [f"{'':{label}}{row}" for row in (_days(line, across), _hours(line, across)) if row]
    for stretch in line.stretches:
        rows.append(f"{stretch.label:{label}}{_bar(line, stretch, across)}")
        rows.append(f"{'':{label}}{stretch.words}"[:width])
    marks = [" "] * across
    for passed in line.passed:
        marks[_at(line, passed.at, across)] = "x"
    if line.passed:
        rows.append(f"{'Passed':{label}}{''.join(marks)}".rstrip())
        rows += [f"{'':{label}}x {passed.words} {_clock(passed.at, line.now)}"[:width] for passed in line.passed]
    rows += ["", f"Now it is {line.now:%d %b %Y %H:%M %Z}: the stroke across the lanes."]
    rows += line.told
    if line.ahead:
        rows += ["", "Hold points ahead, in the order of the work; none has a time before it is passed:"]
        rows += [f"  {number}. {words}" for number, words in enumerate(line.ahead, start=1)]
    return rows


def _span_h(line: DayLine) -> int:
    return round((line.ends - line.starts).total_seconds() / 3600)


def _days(line: DayLine, across: int) -> str:
    """The days over the hours, where there is more than one."""
    if line.starts.date() == (line.ends - timedelta(minutes=1)).date():
        return ""
    row = ""
    for hour in range(_span_h(line)):
        at = line.starts + timedelta(hours=hour)
        if hour == 0 or at.hour == 0:
            row = row.ljust(_at(line, at, across))[: max(_at(line, at, across), 0)] + f"{at:%d %b} "
    return row.rstrip()


def _hours(line: DayLine, across: int) -> str:
    signs = [" "] * (across + 2)
    span_h = _span_h(line)
    every = next((step for step in (1, 2, 3, 6, 12, 24) if span_h / step * 4 <= across), 24)
    for hour in range(0, span_h, every):
        at = line.starts + timedelta(hours=hour)
        place = _at(line, at, across)
        signs[place : place + 2] = f"{at:%H}"
    return "".join(signs).rstrip()


def _bar(line: DayLine, stretch: Stretch, across: int) -> str:
    signs = ["."] * across
    first, last = _at(line, stretch.starts, across), _at(line, stretch.ends, across)
    signs[first : max(last, first + 1)] = stretch.sign * max(last - first, 1)
    signs[_at(line, line.now, across)] = "|"
    return "".join(signs)


def _at(line: DayLine, moment: datetime, across: int) -> int:
    share = (moment - line.starts) / (line.ends - line.starts)
    return min(across - 1, max(0, int(share * across + 1e-6)))


def day_blocks(selection: Selection, header: Header) -> tuple[Block, ...]:
    """The day of the job for its statement, with the permit window once it is set."""
    points = tuple(point.id for point, _maybe in selection.hold_points)
    window = Window(header.permit_from, header.permit_until, place=site_place(header))
    line = day_line(selection.rules, selection.job, points, window, selection.now)
    return day_picture(line, f"Hold points in the order of the work: {', '.join(line.ahead) or 'none'}.")


def day_picture(line: DayLine, *also: str) -> tuple[Block, ...]:
    """The line as a picture, with what does not fit and further words below; none where there is nothing to draw."""
    if not line.stretches:
        return ()  # the hold points stand in the steps
    told = " ".join((*line.told, *also))
    midnight = line.starts.replace(hour=0)
    lanes = tuple(
        Lane(stretch.label, _hour(stretch.starts, midnight), _hour(stretch.ends, midnight), stretch.words, ink)
        for stretch, ink in ((each, _INKS[each.sign]) for each in line.stretches)
    )
    now = Upright(_hour(line.now, midnight), f"{_clock(line.now, line.now)}, when this was made,")
    picture = Picture(
        "The day on one line", "h", _hour(line.starts, midnight), _hour(line.ends, midnight), lanes, (now,), told
    )
    return (picture,)


_INKS = {LIGHT: Ink.OPEN, TWILIGHT: Ink.HATCHED, WEATHER: Ink.FULL, WINDOW: Ink.FULL, WORK: Ink.HATCHED}


def _hour(at: datetime, midnight: datetime) -> float:
    """Hours after the midnight before the line begins."""
    return (at - midnight).total_seconds() / 3600
