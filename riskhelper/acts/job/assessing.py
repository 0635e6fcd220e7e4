"""Assess a job: in the store, or straight from an answer file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.interview.order import about_how_many, due_now, next_question, stale
from riskhelper.ruleset.faults import nearest_name
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Status


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the interview has come, and which answers have aged.

    `due` holds every question that is or may be asked, `about` how many of them it will be about.
    """

    next_question: str | None
    dealt_with: int
    due: tuple[str, ...]
    about: int
    stale: tuple[str, ...]


def assess_job(context: Context, number: str, milestone: str) -> tuple[JobState, Assessment]:
    """The assessment of a job in the store at a milestone, now."""
    state = resume_job(context, number)
    return state, assessed(state.rules, state.job, milestone, context.clock())


def assessed(rules: RuleSet, job: Job, milestone: str, now: datetime) -> Assessment:
    """The assessment of a job as a value."""
    return assess(rules, job, checked_milestone(rules, milestone), now)


def progress(context: Context, state: JobState, milestone: str) -> Progress:
    """Which question comes next, and how many of about how many are dealt with."""
    now = context.clock()
    due = due_now(state.rules, state.job, milestone, now)
    return Progress(
        next_question=next_question(state.rules, state.job, milestone, now),
        dealt_with=sum(1 for question in due if question in state.job.answers),
        due=due,
        about=about_how_many(state.rules, state.job, milestone, now),
        stale=stale(state.rules, state.job, now),
    )


def without_effect(assessment: Assessment, job: Job) -> tuple[str, ...]:
    """Answers that are kept but have no effect, as their questions are not asked."""
    return tuple(q for q in job.answers if assessment.statuses.get(q) is Status.NOT_ASKED)


def checked_milestone(rules: RuleSet, milestone: str) -> str:
    """The milestone, or a refusal with the known ones."""
    if milestone in rules.positions:
        return milestone
    hint = nearest_name(milestone, rules.milestones)
    raise Refused(
        f"Milestone `{milestone}` is not known."
        + (f" Did you mean `{hint}`?" if hint else f" Known are {', '.join(rules.milestones)}")
    )
