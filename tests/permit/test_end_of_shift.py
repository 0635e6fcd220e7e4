"""HOV-04, guidance on permits and on shift handover (published): work that is not finished is left with its state in
words, whoever leaves it and however; a plan longer than one shift says before approval how each shift ends."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from riskhelper.permit import course
from riskhelper.permit.document import State
from riskhelper.permit.wanted import wanted
from tests.permit.world import FULL, World, person, world

LEFT = "valve shut, blank on, tray under it"


def guards(made: World, act: str, role: str, mark: str = "", **told: str) -> list[str]:
    return [lack.guard for lack in made.look("1", made.asked(act, person(role, mark), role, {**FULL, **told}))]


def test_the_last_one_out_says_how_plant_and_work_are_left() -> None:
    """HOV-04: leaving without it blocks; suspending first says it too."""
    made = world(course.START)
    (lack,) = made.look("1", made.asked(course.SIGN_OFF, person("worker"), "worker", {}))
    assert (lack.guard, lack.words) == (
        "left_by_the_last",
        "worker A is the last one on, and the state in which plant and work are left is not written",
    )
    suspended = world(course.START)
    suspended.done("1", course.SUSPEND, "issuer", state_left=LEFT)
    assert guards(suspended, course.SIGN_OFF, "worker", state_left="") == []

    made.done("1", course.SIGN_OFF, "worker", state_left=LEFT)
    assert made.permits["1"].state_left == LEFT


def test_who_leaves_others_at_work_writes_nothing() -> None:
    made = world(course.START)
    made.done("1", course.SIGN_ON, "worker", "2")
    permit = made.permits["1"]

    assert guards(made, course.SIGN_OFF, "worker", state_left="") == []
    assert "state_left" not in [field.key for field in wanted(course.SIGN_OFF, permit)]
    made.done("1", course.SIGN_OFF, "worker", "2")
    assert [field.key for field in wanted(course.SIGN_OFF, made.permits["1"])] == ["state_left"]


def test_after_somebody_came_back_the_last_one_is_asked_again() -> None:
    made = world(course.START)
    made.done("1", course.SIGN_OFF, "worker", state_left=LEFT)
    made.done("1", course.SIGN_ON, "worker")

    assert guards(made, course.SIGN_OFF, "worker", state_left="") == ["left_by_the_last"]


def test_a_stop_waits_for_no_words_and_the_last_one_out_writes_them() -> None:
    """LIF-06: stopping asks nothing; HOV-05: what is suspended stands with the state of the plant."""
    made = world(course.START)
    made.done("1", course.STOP, "worker", state_left="")
    assert made.permits["1"].state is State.SUSPENDED
    assert guards(made, course.SIGN_OFF, "worker", state_left="") == ["left_by_the_last"]


def test_one_who_left_unseen_is_signed_off_with_the_state_as_it_was_found() -> None:
    made = world(course.START)
    told = {"member": person("worker").name, "state_left": ""}
    assert guards(made, course.SIGN_OFF_ABSENT, "issuer", **told) == ["left_by_the_last"]
    made.done("1", course.SIGN_OFF_ABSENT, "issuer", member=person("worker").name, state_left="cover open")

    assert made.permits["1"].state_left == "cover open"


@pytest.mark.parametrize("act", [course.SUSPEND, course.OFFER, course.OFFER_ABSENT])
def test_parking_and_handing_over_say_it_whoever_opens_them(act: str) -> None:
    made = world(course.START)
    role = "acceptor" if act == course.OFFER else "issuer"

    assert guards(made, act, role, state_left="") == ["state_left"]
    made.done("1", act, role, state_left=LEFT)
    assert made.permits["1"].state_left == LEFT


@pytest.mark.parametrize(("complete", "refused"), [("no", ["left_unfinished"]), ("yes", [])])
def test_work_handed_back_before_it_is_complete_says_how_it_is_left(complete: str, refused: list[str]) -> None:
    made = world(course.START)
    made.permits["1"] = replace(made.permits["1"], roster=replace(made.permits["1"].roster, members=()))

    assert guards(made, course.HAND_BACK, "acceptor", complete=complete, state_left="") == refused
    made.done("1", course.HAND_BACK, "acceptor", complete="no", state_left=LEFT)
    assert made.permits["1"].state_left == LEFT


def test_a_plan_longer_than_one_shift_says_how_each_ends_before_it_is_approved() -> None:
    """HOV-04: longer than a shift is flagged at planning."""
    made = world(course.EVALUATE)
    assert guards(made, course.APPROVE, "issuer", shift_end="") == []
    made.around = replace(made.around, over_shift="The work is planned longer than one shift")
    (lack,) = made.look("1", made.asked(course.APPROVE, person("issuer"), "issuer", {**FULL, "shift_end": ""}))
    assert (lack.guard, lack.words) == ("shifts_planned", "The work is planned longer than one shift")
    made.done("1", course.APPROVE, "issuer", shift_end="blanked; over to the night crew at the valve")

    assert made.permits["1"].shift_end == "blanked; over to the night crew at the valve"


@pytest.mark.parametrize(
    ("hours", "shift_end", "words"),
    [
        (12, "", ""),
        (13, "", "the permit would last 13 h, longer than a working day of 12 h"),
        (25 * 24, "", "the permit would last 25 days; at most 7"),
        (30, "valve shut, blanked", ""),
        (8 * 24, "valve shut, blanked", "the permit would last 8 days; at most 7"),
    ],
)
def test_no_permit_outlasts_a_working_day_without_a_word_on_the_end_of_its_shifts(
    hours: int, shift_end: str, words: str
) -> None:
    """Common practice: a permit lasts a shift; what goes on longer is looked at anew within a week."""
    made = world(course.EVALUATE)
    ends = (made.now + timedelta(hours=hours)).isoformat()
    told = {**FULL, "starts": made.now.isoformat(), "ends": ends, "shift_end": shift_end}
    found = made.tried("1", course.APPROVE, person("issuer"), "issuer", told)

    assert [lack.words.startswith(words) for lack in found] == ([True] if words else [])
