"""The plans that wait at the gate, the oldest first: handed over, and neither approved, given back nor refused.

Read from the few entries that tell it, so that the list opens as fast over many jobs as over few.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from riskhelper.acts import rehearsing
from riskhelper.acts.context import Context
from riskhelper.acts.gate import WAITING, has_register
from riskhelper.permit import course
from riskhelper.permit.document import Permit, State
from riskhelper.record.contents import NotReadable, answer_read
from riskhelper.record.entries import (
    ANSWER,
    PERMIT,
    REHEARSE,
    REHEARSED,
    REQUEST_PLAN,
    REVOKE_KEY,
    SET_UP_REGISTER,
    VOUCH,
    Entry,
)
from riskhelper.record.site import Site, site_of
from riskhelper.store.sqlite import StoreFault

REGISTER = (SET_UP_REGISTER, VOUCH, REVOKE_KEY)
WHICH, WHERE = "job.plant_id", "job.site_name"


@dataclass(frozen=True, slots=True)
class WaitingLine:
    """One job that waits: since when, handed over by whom, and its permit if one is requested."""

    job: str
    since: datetime
    handed_over_by: str
    permit: Permit | None

    def waited(self, now: datetime) -> timedelta:
        """How long it has waited; none where the clock was set back."""
        return max(now - self.since, timedelta(0))

    @property
    def next_step(self) -> str:
        """Who has to do what next."""
        if self.permit is None:
            return "no permit is requested yet: the worker's side draws it up"
        return {
            State.REQUESTED: "to be evaluated by a second person",
            State.EVALUATED: "evaluated; to be approved",
        }[self.permit.state]


def waiting(context: Context) -> tuple[WaitingLine, ...]:
    """The jobs that wait, the oldest first."""
    signed = has_register(context)
    acts = [PERMIT + name for name in course.ROWS] + [PERMIT + course.DRAFT, *REGISTER]
    kept = context.store.with_acts([REQUEST_PLAN, *(acts if signed else [REHEARSE + name for name in REHEARSED])])
    try:
        found = site_of(kept) if signed else rehearsing.rehearsed(kept)
    except NotReadable as fault:
        raise StoreFault(f"The record cannot be read to its end: {fault}") from fault
    permits = {permit.job: permit for permit in found.permits.values()}
    handed_over = {entry.draft.job: entry for entry in kept if entry.draft.act == REQUEST_PLAN}
    lines = [_line(entry, permits.get(job), found, kept) for job, entry in handed_over.items()]
    return tuple(sorted((line for line in lines if _waits(line.permit)), key=lambda line: line.since))


def named(context: Context, job: str) -> str:
    """Which plant, where: as answered in the job."""
    told = {}
    for entry in context.store.entries(job):
        if entry.draft.act == ANSWER and entry.draft.content.get("question") in (WHICH, WHERE):
            question, answer = answer_read(entry)
            told[question] = str(answer.value or "")
    return ", ".join(word for word in (told.get(WHICH), told.get(WHERE)) if word) or "plant and place not answered"


def _waits(permit: Permit | None) -> bool:
    return permit is None or permit.state in WAITING


def _line(entry: Entry, permit: Permit | None, found: Site, kept: Iterable[Entry]) -> WaitingLine:
    """A job waits since it was handed over, or since its permit was last requested after it was given back."""
    since = entry.moment
    requested = found.requested.get(permit.number) if permit is not None else None
    if requested is not None:
        since = next(each.moment for each in kept if each.order == requested)
    return WaitingLine(entry.draft.job, since, entry.draft.who, permit)
