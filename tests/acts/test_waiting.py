"""The list of plans at the gate, and one of them read in ten seconds."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Context
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.assessing import assess_job
from riskhelper.acts.plan import gate, rehearsing
from riskhelper.acts.plan.drawing_up import measures, proposed
from riskhelper.acts.plan.job_day import passed_at
from riskhelper.acts.plan.plan_reading import PlanRead, begin_look, day_lines, read_plan
from riskhelper.acts.plan.plan_words import (
    after_stop_words,
    change_words,
    hazard_words,
    plain_lines,
    special_stops,
    stands_words,
    stop_mark,
    stop_words,
    verdict_words,
)
from riskhelper.acts.plan.waiting import at_the_gate, decided_words, named, waiting
from riskhelper.assessment.changing import find_out_first
from riskhelper.permit.persons import EVALUATOR, ISSUER, REQUESTER
from riskhelper.terms import APPROVAL
from tests.acts.crew import Crew, crew, ready_job
from tests.acts.test_permits import did, in_force
from tests.acts.workbench import Clock, context
from tests.permit.world import FULL


def bench(folder: Path, clock: Clock | None = None) -> Context:
    return context(folder, clock or Clock(), rehearsal=True)


def handed_over(made: Context, number: str = "7") -> None:
    ready_job(Crew(made, Clock(), keys=None), number)  # type: ignore[arg-type]
    jobs.request_plan(replace(made, who="the worker"), number, "gate")


def rehearse(made: Context, name: str, role: str, act: str, number: str = "7", **more: str) -> None:
    permit = gate.permit_of(made, number)
    assert permit is not None
    gate.act(rehearsing.rehearse_as(made, name, role), permit, act, {**FULL, **more})


def requested(made: Context, number: str = "7") -> None:
    by = rehearsing.rehearse_as(made, "Ro", REQUESTER)
    drafted = replace(proposed(made, number), voltage_v=400)
    gate.draw_up_and_request(by, drafted, measures(made, number))


def look(made: Context) -> PlanRead:
    state, assessment = assess_job(made, "7", APPROVAL)
    entries = made.store.entries("7")
    return read_plan(made, state, entries, assessment, begin_look(made, entries))


def test_what_waits_stands_in_the_list_the_oldest_first(tmp_path: Path) -> None:
    clock = Clock()
    made = bench(tmp_path, clock)
    for number in ("b", "a", "c"):
        clock.move(10)
        handed_over(made, number)
    jobs.open_job(made, jobs.OpenJob("dale", "not handed over"))
    lines = waiting(made)

    assert [line.job for line in lines] == ["b", "a", "c"]
    assert [line.waited(clock()).total_seconds() for line in lines] == [1200, 600, 0]
    assert named(made, "b") == "P2, Crag End"


def test_the_list_says_whose_step_is_next_until_the_plan_is_decided(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    assert waiting(made)[0].next_step == "No permit is asked for yet: the worker's side draws it up"
    requested(made)
    assert waiting(made)[0].next_step == "To be evaluated by a second person"
    rehearse(made, "Eve", EVALUATOR, "evaluate")
    assert waiting(made)[0].next_step == "Evaluated; to be approved"
    rehearse(made, "Iris", ISSUER, "return", reason="read the gauge", question="pump.head_m")
    assert waiting(made) == ()


@pytest.mark.parametrize("act", ["refuse", "return"])
def test_what_is_refused_or_given_back_no_longer_waits_and_comes_back_when_asked_for_again(
    tmp_path: Path, act: str
) -> None:
    clock = Clock()
    made = bench(tmp_path, clock)
    handed_over(made)
    requested(made)
    rehearse(made, "Iris", ISSUER, act, reason="read the gauge")
    assert waiting(made) == ()
    clock.move(30)
    requested(made)
    (line,) = waiting(made)

    assert line.since == clock()
    permit = gate.permit_of(made, "7")
    assert permit is not None
    assert permit.number == ("7/2" if act == "refuse" else "7/1")


def test_with_a_register_only_what_was_signed_counts(tmp_path: Path) -> None:
    made = crew(tmp_path, rehearsal=True)
    ready_job(made)
    jobs.request_plan(made.bench, "7", "gate")
    drafted = replace(proposed(made.bench, "7"), voltage_v=400)
    requested(made.bench)
    assert waiting(made.bench)[0].next_step.startswith("No permit is asked for yet")
    gate.draw_up_and_request(made.signing("the requester", REQUESTER), drafted, "as planned")
    (line,) = waiting(made.bench)

    assert line.next_step == "To be evaluated by a second person"


def test_the_permit_is_proposed_from_the_answers(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    draft = proposed(made, "7")

    assert (draft.plant, draft.zone, draft.voltage_v) == ("P2", "Crag End", 0)
    assert draft.road == "limitation of access"
    answering.answer(made, GiveAnswer("7", "gate", "pump.state", "stopped"))
    assert proposed(made, "7").road == "permit-to-work"
    assert measures(made, "7") == "1 control as planned in job 7, each with its evidence and hold point"


def test_a_plan_is_read_verdict_first_then_stops_with_kind_and_who_lifts_them(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    answering.answer(made, GiveAnswer("7", "gate", "pump.thunder", "yes"))
    read = look(made)
    (stop,) = read.assessment.stops

    assert verdict_words(read).startswith(
        "PLAN VERDICT: STOP. Stops: 1 certain, 0 not ruled out. Answers: nothing unknown."
    )
    assert stop_mark(stop) == "STOP, limit"
    assert stop_words(read.state.rules, stop) == "Thunder near. Lifted by: issuer."
    assert plain_lines(read)[:2] == ["P2, Crag End, voltage not known.", verdict_words(read)]


def test_an_answer_changed_after_its_stop_comes_before_every_stop(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    for typed in ("yes", "no"):
        answering.answer(made, GiveAnswer("7", "gate", "pump.thunder", typed))
    read = look(made)
    (changed,) = read.after_a_stop

    assert plain_lines(read)[3] == f"CHANGED AFTER ITS STOP WAS SHOWN: {after_stop_words(changed)}"
    assert after_stop_words(changed) == (
        "Do you hear thunder? Was: Thunder heard. Now: No thunder. Now known: Ada Quist, 03 Feb 15:30: no word on "
        "how it was found out. (Thunder near)"
    )


def test_changes_count_from_the_handing_over_and_then_from_the_last_look(tmp_path: Path) -> None:
    clock = Clock()
    made = bench(tmp_path, clock)
    handed_over(made)
    answering.answer(made, GiveAnswer("7", "gate", "pump.head_m", "4"))
    first = look(made)
    clock.move(25)
    answering.answer(made, GiveAnswer("7", "gate", "pump.head_m", "5"))
    second = look(made)

    assert change_words(first) == "Since the plan was handed over: 1 answer changed."
    assert change_words(second) == "Since the last look here, 25 min ago: 1 answer changed."
    assert change_words(look(made)) == "Nothing changed since the last look here, under 1 min ago."


def test_what_has_only_aged_is_one_line_and_not_among_the_stops_of_this_plan(tmp_path: Path) -> None:
    clock = Clock()
    made = bench(tmp_path, clock)
    handed_over(made)
    clock.move(61)
    read = look(made)
    (stop,) = read.assessment.stops
    lines = plain_lines(read)

    assert not stop.holds
    assert special_stops(read.assessment) == ()
    assert lines[1].startswith("PLAN VERDICT: STOP. Stops: 0 certain, 1 not ruled out. Answers: 1 aged.")
    assert lines[3] == (
        "READ AGAIN: thunder: too old. 1 stop waits for it. The worker's side reads it again on site. Not ruled out "
        "until then: Thunder near (issuer)."
    )
    assert lines[4] == "Not known: nothing else that was asked."


def test_what_was_never_known_comes_before_what_has_only_aged(tmp_path: Path) -> None:
    clock = Clock()
    made = bench(tmp_path, clock)
    handed_over(made)
    answering.not_known(made, "7", "gate", "pump.head_m")
    clock.move(61)
    read = look(made)

    assert find_out_first(read.assessment) == ("pump.head_m", "pump.thunder")
    assert "Answers: 1 not known, 1 aged." in verdict_words(read)


def test_a_hazard_raised_by_what_nobody_knows_says_so_instead_of_a_fact(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    answering.not_known(made, "7", "gate", "pump.head_m")
    found = look(made).assessment
    (hazard,) = found.hazards
    answering.answer(made, GiveAnswer("7", "gate", "pump.head_m", "12"))
    known = look(made).assessment

    assert hazard_words(found, hazard).endswith(": 8 known; the rest not known, counted at its worst.")
    assert hazard_words(known, known.hazards[0]).endswith(": the water stands high.")


def test_a_decision_leaves_its_name_reason_and_time_on_the_plan_and_in_the_list(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    requested(made)
    rehearse(made, "Iris", ISSUER, "refuse", reason="no outage before spring")
    (mark,) = at_the_gate(made).decided
    assert jobs.list_jobs(made)[0].plan == "plan REFUSED by Iris"
    words = "REFUSED by Iris, 03 Feb 15:30 UTC: no outage before spring."

    assert decided_words(made, mark) == f"7, P2, Crag End. {words}"
    assert plain_lines(look(made))[2:4] == [words, "Permit refused by Iris: limitation of access."]
    requested(made)
    assert plain_lines(look(made))[2] == f"Before it was asked for again: {words}"
    assert at_the_gate(made).decided == ()


def test_a_plan_is_given_back_from_a_list_that_begins_with_what_nobody_knows(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    requested(made)
    answering.not_known(made, "7", "gate", "pump.head_m")
    answering.answer(made, GiveAnswer("7", "gate", "pump.thunder", "yes"))
    permit = gate.permit_of(made, "7")
    assert permit is not None
    asked = next(field for field in gate.fields(made, permit, "return") if field.key == gate.QUESTION)

    assert list((asked.choices or {}).items())[:2] == [
        ("pump.head_m", "NOT KNOWN: How high does the water stand above the valve?"),
        ("pump.thunder", "A STOP RESTS ON IT: Do you hear thunder?"),
    ]


def test_an_act_whose_turn_it_is_not_is_listed_with_the_reason(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    assert set(gate.all_decisions(made, None).values()) == {
        ("No permit is asked for yet: the worker's side draws it up and asks for it.",)
    }
    requested(made)
    found = gate.all_decisions(made, gate.permit_of(made, "7"))

    assert list(found) == ["evaluate", "return", "refuse", "approve"]
    assert found["approve"] == ("It is evaluated first, by a second person who did not ask for it.",)
    assert not found["evaluate"]


def test_each_state_of_the_permit_names_who_led_it_there(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    requested(made)
    assert stands_words(look(made)) == "Permit requested by Ro, to be evaluated: limitation of access."
    rehearse(made, "Eve", EVALUATOR, "evaluate")
    assert stands_words(look(made)) == "Permit evaluated by Eve, to be approved: limitation of access."


def test_a_hold_point_passed_stands_on_the_day_line_with_its_time(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    answering.answer(made.bench, GiveAnswer("7", "valve_holds", "pump.drip_dry", "yes"))
    did(made, "issuer", "pass hold point", hold_point="valve_holds")
    passed = passed_at(made.bench.store.entries("7"))

    assert passed == {"valve_holds": made.clock()}
    assert any("x VALVE HOLDS" in row for row in day_lines(made.bench, look(made.bench), 80))
