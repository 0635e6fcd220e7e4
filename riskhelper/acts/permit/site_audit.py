"""Whether live permits are looked at on site: the share visited in a period, what was found, what is overdue."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.permit.permit_words import visit_line
from riskhelper.acts.permit.typed_moments import moment_words
from riskhelper.acts.register.signing import moment, site
from riskhelper.permit.document import Permit
from riskhelper.permit.site_visits import Visit

USUAL = timedelta(days=365)
"""The period where none is named: the last twelve months."""


@dataclass(frozen=True)
class SiteAudit:
    """An audit of a site over a period. `live` are permits under which people could work in it, `visited` those of
    them that somebody without a part in them visited meanwhile; `findings` and `open_actions` are by permit."""

    starts: datetime
    ends: datetime
    now: datetime
    live: tuple[str, ...]
    visited: tuple[str, ...]
    findings: tuple[tuple[str, Visit], ...]
    open_actions: tuple[tuple[str, Visit], ...]
    last_visit: datetime | None
    procedures: tuple[str, ...]
    procedures_late: tuple[str, ...]

    @property
    def share(self) -> float | None:
        """Share of the live permits that were visited, 0 to 1; none where no permit was live."""
        return len(self.visited) / len(self.live) if self.live else None

    @property
    def overdue(self) -> tuple[tuple[str, Visit], ...]:
        """Actions that are not done although their day has come."""
        return tuple((number, visit) for number, visit in self.open_actions if visit.is_overdue(self.now))


def day_typed(what: str, typed: str, now: datetime, *, through: bool = False) -> datetime:
    """The begin of a day on the clock of `now`; with `through` its end.

    >>> from datetime import UTC
    >>> day_typed("The end", "2031-02-03", datetime(2031, 2, 9, tzinfo=UTC), through=True).isoformat()
    '2031-02-04T00:00:00+00:00'
    """
    try:
        day = date.fromisoformat(typed.strip())
    except ValueError as fault:
        raise Refused(f"{what} should be a day such as {now:%Y-%m-%d}; you wrote `{typed}`") from fault
    return datetime.combine(day, time(), now.tzinfo) + timedelta(days=through)


def audit(context: Context, starts: datetime | None = None, ends: datetime | None = None) -> SiteAudit:
    """The audit over a period; without one, over the last twelve months."""
    found = site(context)
    now = moment(context, found)
    end = ends or now
    begin = starts or end - USUAL
    if begin >= end:
        raise Refused(f"The period ends {end:%Y-%m-%d %H:%M %z}, before it begins. Name a later end")
    permits = found.permits.values()
    live = [permit for permit in permits if _was_live(permit, begin, end)]
    during = [(p.number, visit) for p in permits for visit in p.visits if begin <= visit.at <= end]
    seen = {number for number, _ in during}
    return SiteAudit(
        starts=begin,
        ends=end,
        now=now,
        live=tuple(permit.number for permit in live),
        visited=tuple(permit.number for permit in live if permit.number in seen),
        findings=tuple(during),
        open_actions=tuple((p.number, visit) for p in permits for visit in p.visits if visit.is_open),
        last_visit=max((visit.at for p in permits for visit in p.visits), default=None),
        procedures=tuple(each.words for each in found.procedures.values()),
        procedures_late=tuple(lack for each in found.procedures.values() if (lack := each.overdue(now))),
    )


def _was_live(permit: Permit, begin: datetime, end: datetime) -> bool:
    """Whether people could work under a permit at any moment of a period."""
    started = permit.started_at is not None and permit.started_at <= end
    return started and (permit.left_at is None or permit.left_at >= begin)


def audit_lines(found: SiteAudit) -> list[str]:
    """The audit in lines, what is overdue first."""
    return list(_lines(found))


def _lines(found: SiteAudit) -> Iterator[str]:
    now = found.now
    yield f"From {found.starts:%Y-%m-%d %H:%M %z} to {found.ends:%Y-%m-%d %H:%M %z}."
    yield from (f"OVERDUE on permit {number}: {visit_line(visit, now)}" for number, visit in found.overdue)
    yield from (f"OVERDUE, nobody isolates by it: {words}." for words in found.procedures_late)
    if found.share is None:
        yield "No permit was live in this period."
    else:
        yield f"Visited on site: {len(found.visited)} of {len(found.live)} live permits, {found.share:.0%}."
        if left := [number for number in found.live if number not in found.visited]:
            yield f"Not visited: {', '.join(left)}."
    last = f"The last visit on record was {moment_words(found.last_visit, now)}." if found.last_visit else ""
    yield last or "LOOK AT THIS: no visit is on record at all."
    yield from (f"Found on permit {number}: {visit_line(visit, now)}" for number, visit in found.findings)
    waiting = [each for each in found.open_actions if each not in found.overdue]
    yield from (f"To do on permit {number}: {visit_line(visit, now)}" for number, visit in waiting)
    yield from (f"{words}." for words in found.procedures)


def audit_json(found: SiteAudit) -> dict[str, object]:
    """The audit as plain values."""
    return {
        "from": found.starts.isoformat(),
        "to": found.ends.isoformat(),
        "live": list(found.live),
        "visited": list(found.visited),
        "share": found.share,
        "findings": [_as_json(number, visit, found.now) for number, visit in found.findings],
        "open_actions": [_as_json(number, visit, found.now) for number, visit in found.open_actions],
        "overdue_actions": len(found.overdue),
        "last_visit": found.last_visit.isoformat() if found.last_visit else None,
        "procedures": list(found.procedures),
        "procedures_overdue": list(found.procedures_late),
    }


def _as_json(number: str, visit: Visit, now: datetime) -> dict[str, object]:
    return {
        "permit": number,
        "visit": visit.number,
        "by": visit.by,
        "at": visit.at.isoformat(),
        "finding": visit.finding,
        "action": visit.action,
        "action_by": visit.action_by,
        "due": visit.due.isoformat() if visit.due else None,
        "closed": visit.closed,
        "overdue": visit.is_overdue(now),
    }
