"""How long the text of a job is kept. What is destroyed never comes back, so every doubt keeps it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

INCIDENT_YEARS = 2
"""Years a record is kept after a notifiable incident, Australian WHS Regulations 303(2) (published)."""

WORK_GOES_ON = "the work is not over"


@dataclass(frozen=True, slots=True)
class Incident:
    """Something that happened at the work. `closed` is when its inquiry ended; none while it is open."""

    at: datetime
    closed: datetime | None = None


def purge_lack(ended: datetime | None, incidents: Iterable[Incident], kept_until: datetime, now: datetime) -> str:
    """Why the text of a job may not be destroyed now; empty where it may.

    `ended` is when the work ended, none while it goes on; `kept_until` is the end of the site's own keeping period.
    Not before the work is over, not while an incident is open, not within two years of one, not before the site's
    own period is over.
    """
    happened = tuple(incidents)
    if ended is None or now < ended:
        return WORK_GOES_ON
    if any(each.closed is None or now < each.closed for each in happened):
        return "an incident is open; everything is kept until its inquiry ends"
    held_until = max((_years_after(each.at, INCIDENT_YEARS) for each in happened), default=None)
    if held_until is not None and now < held_until:
        return f"an incident happened; the record is kept {INCIDENT_YEARS} years after it, to {held_until:%Y-%m-%d}"
    if now < kept_until:
        return f"the keeping period of the site ends on {kept_until:%Y-%m-%d}"
    return ""


def _years_after(moment: datetime, years: int) -> datetime:
    """The same day of a later year; after 29 February comes 1 March."""
    if (moment.month, moment.day) == (2, 29):
        return moment.replace(year=moment.year + years, month=3, day=1)
    return moment.replace(year=moment.year + years)
