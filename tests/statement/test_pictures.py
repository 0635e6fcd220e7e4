"""Pictures: what stands where, in characters and as bars, worked out by hand from invented figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskhelper.assessment.assess import assess
from riskhelper.statement.document import Ink, Lane, Picture, Upright
from riskhelper.statement.pictures import distance_picture, picture_lines, pressure_picture
from riskhelper.statement.selection import Selection
from tests.content.shipped import NOW, job_of, rules

PICTURE = Picture(
    "From quay to crane",
    "m",
    0.0,
    4.0,
    (Lane("Arm", 0.0, 1.0, "1.00 m"), Lane("Crane", 3.0, 4.0, "3.00 to 4.00 m", Ink.HATCHED)),
    (Upright(2.0, "line"),),
    "At worst 2.00 m are left over.",
)


def selection(name: str) -> Selection:
    case = rules().cases[name]
    job = job_of(case)
    known = rules(case.local)
    return Selection(known, job, assess(known, job, case.at, NOW), NOW)


def test_bars_stand_where_their_values_are() -> None:
    """78 columns less 22 for the name, 15 for the longest words and 2 blanks leave 39 for 4 m."""
    lines = picture_lines(PICTURE, 78)

    assert lines[1] == f"{'Arm':22} " + "#" * 10 + "." * 9 + "|" + "." * 19 + " 1.00 m"
    assert lines[2] == f"{'Crane':22} " + "." * 19 + "|" + "." * 9 + "/" * 10 + " 3.00 to 4.00 m"
    assert lines[3].index("^") == 23 + 19
    assert "line at 2 m" in lines[4]
    assert lines[-1].strip() == "At worst 2.00 m are left over."


@given(st.integers(min_value=60, max_value=140))
def test_no_line_is_wider_than_asked_for(width: int) -> None:
    assert max(map(len, picture_lines(PICTURE, width))) <= width


def test_reach_past_the_no_closer_distance_is_called_too_close() -> None:
    """2.9 m less 2.5 m of arm and 1.8 m in the hand: the reach ends 1.4 m behind the live part."""
    picture = distance_picture(selection("basement_sealed_unit"))

    assert picture is not None
    assert picture.told.startswith("TOO CLOSE")
    reach, live = picture.uprights
    assert reach.at == pytest.approx(4.3)
    assert live.at == pytest.approx(2.9, abs=0.1)


def test_suction_lies_below_the_zero_line_and_bleeding_goes_further_down() -> None:
    picture = pressure_picture(selection("basement_sealed_unit"))

    assert picture is not None
    lanes = {lane.label: lane for lane in picture.lanes}
    assert picture.low < lanes["At the valve after it"].low < lanes["At the valve now"].low < 0.0
    assert lanes["Bleeding takes away"].high == lanes["At the valve now"].low
    assert "Nobody opens it" in picture.told


def test_pressure_above_zero_is_never_told_as_keeping_air_out() -> None:
    picture = pressure_picture(selection("winter_dusk_in_service"))

    assert picture is not None
    assert "A bubble can still rise" in picture.told


def test_without_a_figure_there_is_no_picture() -> None:
    assert distance_picture(selection("no_code_no_distance")) is None
