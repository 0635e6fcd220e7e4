"""Whether a hold point may be passed: no stop, and none of its own checks open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Status, Verdict


@dataclass(frozen=True, slots=True)
class Passing:
    """The answer at a hold point. `open_checks` are questions due there or earlier without an answer that counts."""

    allowed: bool
    open_checks: tuple[str, ...]
    assessment: Assessment


def may_pass(rules: RuleSet, job: Job, hold_point: str, now: datetime) -> Passing:
    """Whether the work may go past a hold point of the set (`KeyError` for any other name).

    It may when the verdict there is not STOP and every check due at this hold point or an earlier one is given and
    has not aged. A line of a several-answer that is not known leaves its check open.
    """
    position = rules.positions[rules.hold_points[hold_point].id]
    assessment = assess(rules, job, hold_point, now)
    open_checks = tuple(
        name
        for name, status in assessment.statuses.items()
        if rules.questions[name].asked_at in rules.hold_points
        and rules.due_positions[name] <= position
        and (status is Status.NOT_KNOWN or (status is Status.GIVEN and job.answers[name].open_lines))
    )
    return Passing(assessment.verdict is not Verdict.STOP and not open_checks, open_checks, assessment)
