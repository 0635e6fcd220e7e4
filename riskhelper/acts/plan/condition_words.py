"""Each condition of a plan with what stands behind it, as whoever approves reads it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.plan.plan_signed import condition_mark
from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Condition
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.due import counted_on
from riskhelper.statement.figures import clause
from riskhelper.terms import APPROVAL

AT_ANY_TIME, BESIDE = "At any time", "Beside the other work"


@dataclass(frozen=True, slots=True)
class ToRead:
    """A condition in words, and what stands behind it."""

    words: str
    behind: tuple[str, ...]


Marked = tuple[str, ToRead]
"""A condition with the mark by which it is acknowledged."""


@dataclass(frozen=True, slots=True)
class Group:
    """What is acknowledged together: conditions under the hold point before which each must come true."""

    parts: tuple[tuple[str, tuple[Marked, ...]], ...]

    @property
    def conditions(self) -> tuple[Marked, ...]:
        """All of them."""
        return tuple(marked for _, listed in self.parts for marked in listed)

    @property
    def subject(self) -> str:
        """Where the page begins and ends in the order of the work."""
        first, last = self.parts[0][0], self.parts[-1][0]
        return first if first == last else f"{first} to {last[:1].lower()}{last[1:]}"


MOST_TOGETHER = 12
"""How many conditions stand on one page at most: more are not read. Ours."""


def grouped(state: JobState, now: datetime, marked: Mapping[str, str]) -> tuple[Group, ...]:
    """What is acknowledged with an approval, by subject in the order of the work, a handful together at most."""
    found = assess(state.rules, state.job, APPROVAL, now).conditions
    by_subject: dict[str, dict[str, ToRead]] = {}
    for condition, line in zip(found, conditions_to_read(state, now), strict=True):
        by_subject.setdefault(_subject(state.rules, condition), {})[condition_mark(condition)] = line
    known = {mark for listed in by_subject.values() for mark in listed}
    beside = {mark: ToRead(words, ()) for mark, words in marked.items() if mark not in known}
    if beside:
        by_subject[BESIDE] = beside
    order = [f"Before {point.words}" for point in state.rules.head.hold_points]
    subjects = sorted(by_subject, key=lambda subject: order.index(subject) if subject in order else len(order))
    return tuple(_pages([(subject, tuple(by_subject[subject].items())) for subject in subjects]))


def _pages(listed: Sequence[tuple[str, tuple[Marked, ...]]]) -> Iterator[Group]:
    """Subjects that follow one another together, as many conditions as are read on one page; a long one in parts."""
    parts: list[tuple[str, tuple[Marked, ...]]] = []
    count = 0
    for subject, marked in listed:
        pieces = -(-len(marked) // MOST_TOGETHER)
        each = -(-len(marked) // pieces)
        for start in range(0, len(marked), each):
            piece = marked[start : start + each]
            if parts and count + len(piece) > MOST_TOGETHER:
                yield Group(tuple(parts))
                parts, count = [], 0
            parts.append((subject, piece))
            count += len(piece)
    if parts:
        yield Group(tuple(parts))


def _subject(rules: RuleSet, condition: Condition) -> str:
    """Before which hold point it must come true."""
    point = rules.hold_points.get(condition.hold_point)
    return f"Before {point.words}" if point is not None else AT_ANY_TIME


def conditions_to_read(state: JobState, now: datetime) -> tuple[ToRead, ...]:
    """The conditions of the plan at approval, in the order in which they are acknowledged."""
    found = assess(state.rules, state.job, APPROVAL, now)
    stops = {stop.id: stop for stop in found.later_stops}
    told = []
    for condition in found.conditions:
        behind = _behind(state.rules, condition)
        behind += [f"{stops[name].because} {stops[name].act}" for name in condition.ids if name in stops]
        told.append(ToRead(condition.words, tuple(behind)))
    return tuple(told)


def _behind(rules: RuleSet, condition: Condition) -> list[str]:
    """The checks due, each with what is expected; the evidence of a control, by whom and before which hold point."""
    lines = []
    for name in condition.ids:
        if name in rules.questions and condition.kind == "pending":
            expected = counted_on(rules.questions[name])
            lines.append(rules.questions[name].ask + (f" Expected: {clause(expected)}." if expected else ""))
        elif name in rules.controls:
            control, point = rules.controls[name], rules.hold_points.get(condition.hold_point)
            due = f" Before {point.words}." if point is not None else ""
            lines.append(f"By {control.by}.{due} Evidence: {'; '.join(control.evidence)}.")
    return lines
