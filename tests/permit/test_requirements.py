"""Requirements of approval, isolation, life, handover and interaction that no other test names: kept, and refused.

Sources stand beside each; SG is the Singapore WSH (Construction) Regulations 2007, O147 is 29 CFR 1910.147.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.document import Road, State
from riskhelper.permit.meanings import PERMIT_MEANINGS
from riskhelper.permit.persons import Authority, Person
from riskhelper.permit.points import Point, PointState, Proof, proof_lack
from tests.permit.world import DETECTOR, ENDS, FULL, NOW, World, detected, person, readings, world


def guards(made: World, act: str, who: Person, role: str, **details: str) -> list[str]:
    """What refuses an act of permit 1; nothing is done."""
    told = {"visited_at": made.now.isoformat(), **FULL, **details}
    return [lack.guard for lack in made.look("1", made.asked(act, who, role, told))]


def both(one: str, other: str, name: str = "") -> Person:
    """A person with two roles."""
    return Person(name or person(one).name, "Crag End", tuple(Authority(r, ENDS, 11_000) for r in (one, other)))


def test_a_request_comes_from_the_requester_and_states_the_measures() -> None:
    """APP-01, SG 13 (published)."""
    assert guards(world(), course.REQUEST, person("worker"), "worker") == ["role"]
    assert guards(world(), course.REQUEST, person("requester"), "requester", measures_stated="") == [
        "measures_stated"
    ]
    assert guards(world(), course.REQUEST, person("requester"), "requester") == []


def test_another_person_evaluates() -> None:
    """APP-02, SG 11(1)(b) (published)."""
    made = world(course.REQUEST)
    same = both("evaluator", "requester", person("requester").name)
    assert guards(made, course.EVALUATE, same, "evaluator") == ["not_the_requester"]
    assert guards(made, course.EVALUATE, person("evaluator"), "evaluator", seen_on_site=" ") == ["seen_on_site"]


@pytest.mark.parametrize(
    ("left_out", "guard"),
    [("crew_informed", "crew_informed"), ("visited_at", "visited_since_change"), ("issuer_copy_kept",) * 2],
)
def test_approving_and_issuing_are_two_acts_and_issue_has_guards_of_its_own(left_out: str, guard: str) -> None:
    """APP-03, INT-08 (the visit is newer than the last change), DIS-01; SG 15(1)(a) to (d) (published)."""
    assert guards(world(course.EVALUATE), course.ISSUE, person("issuer"), "issuer") == ["state"]
    made = world(course.PROVE)
    assert made.permits["1"].signed["approve"] == person("issuer").name
    assert "issue" not in made.permits["1"].signed
    assert guards(made, course.ISSUE, person("issuer"), "issuer", **{left_out: ""}) == [guard]
    made.points["HV side"] = replace(made.points["HV side"], earths=())
    assert guards(made, course.ISSUE, person("issuer"), "issuer") == ["measures_in_place"]


@pytest.mark.parametrize(
    ("authority", "words"),
    [
        (Authority("issuer", ENDS, 400), "ends at 400 V"),
        (Authority("issuer", ENDS, 11_000, plant="T9"), "covers plant `T9`"),
        (Authority("issuer", NOW, 11_000), "ran out"),
    ],
)
def test_who_may_approve_what_has_limits_of_voltage_plant_and_time(authority: Authority, words: str) -> None:
    """APP-04, written limits of authority (published high-voltage rules)."""
    made = world(course.EVALUATE)
    who = Person("Ola Berg", "Crag End", (authority,))
    (lack,) = made.look("1", made.asked(course.APPROVE, who, "issuer", FULL))

    assert lack.guard == "role"
    assert words in lack.words


def test_nobody_approves_their_own_request_and_issuer_and_acceptor_are_two() -> None:
    """APP-05, common practice."""
    requester = both("issuer", "requester", person("requester").name)
    evaluator = both("issuer", "evaluator", person("evaluator").name)
    made = world(course.EVALUATE)
    assert guards(made, course.APPROVE, requester, "issuer") == ["prepared_by_another"]
    assert guards(made, course.APPROVE, evaluator, "issuer") == ["prepared_by_another"]
    made = world(course.ISSUE)
    issuer = both("acceptor", "issuer", person("issuer").name)
    made.points["HV side"] = replace(made.points["HV side"], personal_locks=(issuer.name,))
    assert guards(made, course.ACCEPT, issuer, "acceptor") == ["not_the_issuer"]


def test_issuer_and_acceptor_sign_two_meanings_before_anything_starts() -> None:
    """APP-06, general permit guidance (published): the acceptor understands risks and precautions."""
    assert PERMIT_MEANINGS["issue"] != PERMIT_MEANINGS["accept"]
    assert "understands its risks" in PERMIT_MEANINGS["accept"]
    assert guards(world(course.ISSUE), course.START, person("acceptor"), "acceptor") == ["state"]
    made = world(course.ISSUE)
    made.point_done("HV side", point_course.LOCK, "acceptor")
    assert guards(made, course.ACCEPT, person("acceptor"), "acceptor", understands="") == ["understands"]
    signed = world(course.ACCEPT).permits["1"].signed
    assert signed["issue"] != signed["accept"]


@pytest.mark.parametrize("act", [course.ALLOW_RESUMING, course.EXTEND, course.TEST, course.RULE])
def test_whoever_works_under_a_permit_decides_nothing_for_the_plant(act: str) -> None:
    """APP-05: the issuer who decides is never of the crew."""
    made = world(course.ACCEPT)
    made.around = replace(made.around, decisions={"oil.suction": "issuer"})
    crew = both("issuer", "worker", "Udo Fenn")
    made.permits["1"] = replace(
        made.permits["1"],
        state=State.SUSPENDED if act == course.ALLOW_RESUMING else State.IN_FORCE,
        roster=made.permits["1"].roster.with_member(crew.name, made.now),
    )
    assert "not_of_the_crew" in guards(made, act, crew, "issuer", stop="oil.suction")


def test_an_issuer_of_the_crew_releases_no_hold_point_of_the_issuer() -> None:
    made = world(course.START)
    made.around = replace(made.around, open_at={"dry": ()}, released_by={"dry": "issuer"})
    crew = both("issuer", "worker", person("worker").name)
    assert guards(made, course.PASS, crew, "issuer", hold_point="dry") == ["released_by_named"]
    assert guards(made, course.PASS, person("issuer"), "issuer", hold_point="dry") == []


def test_who_allowed_or_extended_does_not_join_the_crew() -> None:
    made = world(course.START)
    made.done("1", course.EXTEND, "issuer", "2", ends=(ENDS + timedelta(hours=1)).isoformat())
    extended = both("issuer", "worker", person("issuer", "2").name)
    assert guards(made, course.SIGN_ON, extended, "worker", own_lock="9") == ["not_the_issuer"]


def test_points_are_described_secured_and_proved_in_their_order() -> None:
    """EIP-02, EIP-03, O147 (d) (published): position, lock, tag and key by number; nothing is proved before."""
    made = World()
    isolator = person("isolator")
    found = made.point_tried("P", point_course.PLAN, isolator, "isolator", {"device": "links", "plant": "T2"})
    assert [(k.guard, k.words) for k in found] == [("described", "position and side not written")]
    made.plan_point("P", "links", 400)
    tried = {"tester": "K", "readings": readings(NOW)}
    assert [k.guard for k in made.point_tried("P", point_course.PROVE, isolator, "isolator", tried)] == ["state"]
    for key in ("lock", "tag", "key"):
        told = {"lock": "1", "tag": "2", "key": "3", key: ""}
        found = made.point_tried("P", point_course.SECURE, isolator, "isolator", told)
        assert [(k.guard, k.words) for k in found] == [("locked_and_tagged", f"{key} not written")]
    made.point_done("P", point_course.SECURE, lock="1", tag="2", key="3")
    point = made.points["P"]
    assert (point.lock, point.tag, point.key, point.secured_by, point.at) == ("1", "2", "3", isolator.name, NOW)


def test_a_valve_is_proved_by_what_was_seen_at_the_work_point() -> None:
    """EIP-05, common practice: no reading of a tester speaks for oil."""
    valve = Point("tank valve", "T2", "valve", "shut", state=PointState.SECURED)
    assert proof_lack(valve, Proof(" ", "AC", (), "x", NOW)) == "what was seen is not written"
    assert proof_lack(valve, Proof("bleed open five minutes, no flow", "AC", (), "x", NOW)) == ""


@pytest.mark.parametrize("third", [True, False])
def test_the_tester_is_tried_on_its_source_before_and_after(*, third: bool) -> None:
    """EIP-06, published switching rules: tester, points on all poles, tester again."""
    made = World()
    made.plan_point()
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    told = detected(made.now) if third else detected(made.now).rsplit(";", 1)[0]
    details = {**DETECTOR, "readings": told}
    found = made.point_tried("HV side", point_course.PROVE, person("isolator"), "isolator", details)

    assert [lack.guard for lack in found] == ([] if third else ["tested_dead"])


@pytest.mark.parametrize(
    "left_out", ["adjacent_screened", "stored_energy_off", "restart_tried", "affected_told", "identified_two_ways"]
)
def test_what_the_isolator_has_to_write_is_missed(left_out: str) -> None:
    """EIP-01, EIP-08, EIP-10: stored energy, adjacent live parts, people told, two ways of finding the point."""
    made, act = world(course.APPROVE), course.ISOLATE
    if left_out not in ("affected_told", "identified_two_ways"):
        made.to_isolating()
        act = course.PROVE
    assert guards(made, act, person("isolator"), "isolator", **{left_out: ""}) == [left_out]


@pytest.mark.parametrize("ways", ["label", "label, Label", "label,"])
def test_a_label_alone_identifies_no_point(ways: str) -> None:
    """EIP-10, a published case of the wrong panel opened."""
    made = world(course.APPROVE)
    told = {"identified_two_ways": ways}
    assert guards(made, course.ISOLATE, person("isolator"), "isolator", **told) == ["identified_two_ways"]


def test_without_every_step_it_is_worked_as_live() -> None:
    """EIP-09, 29 CFR 1910.269 (published): not dead until every step is done."""
    made = World()
    made.plan_point()
    lacks = [made.points["HV side"].work_as_dead_lack()]
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    lacks.append(made.points["HV side"].work_as_dead_lack())
    made.point_done("HV side", point_course.PROVE, **DETECTOR, readings=detected(made.now))
    lacks.append(made.points["HV side"].work_as_dead_lack())
    assert [bool(lack) for lack in lacks] == [True, True, True]
    made.point_done("HV side", point_course.EARTH, earth="E1")
    assert made.points["HV side"].work_as_dead_lack() == ""


def test_power_returns_only_with_locks_off_people_told_and_the_message_repeated() -> None:
    """EIP-11, EIP-14, HOV-08, O147 (e)(2), (f)(3) (published); repeat-back is a published switching rule."""
    made = World()
    made.plan_point()
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    made.point_done("HV side", point_course.LOCK, "worker")
    full = {"affected_notified": "control room", "repeated_by": "Iva Roe"}

    def release(**told: str) -> list[str]:
        isolator = person("isolator")
        asked = {**full, **told}
        return [k.guard for k in made.point_tried("HV side", point_course.RELEASE, isolator, "isolator", asked)]

    assert release() == ["personal_locks_on"]
    made.point_done("HV side", point_course.UNLOCK, "worker")
    assert release(repeated_by="") == ["message_repeated"]
    assert release(affected_notified="") == ["affected_notified"]
    assert release(basis="agreed_time") == ["agreed_time"]
    assert release() == []


def test_nobody_starts_outside_the_window_and_past_the_end_nothing_brings_it_back() -> None:
    """LIF-02, LIF-03, SG 12 and 15(4) (published)."""
    made = world(course.ACCEPT)
    made.done("1", course.BRIEF, "acceptor")
    made.done("1", course.SIGN_ON, "worker")
    early = replace(made.permits["1"], starts=made.now + timedelta(hours=1))
    made.permits["1"] = early
    assert guards(made, course.START, person("acceptor"), "acceptor") == ["window_open"]
    made.now = ENDS
    for act in (course.START, course.RESUME, course.ALLOW_RESUMING, course.PASS):
        role = course.ROWS[act].roles[0]
        assert guards(made, act, person(role), role) == ["state"]
    later = (ENDS + timedelta(hours=4)).isoformat()
    assert guards(made, course.EXTEND, person("issuer"), "issuer", ends=later) == ["fresh_application_needed"]


@pytest.mark.parametrize("act", [course.EVALUATE, course.APPROVE, course.ISOLATE, course.ISSUE, course.START])
def test_what_changed_since_it_was_signed_voids_every_later_act(act: str) -> None:
    """APP-09, LIF-05, 21 CFR 11.70 (published): a signature belongs to its content."""
    row = course.ROWS[act]
    made = world()
    made.permits["1"] = replace(
        made.permits["1"], state=next(iter(row.states)), starts=NOW, ends=ENDS, acceptor=person("acceptor").name
    )
    before = guards(made, act, person(row.roles[0]), row.roles[0])
    made.around = replace(made.around, plan_changed=("the answer to oil.head_m",))

    assert set(guards(made, act, person(row.roles[0]), row.roles[0])) - set(before) == {"plan_unchanged"}


@pytest.mark.parametrize("state", ["issued", "accepted", "in force", "suspended", "under test"])
def test_anyone_stops_in_one_act_without_a_word(state: str) -> None:
    """LIF-06, EMG-04 (switching off and stopping ask nobody), common practice."""
    made = world()
    made.permits["1"] = replace(made.permits["1"], state=State(state), starts=NOW, ends=ENDS)
    asked = made.asked(course.STOP, Person("a visitor", "", ()), "", {})

    assert made.look("1", asked) == []


@pytest.mark.parametrize("act", [course.SUSPEND, course.OFFER, course.END_TEST])
def test_work_that_is_parked_is_left_in_a_state_that_is_written(act: str) -> None:
    """HOV-04, guidance on permits (published): left with clear instructions."""
    made = world(course.START)
    if act == course.END_TEST:
        made.done("1", course.SIGN_OFF, "worker")
        made.done("1", course.TEST, "issuer")
    role = "acceptor" if act == course.OFFER else "issuer"
    assert guards(made, act, person(role), role, state_left="") == ["state_left"]


def test_a_suspended_permit_stays_with_its_points_and_takes_proof_anew() -> None:
    """HOV-05, public inquiry (published): the second permit on the pump that nobody saw."""
    made = world(course.START)
    made.done("1", course.SUSPEND, "issuer", state_left="relief valve out, blank loose")
    assert point_course.needed_by("HV side", made.permits.values(), made.now) == ("1",)
    assert guards(made, course.ALLOW_RESUMING, person("issuer"), "issuer") == ["measures_in_place"]
    assert made.permits["1"].state_left == "relief valve out, blank loose"


def test_hand_back_says_complete_or_not_with_nobody_on_and_tools_counted() -> None:
    """HOV-06, O147 (e)(1) and (2) (published)."""
    made = world(course.START)
    told = {"complete": "perhaps", "tools_accounted": ""}
    found = guards(made, course.HAND_BACK, person("acceptor"), "acceptor", **told)
    assert found == ["crew_out", "tools_accounted", "completeness_stated"]
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.HAND_BACK, "acceptor", complete="yes")
    assert made.permits["1"].complete is True


def test_another_person_inspects_before_a_permit_is_cancelled_and_nothing_follows() -> None:
    """HOV-07, general permit guidance (published)."""
    made = world(course.START)
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.HAND_BACK, "acceptor")
    same = both("area owner", "acceptor", person("acceptor").name)
    assert guards(made, course.CANCEL, same, "area owner") == ["handed_back_by_another"]
    assert guards(made, course.CANCEL, person("area owner"), "area owner", inspected="") == ["inspected"]
    made.done("1", course.CANCEL, "area owner")
    assert all(guards(made, act, person(row.roles[0]), row.roles[0]) == ["state"] for act, row in course.ROWS.items())


def test_a_point_names_every_permit_that_still_needs_it() -> None:
    """INX-03, public inquiry (published): two permits on one pump."""
    made = world(course.START)
    made.permits["2"] = replace(made.permits["1"], number="2", state=State.SUSPENDED)
    (lack,) = made.point_tried("HV side", point_course.RELEASE, person("isolator"), "isolator", {})

    assert lack.words == "permits 2, 1 still need point HV side"


def test_beside_plant_in_service_its_owner_is_consulted() -> None:
    """APP-07, WHS Regulation 2011 158(1)(d) (published)."""
    made = world(course.EVALUATE, Road.ACCESS)
    told = {"consulted_person_in_control": ""}
    assert guards(made, course.APPROVE, person("issuer"), "issuer", **told) == ["consulted_person_in_control"]


def test_nobody_joins_the_crew_unbriefed_and_a_change_asks_for_a_new_briefing() -> None:
    """DIS-04, DIS-05."""
    made = world(course.ACCEPT)

    assert "briefed_before" in guards(made, course.SIGN_ON, person("worker"), "worker")
    changed = world(course.ACCEPT)
    changed.done("1", course.BRIEF, "acceptor")
    changed.done("1", course.SIGN_ON, "worker")
    changed.permits["1"] = replace(changed.permits["1"], changed_at=changed.now + timedelta(minutes=1))
    assert "briefed_after_change" in guards(changed, course.START, person("acceptor"), "acceptor")


def test_whoever_answered_a_question_of_the_plan_cannot_approve_it() -> None:
    """APP-05: also who answered after the permit was drawn up, and before it was asked for again."""
    issuer = person("issuer")
    made = world(course.REQUEST)
    assert guards(made, course.RETURN, issuer, "issuer") == []
    late = world()
    late.tried("1", course.REQUEST, person("requester"), "requester", {**FULL, "prepared_by": f"Ada\n{issuer.name}"})
    late.tried("1", course.EVALUATE, person("evaluator"), "evaluator")
    assert guards(late, course.APPROVE, issuer, "issuer") == ["prepared_by_another"]


def test_an_answer_without_a_name_has_somebody_who_gave_it_before_the_permit_is_asked_for() -> None:
    """APP-05, REC-04 (attributable): without a name nobody can tell whether the approver gave it."""
    made = world()
    made.around = replace(made.around, authors=frozenset({"Ada", "not named"}))
    assert guards(made, course.REQUEST, person("requester"), "requester") == ["answers_named"]
    named = {"unnamed_by": person("issuer").name}
    assert guards(made, course.REQUEST, person("requester"), "requester", **named) == []
    made.tried("1", course.REQUEST, person("requester"), "requester", {**FULL, **named})
    made.tried("1", course.EVALUATE, person("evaluator"), "evaluator")
    assert guards(made, course.APPROVE, person("issuer"), "issuer") == ["prepared_by_another"]


@pytest.mark.parametrize(
    ("before", "act", "role"), [(course.APPROVE, course.ISOLATE, "isolator"), (course.PROVE, course.ISSUE, "issuer")]
)
def test_nothing_is_secured_or_issued_on_an_isolation_plan_with_a_gap(before: str, act: str, role: str) -> None:
    """EIP-01, 29 CFR 1910.147(c)(4)(ii) (published)."""
    made = world(before)
    assert guards(made, act, person(role), role) == []
    made.around = replace(made.around, isolation_gaps=("High-voltage side does not say how it is handed on",))

    (lack,) = made.look("1", made.asked(act, person(role), role, {"visited_at": made.now.isoformat(), **FULL}))
    assert (lack.guard, lack.words) == (
        "isolation_written",
        "the isolation plan is not written in full: High-voltage side does not say how it is handed on",
    )
