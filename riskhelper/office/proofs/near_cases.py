"""Worked cases with one answer moved: where a fault shows there, no solver is needed to find it."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from riskhelper.evidence import Answer, Job, Proof
from riskhelper.facts import Reading
from riskhelper.office.proofs.jobs import MOMENT, Trial
from riskhelper.review.cases import case_job
from riskhelper.review.coverage import every_check
from riskhelper.ruleset import tree
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.mentioned import Mentioned
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Status

_VALUES = 16
_COMBINATIONS = 200
_COARSE = 3  # of the values of a number every how many are tried first


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


def asked_trials(
    rules: RuleSet, condition: tree.Condition, node_holds: Callable[[Trial], bool], only_at: str | None = None
) -> Iterator[Trial]:
    """Each worked case with the answers that a condition reads set to whatever makes it hold, or not known.

    Each is tried as it is written, then with every control in place: where the case stands (an answer may stand there
    before it is due), where those answers are due and at the end of the work, or at one milestone only.
    """
    names = sorted(name for name in tree.names_in(condition) if name in rules.questions)
    cuts = Mentioned(rules, (condition, *every_check(rules))).cuts
    tried = [[*_few(rules.questions[name], cuts.get(name, ())), None] for name in names]
    combinations = list(itertools.islice(itertools.product(*tried), _COMBINATIONS))
    due = max((rules.due_positions[name] for name in names), default=0)
    for case in rules.cases.values():
        if case.local != rules.local_code:
            continue
        job = case_job(rules, case)
        as_due = rules.milestones[max(due, rules.positions[case.at])]
        at = [one for one in (case.at, as_due, rules.milestones[-1]) if only_at in (None, one)]
        if only_at and not at and rules.positions[only_at] >= due:
            at = [only_at]
        for milestone in dict.fromkeys(at):
            found = []
            for values in combinations:
                answers = {name: Answer(value) for name, value in zip(names, values, strict=True)}
                trial = Trial(milestone, (replace(job, answers={**job.answers, **answers}),))
                if node_holds(trial):
                    found.append(trial)
            yield from found if milestone == case.at else ()
            yield from (_at_best(rules, trial) for trial in found)


def edge_trials(rules: RuleSet, condition: tree.Condition, node_holds: Callable[[Trial], bool]) -> Iterator[Trial]:
    """Each worked case, every control in place, with one number that a figure rests on moved to where a condition
    read from that figure only just holds."""
    figures = [name for name in tree.names_in(condition) if rules.figures_read.get(name)]
    numbers = sorted(
        name for name in frozenset().union(*(rules.supports[f] for f in figures)) if rules.questions[name].range
    )
    for name in numbers:
        coarse = list(_numbers(rules.questions[name]))[::_COARSE]
        for job, milestone in _cases(rules, name):

            def holds_at(value: float, job: Job = job, milestone: str = milestone, name: str = name) -> bool:
                return node_holds(Trial(milestone, (_with(job, name, value),)))

            truths = [holds_at(value) for value in coarse]
            for (low, at_low), (high, at_high) in itertools.pairwise(zip(coarse, truths, strict=True)):
                if at_low != at_high:
                    value = _last_held(rules.questions[name], low, high, holds_at, at_low=at_low)
                    yield _at_best(rules, Trial(milestone, (_with(job, name, value),)))


def _last_held(
    question: QuestionEntry, low: float, high: float, holds_at: Callable[[float], bool], *, at_low: bool
) -> float:
    """Between two values of which one holds, the last step on which it still does."""
    step = question.step or 1.0
    first, last = round(low / step), round(high / step)
    while last - first > 1:
        middle = (first + last) // 2
        if holds_at(round(middle * step, 9)) == at_low:
            first = middle
        else:
            last = middle
    return round((first if at_low else last) * step, 9)


def _at_best(rules: RuleSet, trial: Trial) -> Trial:
    """The trial with every answer that is due given as the plan expects it, and every control in place."""
    [job] = trial.jobs
    proof = Proof(evidence="as supposed", who="as supposed", second="as supposed")
    job = replace(job, proved=dict.fromkeys(rules.controls, proof))
    while True:
        reading = Reading(rules, job, trial.milestone, MOMENT, if_held=True)
        fresh = {
            name: _expected(question)
            for name, question in rules.questions.items()
            if name not in job.answers and reading.status(name) is Status.NOT_KNOWN
        }
        answers = {name: Answer(value) for name, value in fresh.items() if value is not None}
        if not answers:
            return replace(trial, jobs=(job,))
        job = replace(job, answers={**job.answers, **answers})


def _expected(question: QuestionEntry) -> Any:
    """What the plan expects of a question, or `None` where it says nothing that can be written down alone."""
    expected = question.expect
    if question.type == "number" and isinstance(expected, tuple):
        low, high = (float(end) for end in expected)
        step = question.step or 1.0
        return round(round((low + high) / 2 / step) * step, 9)
    if question.type == "several" and expected is not None:
        wanted = (expected,) if isinstance(expected, str) else expected
        return {option: "yes" if option in wanted else "no" for option in question.options}  # type: ignore[operator]
    return expected if isinstance(expected, str) else None


def _few(question: QuestionEntry, cuts: Sequence[float]) -> list[Any]:
    if question.type == "several":
        return [{o: "yes" if o == one else "no" for o in question.options} for one in question.options]
    if question.options:
        return list(question.options)
    values, step = list(_numbers(question)), question.step or 1.0
    near = sorted({round(cut + side * step, 9) for cut in cuts for side in (-1, 0, 1)})
    return [*(value for value in near if values[0] <= value <= values[-1]), *values[:: len(values) // 2]]


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
