"""What a plan's history tells whoever reads it: answers changed after a stop was shown, pace and runs (HUM-05)."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.context import Context
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer, PlanControl
from riskhelper.acts.job.jobs import OpenJob
from riskhelper.acts.plan.changes import NO_ANSWER, PRIVATE, ChangedAnswer, Changes, after_a_stop, changed_since
from riskhelper.acts.plan.pace import LEAST_RUN, Pace, pace, pace_words
from riskhelper.acts.plan.visits import keep_visit, last_visit
from tests.acts.small_rules import GATE_ANSWERS
from tests.acts.workbench import Clock, context


def bench(folder: Path, clock: Clock | None = None) -> Context:
    made = context(folder, clock)
    jobs.open_job(made, OpenJob("dale", "7"))
    return made


def said(made: Context, question: str, typed: str) -> None:
    answering.answer(made, GiveAnswer("7", "gate", question, typed))


def changed(made: Context) -> tuple[ChangedAnswer, ...]:
    return after_a_stop(made.rules("dale"), made.store.entries("7"), jobs.resume_job(made, "7").job)


def since(made: Context, order: int) -> Changes:
    return changed_since(made.rules("dale"), made.store.entries("7"), order, jobs.resume_job(made, "7").job)


def test_an_answer_changed_after_its_stop_was_shown_is_found_with_old_new_and_how_it_is_known(tmp_path: Path) -> None:
    made = bench(tmp_path)
    said(made, "pump.thunder", "yes")
    said(made, "pump.thunder", "no")
    (found,) = changed(made)

    assert (found.old, found.new) == ("Thunder heard.", "No thunder.")
    assert found.stops == ("Thunder near",)
    assert found.how == "Ada Quist, 03 Feb 15:30: no word on how it was found out"
    answering.note(made, "7", "asked the control room", "pump.thunder")
    assert changed(made)[0].how.endswith("`asked the control room`")


def test_taking_back_and_answering_anew_hides_nothing(tmp_path: Path) -> None:
    made = bench(tmp_path)
    said(made, "pump.thunder", "yes")
    answering.take_back(made, "7")
    assert [found.new for found in changed(made)] == [NO_ANSWER]
    said(made, "pump.thunder", "no")

    (found,) = changed(made)
    assert (found.old, found.new, found.stops) == ("Thunder heard.", "No thunder.", ("Thunder near",))


def test_not_known_that_became_known_is_shown_where_a_stop_could_not_be_ruled_out(tmp_path: Path) -> None:
    made = bench(tmp_path)
    answering.not_known(made, "7", "gate", "pump.thunder")
    said(made, "pump.thunder", "no")

    assert [(found.old, found.stops) for found in changed(made)] == [("not known", ("Thunder near",))]


def test_changed_back_or_without_a_stop_is_no_such_change(tmp_path: Path) -> None:
    made = bench(tmp_path)
    for typed in ("yes", "no", "yes"):
        said(made, "pump.thunder", typed)
    for typed in ("3.1", "4.1"):
        said(made, "pump.head_m", typed)

    assert changed(made) == ()


def test_since_an_earlier_entry_answers_and_controls_are_compared(tmp_path: Path) -> None:
    made = bench(tmp_path)
    for question, typed in GATE_ANSWERS:
        said(made, question, typed)
    seen = made.store.entries("7")[-1].number
    assert not since(made, seen).any
    said(made, "pump.head_m", "12")
    said(made, "pump.unwell", "yes")
    answering.plan(made, PlanControl("7", "pump.second_valve"))
    found = since(made, seen)

    assert {(each.old, each.new) for each in found.answers} == {("3.1 m", "12 m"), (PRIVATE, PRIVATE)}
    assert found.controls == ("planned: Fit a second valve, shut.",)
    assert found.new_answers == 0


def paced(folder: Path, typed: list[str], seconds: float) -> Pace:
    clock = Clock()
    made = bench(folder, clock)
    for each in typed:
        clock.move(seconds / 60)
        said(made, "pump.thunder", each)
    return pace(made.rules("dale"), made.store.entries("7"))


def test_pace_is_the_middle_time_between_answers_and_a_pause_is_not_counted(tmp_path: Path) -> None:
    """HUM-05: times too short and all the same answers are noticed and shown to the approver."""
    found = paced(tmp_path, ["yes", "no", "yes"], 7)

    assert [(p.place, p.answers, p.middle_s) for p in found.places] == [("gate", 3, 7.0)]
    assert pace_words(found) == "Quickest at Gate: 3 answers, about 7 s each."


@pytest.mark.parametrize("length", [LEAST_RUN - 1, LEAST_RUN, LEAST_RUN + 3])
def test_a_long_run_of_one_answer_is_told(tmp_path: Path, length: int) -> None:
    found = paced(tmp_path, ["yes", *["no"] * length, "yes"], 20)

    assert (found.run.length if found.run else 0) == (length if length >= LEAST_RUN else 0)


def test_no_run_tells_a_private_answer(tmp_path: Path) -> None:
    made = bench(tmp_path)
    for question in ["pump.thunder", "pump.unwell"] * LEAST_RUN:
        said(made, question, "no")
    run = pace(made.rules("dale"), made.store.entries("7")).run

    assert run is not None
    assert run.length == LEAST_RUN
    assert {run.first, run.last} == {"Do you hear thunder?"}


def test_the_last_look_is_kept_for_each_job_and_bad_memory_is_no_memory(tmp_path: Path) -> None:
    made = bench(tmp_path)
    opening = made.store.entries("7")[0]
    assert last_visit(made, opening) is None
    assert keep_visit(made, opening, 41)
    visit = last_visit(made, opening)

    assert visit is not None
    assert (visit.entry, visit.at) == (41, made.clock())
    next(tmp_path.glob("last-looks.json")).write_text("{", encoding="utf-8")
    assert last_visit(made, opening) is None
