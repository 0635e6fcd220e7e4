"""EIP-15: the boundary of control between parties is written and drawn, and the drawing is held against the plant.

Written electrical rules of a public laboratory (published) ask for the boundary of control of each party; an alert of
a regulator (published) tells of a spare transformer fed backwards from a tie that stood on no up-to-date drawing.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from riskhelper.permit import course
from riskhelper.permit.control_boundary import PARTY
from riskhelper.permit.persons import Person
from riskhelper.permit.refusal import Lack
from riskhelper.permit.wanted import for_each_party, wanted
from tests.permit.world import FULL, NOW, World, person, world

GRID, CREW = "Fold Valley Grid", "Wether Fold Instruments"
BOTH: dict[str, Any] = {
    PARTY + GRID: "up to disconnector D4, shut side",
    PARTY + CREW: "from the open side of D4 to the unit",
}


def of(role: str, employer: str) -> Person:
    return replace(person(role), employer=employer)


def isolate(*parties: str, rests: bool = False, employer: str = GRID, **told: Any) -> list[Lack]:
    made = world(course.APPROVE)
    made.around = replace(made.around, rests_on_drawing=rests, parties=parties)
    return made.tried("1", course.ISOLATE, of("isolator", employer), "isolator", {**FULL, **told})


def divided() -> World:
    """Two parties, each with its boundary; up to the issued permit."""
    made = world(course.APPROVE)
    made.around = replace(made.around, parties=(CREW, GRID))
    asked = made.asked(course.ISOLATE, of("isolator", GRID), "isolator", {**FULL, **BOTH})
    assert made.tried("1", course.ISOLATE, asked.person, "isolator", asked.details) == []
    return made


@pytest.mark.parametrize(
    ("left_out", "words"),
    [
        ("drawing", "its number"),
        ("drawing_revision", "its revision"),
        ("drawing_checked_at", "the moment of the check on site with its offset from UTC"),
    ],
)
@pytest.mark.parametrize(("rests", "parties"), [(True, (GRID,)), (False, (GRID, CREW))])
def test_a_drawing_relied_on_has_number_revision_and_a_check_on_site(
    left_out: str, words: str, rests: bool, parties: tuple[str, ...]
) -> None:
    """EIP-15: also where two parties work, as their boundary is drawn."""
    (lack,) = isolate(*parties, rests=rests, **{**BOTH, left_out: ""})

    assert lack.guard == "drawing_checked"
    assert lack.words.endswith(f"this is not written of it: {words}")


@pytest.mark.parametrize(
    ("at", "guards"),
    [
        (NOW - timedelta(days=1), []),
        (NOW, []),
        (NOW + timedelta(hours=1), ["drawing_checked"]),
        (NOW.replace(tzinfo=None), ["drawing_checked"]),
    ],
)
def test_the_check_on_site_is_a_moment_that_has_been(at: object, guards: list[str]) -> None:
    found = isolate(GRID, rests=True, drawing_checked_at=at.isoformat())  # type: ignore[attr-defined]

    assert [lack.guard for lack in found] == guards


def test_a_plan_of_one_party_that_rests_on_no_drawing_asks_for_none() -> None:
    assert isolate(GRID, drawing="", drawing_revision="", drawing_checked_at="") == []


@pytest.mark.parametrize("missing", [GRID, CREW])
def test_the_boundary_is_written_for_each_party(missing: str) -> None:
    """EIP-15: a boundary field per party."""
    (lack,) = isolate(GRID, CREW, **{**BOTH, PARTY + missing: ""})

    assert (lack.guard, lack.words) == (
        "control_divided",
        f"more than one party works, and no boundary of control is written for {missing}",
    )


def test_whoever_switches_is_a_party_too() -> None:
    (lack,) = isolate(GRID, CREW, employer="Tarn Switching", **BOTH)

    assert lack.words.endswith("for Tarn Switching")


def test_drawing_and_boundaries_stay_on_the_permit_until_a_new_revision() -> None:
    made = divided()
    permit = made.permits["1"]
    assert permit.control == {key.removeprefix(PARTY): words for key, words in BOTH.items()}
    assert permit.drawing is not None
    assert permit.drawing.words == "E-114, revision C, checked on site 2031-02-03 15:30 +0000"
    made.done("1", course.CHANGE, "worker")

    assert (made.permits["1"].control, made.permits["1"].drawing) == ({}, None)


@pytest.mark.parametrize(("act", "role"), [(course.ACCEPT, "acceptor"), (course.SIGN_ON, "worker")])
@pytest.mark.parametrize(
    ("employer", "refused"), [(CREW, False), ("wether fold instruments", False), ("Crane Co", True)]
)
def test_nobody_joins_from_a_party_without_a_boundary(act: str, role: str, employer: str, refused: bool) -> None:
    made = divided()
    made.permits["1"] = replace(made.permits["1"], state=next(iter(course.ROWS[act].states)))
    asked = made.asked(act, of(role, employer), role, FULL)

    assert ("party_has_a_boundary" in [lack.guard for lack in made.look("1", asked)]) is refused


def test_each_party_has_a_field_of_its_own() -> None:
    (template,) = (f for f in wanted(course.ISOLATE, world(course.APPROVE).permits["1"]) if f.key == PARTY)
    asked = for_each_party(template, (GRID, CREW))

    assert [(field.key, field.needed) for field in asked] == [(PARTY + GRID, True), (PARTY + CREW, True)]
