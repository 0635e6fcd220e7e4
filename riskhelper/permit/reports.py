"""Reports of work that does not go together: anybody may make one, and both permits wait until it is settled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Report:
    """A report on one permit about another. It is open until the issuer has settled it in words."""

    other: str
    by: str
    reason: str
    at: datetime
    settled: str = ""
