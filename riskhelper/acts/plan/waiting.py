"""The plans that wait at the gate, the oldest first: handed over, and neither approved, given back nor refused.

Read from which acts there are, without their contents, so that the list opens as fast over many jobs as over few.
What was signed is checked when a plan is opened.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from riskhelper.acts.context import Context
from riskhelper.acts.job.stated_plant import PLANT, SITE
from riskhelper.acts.plan.decided import SAID, decision_in
from riskhelper.acts.plan.gate import has_register
from riskhelper.permit import course
from riskhelper.record.contents import answer_read
from riskhelper.record.entries import PERMIT, REHEARSE, REHEARSED, REQUEST_PLAN
from riskhelper.store.sqlite import Mark

NEXT_STEP: Mapping[str, str] = {
    course.DRAFT: "No permit is asked for yet: the worker's side draws it up",
    course.REQUEST: "To be evaluated by a second person",
    course.EVALUATE: "Evaluated; to be approved",
}
"""Whose step is next after the last act on the permit; after any other act the plan waits no longer."""
MOST_DECIDED = 9
"""How many plans decided lately stand under those that wait."""


@dataclass(frozen=True, slots=True)
class WaitingLine:
    """One job that waits: since when, and whose step is next."""

    job: str
    mark: Mark
    next_step: str

    @property
    def since(self) -> datetime:
        """Since when it waits."""
        return self.mark.at

    def waited(self, now: datetime) -> timedelta:
        """How long it has waited; none where the clock was set back."""
        return max(now - self.since, timedelta(0))


@dataclass(frozen=True, slots=True)
class AtTheGate:
    """The plans that wait, the oldest first, and the marks of what was decided lately, the latest first."""

    waiting: tuple[WaitingLine, ...]
    decided: tuple[Mark, ...]


def at_the_gate(context: Context) -> AtTheGate:
    """What waits and what was decided lately; a plan that waits again is not among the latter."""
    signed = has_register(context)
    acts = [PERMIT + act for act in (course.DRAFT, *course.ROWS)] if signed else [REHEARSE + a for a in REHEARSED]
    handed_over: dict[str, Mark] = {}
    last: dict[str, Mark] = {}
    asked: dict[str, Mark] = {}
    decided: dict[str, Mark] = {}
    for mark in context.store.marks([REQUEST_PLAN, *acts]):
        if mark.act == REQUEST_PLAN:
            handed_over[mark.job] = mark
        elif mark.is_signed or not signed:
            last[mark.job] = mark
            if _name(mark) == course.REQUEST:
                asked[mark.job] = mark
            elif _name(mark) in SAID:
                decided[mark.job] = mark
    lines = [_line(mark, last.get(job), asked.get(job, mark)) for job, mark in handed_over.items()]
    waits = tuple(sorted((line for line in lines if line is not None), key=lambda line: line.mark.entered))
    open_jobs = {line.job for line in waits}
    lately = sorted((m for m in decided.values() if m.job not in open_jobs), key=lambda m: m.entered, reverse=True)
    return AtTheGate(waits, tuple(lately[:MOST_DECIDED]))


def waiting(context: Context) -> tuple[WaitingLine, ...]:
    """The jobs that wait, the oldest first."""
    return at_the_gate(context).waiting


def decided_words(context: Context, mark: Mark) -> str:
    """One job decided lately: which plant, where, and what was decided by whom, when and why."""
    decision = decision_in(context, context.store.entries(mark.job))
    return f"{mark.job}, {named(context, mark.job)}. {decision.words if decision is not None else ''}".rstrip()


def named(context: Context, job: str) -> str:
    """Which plant, where: as answered in the job."""
    told = {}
    for entry in context.store.answers(job, (PLANT, SITE)):
        question, answer = answer_read(entry)
        told[question] = str(answer.value or "")
    return ", ".join(word for word in (told.get(PLANT), told.get(SITE)) if word) or "plant and place not answered"


def _name(mark: Mark) -> str:
    return mark.act.removeprefix(PERMIT).removeprefix(REHEARSE)


def _line(handed_over: Mark, last: Mark | None, since: Mark) -> WaitingLine | None:
    """A job waits since it was handed over, or since its permit was last asked for."""
    step = NEXT_STEP.get(_name(last) if last is not None else course.DRAFT)
    return WaitingLine(handed_over.job, since, step) if step is not None else None
