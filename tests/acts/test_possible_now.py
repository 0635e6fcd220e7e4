"""Only what somebody here could sign now is offered; for the rest the guard in the way is named."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.permit.possible_now import Offer, offers
from riskhelper.permit import course
from tests.acts.crew import Crew
from tests.acts.test_permits import did, drawn_up, evaluated, in_force, touched


def offer(made: Crew, act: str) -> Offer:
    (found,) = (each for each in offers(made.bench, "7/1") if each.act == act)
    return found


def able(made: Crew) -> dict[str, tuple[str, ...]]:
    return {each.act: tuple(who.name for who in each.who) for each in offers(made.bench, "7/1") if each.who}


@pytest.fixture(scope="module")
def approved(tmp_path_factory: pytest.TempPathFactory) -> Crew:
    made = evaluated(tmp_path_factory.mktemp("approved"))
    did(made, "issuer", "approve")
    return made


def test_a_draft_is_requested_by_the_requester(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)

    assert able(made)["request"] == ("the requester",)
    assert "approve" not in {each.act for each in offers(made.bench, "7/1")}


def test_what_a_guard_refuses_is_not_offered_and_says_who_satisfies_it(approved: Crew) -> None:
    did(approved, "isolator", "isolate")
    lacks = offer(approved, "prove").lacks

    assert {(lack.guard, lack.words, lack.by) for lack in lacks} == {
        ("points_secured", "not secured: feeder", "the isolator secures each point with lock and tag"),
        (
            "tested_dead",
            "not proved, or not proved again: feeder",
            "the isolator proves each point: source, points, source",
        ),
        ("witnessed_by_another", "nobody witnessed the proving", "a second person with the role witness signs"),
    }
    touched(approved, "secure", lock="1", tag="2", key="3")
    assert {lack.guard for lack in offer(approved, "prove").lacks} == {"tested_dead", "witnessed_by_another"}


def test_an_act_nobody_here_holds_a_role_for_names_the_role(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)
    for key in (made.bench.keys or Path()).glob("*.key"):
        key.unlink()

    (lack,) = offer(made, "request").lacks
    assert (lack.words, lack.by) == ("nobody with a key on this machine may", "requester")


def test_in_force_the_holder_suspends_and_hands_back_and_a_stop_is_no_offer(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    found = able(made)

    assert found["suspend"] == ("the issuer", "the acceptor")
    assert found["sign off"] == ("the worker",)
    assert "hand back" not in found
    assert [lack.guard for lack in offer(made, "hand back").lacks] == ["crew_out"]
    assert course.STOP not in {each.act for each in offers(made.bench, "7/1")}
