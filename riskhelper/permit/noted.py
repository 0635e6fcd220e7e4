"""Acts that write something on a permit and leave it where it stands: reports, copies, safeguards, visits."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from riskhelper.permit import course
from riskhelper.permit.copies import Copy
from riskhelper.permit.document import Permit
from riskhelper.permit.guards import Asked
from riskhelper.permit.reports import Report
from riskhelper.permit.side_by_side import Agreed, with_agreed
from riskhelper.permit.site_visits import Visit, with_closed


def noted(permit: Permit, asked: Asked) -> Permit:
    """The permit with what an act wrote on it; as it is where the act writes nothing of its own."""
    name, now = asked.person.name, asked.now
    match asked.act:
        case course.REPORT:
            report = Report(asked.told("other_permit"), name, asked.told("reason"), now)
            return replace(permit, reports=(*permit.reports, report))
        case course.SETTLE:
            words = f"{name}: {asked.told('reason')}"
            reports = tuple(each if each.settled else replace(each, settled=words) for each in permit.reports)
            return replace(permit, reports=reports)
        case course.COPY:
            number = len(permit.copies) + 1
            drawn = Copy(number, asked.told("paper"), asked.told("copy_for"), name, now, permit.revision)
            return replace(permit, copies=(*permit.copies, drawn))
        case course.NAME_POINTS:
            return replace(permit, points=tuple(asked.told("named_points").split("\n")))
        case course.AGREE:
            return replace(_briefed_anew(permit, now), safeguards=agreed(permit, asked))
        case course.VISIT:
            return replace(permit, visits=(*permit.visits, _visit(permit, asked)))
        case course.CLOSE_FINDING:
            closed = with_closed(permit.visits, asked.told("finding_number"), asked.told("closed_how"), name, now)
            return replace(permit, visits=closed)
    return permit


def agreed(permit: Permit, asked: Asked) -> tuple[Agreed, ...]:
    """The safeguards on a permit with those that somebody has just read and signed for."""
    return with_agreed(permit.safeguards, asked.told("safeguards"), asked.person.name, asked.now)


def _briefed_anew(permit: Permit, now: datetime) -> Permit:
    """A crew that was briefed before something changed is briefed again."""
    return replace(permit, changed_at=now) if permit.roster.briefed_at is not None else permit


def _visit(permit: Permit, asked: Asked) -> Visit:
    due = asked.told("due")
    return Visit(
        number=len(permit.visits) + 1,
        by=asked.person.name,
        role=asked.role,
        at=asked.now,
        finding=asked.told("finding"),
        action=asked.told("action"),
        action_by=asked.told("action_by"),
        due=datetime.fromisoformat(due) if due else None,
    )
