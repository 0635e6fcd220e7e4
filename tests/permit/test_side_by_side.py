"""INX-04: work near other work is banned, or goes on under safeguards that stand on both permits and were read.

US Chemical Safety Board, 2020-07-I-NC, recommendations on simultaneous work (published): spot it, find bad
interactions, set safeguards, coordinate, share. Which pairs meet is common practice.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from riskhelper.permit import course
from riskhelper.permit.clashes import meeting, safeguard_lines
from riskhelper.permit.document import Permit, State
from riskhelper.permit.side_by_side import UNSAID, Pair, as_met, kinds_of, read_meets, written_meets
from riskhelper.terms import WORK_KINDS
from tests.permit.world import ENDS, FULL, NOW, PAIRS, World, new_permit, person, world

SIGN = "Both crews agree on a stop sign that is seen, and try it."


def neighbour(energy: str = "noise", **changes: object) -> Permit:
    """Permit 2, in force on the same transformer."""
    made = replace(
        new_permit("2"), state=State.IN_FORCE, starts=NOW, ends=ENDS, energies=frozenset({energy}), acceptor="Iva Roe"
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def beside(last: str, mine: str = "electrical", other: Permit | None = None) -> World:
    """Permit 1 driven as far as asked, then permit 2 next to it."""
    made = world(last)
    made.permits["1"] = replace(made.permits["1"], energies=frozenset({mine}))
    made.permits["2"] = other or neighbour()
    return made


def refused(made: World, act: str, role: str, number: str = "1", **details: str) -> dict[str, str]:
    """Guard and words of what refuses an act; nothing is done."""
    told = {"visited_at": made.now.isoformat(), **FULL, **details}
    asked = made.asked(act, person(role), role, made.with_safeguards(number, act, told))
    return {lack.guard: lack.words for lack in made.look(number, asked)}


@pytest.mark.parametrize(
    ("mine", "theirs", "banned"),
    [("heat", "oil", True), ("gravity", "noise", True), ("electrical", "water", True), ("heat", "noise", False)],
)
def test_each_pair_of_kinds_is_a_ban_or_names_safeguards_and_a_ban_refuses(
    mine: str, theirs: str, *, banned: bool
) -> None:
    made = beside(course.EVALUATE, mine, neighbour(theirs))
    found = refused(made, course.APPROVE, "issuer")

    assert ("incompatible_work" in found) is banned
    pair = PAIRS[frozenset({mine, theirs})]
    assert pair.ban is banned
    assert pair.ban or pair.safeguards
    if banned:
        words = found["incompatible_work"]
        assert words == f"overlaps with permit 2 in plant or place, time and energy: {pair.because}"


def test_the_shipped_pairs_name_every_kind_with_every_other() -> None:
    assert len(PAIRS) == len(WORK_KINDS) * (len(WORK_KINDS) + 1) // 2 == 55
    assert all(pair.ban != bool(pair.safeguards) for pair in PAIRS.values())


def test_a_plan_is_approved_next_to_other_work_only_with_each_safeguard_read() -> None:
    made = beside(course.EVALUATE)
    found = refused(made, course.APPROVE, "issuer", acknowledged="")

    assert list(found) == ["safeguards_read"]
    assert f"Beside permit 2 (T2, unit circuits, bay 4): {SIGN.rstrip('.')}" in found["safeguards_read"]
    made.done("1", course.APPROVE, "issuer")
    (on_it,) = made.permits["1"].safeguards
    assert (on_it.other, on_it.words, on_it.by) == ("2", SIGN, person("issuer").name)


def test_nothing_is_issued_until_the_safeguard_stands_on_both_permits() -> None:
    made = beside(course.EVALUATE)
    made.done("1", course.APPROVE, "issuer")
    made.done("1", course.ISOLATE, "isolator")
    made.secure_and_prove()
    made.done("1", course.WITNESSED, "witness")
    made.done("1", course.PROVE, "isolator")
    lack = {"safeguards_on_both": f"not on permit 2, against permit 1: {SIGN.rstrip('.')}"}
    assert refused(made, course.ISSUE, "issuer", coordinator="Eva Lind") == lack

    assert "agrees_for_the_permit" in refused(made, course.AGREE, "issuer", "2"), "its holder agrees, nobody else"
    made.permits["2"] = replace(made.permits["2"], acceptor=person("acceptor").name)
    made.done("2", course.AGREE, "acceptor")
    assert refused(made, course.ISSUE, "issuer", coordinator="Eva Lind") == {}
    assert [(each.other, each.words) for each in made.permits["2"].safeguards] == [("1", SIGN)]


@pytest.mark.parametrize(
    ("state", "act", "role"),
    [
        (State.ACCEPTED, course.START, "acceptor"),
        (State.SUSPENDED, course.ALLOW_RESUMING, "issuer"),
        (State.SUSPENDED, course.RESUME, "acceptor"),
        (State.IN_FORCE, course.EXTEND, "issuer"),
    ],
)
def test_work_approved_next_to_this_one_later_holds_it_up_until_both_have_agreed(
    state: State, act: str, role: str
) -> None:
    made = beside(course.ACCEPT)
    made.permits["1"] = replace(made.permits["1"], state=state)

    assert "safeguards_on_both" in refused(made, act, role)
    made.permits["2"] = replace(made.permits["2"], energies=frozenset({"water"}))
    assert "safeguards_on_both" not in refused(made, act, role), "a ban is another guard"
    made.permits["2"] = neighbour(plant="T9", zone="yard")
    assert "safeguards_on_both" not in refused(made, act, role)


def test_before_anybody_holds_a_permit_the_plants_side_agrees_and_the_holder_reads_it_when_accepting() -> None:
    made = beside(course.APPROVE)
    made.done("1", course.AGREE, "issuer")
    assert refused(made, course.AGREE, "issuer") == {"safeguards_open": "no safeguard is open on it"}
    made.permits["1"] = replace(made.permits["1"], state=State.ISSUED)

    assert "safeguards_read" in refused(made, course.ACCEPT, "acceptor", acknowledged="")
    assert "safeguards_read" not in refused(made, course.ACCEPT, "acceptor")


def test_a_crew_on_site_is_briefed_again_when_a_safeguard_comes_on() -> None:
    """DIS-04, 29 CFR 1926.952(c)(2) (published): brief again on a significant change."""
    made = beside(course.START)
    made.done("1", course.AGREE, "acceptor")

    assert "briefed_before" in refused(made, course.SIGN_ON, "worker")
    made.done("1", course.BRIEF, "acceptor")
    assert "briefed_before" not in refused(made, course.SIGN_ON, "worker")


def test_a_new_revision_carries_no_safeguard_over() -> None:
    made = beside(course.EVALUATE)
    made.done("1", course.APPROVE, "issuer")
    made.done("1", course.CHANGE, "requester")

    assert (made.permits["1"].safeguards, made.permits["1"].meets) == ((), {})


def test_work_at_another_time_asks_for_nothing() -> None:
    later = neighbour(starts=ENDS, ends=ENDS + timedelta(hours=2), state=State.APPROVED)
    assert refused(beside(course.EVALUATE, other=later), course.APPROVE, "issuer", acknowledged="") == {}


def test_what_an_approval_wrote_down_counts_under_milder_rules_and_without_any() -> None:
    """A record carried without its rule set, or a job under a milder one, still holds to what was signed."""
    one, other = (replace(new_permit(n), energies=frozenset({kind})) for n, kind in (("1", "heat"), ("2", "noise")))
    signed = replace(one, meets=read_meets(written_meets(as_met(one.energies, PAIRS))))
    milder = {**PAIRS, frozenset({"heat", "noise"}): Pair(ban=False, because="a quiet fire")}

    assert meeting(one, other, None) == UNSAID, "nobody says anything: a ban"
    assert meeting(one, other, {}) == UNSAID
    assert meeting(one, other, milder).safeguards == ()
    assert meeting(signed, other, milder).safeguards == PAIRS[frozenset({"heat", "noise"})].safeguards
    assert meeting(other, signed, None).safeguards == PAIRS[frozenset({"heat", "noise"})].safeguards
    oil = replace(other, energies=frozenset({"oil"}))
    assert meeting(oil, signed, {**PAIRS, frozenset({"heat", "oil"}): Pair(ban=False, because="")}).ban


def test_every_kind_counts_where_none_is_named_or_one_is_not_of_the_list() -> None:
    assert kinds_of(["Stored charge", "OIL"]) == {"stored_charge", "oil"}
    assert kinds_of([]) == kinds_of(["painting", "oil"]) == set(WORK_KINDS)


def test_the_line_that_is_read_changes_its_mark_with_its_words() -> None:
    made = beside(course.EVALUATE)
    others = list(made.permits.values())
    (mark,) = safeguard_lines(made.permits["1"], others, PAIRS, NOW)
    moved = [replace(other, zone="bay 5") for other in others]
    (other_mark,) = safeguard_lines(made.permits["1"], moved, PAIRS, NOW)

    assert mark != other_mark
