"""A permit from draft to cancelled through the acts; what is refused changes nothing; the record verifies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering, stopping
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.stated_plant import contradiction
from riskhelper.acts.permit import isolation, permits
from riskhelper.acts.permit.permits import DraftPermit
from riskhelper.acts.permit.zone_stop import stop_zone
from riskhelper.acts.record import verifying
from riskhelper.acts.register import people
from riskhelper.acts.register.people import NewPerson
from riskhelper.acts.register.signing import append_signed, sign_in, site
from riskhelper.evidence import Answer, Job
from riskhelper.permit.document import Permit, State
from riskhelper.record.canonical import Content
from riskhelper.record.entries import MEANINGS
from riskhelper.store.keys import KeyRefused
from tests.acts.adopted_rules import AUTHOR, SECOND, TODAY, act, checked, with_second_officer
from tests.acts.crew import KEEPERS, Crew, crew, passphrase, ready_job
from tests.acts.workbench import START, context
from tests.permit.world import FULL, ORDER, readings

DRAFT = DraftPermit("7", "permit-to-work", "P2", "valve", "bay 4", 400, ("electrical", "water"), ("feeder",))


def acknowledged(made: Crew, number: str = "7/1") -> str:
    """The marks of every condition of the plan, as a desk offers them."""
    (field,) = (f for f in permits.wanted_now(made.bench, number, "approve") if f.key == "acknowledged")
    return " ".join(field.choices or ())


def did(made: Crew, role: str, act: str, number: str = "7/1", **more: str) -> Permit:
    """An act by the person of a role, with everything written that can be."""
    made.clock.move(1)
    window = {"starts": START.isoformat(), "ends": (START + timedelta(hours=8)).isoformat()}
    if act == "sign on":
        more = {"own_lock": f"W1 {role}", **more}
    if act == "approve":
        more = {"acknowledged": acknowledged(made, number), **more}
    details: Mapping[str, str] = {**FULL, **window, "visited_at": made.clock().isoformat(), **more}
    return permits.act(made.signing(f"the {role}", role), number, act, details)


def touched(made: Crew, act: str, role: str = "isolator", **details: str) -> None:
    own = {"lock": f"A1 {role}"} if act == "lock" else {}
    isolation.act(made.signing(f"the {role}", role), "feeder", act, {**ORDER, **own, **details})


def drawn_up(folder: Path, *, rehearsal: bool = True, recheck_min: str = "") -> Crew:
    made = crew(folder, rehearsal=rehearsal)
    ready_job(made)
    touched(
        made,
        "plan",
        plant="P2",
        device="links",
        position="out",
        side="own_circuit",
        voltage_v="400",
        recheck_min=recheck_min,
    )
    permits.draft(made.signing("the requester", "requester"), DRAFT)
    return made


def evaluated(folder: Path, *, rehearsal: bool = True) -> Crew:
    made = drawn_up(folder, rehearsal=rehearsal)
    did(made, "requester", "request")
    did(made, "evaluator", "evaluate")
    return made


def proved(made: Crew) -> None:
    touched(made, "prove", tester="K-77", readings=readings(made.clock()))


def in_force(folder: Path, recheck_min: str = "") -> Crew:
    made = drawn_up(folder, recheck_min=recheck_min)
    did(made, "requester", "request")
    did(made, "evaluator", "evaluate")
    did(made, "issuer", "approve")
    did(made, "isolator", "isolate")
    touched(made, "secure", lock="1", tag="2", key="3")
    proved(made)
    did(made, "witness", "witness")
    did(made, "isolator", "prove")
    did(made, "issuer", "issue")
    touched(made, "lock", "acceptor", lock="A1")
    did(made, "acceptor", "accept")
    did(made, "acceptor", "brief")
    did(made, "worker", "sign on")
    assert did(made, "acceptor", "start").state is State.IN_FORCE
    return made


def test_a_permit_goes_from_draft_to_cancelled_and_the_record_holds(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    answering.answer(made.bench, GiveAnswer("7", "valve_holds", "pump.drip_dry", "yes"))
    with pytest.raises(Refused, match=r"this hold point is released by issuer\. Needed: whom the rule set names"):
        did(made, "witness", "pass hold point", hold_point="valve_holds")
    did(made, "issuer", "pass hold point", hold_point="valve_holds")
    did(made, "worker", "sign off")
    did(made, "acceptor", "hand back")
    touched(made, "unlock", "acceptor")
    with pytest.raises(Refused, match="permits 7/1 still need point feeder"):
        touched(made, "release", affected_notified="control room", repeated_by="Iva Roe")
    did(made, "area owner", "cancel")
    touched(made, "release", affected_notified="control room", repeated_by="Iva Roe")
    outcome = verifying.verify(tmp_path / "record.sqlite", rehearsal=True)

    assert outcome.findings == ()
    assert not any("only a tree head on paper" in line for line in verifying.lines(outcome))
    answering.note(made.bench, "7", "gate locked")
    after = verifying.lines(verifying.verify(tmp_path / "record.sqlite", rehearsal=True))
    size = outcome.head.size
    assert (
        f"After entry {size} nothing is signed: only a tree head on paper binds entries {size + 1} to {size + 1}."
        in after
    )
    assert dict(outcome.signed_by)["the acceptor"] == 6
    assert verifying.lines(outcome)[0] == f"The record holds: {outcome.head.size} entries."
    (line,) = permits.sheet(made.bench)
    assert (line.words, line.possible) == ("cancelled", ())
    assert line.permit.passed == ("valve_holds",)


def test_a_permit_taken_up_by_a_new_process_stands_where_it_stood(tmp_path: Path) -> None:
    made = in_force(tmp_path)

    again = site(made.bench)

    assert again.permits["7/1"].roster.signed_on == ("the worker",)
    assert again.points["feeder"].personal_locks == ("the acceptor",)
    assert again.permits["7/1"].signed["issue"] == "the issuer"


def test_each_entry_says_what_its_signature_means(tmp_path: Path) -> None:
    """21 CFR 11.50(a) (published): name, moment and meaning stand with each signature."""
    made = evaluated(tmp_path)
    entry = made.bench.store.every()[-1]

    assert (entry.draft.who, entry.draft.role) == ("the evaluator", "evaluator")
    assert entry.meaning == MEANINGS["permit evaluate"] == "has checked the request on site; finds no stop left"
    assert entry.moment == made.clock()
    assert len(str(entry.draft.content["plan"])) == 64


def test_whoever_prepared_the_plan_never_approves_it(tmp_path: Path) -> None:
    made = evaluated(tmp_path)
    made.add("the evaluator", "evaluator", "issuer")
    signing = made.signing("the evaluator", "issuer")

    with pytest.raises(Refused, match=r"the evaluator had a part in preparing it. Needed: an issuer who prepared"):
        permits.act(signing, "7/1", "approve", FULL)


def test_outside_rehearsal_nothing_is_approved_under_rules_nobody_adopted(tmp_path: Path) -> None:
    made = evaluated(tmp_path, rehearsal=False)
    with pytest.raises(Refused, match=r"the rule set was not adopted by this site. Needed: two officers adopt"):
        did(made, "issuer", "approve")
    checked(with_second_officer(made))
    act(made, AUTHOR, "adopt", from_=TODAY)
    with pytest.raises(Refused, match=r"has signed it already. Needed: a second officer signs"):
        act(made, AUTHOR, "adopt", from_=TODAY)
    with pytest.raises(Refused, match="was not adopted"):
        did(made, "issuer", "approve")
    act(made, SECOND, "adopt", from_=TODAY)

    assert did(made, "issuer", "approve").state is State.APPROVED


def test_a_change_of_the_plan_voids_what_was_signed_and_says_what_changed(tmp_path: Path) -> None:
    made = evaluated(tmp_path)
    answering.answer(made.bench, GiveAnswer("7", "gate", "pump.head_m", "3.2"))
    with pytest.raises(Refused, match=r"the plan changed since it was signed: the answer to pump.head_m"):
        did(made, "issuer", "approve")
    did(made, "requester", "change")
    did(made, "requester", "request")
    did(made, "evaluator", "evaluate")

    assert did(made, "issuer", "approve").revision == 2


def test_a_stop_of_the_assessment_or_of_a_person_stands_in_the_way(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)
    answering.answer(made.bench, GiveAnswer("7", "gate", "pump.thunder", "yes"))
    did(made, "requester", "request")
    with pytest.raises(Refused, match="the assessment says stop: Thunder near"):
        did(made, "evaluator", "evaluate")
    did(made, "requester", "change")
    answering.answer(made.bench, GiveAnswer("7", "gate", "pump.thunder", "no"))
    entry = stopping.stop_work(made.bench, "7", "gate")
    did(made, "requester", "request")
    with pytest.raises(Refused, match=f"stop called in entry {entry.number}"):
        did(made, "evaluator", "evaluate")


def test_a_hold_point_with_an_open_check_is_not_passed(tmp_path: Path) -> None:
    made = in_force(tmp_path)

    with pytest.raises(Refused, match=r"hold point VALVE HOLDS: pump\.drip_dry"):
        did(made, "issuer", "pass hold point", hold_point="valve_holds")
    with pytest.raises(Refused, match="`lunch` is no hold point of this job; it has valve_holds"):
        did(made, "issuer", "pass hold point", hold_point="lunch")


def test_anyone_stops_without_any_reason_and_the_points_stay(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    stopped = permits.act(made.signing("the witness", "witness"), "7/1", "stop", {})

    assert stopped.state is State.SUSPENDED
    assert site(made.bench).points["feeder"].state.value == "proved"
    assert permits.sheet(made.bench)[0].words == "suspended"


def test_a_stop_without_any_signature_suspends_as_well(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    stopping.stop_work(made.bench, "7", "valve_holds")

    assert site(made.bench).permits["7/1"].state is State.SUSPENDED
    with pytest.raises(Refused, match="the issuer has not allowed to resume"):
        did(made, "acceptor", "resume")
    proved(made)
    with pytest.raises(Refused, match="the assessment says stop: stop called in entry"):
        did(made, "issuer", "allow resuming")


def test_an_emergency_suspends_every_permit_of_its_zone_and_no_other(tmp_path: Path) -> None:
    """EMG-03."""
    made = in_force(tmp_path)
    permits.draft(made.signing("the requester", "requester"), DRAFT)
    with pytest.raises(
        Refused, match=r"No permit is open in `bay 5`\. Permits are open in bay 4\. Name the zone again"
    ):
        stop_zone(made.bench, "bay 5")
    assert site(made.bench).permits["7/1"].state is State.IN_FORCE
    before = made.bench.store.size()
    assert [each.number for each in stop_zone(made.bench, "Bay-4")] == ["7/1"]
    assert made.bench.store.size() == before + 1
    assert site(made.bench).permits["7/1"].state is State.SUSPENDED
    assert site(made.bench).permits["7/1"].state_left == "an emergency in the zone"
    assert site(made.bench).permits["7/2"].state is State.DRAFT


def test_answers_under_a_signed_plan_are_not_taken_back(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)

    with pytest.raises(Refused):
        answering.take_back(made.bench, "7")


def test_a_clock_set_back_brings_no_permit_back(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    made.clock.move(9 * 60)
    did(made, "worker", "sign off")
    made.clock.move(-9 * 60)

    with pytest.raises(Refused, match="The permit is expired"):
        did(made, "issuer", "suspend")


def test_what_was_written_meanwhile_is_looked_at_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = evaluated(tmp_path)
    signing = made.signing("the issuer", "issuer")
    sizes = iter([made.bench.store.size() - 1])
    real = made.bench.store.size
    monkeypatch.setattr(made.bench.store, "size", lambda: next(sizes, real()))

    with pytest.raises(Refused, match=r"Somebody else wrote meanwhile. Look again, then sign"):
        permits.act(signing, "7/1", "return", {"reason": "drawing missing"})


def test_unknown_numbers_acts_roads_and_people_name_what_is_known(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)
    requester = made.signing("the requester", "requester")
    for call, words in (
        (lambda: permits.act(requester, "7/2", "request", {}), r"No permit `7/2`. Did you mean `7/1`\?"),
        (lambda: permits.act(requester, "7/1", "requst", {}), r"No act `requst`. Did you mean `request`\?"),
        (lambda: permits.draft(requester, replace(DRAFT, road="road")), "Road `road` is not known"),
        (lambda: permits.draft(requester, replace(DRAFT, voltage_v=20_000)), "of that plant and voltage draws it up"),
        (
            lambda: made.signing("the isuer", "issuer"),
            r"`the isuer` is not in the register. Did you mean `the issuer`\?",
        ),
        (lambda: isolation.act(requester, "feeder", "prov", {}), r"No act `prov` on a point. Did you mean `prove`\?"),
    ):
        with pytest.raises(Refused, match=words):
            call()


def test_a_key_opens_for_its_own_words_only_and_a_revoked_one_for_none(tmp_path: Path) -> None:
    made = crew(tmp_path)
    with pytest.raises(KeyRefused, match="does not open the key of the issuer"):
        sign_in(made.bench, made.keys, "the issuer", "issuer", passphrase("the worker"))
    hand = people.open_register(made.bench, made.keys, KEEPERS)
    people.revoke(made.bench, hand, tuple(KEEPERS), "the issuer", "tablet lost")
    with pytest.raises(Refused, match=r"the issuer has no key in use. Two people vouch for a new one"):
        made.signing("the issuer", "issuer")
    made.add("the issuer", "issuer")

    assert made.signing("the issuer", "issuer").person.name == "the issuer"


def test_nobody_signs_in_a_role_they_do_not_hold(tmp_path: Path) -> None:
    made = crew(tmp_path)

    with pytest.raises(Refused, match="the worker does not hold the role issuer; held are worker"):
        made.signing("the worker", "issuer")


def test_roles_nobody_present_can_fill_are_named(tmp_path: Path) -> None:
    made = crew(tmp_path)

    assert people.unfilled(made.bench, ("the issuer", "the acceptor"), "P2", 400) == (
        "worker",
        "requester",
        "evaluator",
        "area owner",
        "isolator",
        "witness",
        "coordinator",
        "safety officer",
    )


def test_a_store_has_one_register_kept_by_two(tmp_path: Path) -> None:
    made = crew(tmp_path)

    with pytest.raises(Refused, match="has its register already"):
        people.set_up(made.bench, made.keys, {"Eve": "eve eve eve", "Max": "max max max"})
    with pytest.raises(Refused, match="kept by at least two people"):
        people.set_up(context(tmp_path / "other"), made.keys, {"Eve": "eve eve eve"})


def test_every_condition_of_the_plan_is_read_before_it_is_approved(tmp_path: Path) -> None:
    made = evaluated(tmp_path)
    marks = acknowledged(made).split()
    assert len(marks) == 4
    with pytest.raises(Refused, match=f"conditions not acknowledged: {marks[-1]} The plant is or may be in service"):
        did(made, "issuer", "approve", acknowledged=" ".join(marks[:-1]))


def test_a_note_given_with_a_return_belongs_to_a_question_of_the_job(tmp_path: Path) -> None:
    made = evaluated(tmp_path)
    with pytest.raises(Refused, match=r"No question `pump.hed_m`. Did you mean `pump.head_m`\?"):
        did(made, "issuer", "return", question="pump.hed_m")
    returned = did(made, "issuer", "return", question="pump.head_m", reason="who read the gauge?").returned

    assert returned is not None
    assert (returned.question, returned.reason) == ("pump.head_m", "who read the gauge?")


def test_a_signature_alone_moves_no_permit(tmp_path: Path) -> None:
    """ELE-06, LIF-04. 21 CFR 11.10(f), (g) (published): what a key signed past the program does not count."""
    made = evaluated(tmp_path)
    content: dict[str, Content] = {"permit": "7/1", "revision": 1, "plan": "", "details": {}}
    worker, evaluator = made.signing("the worker", "worker"), made.signing("the evaluator", "evaluator")
    isolator = made.signing("the isolator", "isolator")
    for signing, role, name in (
        (made.signing("the issuer", "issuer"), "issuer", "permit approve"),
        (worker, "issuer", "permit approve"),
        (evaluator, "evaluator", "permit issue"),
        (isolator, "isolator", "permit prove"),
    ):
        append_signed(made.bench, signing.hand, "7", role, name, content, made.bench.store.size())
    append_signed(
        made.bench,
        worker.hand,
        "",
        "worker",
        "point release",
        {"point": "feeder", "details": {}},
        made.bench.store.size(),
    )
    found = site(made.bench)

    assert found.permits["7/1"].state is State.EVALUATED
    assert found.points["feeder"].state.value == "planned"
    assert [line.split(" does not count: ")[1] for line in found.apart] == [
        "begin and end are not given as moments with their offset from UTC",
        "the worker does not hold the role issuer",
        "it is no act of a permit that is evaluated",
        "it is no act of a permit that is evaluated",
        "`release` is not an act of the role worker",
    ]


def test_people_still_on_a_permit_that_is_over_are_counted_in_an_emergency(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    did(made, "safety officer", "revoke")

    assert [each.signed_on for each in stop_zone(made.bench, "bay 4")] == [("the worker",)]


def test_an_authority_for_one_kind_of_permit_does_not_cover_another(tmp_path: Path) -> None:
    """APP-04: who may authorise what, and the limits (area, voltage, type), is written down and enforced."""
    made = drawn_up(tmp_path)
    did(made, "requester", "request")
    made.clock.move(1)
    hand = people.open_register(made.bench, made.keys, KEEPERS)
    until = START + timedelta(days=90)
    for kind in ("limitation of access", "permit-to-work"):
        new = NewPerson("Ebba Roos", "Crag End", ("evaluator",), until, 11_000, "", kind)
        people.vouch(made.bench, made.keys, hand, tuple(KEEPERS), new, passphrase("Ebba Roos"))
        ebba = sign_in(made.bench, made.keys, "Ebba Roos", "evaluator", passphrase("Ebba Roos"))
        details = {**FULL, "visited_at": made.clock().isoformat()}
        if kind == "limitation of access":
            with pytest.raises(Refused, match="covers `limitation of access`, not `permit-to-work`"):
                permits.act(ebba, "7/1", "evaluate", details)
        else:
            assert permits.act(ebba, "7/1", "evaluate", details).state is State.EVALUATED
    with pytest.raises(
        Refused, match="`sanction` is no kind of permit; known are permit-to-work, limitation of access"
    ):
        people.vouch(made.bench, made.keys, hand, tuple(KEEPERS), replace(new, type="sanction"))


@pytest.mark.parametrize(
    ("plant", "voltage_v", "said"),
    [("T2", 11_000, "132000 V on the plate, the permit"), ("T4", 132_000, "about plant `T2`, the permit about")],
)
def test_a_permit_says_no_other_plant_and_no_less_voltage_than_the_answers(
    plant: str, voltage_v: int, said: str
) -> None:
    """An authority is bound to plant and voltage, so a lower one would let somebody sign who may not."""
    job = Job(answers={"job.plant_id": Answer("T2"), "plant.tx_kv": Answer(132.0)}, number="7")

    assert said in contradiction(job, plant, voltage_v)
    assert contradiction(job, "t 2", 132_000) == ""
    assert contradiction(Job(number="7"), plant, voltage_v) == ""


def test_a_permit_for_another_plant_than_the_answers_is_not_drawn_up(tmp_path: Path) -> None:
    made = crew(tmp_path)
    ready_job(made)

    with pytest.raises(Refused, match="The answers are about plant `P2`, the permit about `P3`"):
        permits.draft(made.signing("the requester", "requester"), replace(DRAFT, plant="P3"))


def test_points_are_named_on_the_permit_from_the_register(tmp_path: Path) -> None:
    """EIP-03: a permit drawn up before its points were planned is not stuck for want of them."""
    made = crew(tmp_path)
    ready_job(made)
    permits.draft(made.signing("the requester", "requester"), replace(DRAFT, points=()))
    planned = {"plant": "P2", "device": "links", "position": "out", "voltage_v": "400", "side": "low", **ORDER}
    isolation.act(made.signing("the isolator", "isolator"), "S 12", "plan", planned)
    by = made.signing("the isolator", "isolator")
    (field,) = permits.wanted_now(made.bench, "7/1", "name points")

    assert dict(field.choices or {}) == {"S_12": "S 12: plant P2, links, 400 V"}
    with pytest.raises(Refused, match="not in the register: Q_0"):
        permits.act(by, "7/1", "name points", {"points": "Q_0"})
    assert permits.act(by, "7/1", "name points", {"points": "S_12"}).points == ("S 12",)
