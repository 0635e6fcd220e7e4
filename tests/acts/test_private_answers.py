"""Private answers reach findings, JSON and papers only as their consequence."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.as_json import assessment_json
from riskhelper.acts.job.findings import full_lines
from riskhelper.acts.job.from_file import take
from riskhelper.acts.job.jobs import OpenJob
from riskhelper.acts.job.papers import statement
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer
from riskhelper.paper.text import to_text
from riskhelper.store.rule_files import shipped_rules
from riskhelper.terms import Verdict
from tests.acts.test_answer_files import FRAME, faults
from tests.acts.workbench import START, context

DEMO = Path(__file__).parents[2] / "demo" / "transformer_at_dusk" / "answers.toml"
TAKEN = take(DEMO, RuleShelf(shipped_rules()))


def everything_said(**private: str) -> tuple[Verdict, str]:
    """The verdict, and all words that leave the program for a job with these private answers."""
    rules, file = TAKEN.rules, TAKEN.file
    answers = {f"people.{name}": Answer(value, typed=value) for name, value in private.items()}
    job = replace(file.job, answers={**file.job.answers, **answers})
    found = assess(rules, job, file.milestone, START)
    document = statement(rules, job, found, file.header, START)
    told = [*full_lines(rules, found), json.dumps(assessment_json(rules, job, found)), to_text(document)]
    return found.verdict, "\n".join(told)


def test_nobody_can_read_from_the_papers_which_private_answer_stops_a_job() -> None:
    unwell = everything_said(unwell="yes", drowsy="no")
    drowsy = everything_said(unwell="no", drowsy="yes")

    assert unwell[0] is Verdict.STOP
    assert unwell[1] == drowsy[1]


@pytest.mark.parametrize("question", ["implant", "unwell", "drowsy"])
def test_a_private_answer_stops_without_its_content_being_said(question: str) -> None:
    verdict, told = everything_said(**{question: "yes"})
    options = TAKEN.rules.questions[f"people.{question}"].options

    assert verdict is Verdict.STOP
    assert "a private answer decides this" in told
    assert options["yes"] not in told
    assert f"people.{question} in [" not in told
    assert "somebody is unwell" not in told
    assert "somebody wears" not in told


def test_a_private_question_keeps_no_note_and_no_source(tmp_path: Path) -> None:
    bench = context(tmp_path)
    jobs.open_job(bench, OpenJob("dale", "7"))
    before = bench.store.entries("7")

    with pytest.raises(Refused, match="A private question keeps no note"):
        answering.note(bench, "7", "Ada has a cold", "pump.unwell")
    with pytest.raises(Refused, match="A private question keeps no source"):
        answering.answer(bench, GiveAnswer("7", "gate", "pump.unwell", "yes", source="Ada herself"))
    assert bench.store.entries("7") == before


def test_a_file_keeps_no_note_on_a_private_question_either() -> None:
    told = faults(FRAME + '[answers.pump]\nunwell = { value = "yes", note = "Ada has a cold" }')

    assert told == (
        "answers.toml, line 4, `answers.pump.unwell`: a private answer keeps no note and no source, "
        "so that nobody is recognised. Take it out",
    )
