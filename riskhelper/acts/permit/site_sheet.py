"""The sheet of permits of a site, by place and plant in walking order, suspended ones first."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.acts.job.stated_plant import site_name
from riskhelper.acts.job.stopping import standing_stop
from riskhelper.acts.permit.permit_words import holder
from riskhelper.acts.permit.permits import PermitLine, sheet
from riskhelper.acts.permit.typed_moments import moment_words
from riskhelper.acts.register.signing import moment, site
from riskhelper.permit.course import ROWS, STOP
from riskhelper.permit.document import Permit

SUSPENDED = "Suspended: read these first"
CLOSED = "Closed"


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One permit on the sheet. `group` is where it hangs: the suspended ones, a place with its plant, the closed."""

    number: str
    job: str
    group: str
    state: str
    words: str
    zone: str
    people_may_be_on: bool


def site_sheet(context: Context, walk: Sequence[str] = ()) -> tuple[SheetLine, ...]:
    """Every permit. `walk` names the places in the order in which one walks past them; the others follow by name,
    numbers in their own order."""
    now = moment(context, site(context))
    places = {place: rank for rank, place in enumerate(walk)}

    def order(line: PermitLine) -> tuple[object, ...]:
        permit = line.permit
        place = (places.get(permit.zone, len(places)), by_number(permit.zone), by_number(permit.plant))
        return permit.closed, not is_suspended(line), *place, by_number(permit.number)

    lines = sorted(sheet(context), key=order)
    known = set(context.store.jobs())
    jobs = {job: resume_job(context, job) for job in dict.fromkeys(line.permit.job for line in lines) if job in known}
    return tuple(_line(line, jobs.get(line.permit.job), now) for line in lines)


def is_suspended(line: PermitLine) -> bool:
    """Whether people are out and the points stay."""
    return line.words.startswith("suspended")


def by_number(name: str) -> list[tuple[int, str]]:
    """A name for sorting, its numbers by their worth.

    >>> sorted(["bay 10", "bay 2"], key=by_number)
    ['bay 2', 'bay 10']
    """
    return [(int(part), "") if part.isdigit() else (-1, part) for part in re.split(r"(\d+)", name.lower()) if part]


def _line(line: PermitLine, job: JobState | None, now: datetime) -> SheetLine:
    permit = line.permit
    named_site = site_name(job.job) if job is not None else ""
    where = f"{named_site}: {permit.zone}, {permit.plant}" if named_site else f"{permit.zone}, {permit.plant}"
    called = standing_stop(job.history) if job is not None and not permit.closed else None
    stopped = f"STOP CALLED {moment_words(called.at, now)}, " if called is not None else ""
    group = CLOSED if permit.closed else SUSPENDED if is_suspended(line) else where
    named = f"{where}, {permit.apparatus}" if group in (SUSPENDED, CLOSED) else permit.apparatus
    return SheetLine(
        number=permit.number,
        job=permit.job,
        group=group,
        state=f"{stopped}{line.words}".upper(),
        words=f"{permit.number}, {permit.road.value}, {named}; {_until(permit, now)}; {_held(permit)}",
        zone=permit.zone,
        people_may_be_on=permit.at(now) in ROWS[STOP].states,
    )


def _until(permit: Permit, now: datetime) -> str:
    if permit.ends is None:
        return "no end set"
    return f"{'ended' if now >= permit.ends else 'until'} {moment_words(permit.ends, now)}"


def _held(permit: Permit) -> str:
    on = len(permit.roster.signed_on)
    crew = f", {on} signed on" if on else ", nobody signed on" if permit.acceptor else ""
    return holder(permit) + crew
