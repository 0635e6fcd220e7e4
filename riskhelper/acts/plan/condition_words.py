"""Each condition of a plan with what stands behind it, as whoever approves reads it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.plan.plan_signed import conditions_of
from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Condition
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.due import counted_on
from riskhelper.statement.figures import clause
from riskhelper.terms import APPROVAL


@dataclass(frozen=True, slots=True)
class ToRead:
    """A condition in words, and what stands behind it."""

    words: str
    behind: tuple[str, ...]


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


def lines_to_read(state: JobState, now: datetime, marked: Mapping[str, str]) -> tuple[ToRead, ...]:
    """The conditions, then what is acknowledged besides them: safeguards against the work next to it."""
    conditions = conditions_of(state, now)
    beside = (ToRead(words, ()) for mark, words in marked.items() if mark not in conditions)
    return (*conditions_to_read(state, now), *beside)


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
