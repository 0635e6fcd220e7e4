"""The envelope: the given answers and the expected ranges within which a plan holds, in words.

An approval covers this and nothing beyond it. An answer that changes, or a check at a hold point that comes out
otherwise, is outside of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from riskhelper.assessment.result import Assessment
from riskhelper.assessment.wording import plain_name
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.interval import Interval
from riskhelper.interview.reading import readable
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.document import Block, Paragraph
from riskhelper.statement.due import counted_on
from riskhelper.statement.figures import clause, counted, figure
from riskhelper.statement.selection import Selection
from riskhelper.terms import Status

PRIVATE = "answered in private; only what follows from it is shown"
NOTHING_EXPECTED = "nothing is expected: it counts at its worst until it is seen"
_HOLDS = "(holds for "
NOT_KNOWN = "not known: the plan holds for its whole range"


@dataclass(frozen=True, slots=True)
class Bound:
    """One answer the plan rests on, and within what it must stay. `at` names the hold point where it will be seen."""

    question: str
    ask: str
    within: str
    at: str = ""

    @property
    def words(self) -> str:
        """Question and bound in one line."""
        return f"{self.ask} {self.within}"


@dataclass(frozen=True, slots=True)
class Envelope:
    """What an approval covers: rule sets, answers as given, what is expected at the hold points, controls counted."""

    rule_sets: tuple[str, ...]
    given: tuple[Bound, ...]
    expected: tuple[Bound, ...]
    controls: tuple[str, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """The envelope in words, a line each: what is signed and what is read."""
        return (
            *(f"Rule set {part}" for part in self.rule_sets),
            *(f"Given: {bound.words}" for bound in self.given),
            *(f"Expected at {bound.at}: {bound.words}" for bound in self.expected),
            *(f"Counted on: {words}" for words in self.controls),
        )


def envelope(rules: RuleSet, job: Job, assessment: Assessment, now: datetime) -> Envelope:
    """The envelope of a plan as it stands at the milestone of its assessment."""
    reading = Reading(rules, job, assessment.milestone, now, if_held=True)
    given, expected = [], []
    for name, status in assessment.statuses.items():
        question = rules.questions[name]
        if status is Status.PENDING:
            point = rules.hold_points.get(question.asked_at)
            at = point.words if point is not None else question.asked_at
            expected.append(Bound(name, question.ask, _expected(rules, job, question), at))
        elif status is not Status.NOT_ASKED:
            given.append(Bound(name, question.ask, _given(question, job, name, status, reading)))
    return Envelope(
        rule_sets=tuple(f"{part.name}, number {part.number}, {part.digest[:12]}" for part in rules.parts),
        given=tuple(given),
        expected=tuple(expected),
        controls=tuple(_control(rules, name) for name in rules.controls if name in job.planned),
    )


def envelope_blocks(selection: Selection) -> tuple[Block, ...]:
    """The envelope for a paper, short: what stands on the paper already is named, not printed twice."""
    found = envelope(selection.rules, selection.job, selection.assessment, selection.now)
    measured = [f"{plain_name(b.question)} {b.within}" for b in found.given if _HOLDS in b.within]
    counts = (
        f"{counted(len(found.given), 'answer', 'answers')} as listed here",
        f"{counted(len(found.expected), 'check', 'checks')} coming out as the boxes of the hold points expect",
        f"{counted(len(found.controls), 'control', 'controls')} in place when due",
    )
    words = f"The envelope. An approval of this plan covers {', '.join(counts)}; nothing beyond. "
    if measured:
        words += f"Measured: {'; '.join(measured)}. "
    return (Paragraph(f"{words}Outside of it the approval is void: stop, and tell the issuer.", small=True),)


def _given(question: QuestionEntry, job: Job, name: str, status: Status, reading: Reading) -> str:
    answer = job.answers.get(name)
    if answer is None or status is Status.NOT_KNOWN:
        return NOT_KNOWN
    if question.private:
        return PRIVATE
    said = clause(readable(question, answer))
    if question.type == "number" and question.error is not None:
        low, high = reading.question_value(name)
        said += f" {_HOLDS}{figure(Interval(low, high), question.unit, question.step)})"
    return said


def _expected(rules: RuleSet, job: Job, question: QuestionEntry) -> str:
    same = job.answers.get(question.expect_as)
    if words := counted_on(question):
        return words
    if same is not None:
        return f"as answered: {clause(readable(rules.questions[question.expect_as], same))}"
    return NOTHING_EXPECTED


def _control(rules: RuleSet, name: str) -> str:
    control = rules.controls[name]
    point = rules.hold_points.get(control.hold_point)
    return f"{clause(control.do)}, before {point.words if point else control.hold_point.replace('_', ' ')}"
