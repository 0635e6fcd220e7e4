"""Open, list, take up again, hand over."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.jobs import OpenJob
from tests.acts.workbench import START, Clock, context


def test_a_job_opened_keeps_its_local_code_and_names_its_rule_sets(tmp_path: Path) -> None:
    state = jobs.open_job(context(tmp_path), OpenJob("dale", "P2 north"))

    assert (state.number, state.job.local_code) == ("P2 north", "dale")
    assert [part.name for part in state.history.parts] == [part.name for part in state.rules.parts]
    assert state.history.parts[0].digest == state.rules.parts[0].digest


def test_numbers_are_counted_by_year_where_none_is_given(tmp_path: Path) -> None:
    clock = Clock()
    bench = context(tmp_path, clock)
    first, second = (jobs.open_job(bench, OpenJob("dale")).number for _ in range(2))
    clock.moment = clock.moment.replace(year=2032)

    assert (first, second, jobs.open_job(bench, OpenJob("dale")).number) == ("2031-0001", "2031-0002", "2032-0001")


@pytest.mark.parametrize(
    ("code", "number", "words"),
    [
        ("dael", "", "Local code `dael` is not known; known are `dale`, `fell`. Did you mean `dale`?"),
        ("", "", "A job is opened under a local code; known are `dale`, `fell`"),
        ("dale", "../../x", "Job number `../../x`: use letters, digits"),
        ("dale", "x" * 200, "The job number must be at most 80 characters; you entered 200"),
        ("dale", "P2\x1b[2J", "holds characters that cannot be printed: `P2?[2J`"),
    ],
)
def test_a_job_that_cannot_be_opened_says_why(tmp_path: Path, code: str, number: str, words: str) -> None:
    bench = context(tmp_path)
    with pytest.raises(Refused) as refused:
        jobs.open_job(bench, OpenJob(code, number))

    assert words in str(refused.value)
    assert bench.store.jobs() == ()


def test_a_number_in_use_is_refused_and_its_job_stays_as_it_was(tmp_path: Path) -> None:
    bench = context(tmp_path)
    jobs.open_job(bench, OpenJob("dale", "7"))

    with pytest.raises(Refused, match="Job `7` is open already"):
        jobs.open_job(bench, OpenJob("fell", "7"))
    assert jobs.resume_job(bench, "7").job.local_code == "dale"


def test_an_unknown_number_names_the_nearest(tmp_path: Path) -> None:
    bench = context(tmp_path)
    jobs.open_job(bench, OpenJob("dale", "2031-0007"))

    with pytest.raises(Refused, match=r"No job `2031-007` in this store. Did you mean `2031-0007`\?"):
        jobs.resume_job(bench, "2031-007")


def test_the_list_begins_with_the_job_worked_on_last(tmp_path: Path) -> None:
    clock = Clock()
    bench = context(tmp_path, clock)
    for number in ("a", "b"):
        jobs.open_job(bench, OpenJob("dale", number))
    clock.move(5)
    answering.answer(bench, GiveAnswer("a", "gate", "job.plant_id", "P2"))

    assert [(line.number, line.answers) for line in jobs.list_jobs(bench)] == [("a", 1), ("b", 0)]


def test_a_job_taken_up_by_a_new_process_stands_where_it_stood(tmp_path: Path) -> None:
    clock = Clock()
    first = context(tmp_path, clock)
    jobs.open_job(first, OpenJob("dale", "7"))
    answering.answer(first, GiveAnswer("7", "gate", "job.plant_id", "P2"))
    clock.move(90)

    state = jobs.resume_job(context(tmp_path, clock), "7")

    assert state.job.answers["job.plant_id"].value == "P2"
    assert state.paused(clock()).total_seconds() == 90 * 60
    assert state.rules_changed == ()


def test_a_clock_set_back_makes_no_negative_pause(tmp_path: Path) -> None:
    clock = Clock()
    state = jobs.open_job(context(tmp_path, clock), OpenJob("dale", "7"))
    clock.move(-600)

    assert state.paused(clock()).total_seconds() == 0


def test_rules_that_changed_since_the_opening_are_named(tmp_path: Path) -> None:
    jobs.open_job(context(tmp_path), OpenJob("dale", "7"))
    bench = context(tmp_path)
    pump = tmp_path / "rules" / "pump.toml"
    pump.write_text(pump.read_text(encoding="utf-8").replace("Look", "See") + "\n# changed\n", encoding="utf-8")
    from riskhelper.acts.setting_up import RuleShelf

    changed = jobs.JobState(jobs.resume_job(bench, "7").history, RuleShelf(tmp_path / "rules")("dale"))

    assert changed.rules_changed == ("base",)


def test_a_plan_is_handed_over_once(tmp_path: Path) -> None:
    bench = context(tmp_path)
    jobs.open_job(bench, OpenJob("dale", "7"))
    state = jobs.request_plan(bench, "7", "gate")

    assert state.history.plan_requested
    with pytest.raises(Refused, match="was handed over already"):
        jobs.request_plan(bench, "7", "gate")


def test_each_entry_says_who_in_which_role_and_when(tmp_path: Path) -> None:
    bench = context(tmp_path)
    jobs.open_job(bench, OpenJob("dale", "7"))
    (entry,) = bench.store.entries("7")

    assert (entry.draft.who, entry.draft.role, entry.draft.act) == ("Ada Quist", "work leader", "open")
    assert entry.meaning == "opens the job; its local code is fixed from here on"
    assert entry.moment == START
    assert entry.draft.signature == ""
