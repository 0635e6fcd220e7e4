"""The plans at the gate in plain lines: everything the screens do, up to approval."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Context
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.plan import condition_words, gate, rehearsing
from riskhelper.acts.plan.drawing_up import measures, proposed
from riskhelper.permit.document import State
from riskhelper.permit.persons import EVALUATOR, REQUESTER
from riskhelper.plain import asking_permit, waiting
from riskhelper.plain.interview import Wanted
from riskhelper.plain.interview import run as interview
from riskhelper.plain.lines import Lines
from tests.acts.crew import Crew, crew, passphrase, ready_job
from tests.acts.workbench import Clock, context
from tests.permit.world import FULL


def bench(folder: Path) -> Context:
    made = replace(context(folder, Clock(), rehearsal=True), who="the worker")
    ready_job(Crew(made, Clock(), keys=None))  # type: ignore[arg-type]
    jobs.request_plan(made, "7", "gate")
    return made


def asked_for(made: Context) -> None:
    by = rehearsing.rehearse_as(made, "Ro", REQUESTER)
    gate.draw_up_and_request(by, replace(proposed(made, "7"), voltage_v=400), measures(made, "7"))


def evaluated(made: Context) -> None:
    permit = gate.permit_of(made, "7")
    assert permit is not None
    gate.act(rehearsing.rehearse_as(made, "Eve", EVALUATOR), permit, "evaluate", FULL)


def talk(made: Context, *typed: str, job: str = "") -> str:
    """What is shown for what is typed, without line breaks."""
    shown = io.StringIO()
    waiting.run(made, Lines(io.StringIO("".join(f"{line}\n" for line in typed)), shown), job)
    return " ".join(shown.getvalue().split())


def state(made: Context) -> State:
    permit = gate.permit_of(made, "7")
    assert permit is not None
    return permit.state


def test_the_list_and_one_plan_are_told_in_lines(tmp_path: Path) -> None:
    made = bench(tmp_path)
    asked_for(made)
    answering.answer(made, GiveAnswer("7", "gate", "pump.thunder", "yes"))
    shown = talk(made, "2", "1", "1")

    assert "REHEARSAL. NOT FOR WORK." in shown
    assert "2. 7, P2, Crag End. Waits under 1 min. To be evaluated by a second person." in shown
    assert "Job 7. P2, Crag End, voltage not known. PLAN VERDICT: STOP. Stops: 1 certain, 0 not ruled out." in shown
    assert "STOP, limit: Thunder near." in shown


def test_everything_behind_the_plan_can_be_read(tmp_path: Path) -> None:
    made = bench(tmp_path)
    asked_for(made)
    shown = talk(made, *[str(number) for number in range(6, 13)], "1", "1", job="7")

    for words in (
        "Hazards, the worst first:",
        "Nothing changed since the plan was handed over.",
        "The middle time from one answer to the next",
        "- Which pump is it? P2 (the worker, 03 Feb 15:30)",
        "Given: Which pump is it? P2",
        "Hold points ahead, in the order of the work",
        "METHOD STATEMENT: ",
    ):
        assert words in shown
    assert "Is anybody ill? answered in private" in shown
    assert "Asked, nobody." not in shown


def test_a_plan_is_given_back_and_the_worker_is_asked_that_question_first(tmp_path: Path) -> None:
    made = bench(tmp_path)
    asked_for(made)
    shown = talk(made, "3", "read the gauge again", "6", "Iris", "1", "1", job="7")
    assert "REHEARSAL ACT: no register is set up here." in shown
    assert "Rehearsed, binding nobody. Given back: permit 7/1 is draft, with the worker's side again." in shown
    worker = io.StringIO()
    interview(made, Lines(io.StringIO("q\n"), worker), Wanted(tmp_path / "papers", job="7", local_code="dale"))
    told = " ".join(worker.getvalue().split())

    assert "GIVEN BACK by Iris: read the gauge again. This note belongs to: How high does the water stand" in told
    assert told.index("GIVEN BACK") < told.index("How high does the water stand above the valve? Why:")


def test_a_plan_is_evaluated_and_approved_after_each_condition(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(condition_words, "MOST_TOGETHER", 2)
    made = bench(tmp_path)
    asked_for(made)
    talk(made, "2", "valve and gauge, 14:00", "Eve", "1", "1", job="7")
    assert state(made) is State.EVALUATED
    given_up = talk(made, "2", "read", "", "1", "1", job="7")
    assert "Left. Nothing was done." in given_up
    assert state(made) is State.EVALUATED
    first = ("2", "read", "b", "read", "")  # acknowledged, gone back to, acknowledged again, left
    shown = talk(made, *first, "2", "read", "", "18:00", "the owner, 14:10", "Ro", "Iris", "1", job="7")

    assert shown.count("page 1 of 2.") == 2
    assert "What you acknowledged so far stays acknowledged in this sitting." in shown
    assert "Ro had a part in preparing it" in shown
    assert "conditions read: 4" in shown
    assert "Approved: permit 7/1 is approved." in shown
    assert state(made) is State.APPROVED


def test_what_cannot_be_done_is_said_before_anything_is_typed(tmp_path: Path) -> None:
    made = bench(tmp_path)
    asked_for(made)
    answering.answer(made, GiveAnswer("7", "gate", "pump.thunder", "yes"))
    shown = talk(made, "2", "1", "1", job="7")

    assert "Not possible now; nothing was changed. - the assessment says stop: Thunder near." in shown


def test_with_a_register_each_act_takes_a_passphrase(tmp_path: Path) -> None:
    made = crew(tmp_path, rehearsal=True)
    bench_ = replace(made.bench, keys=tmp_path / "keys")
    ready_job(made)
    jobs.request_plan(bench_, "7", "gate")
    drafted = replace(proposed(bench_, "7"), voltage_v=400)
    gate.draw_up_and_request(made.signing("the requester", REQUESTER), drafted, "as planned")
    shown = talk(bench_, "2", "seen 14:00", "2", "not it", "2", passphrase("the evaluator"), "1", "1", job="7")

    assert "Who signs? 1. Nobody. Leave. 2. the evaluator (Crag End), as evaluator." in shown
    assert "Nothing was done." in shown
    assert "Evaluated: permit 7/1 is evaluated." in shown
    assert bench_.store.entries("7")[-1].draft.signature


def test_the_worker_asks_for_the_permit_line_by_line(tmp_path: Path) -> None:
    made = bench(tmp_path)
    shown = io.StringIO()
    typed = ("", "", "", "", "400", "1", "", "Ro")
    assert asking_permit.ask(made, Lines(io.StringIO("".join(f"{line}\n" for line in typed)), shown), "7")
    permit = gate.permit_of(made, "7")

    assert permit is not None
    assert (permit.state, permit.plant, permit.voltage_v, permit.energies) == (
        State.REQUESTED,
        "P2",
        400,
        frozenset({"electrical"}),
    )
    assert "It says: P2. Enter alone keeps it." in shown.getvalue()
