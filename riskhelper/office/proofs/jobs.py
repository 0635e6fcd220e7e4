"""From what the solver supposes to a job that can be assessed, and from a job to what the solver must suppose."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from fractions import Fraction
from typing import Any, TypeVar

import z3  # type: ignore[import-untyped]

from riskhelper.evidence import Answer, Job, PlannedControl, Proof, SeveralMark
from riskhelper.facts import Reading
from riskhelper.office.proofs.answers import AnswerTerms, JobTerms
from riskhelper.office.proofs.logic import Plain, negated
from riskhelper.office.proofs.outcome import Outcome
from riskhelper.office.proofs.spans import equal, exactly
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.meaning import NO, NOT_ASKED
from riskhelper.ruleset.model import RuleSet
from riskhelper.units import alternatives, converted

MOMENT = datetime(2000, 1, 1, tzinfo=UTC)  # supposed answers carry no moment, so none can age
Supposed = Any  # a model of the solver
Example = TypeVar("Example")


def holds(supposed: Supposed, truth: Plain) -> bool:
    """Whether a truth holds in what the solver supposes."""
    return truth if isinstance(truth, bool) else z3.is_true(supposed.eval(truth, model_completion=True))


def number_of(supposed: Supposed, number: Any) -> Fraction:
    """A number in what the solver supposes."""
    if isinstance(number, Fraction):
        return number
    value = supposed.eval(number, model_completion=True)
    return Fraction(value.numerator_as_long(), value.denominator_as_long())


def milestone_of(supposed: Supposed, rules: RuleSet, job: JobTerms) -> str:
    """How far the job has come."""
    return rules.milestones[max(n for n, reached in enumerate(job.reached) if holds(supposed, reached))]


@dataclass(frozen=True)
class Trial:
    """Jobs that the solver supposes, and how far they have come."""

    milestone: str
    jobs: tuple[Job, ...]


def trial_of(supposed: Supposed, rules: RuleSet, bears_on: Callable[[Plain], bool], *outcomes: Outcome) -> Trial:
    """The jobs supposed, one for each outcome, with the answers that bear on what was looked for."""
    return Trial(
        milestone_of(supposed, rules, outcomes[0].job),
        tuple(job_of(supposed, outcome.rules, bears_on, outcome.job) for outcome in outcomes),
    )


def job_of(supposed: Supposed, rules: RuleSet, bears_on: Callable[[Plain], bool], job: JobTerms) -> Job:
    """The job supposed; answers that nobody asks for may be among them and change nothing."""
    answers: dict[str, Answer] = {}
    for name, question in rules.questions.items():
        terms = job.answers[name]
        if not (terms.given is True or terms.said_not_known is True or bears_on(terms.given)):
            continue
        if holds(supposed, terms.given):
            value = _value(supposed, question, terms)
            answers[name] = _number(question, value) if isinstance(value, float) else Answer(value)
        elif holds(supposed, terms.said_not_known):
            answers[name] = Answer(None)
    return Job(
        answers=answers,
        planned={c: PlannedControl(rules.controls[c].by) for c in _held(supposed, bears_on, job.planned)},
        proved={
            c: Proof(evidence="as supposed", who="as supposed", second="as supposed")
            for c in _held(supposed, bears_on, job.proved)
        },
        number="supposed",
        local_code=rules.local_code,
    )


def _held(supposed: Supposed, bears_on: Callable[[Plain], bool], truths: Mapping[str, Plain]) -> list[str]:
    return [name for name, truth in truths.items() if bears_on(truth) and holds(supposed, truth)]


def asked_only(rules: RuleSet, trial: Trial) -> Trial:
    """The trial without answers that nobody asks for."""
    jobs = []
    for job in trial.jobs:
        reading = Reading(rules, job, trial.milestone, MOMENT, if_held=False)
        others = job.answers.keys() - rules.questions.keys()  # questions of the set compared with
        asked = {n: a for n, a in job.answers.items() if n in others or reading.asked(n) not in (NO, NOT_ASKED)}
        jobs.append(replace(job, answers=asked))
    return replace(trial, jobs=tuple(jobs))


def tidied(rules: RuleSet, trial: Trial, shows: Callable[[Trial], Example | None]) -> Example | None:
    """What a trial shows, with numbers moved to the steps on which people write them as far as it still shows it."""
    off_step = [name for name in rules.questions if any(_is_off_step(rules, name, job) for job in trial.jobs)]
    found = shows(moved := _moved(rules, trial, off_step))
    if found is not None:
        return shows(asked_only(rules, moved)) or found
    if not off_step:
        return None
    found = shows(trial)
    for name in off_step if found is not None else ():
        for shift in (0, -1, 1):
            nearer = _moved(rules, trial, [name], shift)
            still = shows(nearer)
            if still is not None:
                trial, found = nearer, still
                break
    return found and (shows(asked_only(rules, trial)) or found)


def _is_off_step(rules: RuleSet, name: str, job: Job) -> bool:
    answer, question = job.answers.get(name), rules.questions[name]
    if question.type != "number" or answer is None or not isinstance(answer.value, float):
        return False
    return answer.value != _on_step(question, answer.value)


def _on_step(question: QuestionEntry, value: float, shift: int = 0) -> float:
    assert question.range is not None
    step = exactly(question.step or 1.0)
    low, high = question.range
    return min(max(float((round(exactly(value) / step) + shift) * step), low), high)


def _moved(rules: RuleSet, trial: Trial, names: list[str], shift: int = 0) -> Trial:
    """The trial with answers moved to their steps; one that lies on none is written as typed in another unit."""
    jobs = []
    for job in trial.jobs:
        answers = dict(job.answers)
        for name in names:
            answer = answers.get(name)
            if answer is not None and isinstance(answer.value, float):
                answers[name] = Answer(_on_step(rules.questions[name], answer.value, shift))
        jobs.append(replace(job, answers=answers))
    return replace(trial, jobs=tuple(jobs))


def _number(question: QuestionEntry, value: float) -> Answer:
    """A number as somebody can have typed it: one off its step was typed in another unit."""
    if value == _on_step(question, value):
        return Answer(value)
    unit = alternatives(question.unit)[1]
    return Answer(value, typed=repr(converted(value, question.unit, unit)), unit=unit)


def _value(
    supposed: Supposed, question: QuestionEntry, terms: AnswerTerms
) -> float | str | Mapping[str, SeveralMark]:
    if question.type == "number":
        exact = number_of(supposed, terms.number)
        assert question.range is not None
        low, high = question.range  # what the goal does not rest on is left open, and can be anything
        return round(min(max(float(exact), low), high), 9)
    if question.type == "several":
        marks: dict[str, SeveralMark] = {
            option: "yes"
            if holds(supposed, terms.options[option])
            else "not_known"
            if holds(supposed, terms.open_lines[option])
            else "no"
            for option in question.options
        }
        if "yes" not in marks.values() and "not_known" not in marks.values():
            marks[next(iter(marks))] = "yes"  # left open as well: any line will do
        return marks
    free = next(iter(question.options), "text")
    return next((o for o in question.options if holds(supposed, terms.options[o])), free)


def supposing(rules: RuleSet, terms: JobTerms, job: Job) -> Iterator[Plain]:
    """What makes the solver suppose a job: answers with no moment beside them, promises and proofs."""
    for name, question in rules.questions.items():
        answer, wanted = job.answers.get(name), terms.answers[name]
        given = answer is not None and answer.is_known
        yield wanted.given if given else negated(wanted.given)
        not_known = answer is not None and not answer.is_known
        yield wanted.said_not_known if not_known else negated(wanted.said_not_known)
        if answer is not None and answer.value is not None:
            yield from _saying(question, wanted, answer.value)
    for name, control in rules.controls.items():
        proof = job.proved.get(name)
        proved = proof is not None and bool(proof.evidence)
        proved = proved and (control.kind.value != "administrative" or bool(proof and proof.second))
        for truth, wanted_truth in ((name in job.planned, terms.planned[name]), (proved, terms.proved[name])):
            yield wanted_truth if truth else negated(wanted_truth)


def _saying(
    question: QuestionEntry, wanted: AnswerTerms, value: float | str | Mapping[str, SeveralMark]
) -> Iterator[Plain]:
    if question.type == "number":
        yield equal(wanted.number, exactly(float(value)))  # type: ignore[arg-type]
    elif isinstance(value, Mapping):
        for option in question.options:
            mark = value.get(option, "no")
            yield wanted.options[option] if mark == "yes" else negated(wanted.options[option])
            yield wanted.open_lines[option] if mark == "not_known" else negated(wanted.open_lines[option])
    elif question.type != "text":
        for option in question.options:
            yield wanted.options[option] if option == value else negated(wanted.options[option])
