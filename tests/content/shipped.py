"""The shipped rule set and its worked cases, loaded once per local code."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from riskhelper.evidence import Answer, Job, PlannedControl, Proof, SeveralMark
from riskhelper.ruleset.entries import CaseEntry, QuestionEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules

RULES = Path(__file__).parents[2] / "rules"
NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)


@cache
def files() -> dict[str, bytes]:
    """Every rule file of the checkout."""
    return {path.relative_to(RULES).as_posix(): path.read_bytes() for path in RULES.rglob("*.toml")}


@cache
def rules(code: str = "en50110") -> RuleSet:
    """The shipped set under a local code, guards proved."""
    return load_rules(files(), code)


def answer_of(question: QuestionEntry, value: object) -> Answer:
    """A case's cell as an answer."""
    if question.type == "several":
        assert isinstance(value, list)
        return Answer({option: "yes" if option in value else "no" for option in question.options})
    if question.type == "number":
        assert isinstance(value, (int, float))
        return Answer(float(value))
    assert isinstance(value, str)
    return Answer(value)


def job_of(case: CaseEntry, proved: Iterable[str] = (), more: dict[str, object] | None = None) -> Job:
    """The job of a worked case; `proved` controls get evidence seen by two."""
    known = rules(case.local).questions
    answers = {name: answer_of(known[name], value) for name, value in {**case.answers, **(more or {})}.items()}
    for line in case.not_known:
        name, _, option = line.partition(":")
        if not option:
            answers[name] = Answer(None)
            continue
        marks: dict[str, SeveralMark] = dict.fromkeys(known[name].options, "no")
        given = answers[name].value if name in answers else None
        marks.update(given if isinstance(given, Mapping) else {})
        answers[name] = Answer({**marks, option: "not_known"})
    proof = Proof(evidence="seen", who="work leader", second="second person")
    return Job(
        answers=answers,
        planned={control: PlannedControl(by="work leader") for control in case.planned},
        proved=dict.fromkeys([*case.proved, *proved], proof),
        local_code=case.local,
        number="worked case",
    )
