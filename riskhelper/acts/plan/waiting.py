"""The plans that wait at the gate, the oldest first: handed over, and neither approved, given back nor refused.

Read from which acts there are, without their contents, so that the list opens as fast over many jobs as over few.
What was signed is checked when a plan is opened.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from riskhelper.acts.context import Context
from riskhelper.acts.plan.gate import has_register
from riskhelper.permit import course
from riskhelper.record.contents import answer_read
from riskhelper.record.entries import PERMIT, REHEARSE, REHEARSED, REQUEST_PLAN
from riskhelper.store.sqlite import Mark

WHICH, WHERE = "job.plant_id", "job.site_name"
NEXT_STEP: Mapping[str, str] = {
    course.DRAFT: "No permit is asked for yet: the worker's side draws it up",
    course.REQUEST: "To be evaluated by a second person",
    course.EVALUATE: "Evaluated; to be approved",
}
"""Whose step is next after the last act on the permit; after any other act the plan waits no longer."""


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


def waiting(context: Context) -> tuple[WaitingLine, ...]:
    """The jobs that wait, the oldest first."""
    signed = has_register(context)
    acts = [PERMIT + act for act in (course.DRAFT, *course.ROWS)] if signed else [REHEARSE + a for a in REHEARSED]
    handed_over: dict[str, Mark] = {}
    last: dict[str, Mark] = {}
    asked: dict[str, Mark] = {}
    for mark in context.store.marks([REQUEST_PLAN, *acts]):
        if mark.act == REQUEST_PLAN:
            handed_over[mark.job] = mark
        elif mark.is_signed or not signed:
            last[mark.job] = mark
            if _name(mark) == course.REQUEST:
                asked[mark.job] = mark
    lines = [_line(mark, last.get(job), asked.get(job, mark)) for job, mark in handed_over.items()]
    return tuple(sorted((line for line in lines if line is not None), key=lambda line: line.mark.entered))


def named(context: Context, job: str) -> str:
    """Which plant, where: as answered in the job."""
    told = {}
    for entry in context.store.answers(job, (WHICH, WHERE)):
        question, answer = answer_read(entry)
        told[question] = str(answer.value or "")
    return ", ".join(word for word in (told.get(WHICH), told.get(WHERE)) if word) or "plant and place not answered"


def _name(mark: Mark) -> str:
    return mark.act.removeprefix(PERMIT).removeprefix(REHEARSE)


def _line(handed_over: Mark, last: Mark | None, since: Mark) -> WaitingLine | None:
    """A job waits since it was handed over, or since its permit was last asked for."""
    step = NEXT_STEP.get(_name(last) if last is not None else course.DRAFT)
    return WaitingLine(handed_over.job, since, step) if step is not None else None
