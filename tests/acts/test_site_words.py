"""The sheet of a site in walking order, moments as people type and say them, and the zone that is stopped."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.permit import permits
from riskhelper.acts.permit.site_sheet import CLOSED, SUSPENDED, site_sheet
from riskhelper.acts.permit.typed_moments import day_words, end_of_day, moment_typed, moment_words, span_words
from tests.acts.test_permits import DRAFT, did, in_force

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "ahead", "expected"),
    [
        ("16:05", False, "2031-02-03T16:05:00+00:00"),
        ("1605", False, "2031-02-03T16:05:00+00:00"),
        ("7.00", True, "2031-02-04T07:00:00+00:00"),
        ("7:00", False, "2031-02-03T07:00:00+00:00"),
        ("2031-03-01 07:15", False, "2031-03-01T07:15:00+00:00"),
        ("2031-03-01T07:15:00+01:00", False, "2031-03-01T07:15:00+01:00"),
        ("now", False, "2031-02-03T15:30:00+00:00"),
    ],
)
def test_a_moment_is_read_as_people_type_it(typed: str, ahead: bool, expected: str) -> None:
    assert moment_typed("The end", typed, NOW, ahead=ahead).isoformat() == expected


@pytest.mark.parametrize("typed", ["", "soon", "25:00", "12:61", "2031-02-30 07:00", "2031-03-01T07:15:00"])
def test_what_is_no_moment_is_refused_with_what_was_expected(typed: str) -> None:
    with pytest.raises(Refused, match=r"The end should be a moment such as 14:30 or 1430"):
        moment_typed("The end", typed, NOW)


def test_a_day_ends_at_midnight() -> None:
    assert end_of_day("The last day", "2031-12-31", NOW) == datetime(2032, 1, 1, tzinfo=UTC)


def test_moments_are_said_with_their_day() -> None:
    assert moment_words(NOW, NOW) == "today, 15:30"
    assert day_words(NOW - timedelta(days=1), NOW) == "yesterday, Sunday 2 February"
    assert moment_words(NOW.replace(year=2032), NOW) == "Tuesday 3 February 2032, 15:30"
    assert span_words(NOW, NOW + timedelta(hours=2), NOW) == "today, 15:30 to 17:30"
    assert span_words(NOW, NOW + timedelta(days=1), NOW) == "today, 15:30 to tomorrow, Tuesday 4 February, 15:30"


def test_the_sheet_hangs_suspended_ones_first_then_by_place_and_plant_as_one_walks(tmp_path: Path) -> None:
    """Clashes and the sheet: suspended permits come first; bay 2 before bay 10; closed ones last."""
    made = in_force(tmp_path)
    requester = made.signing("the requester", "requester")
    for zone, plant in (("bay 10", "P2-9"), ("bay 2", "P2-5"), ("yard", "P2-1"), ("bay 2", "P2-3")):
        permits.draft(requester, replace(DRAFT, zone=zone, plant=plant))
    did(made, "issuer", "suspend")
    did(made, "requester", "give up", "7/4")
    groups = [line.group for line in site_sheet(made.bench)]

    assert groups == [SUSPENDED, "Crag End: bay 2, P2-3", "Crag End: bay 2, P2-5", "Crag End: bay 10, P2-9", CLOSED]
    walked = [line.group for line in site_sheet(made.bench, walk=("bay 10", "bay 2"))]
    assert walked == [SUSPENDED, "Crag End: bay 10, P2-9", "Crag End: bay 2, P2-3", "Crag End: bay 2, P2-5", CLOSED]


def test_a_line_says_state_end_and_holder_in_words(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    (line,) = site_sheet(made.bench)

    assert line.state == "IN FORCE"
    assert line.words == "7/1, permit-to-work, valve; until today, 23:30; held by the acceptor, 1 signed on"
