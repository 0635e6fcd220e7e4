"""A plan as the person who decides on it reads it in ten seconds, as one value; `plan_words` says it.

Verdict, stops with kind and who may lift them, what is not known, the worst three with their reasons, the numbers
that matter with their age, what changed, and how it was answered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.plan.changes import ChangedAnswer, Changes, after_a_stop, changed_since
from riskhelper.acts.plan.decided import Decision, decision_in
from riskhelper.acts.plan.gate import permit_in, site_with
from riskhelper.acts.plan.job_day import job_day
from riskhelper.acts.plan.pace import Pace, pace
from riskhelper.acts.plan.visits import keep_visit, last_visit
from riskhelper.assessment.ranking import stops_in_order, worst_in_order
from riskhelper.assessment.result import Assessment, QuantityShown
from riskhelper.evidence import Job
from riskhelper.permit.document import Permit
from riskhelper.record.entries import REQUEST_PLAN, Entry
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.day_line import drawn
from riskhelper.statement.figures import figure

MOST_NUMBERS = 4
A_WHILE = timedelta(minutes=60)
"""After so long an answer that moves with the hour is told as of then: ours."""


@dataclass(frozen=True, slots=True)
class AgedNumber:
    """A calculated figure and when the oldest answer it rests on was given; none where no answer carries a time.

    `aged` says that an answer under it is too old; `as_of` is when one was given that moves with the hour, as hours
    awake and daylight left do, where that is a while ago.
    """

    quantity: QuantityShown
    oldest: datetime | None
    aged: bool = False
    as_of: datetime | None = None

    @property
    def figure(self) -> str:
        """The figure with its unit."""
        return figure(self.quantity.value, self.quantity.unit)


@dataclass(frozen=True, slots=True)
class Baseline:
    """What changes are counted from, in words, and the last entry that belongs to it."""

    words: str
    entry: int


@dataclass(frozen=True)
class PlanRead:
    """A plan as read now; `since` says in words what the changes are counted from."""

    state: JobState
    entries: tuple[Entry, ...]
    assessment: Assessment
    permit: Permit | None
    after_a_stop: tuple[ChangedAnswer, ...]
    since: str
    changes: Changes
    pace: Pace
    numbers: tuple[AgedNumber, ...]
    decided: Decision | None
    now: datetime


def begin_look(context: Context, entries: Sequence[Entry]) -> Baseline:
    """Begins a look at a plan: changes count from the last look on this machine, else from the handing over."""
    visit = last_visit(context, entries[0])
    keep_visit(context, entries[0], entries[-1].order)
    handed_over = next((entry for entry in entries if entry.draft.act == REQUEST_PLAN), None)
    if visit is not None:
        return Baseline(f"the last look here, {age(visit.at, context.clock())} ago", visit.entry)
    if handed_over is not None:
        return Baseline("the plan was handed over", handed_over.order)
    return Baseline("this first look", entries[-1].order)


def read_plan(
    context: Context, state: JobState, entries: Sequence[Entry], assessment: Assessment, baseline: Baseline
) -> PlanRead:
    """The plan of a job as it stands now, from its entries and its assessment at approval."""
    return PlanRead(
        state=state,
        entries=tuple(entries),
        assessment=assessment,
        permit=permit_in(site_with(context, entries), state.number),
        after_a_stop=after_a_stop(state.rules, entries, state.job),
        since=baseline.words,
        changes=changed_since(state.rules, entries, baseline.entry, state.job),
        pace=pace(state.rules, entries),
        numbers=_numbers(state.rules, state.job, assessment, context.clock()),
        decided=decision_in(context, entries),
        now=context.clock(),
    )


def _numbers(rules: RuleSet, job: Job, assessment: Assessment, now: datetime) -> tuple[AgedNumber, ...]:
    """Figures that stops rest on, then those of the worst hazards, then the rest; the first few."""
    reasons = [reason for stop in stops_in_order(assessment) for reason in stop.reasons]
    reasons += [r for h in worst_in_order(assessment) for r in (*h.likelihood_reasons, *h.severity_reasons)]
    wanted = dict.fromkeys([name for reason in reasons for name in reason.facts])
    shown = {quantity.id: quantity for quantity in assessment.quantities}
    order = [name for name in wanted if name in shown] + [name for name in shown if name not in wanted]
    return tuple(_with_age(rules, job, assessment, shown[name], now) for name in order[:MOST_NUMBERS])


def _with_age(rules: RuleSet, job: Job, assessment: Assessment, quantity: QuantityShown, now: datetime) -> AgedNumber:
    under = [question for question in rules.supports[quantity.id] if question in job.answers]
    given = [at for question in under if (at := job.answers[question].at) is not None]
    moving = [
        at
        for question in under
        if rules.questions[question].life_min and (at := job.answers[question].at) is not None
    ]
    aged = not frozenset(assessment.stale).isdisjoint(under)
    first = min(moving, default=now)
    return AgedNumber(quantity, min(given, default=None), aged, first if not aged and now - first > A_WHILE else None)


def age(at: datetime | None, now: datetime) -> str:
    """How old something is, as one says it."""
    if at is None:
        return "of unknown age"
    minutes = max(int((now - at).total_seconds() // 60), 0)
    if minutes < 1:
        return "under 1 min"
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h" if minutes < 2880 else f"{minutes // 1440} days"


def day_lines(context: Context, read: PlanRead, width: int) -> list[str]:
    """The day of the job on one line, in characters."""
    return drawn(job_day(context, read.state, read.assessment, read.permit, read.entries, read.now), width)
