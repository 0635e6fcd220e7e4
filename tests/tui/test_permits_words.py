"""The screen has words for every act and everything typed with one; beside plant in service it says bounded."""

from __future__ import annotations

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.document import Road
from riskhelper.permit.wanted import wanted, wanted_on_point
from riskhelper.tui.permits.act_words import ON_POINTS, act_words
from riskhelper.tui.permits.asking_words import ask, how
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
