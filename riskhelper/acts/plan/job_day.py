"""The day of a job as it stands: what its answers say of light and weather, its permit window, points passed."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.job.assessing import assess_job
from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.job.site_details import site_header
from riskhelper.acts.plan import gate
from riskhelper.assessment.result import Assessment
from riskhelper.permit import course
from riskhelper.permit.document import Permit
from riskhelper.record.entries import PERMIT, Entry
from riskhelper.record.site import told_in
from riskhelper.statement.day_line import DayLine, Window, day_line, drawn, site_place
from riskhelper.statement.selection import Selection


def job_day(
    context: Context,
    state: JobState,
    assessment: Assessment,
    permit: Permit | None,
    entries: Iterable[Entry],
    now: datetime,
) -> DayLine:
    """The day of a job under its latest permit; `entries` are those of the job."""
    window = Window(
        starts=permit.starts if permit is not None else None,
        ends=permit.ends if permit is not None else None,
        passed=passed_at(entries),
        place=site_place(site_header(context, state)),
    )
    points = tuple(point.id for point, _maybe in Selection(state.rules, state.job, assessment, now).hold_points)
    return day_line(state.rules, state.job, points, window, now)


def told_day(context: Context, number: str, milestone: str, width: int) -> list[str]:
    """The day of a job in the store, in characters no wider than `width`."""
    state, assessment = assess_job(context, number, milestone)
    entries = context.store.entries(number)
    permit = gate.permit_in(gate.site_with(context, entries), number)
    return drawn(job_day(context, state, assessment, permit, entries, context.clock()), width)


def passed_at(entries: Iterable[Entry]) -> dict[str, datetime]:
    """When each hold point of the latest revision of a permit was passed."""
    found: dict[str, datetime] = {}
    for entry in entries:
        if entry.draft.act == PERMIT + course.CHANGE:
            found.clear()
        elif entry.draft.act == PERMIT + course.PASS:
            found[told_in(entry).get("hold_point", "")] = entry.moment
    return found
