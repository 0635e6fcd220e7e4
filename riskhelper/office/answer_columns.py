"""Many jobs side by side: one column for each question, control and ruling, ready for NumPy."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from riskhelper.assessment.hazards import is_proved
from riskhelper.evidence import Answer, Job
from riskhelper.facts.reading import exact
from riskhelper.facts.status import is_stale
from riskhelper.ruleset.entries import QuestionEntry, StopEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import EARLY_MILESTONES

Flags = NDArray[np.bool_] | np.bool_
Numbers = NDArray[np.float64] | np.float64
Bits = NDArray[np.unsignedinteger[Any]] | np.unsignedinteger[Any]
_MOST_ROUNDED = 4e6  # above it a double has fewer than nine decimals, and rounding by scaling would change it


@dataclass(frozen=True, slots=True)
class PastJob:
    """A job with the moment at which its answers are looked at."""

    job: Job
    moment: datetime


@dataclass(frozen=True, slots=True)
class AnswerColumn:
    """Answers to one question. Rows without an answer that counts hold nothing of meaning in `value`.

    `value` holds a number, the bit of a choice, or the bits a several-answer surely has; `may` the bits it may have.
    `said` marks who said "not known" to a question that is asked before any hold point.
    """

    given: Flags
    said: Flags
    value: Any
    may: Any = None
    neat: bool = True


@dataclass(frozen=True)
class JobColumns:
    """Columns of many jobs under one rule set."""

    count: int
    answers: Mapping[str, AnswerColumn]
    planned: Mapping[str, Flags]
    proved: Mapping[str, Flags]
    entries: Mapping[str, NDArray[np.int64]]
    ruled: Mapping[str, Flags]


def columns_of(rules: RuleSet, jobs: Sequence[PastJob]) -> JobColumns:
    """The columns of these jobs, as a rule set reads them. An answer that fits no question counts as none."""
    answers = {name: _column(name, question, jobs) for name, question in rules.questions.items()}
    planned: dict[str, Flags] = {}
    proved: dict[str, Flags] = {}
    entries: dict[str, NDArray[np.int64]] = {}
    for name, control in rules.controls.items():
        planned[name] = _flags(jobs, lambda one, name=name: name in one.job.planned)  # type: ignore[misc]
        proofs = [one.job.proved.get(name) for one in jobs]
        holds = [is_proved(control, proof) for proof in proofs]
        proved[name] = uniform(np.array(holds, dtype=np.bool_))
        if any(holds):
            numbers = [
                proof.entry if held and proof is not None and proof.entry is not None else -1
                for proof, held in zip(proofs, holds, strict=True)
            ]
            entries[name] = np.array(numbers, dtype=np.int64)
    ruled = {name: _flags(jobs, _is_ruled(name, stop)) for name, stop in rules.stops.items()}
    return JobColumns(len(jobs), answers, planned, proved, entries, ruled)


def uniform(flags: Flags) -> Flags:
    """The same flags; one single flag where all are alike."""
    if isinstance(flags, np.ndarray):
        if not flags.any():
            return np.False_
        if flags.all():
            return np.True_
    return flags


def nine_decimals(numbers: Numbers) -> Numbers:
    """Numbers rounded to nine decimals, as the walk over one job rounds them."""
    rounded: Numbers = np.round(numbers, 9)
    large = np.abs(numbers) >= _MOST_ROUNDED
    return np.where(large, numbers, rounded) if large.any() else rounded


def bits_type(question: QuestionEntry) -> type[np.unsignedinteger[Any]]:
    """The smallest type that holds a bit for each option."""
    count = len(question.options)
    fitting = ((8, np.uint8), (16, np.uint16), (32, np.uint32), (64, np.uint64))
    return next(kind for most, kind in fitting if count <= most)


def bits_of(question: QuestionEntry, options: frozenset[str]) -> Any:
    """Options of a question as bits, in the order of the question."""
    total = sum(1 << place for place, option in enumerate(question.options) if option in options)
    return bits_type(question)(total)


def _flags(jobs: Sequence[PastJob], holds: Callable[[PastJob], bool]) -> Flags:
    return uniform(np.fromiter((holds(one) for one in jobs), dtype=np.bool_, count=len(jobs)))


def _is_ruled(name: str, stop: StopEntry) -> Callable[[PastJob], bool]:
    def ruled(one: PastJob) -> bool:
        ruling = one.job.rulings.get(name)
        return (
            ruling is not None
            and bool(stop.ruled_by)
            and ruling.by_role == stop.ruled_by
            and ruling.until > one.moment
        )

    return ruled


def _column(name: str, question: QuestionEntry, jobs: Sequence[PastJob]) -> AnswerColumn:
    found = [one.job.answers.get(name) for one in jobs]
    early = question.asked_at in EARLY_MILESTONES
    said = [early and answer is not None and not answer.is_known for answer in found]
    cells = [_cell(question, answer, one.moment) for answer, one in zip(found, jobs, strict=True)]
    given = uniform(np.array([cell is not None for cell in cells], dtype=np.bool_))
    told = uniform(np.array(said, dtype=np.bool_))
    if not np.any(given):
        return AnswerColumn(np.False_, told, _nothing(question), _nothing(question))
    if question.type == "number":
        numbers = np.array([0.0 if cell is None else cell for cell in cells], dtype=np.float64)
        return AnswerColumn(given, told, numbers, neat=bool((numbers == nine_decimals(numbers)).all()))
    if question.type == "text":
        return AnswerColumn(given, told, None)
    kind, places = bits_type(question), {option: 1 << n for n, option in enumerate(question.options)}
    if question.type == "several":
        must = np.array([sum(places[o] for o in cell[0]) if cell else 0 for cell in cells], dtype=kind)
        may = np.array([sum(places[o] for o in cell[1]) if cell else 0 for cell in cells], dtype=kind)
        return AnswerColumn(given, told, must, must if (must == may).all() else may)
    chosen = np.array([places[cell] if cell is not None else 0 for cell in cells], dtype=kind)
    return AnswerColumn(given, told, chosen)


def _nothing(question: QuestionEntry) -> Any:
    if question.type == "number":
        return np.float64(0.0)
    return None if question.type == "text" else bits_type(question)(0)


def _cell(question: QuestionEntry, answer: Answer | None, moment: datetime) -> Any:
    """What an answer gives, or nothing where it is not known, has aged, or does not fit the question."""
    if answer is None or answer.value is None or is_stale(question, answer, moment) or not fits(question, answer):
        return None
    value = answer.value
    return exact(question, value) if question.type == "several" else value


def fits(question: QuestionEntry, answer: Answer) -> bool:
    """Whether an answer given under another rule set can be an answer to this question."""
    value = answer.value
    if value is None:
        return True
    match question.type:
        case "number":
            assert question.range is not None
            return isinstance(value, float | int) and question.range[0] <= value <= question.range[1]
        case "text":
            return isinstance(value, str)
        case "several":
            options = (value,) if isinstance(value, str) else value if isinstance(value, Mapping) else ("",)
            return all(option in question.options for option in options)
        case _:
            return isinstance(value, str) and value in question.options


def fitted(rules: RuleSet, job: Job) -> Job:
    """The job as another rule set can read it: answers that do not fit its questions are left out."""
    answers = {n: a for n, a in job.answers.items() if n in rules.questions and fits(rules.questions[n], a)}
    return replace(job, answers=answers)
