"""The isolation procedure of a plant: who uses it, and its inspection at least once a year by somebody who does not.

29 CFR 1910.147(c)(6)(i): inspected at least annually by an authorised employee other than those who use it, to
correct what deviates; (ii): the record names the machine, the date, the employees included and the inspector.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

MONTHS = 12


@dataclass(frozen=True, slots=True)
class Procedure:
    """A procedure by its plant: since when it is written, its last inspection, who has used it since then."""

    plant: str
    since: datetime
    inspected_at: datetime | None = None
    inspected_by: str = ""
    reviewed_with: str = ""
    deviations: str = ""
    used_by: frozenset[str] = frozenset()

    @property
    def due(self) -> datetime:
        """By when it is inspected again; a new one a year after its first point was planned."""
        last = self.inspected_at or self.since
        day = min(last.day, 28) if (last.month, last.day) == (2, 29) else last.day
        return last.replace(year=last.year + MONTHS // 12, day=day)

    def overdue(self, now: datetime) -> str:
        """That it was not inspected for more than a year, in words; empty while it was."""
        if now <= self.due:
            return ""
        last = f"last inspected {self.inspected_at:%Y-%m-%d}" if self.inspected_at else "never inspected"
        return f"isolation procedure of {self.plant}: {last}, due {self.due:%Y-%m-%d}"

    def lines(self, now: datetime) -> tuple[str, ...]:
        """How it stands, what is overdue first."""
        late = self.overdue(now)
        return (*((f"OVERDUE, nobody isolates by it: {late}",) if late else ()), self.words)

    @property
    def words(self) -> str:
        """How it stands, in one line."""
        if self.inspected_at is None:
            return f"Isolation procedure of {self.plant}: not inspected yet, due {self.due:%Y-%m-%d}"
        deviated = f"; deviations: {self.deviations}" if self.deviations else "; no deviation"
        return (
            f"Isolation procedure of {self.plant}: inspected {self.inspected_at:%Y-%m-%d} by {self.inspected_by}, "
            f"with {self.reviewed_with}{deviated}; due {self.due:%Y-%m-%d}"
        )


def used(procedure: Procedure, by: str) -> Procedure:
    """After somebody worked by it."""
    return replace(procedure, used_by=procedure.used_by | {by})


def inspected(procedure: Procedure, told: Mapping[str, str], by: str, at: datetime) -> Procedure:
    """After an inspection: the year begins anew, and so does the list of those who use it."""
    return replace(
        procedure,
        inspected_at=at,
        inspected_by=by,
        reviewed_with=told.get("reviewed_with", ""),
        deviations=told.get("deviations", ""),
        used_by=frozenset(),
    )
