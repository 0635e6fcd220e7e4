"""Worked cases with one answer moved: where a fault shows there, no solver is needed to find it."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from riskhelper.evidence import Answer, Job
from riskhelper.office.proofs.jobs import Trial
from riskhelper.review.cases import case_job
from riskhelper.ruleset import tree
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet

_VALUES = 16
_COMBINATIONS = 60


def graver_trials(rules: RuleSet, name: str) -> Iterator[Trial]:
    """Each worked case with an answer and the next graver one, in the order its question gives."""
    values = _in_order(rules.questions[name])
    for job, milestone in _cases(rules, name):
        for one, other in itertools.pairwise(values):
            yield Trial(milestone, (_with(job, name, one), _with(job, name, other)))


def unknown_trials(rules: RuleSet, name: str) -> Iterator[Trial]:
    """Each worked case with an answer, and with nobody knowing it."""
    question = rules.questions[name]
    values: list[float | str] = list(question.options) if question.options else list(_numbers(question))
    if question.if_not_known is not None:
        low, high = question.if_not_known.range
        usual = question.usual or (low, high)
        values = [v for v in values if isinstance(v, float) and min(low, usual[0]) <= v <= max(high, usual[1])]
    for job, milestone in _cases(rules, name):
        if question.type != "several":
            for value in values:
                yield Trial(milestone, (_with(job, name, value), _with(job, name, None)))


def asked_trials(rules: RuleSet, condition: tree.Condition, node_holds: Callable[[Trial], bool]) -> Iterator[Trial]:
    """Each worked case with the answers that a condition reads set to whatever makes it hold."""
    names = sorted(name for name in tree.names_in(condition) if name in rules.questions)
    tried = [_few(rules.questions[name]) for name in names]
    for case in rules.cases.values():
        if case.local == rules.local_code:
            job = case_job(rules, case)
            for values in itertools.islice(itertools.product(*tried), _COMBINATIONS):
                answers = {name: Answer(value) for name, value in zip(names, values, strict=True)}
                trial = Trial(case.at, (replace(job, answers={**job.answers, **answers}),))
                if node_holds(trial):
                    yield trial


def _few(question: QuestionEntry) -> list[Any]:
    if question.type == "several":
        return [{o: "yes" if o == one else "no" for o in question.options} for one in question.options]
    if question.options:
        return list(question.options)
    values = list(_numbers(question))
    return [values[0], values[len(values) // 2], values[-1]]


def _cases(rules: RuleSet, name: str) -> Iterator[tuple[Job, str]]:
    due = rules.due_positions[name]
    for case in rules.cases.values():
        if case.local == rules.local_code:
            yield case_job(rules, case), max(case.at, rules.milestones[due], key=lambda m: rules.positions[m])


def _in_order(question: QuestionEntry) -> list[float | str]:
    if isinstance(question.graver, tuple):
        return list(question.graver)
    values: list[float | str] = list(_numbers(question))
    return values if question.graver == "up" else values[::-1]


def _numbers(question: QuestionEntry) -> Iterator[float]:
    """Values on the step all over the range, and closer together where they are usual."""
    assert question.range is not None
    step = question.step or 1.0
    spans = [question.range, *([question.usual] if question.usual else [])]
    found = {
        round(round((low + (high - low) * place / _VALUES) / step) * step, 9)
        for low, high in spans
        for place in range(_VALUES + 1)
    }
    yield from sorted(value for value in found if question.range[0] <= value <= question.range[1])


def _with(job: Job, name: str, value: float | str | None) -> Job:
    return replace(job, answers={**job.answers, name: Answer(value)})
