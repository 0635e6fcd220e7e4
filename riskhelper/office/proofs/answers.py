"""Answers of a job as unknowns of the solver: every way in which each question can be answered or left open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

import z3  # type: ignore[import-untyped]

from riskhelper.office.proofs.logic import Plain, conjoined, disjoined, implied, negated
from riskhelper.office.proofs.spans import Number, exactly, less_or_equal, times
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import EARLY_MILESTONES
from riskhelper.units import alternatives


@dataclass(frozen=True)
class AnswerTerms:
    """One question's answer: whether a value is given that counts, whether somebody said that it is not known.

    `options` holds one truth per option of a choice or of a several-answer (yes); `open_lines` those lines of a
    several-answer that are not known; `number` the value of a number.
    """

    given: Plain
    said_not_known: Plain
    options: Mapping[str, Plain] = field(default_factory=dict)
    open_lines: Mapping[str, Plain] = field(default_factory=dict)
    number: Number = Fraction(0)


@dataclass(frozen=True)
class JobTerms:
    """A job as unknowns: answers, promises, proofs, how far it has come, and what no job can break."""

    answers: Mapping[str, AnswerTerms]
    planned: Mapping[str, Plain]
    proved: Mapping[str, Plain]
    reached: tuple[Plain, ...]  # by position of the milestone: whether the job has come there
    facts: tuple[Plain, ...]

    def replacing(self, name: str, answer: AnswerTerms) -> JobTerms:
        """The same job with one answer of its own."""
        return JobTerms({**self.answers, name: answer}, self.planned, self.proved, self.reached, self.facts)


def any_job(rules: RuleSet, milestone: str | None = None) -> JobTerms:
    """Every job there is, at a milestone of the set or at any of them."""
    facts: list[Plain] = []
    reached = tuple(_reached(rules, milestone, facts))
    answers = {}
    for name, question in rules.questions.items():
        answers[name] = answer = fresh_answer(name, question)
        facts.extend(legal(question, answer))
        if question.asked_at not in EARLY_MILESTONES and not question.early:
            # Before its hold point such a question cannot be answered.
            facts.append(implied(answer.given, reached[rules.due_positions[name]]))
    planned = {name: z3.Bool(f"planned {name}") for name in rules.controls}
    proved = {name: z3.Bool(f"proved {name}") for name in rules.controls}
    return JobTerms(answers, planned, proved, reached, tuple(facts))


def _reached(rules: RuleSet, milestone: str | None, facts: list[Plain]) -> Iterator[Plain]:
    last: Plain = True
    for name, position in rules.positions.items():
        if milestone is not None:
            yield position <= rules.positions[milestone]
        elif position == 0:
            yield True
        else:
            here = z3.Bool(f"reached {name}")
            facts.append(implied(here, last))
            last = here
            yield here


def fresh_answer(name: str, question: QuestionEntry, tag: str = "") -> AnswerTerms:
    """Unknowns for one answer."""
    said = f"{name}{tag}"
    given, not_known = z3.Bool(f"given {said}"), z3.Bool(f"not known {said}")
    if question.type == "number":
        return AnswerTerms(given, not_known, number=_number(said, question))
    if question.type == "yes_no":
        first, second = question.options
        yes = z3.Bool(f"{said} is {first}")
        return AnswerTerms(given, not_known, {first: yes, second: z3.Not(yes)})
    options = {option: z3.Bool(f"{said} is {option}") for option in question.options}
    lines = {o: z3.Bool(f"{said} open {o}") for o in question.options} if question.type == "several" else {}
    return AnswerTerms(given, not_known, options, lines)


def _number(said: str, question: QuestionEntry) -> Number:
    if keeps_its_step(question):
        return times(exactly(question.step or 1.0), z3.ToReal(z3.Int(f"steps of {said}")))
    return z3.Real(f"value of {said}")


def keeps_its_step(question: QuestionEntry) -> bool:
    """Whether every answer lies on the step: where another unit can be typed it can lie anywhere."""
    return len(alternatives(question.unit)) == 1


def legal(question: QuestionEntry, answer: AnswerTerms) -> Iterator[Plain]:
    """What an answer that is accepted keeps to."""
    match question.type:
        case "number":
            assert question.range is not None
            low, high = (exactly(end) for end in question.range)
            yield less_or_equal(low, answer.number)
            yield less_or_equal(answer.number, high)
        case "choice":
            yield from _one_of(list(answer.options.values()))
        case "several":
            yield from _several(question, answer)


def _one_of(options: list[Plain]) -> Iterator[Plain]:
    yield disjoined(options)
    for place, one in enumerate(options):
        for other in options[place + 1 :]:
            yield negated(conjoined((one, other)))


def _several(question: QuestionEntry, answer: AnswerTerms) -> Iterator[Plain]:
    said = {o: disjoined((answer.options[o], answer.open_lines[o])) for o in question.options}
    yield disjoined(said.values())
    for option in question.options:
        yield negated(conjoined((answer.options[option], answer.open_lines[option])))
        if option in question.alone:
            others = disjoined(truth for other, truth in said.items() if other != option)
            yield implied(answer.options[option], negated(others))
