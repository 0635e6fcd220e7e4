"""Who, where and which: what a person writes at the head of the papers. Blank fields are filled in by hand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Header:
    """The head of a job's papers. `adopted` says whether this site has adopted the rule set."""

    record_number: str = ""
    revision: int = 1
    site: str = ""
    plant: str = ""
    work_leader: str = ""
    prepared_by: str = ""
    prepared_at: datetime | None = None
    next_review: str = ""
    address: str = ""
    directions: str = ""
    muster_point: str = ""
    emergency_numbers: tuple[tuple[str, str], ...] = ()
    plates: tuple[tuple[str, str], ...] = ()
    known_hazards: tuple[str, ...] = ()
    permit_number: str = ""
    permit_from: datetime | None = None
    permit_until: datetime | None = None
    isolation_number: str = ""
    other_permits: str = ""
    place: tuple[float, float] | None = None
    """Latitude and longitude of the site, north and east positive [deg], where they are set."""
    adopted: bool = False
    superseded_by: str = ""
