"""One reading of a job: the values that count NOW, or IF the plan is HELD."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from riskhelper.evidence import Answer, Job
from riskhelper.facts.status import status_if_asked, usable
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.meaning import CANNOT_TELL, NO, NOT_ASKED, Span
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.valuation import Memo, Valuation
from riskhelper.terms import Status, Truth


class Reading(Valuation):
    """Values of a job at a milestone. With `if_held` a pending answer counts as the plan expects it."""

    def __init__(self, rules: RuleSet, job: Job, milestone: str, now: datetime, *, if_held: bool) -> None:
        super().__init__(rules)
        self._job = job
        self._now = now
        self._position = rules.positions[milestone]
        self._if_held = if_held
        self._asked = Memo(lambda name: rules.ask_checks[name].marked(self))

    def asked(self, name: str) -> int:
        return int(self._asked[name])

    def status(self, name: str) -> Status:
        """Status of a question's answer."""
        if self.asked(name) in (NO, NOT_ASKED):
            return Status.NOT_ASKED
        due = self.rules.due_positions[name] <= self._position
        return status_if_asked(self.rules.questions[name], self._job.answers.get(name), due, self._now)

    def question_value(self, name: str) -> Any:
        question = self.rules.questions[name]
        asked = self.asked(name)
        if asked in (NO, NOT_ASKED):
            return whole(question) if question.not_asked is None else exact(question, question.not_asked)
        value = self._value_if_asked(name, question)
        if asked == CANNOT_TELL and question.not_asked is not None:
            return _joined(value, exact(question, question.not_asked))
        return value

    def _value_if_asked(self, name: str, question: QuestionEntry) -> Any:
        answer = usable(self._job, question, name, self._now)
        if answer is not None:
            return self._given(question, answer)
        due = self.rules.due_positions[name] <= self._position
        if not due and self._if_held and (question.expect is not None or question.expect_as):
            return self._expected(question)
        value = not_known(question)
        if question.error is None:
            return value
        # A reading at either end of the range may be off by its error: what is not known covers that too.
        margin = self._margin(question)
        return (round(value[0] - margin, 9), round(value[1] + margin, 9))

    def _given(self, question: QuestionEntry, answer: Answer) -> Any:
        value = answer.value
        if question.type != "number" or not isinstance(value, (int, float)):
            assert value is not None
            return exact(question, value)
        margin = self._margin(question)
        return (round(value - margin, 9), round(value + margin, 9))

    def _margin(self, question: QuestionEntry) -> float:
        if question.error is None:
            return 0.0
        if isinstance(question.error, str):
            span: Span = self[question.error]
            return max(abs(span[0]), abs(span[1]))
        return question.error

    def _expected(self, question: QuestionEntry) -> Any:
        if question.expect_as:
            return self[question.expect_as]
        expect = question.expect
        if question.type == "number":
            assert isinstance(expect, tuple)
            return (float(expect[0]), float(expect[1]))
        options = frozenset((expect,) if isinstance(expect, str) else expect)  # type: ignore[arg-type]
        return (options, options) if question.type == "several" else options


def whole(question: QuestionEntry) -> Any:
    """Every value a question accepts."""
    if question.type == "number":
        assert question.range is not None
        return (float(question.range[0]), float(question.range[1]))
    options = frozenset(question.options)
    return (frozenset(), options) if question.type == "several" else options


def not_known(question: QuestionEntry) -> Any:
    """What counts when nobody can say: the accepted range, or the narrower one the question gives a reason for."""
    if question.if_not_known is not None:
        low, high = question.if_not_known.range
        return (float(low), float(high))
    return whole(question)


def exact(question: QuestionEntry, value: float | str | Mapping[str, str]) -> Any:
    """The one value an answer gives; lines of a several-answer not known stay open."""
    if question.type == "number":
        assert isinstance(value, (int, float))
        return (float(value), float(value))
    if question.type == "several":
        if isinstance(value, str):
            return (frozenset({value}), frozenset({value}))
        assert isinstance(value, Mapping)
        must = frozenset(option for option, mark in value.items() if mark == "yes")
        return (must, must | frozenset(option for option, mark in value.items() if mark == "not_known"))
    return frozenset({str(value)})


def _joined(one: Any, other: Any) -> Any:
    if isinstance(one, frozenset):
        return one | other
    if isinstance(one[0], frozenset):
        return (one[0] & other[0], one[1] | other[1])
    return (min(one[0], other[0]), max(one[1], other[1]))


def holds(rules: RuleSet, job: Job, condition: str, milestone: str, now: datetime) -> Truth:
    """Whether the `if` of a step, kit or isolation row holds if the plan is held; an empty one always does."""
    if not condition:
        return Truth.YES
    reading = Reading(rules, job, milestone, now, if_held=True)
    return Truth(rules.other_checks[condition].test(reading))
