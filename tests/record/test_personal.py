"""Which words of an act are sealed: every free text of a permit or a point is decided on, and none is forgotten."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.control_boundary import PARTY
from riskhelper.permit.document import Road
from riskhelper.permit.wanted import FieldKind, wanted, wanted_on_point
from riskhelper.record.entries import PERMIT, POINT, drafted
from riskhelper.record.personal import NAMES_NOBODY, REMARKS, REMARKS_ABOUT, sealed
from tests.permit.world import new_permit, world

NAME = "Tove Brandt"
NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)


def free_texts() -> set[str]:
    """The names of all fields that are typed as words."""
    permits = [new_permit(road=road) for road in Road] + [world(course.START).permits["1"]]
    fields = [field for act in course.ROWS for permit in permits for field in wanted(act, permit)]
    fields += [field for act in point_course.POINT_ROWS for field in wanted_on_point(act)]
    return {field.key for field in fields if field.kind is FieldKind.WORDS}


def decided(key: str) -> bool:
    return key in REMARKS or key in NAMES_NOBODY or key.startswith(REMARKS_ABOUT)


@pytest.mark.parametrize("key", sorted(free_texts()))
def test_of_every_free_text_it_is_decided_whether_somebody_may_be_named_in_it(key: str) -> None:
    """A field that is added stands in one of both lists, or this fails."""
    assert decided(key), f"`{key}`: put it into REMARKS or, with what it holds, into NAMES_NOBODY"


def test_a_field_nobody_thought_of_would_be_told() -> None:
    assert not decided("who_saw_it")


def test_no_field_stands_in_both_lists_and_none_that_nobody_asks_for() -> None:
    assert not set(REMARKS) & set(NAMES_NOBODY)
    assert set(NAMES_NOBODY) <= free_texts()


@pytest.mark.parametrize("act", [PERMIT + course.APPROVE, POINT + point_course.RECHECK])
@pytest.mark.parametrize(
    "key",
    ["why_live", "live_way_clear", "live_cut_off", "stored_energy_off", "restart_tried", "seen", PARTY + "Grid"],
)
def test_a_name_in_a_remark_never_enters_the_tree(act: str, key: str) -> None:
    draft = drafted(
        job="7", who="Ada", role="issuer", act=act, content={"details": {key: NAME, "tester": "K-77"}}, entered=NOW
    )
    bound = sealed(draft, lambda: "salt", signed=True)

    assert NAME not in repr(bound.stored)
    assert "K-77" in repr(bound.stored)
    assert bound.content["details"] == {key: NAME, "tester": "K-77"}
