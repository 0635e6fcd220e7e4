"""A sanction to test: the document under which apparatus is tested that is not held off or earthed in full.

It excludes the work permit and any limitation of access on the same apparatus (the circuits of the unit), not on
the plant. Under it nobody works; who may be near and what is applied is written on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Sanction:
    """A sanction to test: its number, the apparatus, what is applied, who holds it, who keeps people away."""

    number: str
    apparatus: str
    scope: str
    applied: str
    holder: str
    people_kept_away_by: str
    issued_by: str
    issued_at: datetime
    ended_at: datetime | None = None
    proved_unit: str = ""
