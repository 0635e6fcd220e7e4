"""The screen has words for every act and everything typed with one; beside plant in service it says bounded."""

from __future__ import annotations

import pytest

from riskhelper.acts.permit.point_state import device_words
from riskhelper.permit import course, point_course
from riskhelper.permit.document import Road
from riskhelper.permit.points import Point, PointState
from riskhelper.permit.wanted import wanted, wanted_on_point
from riskhelper.tui.permits.act_words import ON_POINTS, act_words
from riskhelper.tui.permits.asking_words import ask, how
from riskhelper.tui.permits.proving import steps_of
from tests.permit.world import new_permit


@pytest.mark.parametrize("road", Road, ids=lambda road: road.value)
@pytest.mark.parametrize("act", course.ROWS)
def test_every_act_of_the_course_has_words(act: str, road: Road) -> None:
    assert act_words(act, road)[0].isupper()


@pytest.mark.parametrize("act", course.ROWS)
def test_beside_plant_in_service_no_act_is_worded_as_isolating(act: str) -> None:
    """LIF: the words isolated and dead are never printed for plant in service."""
    words = act_words(act, Road.ACCESS).lower()

    assert not any(word in words for word in ("isolat", "dead", "proved"))


def test_every_act_on_a_point_has_words() -> None:
    assert set(ON_POINTS) == set(point_course.POINT_ROWS)


def test_everything_typed_with_an_act_is_asked_as_a_question_or_told_what_to_do() -> None:
    fields = [field for act in course.ROWS for road in Road for field in wanted(act, new_permit(road=road))]
    fields += [field for act in point_course.POINT_ROWS for field in wanted_on_point(act)]

    for field in fields:
        assert ask(field)[0].isupper(), field.key
        assert ask(field).endswith(("?", ".")), field.key
        assert how(field).endswith("."), field.key


def test_high_voltage_is_asked_phase_by_phase_after_what_the_detector_is_built_for() -> None:
    """Common practice: a detector is put to one conductor after the other, and shows live or dead."""
    high = Point("S 12", "T4", "disconnector", "open", voltage_v=110_000)
    asked = [(step.on, step.poles) for step in steps_of(high)]

    assert asked[:2] == [("", ""), ("", "")], "serial, and the voltage it is built for"
    assert asked[2:] == [
        ("source", "L1-earth"),
        ("points", "L1-earth"),
        ("points", "L2-earth"),
        ("points", "L3-earth"),
        ("source", "L1-earth"),
    ]
    assert len(steps_of(Point("F 3", "T4", "links", "out", voltage_v=400))) == 1 + 1 + 6 + 1


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (PointState.PLANNED, "disconnector, to be open; nobody has switched it yet"),
        (PointState.SECURED, "disconnector open"),
        (PointState.RELEASED, "disconnector put back, no longer open: POWER MAY BE ON"),
    ],
)
def test_a_point_is_worded_as_it_is_and_not_as_it_is_wanted(state: PointState, words: str) -> None:
    assert device_words(Point("S 12", "T4", "disconnector", "open", state=state)) == words
