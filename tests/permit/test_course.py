"""The course of the permit: every state, act and role; refusals; every state can be closed."""

from __future__ import annotations

from collections import deque
from dataclasses import replace
from datetime import timedelta

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.copies import Copy
from riskhelper.permit.document import HELD, Permit, Road, State
from riskhelper.permit.effects import after
from riskhelper.permit.guards import GUARDS, Around, Asked
from riskhelper.permit.handover import ABSENCE_DUTIES as ABSENCE
from riskhelper.permit.handover import Handover
from riskhelper.permit.meanings import PERMIT_MEANINGS, POINT_MEANINGS
from riskhelper.permit.persons import ROLES, Authority, Person
from riskhelper.permit.plan_guards import BOUNDED
from riskhelper.permit.rechecks import Recheck
from riskhelper.permit.refusal import lacks, possible, possible_for, refusal
from riskhelper.permit.reports import Report
from riskhelper.permit.roster import Member, Roster
from riskhelper.permit.rulings import complete
from riskhelper.permit.sanction import Sanction
from riskhelper.permit.side_by_side import Pair
from tests.permit.world import ENDS, FULL, NOW, PAIRS, new_permit, person, world

SITE = "accepted, in force, suspended, under test"
PREPARED = "draft, requested, evaluated"
TABLE = {
    "request": ("draft", "requested", "requester"),
    "return": ("requested, evaluated", "draft", "evaluator, issuer"),
    "refuse": ("requested, evaluated", "refused", "evaluator, issuer"),
    "evaluate": ("requested", "evaluated", "evaluator"),
    "approve": ("evaluated", "approved", "issuer"),
    "rule": (f"requested, evaluated, approved, isolating, isolated, issued, {SITE}", "", "all"),
    "isolate": ("approved", "isolating", "isolator"),
    "name points": (f"{PREPARED}, approved", "", "requester, isolator, issuer"),
    "witness": ("isolating", "", "witness"),
    "prove": ("isolating", "isolated", "isolator"),
    "issue": ("isolated", "issued", "issuer"),
    "accept": ("issued", "accepted", "acceptor"),
    "brief": (SITE, "", "acceptor"),
    "sign on": ("accepted, in force, suspended", "", "worker, acceptor"),
    "sign off": ("all but handed back, cancelled", "", "all"),
    "sign off absent": ("all but handed back, cancelled", "", "acceptor, issuer"),
    "start": ("accepted", "in force", "acceptor"),
    "pass hold point": ("in force", "", "all"),
    "stop": (f"issued, {SITE}", "suspended", "all"),
    "suspend": ("in force", "suspended", "issuer, acceptor"),
    "test": ("in force, suspended", "under test", "issuer"),
    "end test": ("under test", "suspended", "issuer"),
    "allow resuming": ("suspended", "", "issuer"),
    "resume": ("suspended", "in force", "acceptor"),
    "offer handover": ("in force, suspended", "", "acceptor"),
    "offer for absent": (f"{SITE}, expired, revoked", "", "issuer"),
    "take over": (f"{SITE}, expired, revoked", "", "acceptor"),
    "confirm handover": (f"{SITE}, expired, revoked", "", "issuer"),
    "extend": ("in force", "", "issuer"),
    "change": (
        "all but draft, expired, revoked, refused, handed back, cancelled",
        "draft",
        "worker, requester, acceptor, issuer",
    ),
    "revoke": (f"approved, isolating, isolated, issued, {SITE}", "revoked", "issuer, area owner, safety officer"),
    "give up": (f"{PREPARED}, approved, revoked, expired", "cancelled", "requester, issuer"),
    "return unused": (
        f"{PREPARED}, approved, isolating, isolated, issued, suspended, revoked, refused, expired",
        "handed back",
        "issuer",
    ),
    "hand back": (f"{SITE}, expired, revoked", "handed back", "acceptor"),
    "report clash": (f"requested, evaluated, approved, isolating, isolated, issued, {SITE}", "", "all"),
    "settle report": (f"requested, evaluated, approved, isolating, isolated, issued, {SITE}", "", "issuer"),
    "visit on site": (SITE, "", "evaluator, issuer, area owner, safety officer"),
    "close finding": ("all but cancelled", "", "evaluator, issuer, area owner, safety officer"),
    "agree safeguards": (f"approved, isolating, isolated, issued, {SITE}", "", "acceptor, issuer"),
    "draw copy": ("all but draft, refused, cancelled", "", "issuer, acceptor, isolator"),
    "cancel": ("handed back", "cancelled", "issuer, area owner"),
}


def listed(words: str, known: list[str]) -> set[str]:
    if words == "all":
        return set(known)
    if words.startswith("all but "):
        return set(known) - set(words.removeprefix("all but ").split(", "))
    return set(words.split(", ")) - {""}


def standing(state: State) -> Permit:
    """A permit that stands in a state, put there by hand."""
    if state is State.EXPIRED:
        return replace(standing(State.IN_FORCE), ends=NOW)
    if state is State.REFUSED:
        return replace(new_permit(), state=state, points_touched=True)
    return replace(new_permit(), state=state, starts=NOW - timedelta(hours=1), ends=ENDS)


@pytest.mark.parametrize("state", State, ids=lambda state: state.value)
@pytest.mark.parametrize("act", course.ROWS)
def test_state_by_act_by_role_is_the_table_and_nothing_else(state: State, act: str) -> None:
    states, to, roles = TABLE[act]
    for role in ROLES:
        found = {lack.guard for lack in lacks(standing(state), Asked(act, person(role), role, NOW, FULL), Around())}

        assert ("state" not in found and "fresh_application_needed" not in found) == (
            state.value in listed(states, [each.value for each in State])
        )
        if "state" not in found and "fresh_application_needed" not in found:
            assert ("role" not in found) == (role in listed(roles, list(ROLES)))
    target = course.ROWS[act].to
    assert (target.value if target else "") == to


def test_every_act_of_the_table_is_told_twice() -> None:
    assert set(TABLE) == set(course.ROWS)


def test_every_act_has_its_meaning_in_words_and_no_other_has_one() -> None:
    assert set(PERMIT_MEANINGS) == {course.DRAFT, *course.ROWS}
    assert set(POINT_MEANINGS) == set(point_course.POINT_ROWS)


def test_every_guard_of_the_table_exists_and_every_guard_is_in_the_table() -> None:
    assert {name for row in course.COURSE for name in row.guards} == set(GUARDS)


def test_a_permit_goes_the_usual_way_to_its_end() -> None:
    made = world(course.START)

    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.HAND_BACK, "acceptor")
    made.done("1", course.CANCEL, "area owner")
    made.point_done("HV side", point_course.UNLOCK, "acceptor")
    made.point_done("HV side", point_course.UNEARTH, earth="E1")
    made.point_done("HV side", point_course.RELEASE, affected_notified="control room", repeated_by="Iva Roe")

    assert made.permits["1"].state is State.CANCELLED
    assert made.points["HV side"].state.value == "released"


def test_a_refusal_names_guard_who_satisfies_it_and_what_is_possible() -> None:
    made = world(course.ISOLATE)
    asked = made.asked(course.PROVE, person("isolator"), "isolator", FULL)
    refused = refusal(made.permits["1"], asked, replace(made.around, points=made.points))

    assert refused is not None
    assert refused.lines[0] == "`prove` is refused; nothing changed. The permit is isolating."
    assert "not secured: HV side. Needed: the isolator secures each point with lock and tag" in refused.lines
    assert refused.lines[-1].startswith("Possible now: rule (anyone); witness (witness); prove (isolator); ")
    assert made.permits["1"].state is State.ISOLATING


def test_the_acts_a_person_may_do_are_named() -> None:
    made = world(course.APPROVE)

    assert possible_for(made.permits["1"], person("isolator"), made.now) == (
        "rule",
        "isolate",
        "name points",
        "sign off",
        "draw copy",
        "report clash",
    )
    assert possible_for(made.permits["1"], person("isolator", limit_v=400), made.now) == (
        "rule",
        "sign off",
        "report clash",
    )


@pytest.mark.parametrize("state", [state for state in State if state in HELD], ids=lambda state: state.value)
def test_past_its_end_only_hand_back_is_left_and_a_clock_set_back_brings_nothing_back(state: State) -> None:
    permit = replace(standing(state), last=ENDS)

    assert permit.at(ENDS) is permit.at(NOW) is State.EXPIRED
    assert replace(permit, last=NOW).at(ENDS - timedelta(seconds=1)) is state


def test_beside_plant_in_service_nothing_is_called_isolated_or_dead() -> None:
    words = {replace(new_permit(road=Road.ACCESS), state=state).words(NOW) for state in State}

    assert "bounded" in words
    assert not any("isolat" in word or "dead" in word for word in words)


def test_a_change_after_isolation_suspends_and_all_signatures_fall() -> None:
    made = world(course.START)
    made.done("1", course.CHANGE, "worker")
    permit = made.permits["1"]

    assert permit.words(made.now) == "suspended, revision 2 draft"
    assert (permit.signed, permit.acceptor, permit.passed) == ({}, "", ())
    assert [lack.guard for lack in made.tried("1", course.REQUEST, person("requester"), "requester")] == ["crew_out"]
    made.done("1", course.SIGN_OFF, "worker")
    for act in (course.REQUEST, course.EVALUATE, course.APPROVE, course.ISOLATE):
        made.done(
            "1", act, {"request": "requester", "evaluate": "evaluator", "approve": "issuer"}.get(act, "isolator")
        )
    assert "tested_dead" in [lack.guard for lack in made.tried("1", course.PROVE, person("isolator"), "isolator")]


SANCTION = Sanction("1/test 1", "unit circuits", "cover 3", "230 V", "Ann Wick", "Ben Roe", "issuer D", NOW)


def closing_moves(permit: Permit, around: Around) -> list[Permit]:
    """Every permit one act away, by anybody who exists, with all that can be said and nothing else put right."""
    found = []
    for row in course.COURSE:
        for role in row.roles[:1] if row.act != course.SIGN_OFF_ABSENT else row.roles:
            for mark in ("", "2"):
                who = person(role, mark)
                for member in permit.roster.signed_on or ("",):
                    asked = Asked(row.act, who, role, NOW, {**FULL, "member": member, "acknowledged": "aa"})
                    if not lacks(permit, asked, around):
                        found.append(after(permit, asked))
    return found


@pytest.mark.parametrize("state", State, ids=lambda state: state.value)
@pytest.mark.parametrize("held", [True, False], ids=["acceptor gone", "not accepted"])
@pytest.mark.parametrize("handover", [None, Handover("x", NOW, "told")], ids=["", "handover open"])
def test_from_every_state_the_plant_can_be_returned_and_the_permit_closed(
    state: State, held: bool, handover: Handover | None
) -> None:
    """The acceptor is dead to the world, the crew has left, the plan changed, stops stand, nothing is adopted, checks
    are overdue, a report is open, a signer is out of date."""
    accepted = held and state not in {State.DRAFT, State.REQUESTED, State.EVALUATED, State.APPROVED, State.REFUSED}
    permit = replace(
        standing(state),
        acceptor="somebody gone" if accepted or state in {State.ACCEPTED, State.IN_FORCE, State.UNDER_TEST} else "",
        points_touched=True,
        started=True,
        handover=handover,
        roster=Roster((Member("a worker gone", NOW),)) if state is not State.HANDED_BACK else Roster(),
        signed={"hand back": person("acceptor").name},
        reports=(Report("2", "somebody", "crane over the bay", NOW),),
        rechecks={"thunder": Recheck("thunder", 1, NOW - timedelta(hours=1))},
        copies=(Copy(1, "permit", "work point", "acceptor", NOW, 1),),
        test=SANCTION if state is State.UNDER_TEST else None,
    )
    if permit.acceptor and state in {State.ISOLATING, State.ISOLATED, State.ISSUED}:
        return
    around = Around(
        stops=("a stop",),
        plan_changed=("head",),
        others=(replace(new_permit("2"), state=State.IN_FORCE),),
        lapsed=("the key of the issuer was taken out of use",),
        decisions={"oil.suction": "nobody known"},
        handover={"aa": "everything"},
        open_at={"back_in_force": ("alarm read back",), "standing_done": ("vented",), "permit_taken": ("limits",)},
    )
    queue, seen = deque([permit]), {repr(permit)}
    while queue:
        reached = queue.popleft()
        if reached.state is State.CANCELLED:
            return
        for following in closing_moves(reached, around):
            key = repr((following.state, following.acceptor, following.roster.signed_on, following.handover is None))
            key += repr(following.handover.incoming if following.handover else "")
            if key not in seen:
                seen.add(key)
                queue.append(following)
    raise AssertionError(f"a permit that is {state.value} can never be closed")


def test_an_acceptor_who_is_gone_is_followed_by_three_acts_of_two_people() -> None:
    made = world(course.START)
    made.done("1", course.STOP, "witness")
    made.done("1", course.OFFER_ABSENT, "issuer")
    assert [lack.guard for lack in made.tried("1", course.TAKE_OVER, person("acceptor", "2"), "acceptor")] == [
        "own_lock_on"
    ]
    made.point_done("HV side", point_course.LOCK, "acceptor", "2")
    made.done("1", course.TAKE_OVER, "acceptor", "2")
    assert made.permits["1"].acceptor == person("acceptor").name
    made.done("1", course.CONFIRM, "issuer")

    assert made.permits["1"].acceptor == person("acceptor", "2").name


def test_resuming_takes_proof_anew_and_two_people() -> None:
    made = world(course.START)
    made.done("1", course.SUSPEND, "acceptor")
    acceptor = person("acceptor")

    assert "resuming_allowed" in [lack.guard for lack in made.tried("1", course.RESUME, acceptor, "acceptor")]
    assert [lack.guard for lack in made.tried("1", course.ALLOW_RESUMING, person("issuer"), "issuer")] == [
        "measures_in_place"
    ]
    made.secure_and_prove()
    made.done("1", course.ALLOW_RESUMING, "issuer")
    assert [lack.guard for lack in made.tried("1", course.RESUME, acceptor, "acceptor")] == [
        "briefed_since_suspended"
    ]
    made.done("1", course.BRIEF, "acceptor")
    made.done("1", course.RESUME, "acceptor")
    assert made.permits["1"].state is State.IN_FORCE


@pytest.mark.parametrize(("unit_proved", "guards"), [("", ["hand_back_ends_the_test"]), ("alarms read back", [])])
def test_a_test_ends_in_hand_back_only_where_it_proved_the_unit(unit_proved: str, guards: list[str]) -> None:
    made = world(course.START)
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.TEST, "issuer")
    details = {**FULL, "unit_proved": unit_proved}

    assert [k.guard for k in made.tried("1", course.HAND_BACK, person("acceptor"), "acceptor", details)] == guards


def test_a_test_and_a_permit_are_never_both_on_one_apparatus() -> None:
    made = world(course.START)
    made.permits["2"] = replace(new_permit("2"), state=State.IN_FORCE, starts=NOW, ends=ENDS)
    made.done("1", course.SIGN_OFF, "worker")

    assert [k.guard for k in made.tried("1", course.TEST, person("issuer"), "issuer")] == ["nobody_else_on_apparatus"]
    made.permits["2"] = replace(made.permits["2"], apparatus="cooler fans")
    assert made.tried("1", course.TEST, person("issuer"), "issuer") == []


@pytest.mark.parametrize(
    ("named", "role", "released_as", "answered", "guards"),
    [
        ("issuer", "witness", "", "", ["released_by_named"]),
        ("witness", "witness", "", "", []),
        ("licensed electrician with the work leader", "witness", "electrician, I swear", "", ["released_by_named"]),
        ("licensed electrician with the work leader", "licensed electrician", "", "", []),
        ("issuer or named second person", "witness", "", "", ["released_by_named"]),
        ("issuer or named second person", "witness", "second person", "witness", ["released_by_named"]),
        ("issuer or named second person", "witness", "second person", "", []),
        ("keeper of the weir", "witness", "keeper of the weir", "", []),
    ],
)
def test_a_hold_point_is_released_by_whom_the_rule_set_names(
    named: str, role: str, released_as: str, answered: str, guards: list[str]
) -> None:
    made = world(course.START)
    who = replace(person("witness"), authorities=(Authority(role, ENDS, 11_000),))
    by = frozenset({who.name}) if answered else frozenset()
    made.around = replace(
        made.around, open_at={"box_dead": ()}, released_by={"box_dead": named}, answered_by={"box_dead": by}
    )
    details = {"hold_point": "box_dead", "released_as": released_as, "released_by": named}

    assert [lack.guard for lack in made.tried("1", course.PASS, who, role, details)] == guards
    assert made.permits["1"].passed == (() if guards else ("box_dead",))


def test_a_hold_point_that_names_two_roles_takes_two_people() -> None:
    made = world(course.START)
    words = "control engineer and protection engineer"
    made.around = replace(made.around, open_at={"back": ()}, released_by={"back": words})
    both = replace(
        person("witness"),
        authorities=(Authority("control engineer", ENDS, 11_000), Authority("protection engineer", ENDS, 11_000)),
    )
    details = {"hold_point": "back", "released_by": words}
    assert made.tried("1", course.PASS, both, "control engineer", details) == []
    assert not made.permits["1"].passed
    (lack,) = made.tried("1", course.PASS, both, "protection engineer", details)
    assert lack.words == f"{both.name} has signed already; another person signs as protection engineer"
    other = replace(both, name="somebody else")
    assert made.tried("1", course.PASS, other, "protection engineer", details) == []
    assert made.permits["1"].passed == ("back",)


def ruler(role: str, name: str = "Ines Tarn") -> Person:
    return Person(name, "owner", (Authority(role, ENDS, 11_000),))


def test_a_decision_stop_is_ruled_on_by_whom_the_rule_set_names_and_falls_with_the_revision() -> None:
    made = world(course.REQUEST)
    words = "owner's transformer engineer"
    made.around = replace(made.around, decisions={"oil.suction": words})
    full = {**FULL, "stop": "oil.suction", "until": ENDS.isoformat(), "ruled_by": words}
    for who, role, details, guards in (
        (person("issuer"), "issuer", full, ["ruled_by_named"]),
        (ruler(words), words, {**full, "stop": "oil.head"}, ["stop_to_rule"]),
        (ruler(words), words, {**full, "evidence": ""}, ["evidence"]),
        (ruler(words), words, {**full, "until": NOW.isoformat()}, ["until_ahead"]),
        (ruler(words, person("requester").name), words, full, ["prepared_by_another", "not_of_the_crew"]),
        (Person("old", "owner", (Authority(words, NOW, 11_000),)), words, full, ["ruled_by_named"]),
    ):
        assert [lack.guard for lack in made.tried("1", course.RULE, who, role, details)] == guards
    assert made.tried("1", course.RULE, ruler(words), words, full) == []
    (ruled,) = complete(made.permits["1"].rulings, "oil.suction")
    assert (ruled.who, ruled.role, ruled.until) == ("Ines Tarn", words, ENDS)
    made.done("1", course.CHANGE, "requester")
    assert made.permits["1"].rulings == ()


def test_a_ruling_that_names_two_roles_counts_when_both_have_signed() -> None:
    made = world(course.REQUEST)
    words = "issuer with the area owner"
    made.around = replace(made.around, decisions={"plant.state": words})
    full = {**FULL, "stop": "plant.state", "until": ENDS.isoformat(), "ruled_by": words}
    assert made.tried("1", course.RULE, person("issuer"), "issuer", full) == []
    assert complete(made.permits["1"].rulings, "plant.state") == ()
    assert made.tried("1", course.RULE, person("area owner"), "area owner", full) == []
    assert len(complete(made.permits["1"].rulings, "plant.state")) == 2


def test_a_clash_names_the_other_permit_suspended_ones_first() -> None:
    made = world(course.EVALUATE)
    made.permits["2"] = replace(new_permit("2"), state=State.IN_FORCE, starts=NOW, ends=ENDS, plant="T3")
    made.permits["3"] = replace(new_permit("3"), state=State.SUSPENDED, starts=NOW, ends=ENDS)
    made.permits["4"] = replace(new_permit("4"), state=State.IN_FORCE, plant="T3", zone="bay 9")
    (lack,) = made.tried("1", course.APPROVE, person("issuer"), "issuer")

    assert lack.words.startswith("overlaps with permit 3, 2 in plant or place, time and energy: what one crew")


@pytest.mark.parametrize("touched", [False, True])
def test_a_refused_permit_is_closed_only_where_no_point_was_touched(*, touched: bool) -> None:
    """SG 15 (published) knows only issue or no issue; what was isolated for an earlier revision is returned first."""
    made = world(course.REQUEST)
    made.permits["1"] = replace(made.permits["1"], points_touched=touched)
    assert [k.guard for k in made.tried("1", course.REFUSE, person("evaluator"), "evaluator", {})] == ["reason"]
    made.done("1", course.REFUSE, "evaluator")
    permit = made.permits["1"]

    assert permit.state is State.REFUSED
    assert permit.closed is not touched
    assert [row.act for row in possible(permit, made.now)] == (
        ["sign off", "sign off absent", "return unused"] if touched else []
    )
    assert bool(point_course.needed_by("HV side", [permit], made.now)) is touched
    if touched:
        made.done("1", course.RETURN_UNUSED, "issuer")
        made.done("1", course.CANCEL, "area owner")
        assert made.permits["1"].closed


def test_a_return_says_to_which_question_its_note_belongs_until_the_next_request() -> None:
    made = world(course.REQUEST)
    made.done("1", course.RETURN, "evaluator", reason="head not measured", question="oil.head_m")
    returned = made.permits["1"].returned

    assert returned is not None
    assert (returned.reason, returned.question, returned.by) == (
        "head not measured",
        "oil.head_m",
        person("evaluator").name,
    )
    made.done("1", course.REQUEST, "requester")
    assert made.permits["1"].returned is None


def test_each_condition_of_the_plan_is_acknowledged_by_its_mark_or_the_approval_is_refused() -> None:
    made = world(course.EVALUATE)
    made.around = replace(made.around, conditions={"aa11": "valve shown dry", "bb22": "owner's letter"})
    for read, missing in (("", "aa11 valve shown dry; bb22 owner's letter"), ("aa11 cc33", "bb22 owner's letter")):
        (lack,) = made.tried("1", course.APPROVE, person("issuer"), "issuer", {**FULL, "acknowledged": read})
        assert (lack.guard, lack.words) == ("conditions_acknowledged", f"conditions not acknowledged: {missing}")

    made.done("1", course.APPROVE, "issuer", acknowledged="bb22 aa11")


def test_a_test_has_a_document_of_its_own_that_ends_with_it() -> None:
    """EIP-13, common practice: under a sanction to test nobody works, and the work permit is off the apparatus."""
    made = world(course.START)
    left_out = {**FULL, "test_kept_away": ""}
    assert {k.guard for k in made.tried("1", course.TEST, person("issuer"), "issuer", left_out)} == {
        "test_kept_away",
        "people_clear",
    }
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.TEST, "issuer", test_scope="unit circuits", test_applied="230 V", test_holder="Ann Wick")
    out = made.permits["1"].test

    assert out is not None
    assert (out.number, out.apparatus, out.applied, out.holder) == ("1/test 1", "unit circuits", "230 V", "Ann Wick")
    assert [k.guard for k in made.tried("1", course.SIGN_ON, person("worker"), "worker")] == ["state"]
    made.done("1", course.END_TEST, "issuer", state_left="links out")
    assert made.permits["1"].test is None
    assert made.permits["1"].tests[0].ended_at == made.now
    assert "tested_dead" not in [k.guard for k in made.tried("1", course.ALLOW_RESUMING, person("issuer"), "issuer")]
    assert [k.guard for k in made.tried("1", course.ALLOW_RESUMING, person("issuer"), "issuer")] == [
        "measures_in_place"
    ]


@pytest.mark.parametrize(("act", "state"), [("accept", "issued"), ("start", "accepted"), ("resume", "suspended")])
@pytest.mark.parametrize(("apparatus", "refused"), [("unit circuits", True), ("cooler fans", False)])
def test_nobody_works_on_apparatus_under_another_permits_test(
    act: str, state: str, apparatus: str, *, refused: bool
) -> None:
    made = world()
    made.permits["1"] = replace(standing(State(state)))
    made.permits["2"] = replace(
        new_permit("2"),
        state=State.UNDER_TEST,
        apparatus=apparatus,
        starts=NOW,
        ends=ENDS,
        energies=frozenset({"oil"}),
    )
    found = [k.guard for k in made.look("1", made.asked(act, person("acceptor"), "acceptor", FULL))]

    assert ("no_test_on_apparatus" in found) is refused


def test_the_handover_list_is_read_line_by_line_by_whoever_takes_over() -> None:
    """HOV-02: the list is generated and cannot be edited down; HOV-01: words of both sides."""
    made = world(course.START)
    made.around = replace(made.around, handover={"aa": "point HV side: proved", "bb": "1 is signed on"})
    assert [k.guard for k in made.tried("1", course.OFFER, person("acceptor"), "acceptor", {})] == [
        "told_incoming",
        "state_left",
    ]
    made.done("1", course.OFFER, "acceptor")
    incoming = person("acceptor", "2")
    made.point_done("HV side", point_course.LOCK, "acceptor", "2")
    (lack,) = made.tried("1", course.TAKE_OVER, incoming, "acceptor", {**FULL, "acknowledged": "aa"})
    assert (lack.guard, lack.words) == ("lines_read", "lines not acknowledged: bb 1 is signed on")
    (lack,) = made.tried(
        "1", course.TAKE_OVER, incoming, "acceptor", {**FULL, "acknowledged": "aa bb", "read_back": ""}
    )
    assert lack.guard == "read_back"
    assert made.tried("1", course.TAKE_OVER, incoming, "acceptor", {**FULL, "acknowledged": "aa bb"}) == []


def test_off_going_keeps_the_lock_on_until_the_on_coming_lock_is_on_and_confirmed() -> None:
    """HOV-03. 29 CFR 1910.147(f)(4) (published): no gap in lock protection between shifts."""
    made = world(course.START)
    made.done("1", course.OFFER, "acceptor")
    outgoing, incoming = person("acceptor"), person("acceptor", "2")

    def unlocks(who: Person) -> list[str]:
        return [k.guard for k in made.point_tried("HV side", point_course.UNLOCK, who, "acceptor", {})]

    assert unlocks(outgoing) == ["lock_cover"]
    assert [k.guard for k in made.tried("1", course.TAKE_OVER, incoming, "acceptor")] == ["own_lock_on"]
    made.point_done("HV side", point_course.LOCK, "acceptor", "2")
    assert made.tried("1", course.TAKE_OVER, incoming, "acceptor") == []
    assert unlocks(outgoing) == ["lock_cover"]
    assert unlocks(incoming) == ["lock_cover"]
    made.done("1", course.CONFIRM, "issuer")
    assert unlocks(outgoing) == []
    assert unlocks(incoming) == ["lock_cover"]


def test_the_lock_of_whoever_holds_the_permit_is_not_taken_off_as_that_of_somebody_gone() -> None:
    made = world(course.START)
    details = {**FULL, "member": person("acceptor").name}
    found = made.point_tried("HV side", point_course.ALLOW_UNLOCK, person("issuer"), "issuer", details)

    assert [lack.guard for lack in found] == ["lock_cover"]


def test_whose_lock_was_taken_off_is_told_before_they_work_there_again() -> None:
    """EIP-12. 29 CFR 1910.147(e)(3)(iii) (published): told before resuming work at the facility."""
    made = world(course.ACCEPT)
    made.done("1", course.BRIEF, "acceptor")
    worker = person("worker")
    made.point_done("HV side", point_course.LOCK, "worker")
    made.point_done("HV side", point_course.ALLOW_UNLOCK, "issuer", member=worker.name, **dict.fromkeys(ABSENCE, "x"))
    made.point_done("HV side", point_course.UNLOCK_ABSENT, "isolator", member=worker.name)

    assert [k.guard for k in made.tried("1", course.SIGN_ON, worker, "worker")] == ["told_of_removal"]
    assert [k.guard for k in made.point_tried("HV side", point_course.LOCK, worker, "worker", {})] == [
        "told_of_removal"
    ]
    made.point_done("HV side", point_course.LOCK, "worker", told_of_removal="the issuer, 15:40")
    assert made.tried("1", course.SIGN_ON, worker, "worker") == []


@pytest.mark.parametrize("left_out", BOUNDED)
def test_beside_plant_in_service_the_place_is_bounded_and_no_word_says_isolated(left_out: str) -> None:
    made = world(course.ISOLATE, Road.ACCESS)
    made.secure_and_prove()
    made.done("1", course.WITNESSED, "witness")
    details = {**FULL, left_out: ""}
    asked = made.asked(course.PROVE, person("isolator"), "isolator", details)
    refused = refusal(made.permits["1"], asked, replace(made.around, points=made.points))

    assert refused is not None
    assert [(lack.guard, lack.words) for lack in refused.lacks] == [("bounded", f"not shown: {BOUNDED[left_out]}")]
    early = refusal(made.permits["1"], replace(asked, act=course.ISSUE), made.around)
    assert early is not None
    assert "a permit that is bounded" in early.lines[1]
    assert not any(word in line.lower() for line in (*refused.lines, *early.lines) for word in ("isolated", "dead"))


def test_each_numbered_copy_is_called_in_before_the_permit_is_cancelled() -> None:
    """DIS-01."""
    made = world(course.START)
    made.done("1", course.COPY, "acceptor", paper="permit", copy_for="work point")
    made.done("1", course.COPY, "issuer", paper="permit", copy_for="issuer")
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.HAND_BACK, "acceptor")
    (lack,) = made.tried(
        "1", course.CANCEL, person("area owner"), "area owner", {**FULL, "copies_called_in": "copy 2"}
    )

    assert (lack.guard, lack.words) == ("copies_called_in", "copies are still out: 1 (work point)")
    made.done("1", course.CANCEL, "area owner", copies_called_in="1 and 2")


@pytest.mark.parametrize(("plant", "zone"), [("t 2", "x"), ("T-2", "x"), ("x", "Bay  4"), ("x", "BAY4")])
def test_names_typed_this_way_and_that_still_meet(plant: str, zone: str) -> None:
    """INX-01: a capital, a blank or a hyphen never hides one permit from another."""
    made = world(course.EVALUATE)
    made.permits["2"] = replace(new_permit("2"), state=State.IN_FORCE, starts=NOW, ends=ENDS, plant=plant, zone=zone)

    assert [k.guard for k in made.tried("1", course.APPROVE, person("issuer"), "issuer")] == ["incompatible_work"]


@pytest.mark.parametrize(
    ("energy", "meets"), [("noise", False), (" Noise", False), ("Electrical", True), ("painting", True), ("", True)]
)
def test_an_energy_that_is_not_of_the_list_counts_as_every_energy(energy: str, *, meets: bool) -> None:
    made = world(course.EVALUATE)
    energies = frozenset({energy}) if energy else frozenset[str]()
    made.permits["2"] = replace(new_permit("2"), state=State.IN_FORCE, starts=NOW, ends=ENDS, energies=energies)

    assert bool(made.tried("1", course.APPROVE, person("issuer"), "issuer")) is meets


def test_an_earth_stays_while_anybody_is_still_on_a_permit_that_is_over() -> None:
    """EIP-07: people of a permit taken away are not out by that alone."""
    made = world(course.START)
    made.done("1", course.REVOKE, "safety officer")
    details = {"earth": "E1"}
    isolator = person("isolator")
    assert [k.guard for k in made.point_tried("HV side", point_course.UNEARTH, isolator, "isolator", details)] == [
        "earth_needed"
    ]
    made.done("1", course.SIGN_OFF, "worker")
    assert made.point_tried("HV side", point_course.UNEARTH, isolator, "isolator", details) == []


def test_anybody_reports_work_that_does_not_go_together_and_both_wait_until_it_is_settled() -> None:
    """INX-02. SG 18 (published): whoever becomes aware of incompatible work reports it."""
    made = world(course.ACCEPT)
    made.permits["2"] = replace(standing(State.ISSUED), number="2", plant="T9", zone="yard")
    worker = person("worker")
    assert [
        k.guard for k in made.tried("1", course.REPORT, worker, "worker", {"reason": "x", "other_permit": "9"})
    ] == ["other_permit"]
    made.done("1", course.REPORT, "worker", other_permit="2", reason="crane swings over the bay")
    made.done("1", course.BRIEF, "acceptor")
    made.done("1", course.SIGN_ON, "worker")
    (lack,) = made.tried("1", course.START, person("acceptor"), "acceptor")
    assert lack.words == "reported as not going together with 2: crane swings over the bay"
    two = [k.guard for k in made.look("2", made.asked(course.START, person("acceptor"), "acceptor", FULL))]
    assert two == ["state"]
    made.permits["2"] = replace(made.permits["2"], state=State.ACCEPTED, acceptor=person("acceptor").name)
    two = [k.guard for k in made.look("2", made.asked(course.START, person("acceptor"), "acceptor", FULL))]
    assert "no_report_open" in two
    made.done("1", course.SETTLE, "issuer", reason="crane stands still until noon")
    assert made.tried("1", course.START, person("acceptor"), "acceptor") == []


def test_with_another_crew_on_the_plant_one_person_coordinates() -> None:
    """INX-05. 29 CFR 1910.147(f)(3)(ii)(C) (published): one authorised employee coordinates several crews."""
    made = world(course.PROVE)
    made.permits["2"] = replace(standing(State.IN_FORCE), number="2", energies=frozenset({"noise"}))
    made.around = replace(made.around, pairs=dict.fromkeys(PAIRS, Pair(ban=False, because="nothing asked for")))
    made.permits["1"] = replace(made.permits["1"], meets={})
    alone = {key: text for key, text in FULL.items() if key != "coordinator"}
    assert [k.guard for k in made.tried("1", course.ISSUE, person("issuer"), "issuer", alone)] == [
        "coordinator_named"
    ]
    assert made.tried("1", course.ISSUE, person("issuer"), "issuer", {**alone, "coordinator": "Eva Lind"}) == []


def test_a_signer_out_of_date_stops_the_start() -> None:
    made = world(course.ACCEPT)
    made.done("1", course.BRIEF, "acceptor")
    made.done("1", course.SIGN_ON, "worker")
    made.around = replace(made.around, lapsed=("the key of issuer D was taken out of use",))

    assert [k.guard for k in made.tried("1", course.START, person("acceptor"), "acceptor")] == ["signers_in_date"]


def test_a_point_above_the_voltage_of_the_permit_is_refused() -> None:
    """APP-04: the limits of people are read from the permit, so it names the highest voltage of its points."""
    made = world(course.APPROVE)
    made.permits["1"] = replace(made.permits["1"], voltage_v=400)
    (lack,) = made.tried("1", course.ISOLATE, person("isolator"), "isolator")

    assert lack.words == "the permit names 400 V; above it lie HV side (11000 V)"


def test_the_plate_is_read_before_anything_is_switched() -> None:
    made = world(course.APPROVE)
    made.around = replace(made.around, open_at={"plate_read": ("the plate shows the tag of the plan",)})
    (lack,) = made.tried("1", course.ISOLATE, person("isolator"), "isolator")

    assert (lack.guard, lack.words) == (
        "plate_read_passed",
        "hold point PLATE READ: the plate shows the tag of the plan",
    )


def test_a_ruling_that_ends_while_people_work_suspends_and_a_new_one_is_signed() -> None:
    made = world(course.START)
    words = "owner's engineer"
    made.around = replace(made.around, decisions={"oil.suction": words})
    full = {**FULL, "stop": "oil.suction", "until": (NOW + timedelta(hours=1)).isoformat(), "ruled_by": words}
    assert made.tried("1", course.RULE, ruler(words), words, full) == []
    made.now = NOW + timedelta(minutes=59)
    assert made.permits["1"].at(made.now) is State.IN_FORCE
    assert [k.guard for k in made.tried("1", course.RULE, ruler(words), words, full)] == ["ruled_by_named"]
    made.now = NOW + timedelta(hours=1)
    assert made.permits["1"].at(made.now) is State.SUSPENDED
    again = {**full, "until": (NOW + timedelta(hours=3)).isoformat()}
    assert made.tried("1", course.RULE, ruler(words), words, again) == []
    assert made.permits["1"].at(made.now) is State.SUSPENDED


def test_work_put_at_another_time_meets_nobody_and_an_extension_looks_at_its_new_end() -> None:
    """INX-01: overlap in time is that of the window asked for, not of the one that was."""
    other = replace(new_permit("2"), state=State.APPROVED, starts=ENDS, ends=ENDS + timedelta(hours=4))
    made = world(course.EVALUATE)
    made.permits["2"] = other
    overlapping = {**FULL, "ends": (ENDS + timedelta(minutes=1)).isoformat()}
    assert [k.guard for k in made.tried("1", course.APPROVE, person("issuer"), "issuer", overlapping)] == [
        "incompatible_work"
    ]
    assert made.tried("1", course.APPROVE, person("issuer"), "issuer") == []
    made = world(course.START)
    made.permits["2"] = other
    assert [k.guard for k in made.tried("1", course.EXTEND, person("issuer"), "issuer", overlapping)] == [
        "incompatible_work"
    ]


@pytest.mark.parametrize("act", [course.START, course.RESUME])
def test_nobody_starts_under_rules_that_were_withdrawn(act: str) -> None:
    made = world()
    made.around = replace(made.around, adopted=False)
    made.permits["1"] = replace(standing(next(iter(course.ROWS[act].states))))

    assert "adopted_rules" in [k.guard for k in made.look("1", made.asked(act, person("acceptor"), "acceptor", FULL))]


def test_a_permit_under_change_still_holds_its_place_against_others() -> None:
    """Its points stay and its people may still be inside: a new revision begun is no permit less."""
    made = world(course.START)
    made.done("1", course.CHANGE, "worker")
    made.permits["2"] = replace(new_permit("2"), state=State.EVALUATED)

    asked = made.asked(course.APPROVE, person("issuer"), "issuer", FULL)
    assert [k.guard for k in made.look("2", asked)] == ["incompatible_work"]


def test_a_stop_during_a_test_ends_its_document_and_all_is_proved_anew() -> None:
    made = world(course.START)
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.TEST, "issuer")
    made.done("1", course.STOP, "worker")
    permit = made.permits["1"]

    assert (permit.state, permit.test) == (State.SUSPENDED, None)
    assert permit.tests[0].ended_at == made.now
    assert "measures_in_place" in [
        k.guard for k in made.tried("1", course.ALLOW_RESUMING, person("issuer"), "issuer")
    ]


def test_what_the_outgoing_holder_leaves_behind_stands_on_the_permit() -> None:
    """HOV-04: the state left is written with the offer and seen by everybody until the work starts again."""
    made = world(course.START)
    made.done("1", course.OFFER, "acceptor", state_left="valve shut, tray under it")

    assert made.permits["1"].state_left == "valve shut, tray under it"


def test_past_the_end_no_test_goes_on() -> None:
    made = world(course.START)
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.TEST, "issuer")
    made.now = ENDS
    made.done("1", course.HAND_BACK, "acceptor")

    assert made.permits["1"].test is None
    assert made.permits["1"].tests[0].ended_at is not None
