"""The day of one job on one line: what counts how long, what does not fit, and that nothing ahead has a time."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job
from riskhelper.paper.text import to_text
from riskhelper.review.cases import case_job
from riskhelper.statement.build import method_statement
from riskhelper.statement.day_line import DayLine, Place, Window, day_line, drawn, site_place
from riskhelper.statement.document import Picture
from riskhelper.statement.header import Header
from riskhelper.terms import APPROVAL
from tests.content.shipped import rules

NOON = datetime(2026, 9, 23, 12, 0, tzinfo=UTC)
NEAR_THE_EQUATOR = Place(-1.286, 36.817)
POINTS = ("plate_read", "bounded", "permit_taken")


def line(job: Job, window: Window | None = None, now: datetime = NOON) -> DayLine:
    return day_line(rules(), job, POINTS, window or Window(), now)


def seen(minutes_ago: float, **answers: object) -> Job:
    at = NOON - timedelta(minutes=minutes_ago)
    return Job({name.replace("__", "."): Answer(value, at=at) for name, value in answers.items()})  # type: ignore[arg-type]


def test_daylight_is_that_of_the_almanac_where_the_place_is_set() -> None:
    """Sunrise 03:21:53 and sunset 15:28:24 UTC: pvlib 0.16.1, which runs the NREL algorithm."""
    (twilight, light) = line(Job(), Window(place=NEAR_THE_EQUATOR)).stretches

    assert (light.label, light.sign) == ("Daylight", "=")
    assert abs(light.starts - NOON.replace(hour=3, minute=21, second=53)) < timedelta(minutes=4)
    assert abs(light.ends - NOON.replace(hour=15, minute=28, second=24)) < timedelta(minutes=4)
    assert twilight.starts < light.starts
    assert twilight.ends > light.ends


def test_daylight_follows_the_clock_of_the_site() -> None:
    zone = timezone(timedelta(hours=3))
    (_, light) = line(Job(), Window(place=NEAR_THE_EQUATOR), NOON.astimezone(zone)).stretches

    assert light.words.startswith("06:2")


def test_without_a_place_daylight_is_what_was_answered_at_the_gate() -> None:
    (light,) = line(seen(30, weather__daylight_h=1.5)).stretches

    assert (light.starts, light.ends) == (NOON - timedelta(minutes=30), NOON + timedelta(hours=1))
    assert light.words == "until 13:00, as answered at 11:30"


def test_where_nothing_is_known_of_daylight_the_line_says_so() -> None:
    assert any(words.startswith("Daylight is not known") for words in line(Job()).told)


def test_weather_counts_as_long_as_its_answers_live_and_no_longer() -> None:
    (weather,) = (s for s in line(seen(20, weather__thunder="none", weather__air_c=4.0)).stretches if s.sign == "~")
    life = timedelta(minutes=rules().questions["weather.thunder"].life_min or 0)

    assert (weather.starts, weather.ends) == (NOON - timedelta(minutes=20), NOON - timedelta(minutes=20) + life)
    assert weather.words.startswith("thunder, air: until ")


def test_what_is_not_known_opens_no_weather_window() -> None:
    assert line(Job({"weather.thunder": Answer(None, at=NOON)})).stretches == ()


@pytest.mark.parametrize(
    ("hours", "planned_h", "said"),
    [
        (4, 3.5, "The work as planned ends 2 h 30 min after daylight."),
        (1, 3.5, "The work as planned ends 2 h 30 min after the permit."),
        (3, 0.5, "The permit ends 2 h after daylight."),
        (1, 0.5, ""),
    ],
)
def test_what_does_not_fit_is_said(hours: float, planned_h: float, said: str) -> None:
    job = seen(0, weather__daylight_h=1.0, job__planned_h=planned_h)
    told = line(job, Window(NOON, NOON + timedelta(hours=hours))).told

    assert (said in told) if said else told == ()


def test_a_hold_point_has_a_time_only_once_it_is_passed() -> None:
    found = line(Job(), Window(passed={"plate_read": NOON}))

    assert [(p.words, p.at) for p in found.passed] == [("PLATE READ", NOON)]
    assert found.ahead == ("BOUNDED", "PERMIT TAKEN")


@pytest.mark.parametrize("width", [40, 74, 120])
def test_the_line_is_drawn_inside_its_width_and_holds_the_present_moment(width: int) -> None:
    job = seen(10, weather__daylight_h=1.0, weather__thunder="none", job__planned_h=3.5)
    rows = drawn(line(job, Window(NOON, NOON + timedelta(hours=4), {"plate_read": NOON}, NEAR_THE_EQUATOR)), width)
    lanes = [row for row in rows if row.split(" ")[0] in ("Daylight", "Permit", "Work")]

    assert len(lanes) == 3
    assert all("|" in row for row in lanes)
    assert len({row.index("|") for row in lanes}) == 1
    assert all(len(row) <= width for row in rows if not row.startswith(("Hold points", "Now it", "The ", "No ")))


def test_the_line_covers_everything_on_it() -> None:
    found = line(seen(90, weather__thunder="none"), Window(NOON, NOON + timedelta(hours=11)))

    assert found.starts <= min(s.starts for s in found.stretches)
    assert found.ends >= max(s.ends for s in found.stretches)


@pytest.mark.parametrize(
    ("header", "expected"),
    [
        (Header(directions="North gate, 54.105, -2.31, then left"), Place(54.105, -2.31)),
        (Header(directions="54.105 -2.31", place=(1.0, 2.0)), Place(54.105, -2.31)),
        (Header(directions="gate 7, 98.25, 4.50", place=(1.0, 2.0)), Place(1.0, 2.0)),
        (Header(directions="second gate"), None),
    ],
)
def test_the_place_is_that_of_the_way_in_else_that_of_the_configuration(
    header: Header, expected: Place | None
) -> None:
    assert site_place(header) == expected


def test_the_statement_draws_the_day_where_there_is_something_to_draw() -> None:
    case = case_job(rules(), rules().cases["winter_dusk_in_service"])
    seen_at = {q: replace(answer, at=NOON) for q, answer in case.answers.items()}
    found = assess(rules(), case, APPROVAL, NOON)

    def pictures(job: Job, header: Header) -> list[str]:
        document = method_statement(rules(), job, found, header, NOON)
        return [block.title for block in document.blocks if isinstance(block, Picture)]

    assert pictures(case, Header()) == []
    assert pictures(replace(case, answers=seen_at), Header()) == ["The day on one line"]
    assert pictures(case, Header(place=(-1.286, 36.817))) == ["The day on one line"]
    text = to_text(method_statement(rules(), replace(case, answers=seen_at), found, Header(), NOON))
    assert "Hold points in the order of the work: PLATE READ" in " ".join(text.split())
