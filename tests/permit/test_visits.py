"""REC-06: live permits are visited on site by people without a part in them, and what they ask for is followed up."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from riskhelper.permit import course
from riskhelper.permit.document import State
from riskhelper.permit.handover_list import handover_list
from riskhelper.permit.refusal import not_of_the_course, possible
from tests.permit.test_requirements import both
from tests.permit.test_switching import NOTHING
from tests.permit.world import FULL, NOW, World, person, world

DUE = NOW + timedelta(days=7)
ACTION = {"finding": "barrier open at the back", "action": "close it", "action_by": "Ada Quist"}


def visited(made: World, **details: str) -> list[str]:
    told = {"finding": "all as written", **details}
    return [k.guard for k in made.tried("1", course.VISIT, person("safety officer"), "safety officer", told)]


def test_a_visit_is_written_by_somebody_without_a_part_in_the_work() -> None:
    """REC-06, after an HSE case in which a system that had failed was not noticed for 14 months (published)."""
    made = world(course.START)
    for role, mark in (("issuer", ""), ("evaluator", "")):
        who = person(role, mark)
        found = [k.guard for k in made.tried("1", course.VISIT, who, role, {"finding": "seen"})]
        assert found == (["visited_by_another"] if role == "issuer" else [])
    crew = both("area owner", "acceptor", person("acceptor").name)
    (lack,) = made.tried("1", course.VISIT, crew, "area owner", {"finding": "seen"})
    assert lack.words == f"{crew.name} is of the crew or asked for it"
    asked = made.asked(course.VISIT, crew, "area owner", {"finding": "seen"})
    assert not_of_the_course(made.permits["1"], asked), "a signature alone makes no visit either"


def test_what_was_found_is_always_written_and_an_action_has_a_name_and_a_day() -> None:
    made = world(course.START)
    assert visited(made, finding=" ") == ["finding"]
    assert visited(made, action="close the barrier") == ["action_complete"]
    assert visited(made, due=DUE.isoformat()) == ["action_complete"]
    assert visited(made, **ACTION, due=NOW.isoformat()) == ["action_complete"]
    assert visited(made, **ACTION, due="Tuesday") == ["action_complete"]
    assert visited(made) == []
    assert visited(made, **ACTION, due=DUE.isoformat()) == []
    first, second = made.permits["1"].visits
    assert (first.is_open, second.is_open, second.number) == (False, True, 2)


def test_an_action_is_overdue_from_its_day_until_somebody_else_has_seen_it_done() -> None:
    made = world(course.START)
    assert visited(made, **ACTION, due=DUE.isoformat()) == []
    (visit,) = made.permits["1"].visits
    assert [visit.is_overdue(DUE + timedelta(minutes=each)) for each in (-1, 0, 1)] == [False, True, True]

    close = {"finding_number": "1", "closed_how": "barrier shut, seen"}
    own = replace(person("evaluator"), name="Ada Quist")
    assert [k.guard for k in made.tried("1", course.CLOSE_FINDING, own, "evaluator", close)] == ["closed_by_another"]
    officer = person("safety officer")
    wrong = {**close, "finding_number": "2"}
    (lack,) = made.tried("1", course.CLOSE_FINDING, officer, "safety officer", wrong)
    assert lack.words == "`2` is no open finding; there are 1"
    assert made.tried("1", course.CLOSE_FINDING, officer, "safety officer", close) == []
    (visit,) = made.permits["1"].visits
    assert (visit.is_open, visit.is_overdue(DUE), visit.closed_by) == (False, False, officer.name)


def test_a_finding_is_closed_even_when_the_permit_is_and_moves_nothing() -> None:
    made = world(course.START)
    assert visited(made, **ACTION, due=DUE.isoformat()) == []
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.HAND_BACK, "acceptor")
    made.done("1", course.CANCEL, "area owner")

    assert [row.act for row in possible(made.permits["1"], made.now)] == [course.CLOSE_FINDING]
    made.done("1", course.CLOSE_FINDING, "safety officer", finding_number="1")
    assert made.permits["1"].state is State.CANCELLED
    assert possible(made.permits["1"], made.now) == ()


@pytest.mark.parametrize("state", [State.ACCEPTED, State.IN_FORCE, State.SUSPENDED, State.UNDER_TEST])
def test_a_visit_changes_nothing_about_the_work(state: State) -> None:
    made = world(course.START)
    before = made.permits["1"] = replace(made.permits["1"], state=state)
    assert visited(made) == []

    after = made.permits["1"]
    assert replace(after, visits=(), signed=before.signed, last=before.last) == before


def test_an_open_finding_is_handed_over() -> None:
    made = world(course.START)
    assert visited(made, **ACTION, due=DUE.isoformat()) == []
    lines = handover_list(made.permits["1"], made.points, (), NOTHING, made.now).values()

    line = "barrier open at the back; to do: close it, by Ada Quist before 2031-02-10 15:30 +0000"
    assert f"Finding 1 of {person('safety officer').name}: {line}" in lines


def test_people_could_work_from_the_first_start_to_the_hand_back() -> None:
    made = world(course.START)
    began = made.now
    made.done("1", course.SUSPEND, "acceptor")
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.HAND_BACK, "acceptor", **FULL)

    assert (made.permits["1"].started_at, made.permits["1"].left_at) == (began, made.now)
