"""Visits to work under a permit: what somebody from outside the crew found there, what must be done, until it is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Visit:
    """A visit by its number on the permit. `action` is empty where nothing must be done; `closed` says how it was."""

    number: int
    by: str
    role: str
    at: datetime
    finding: str
    action: str = ""
    action_by: str = ""
    due: datetime | None = None
    closed: str = ""
    closed_by: str = ""
    closed_at: datetime | None = None

    @property
    def is_open(self) -> bool:
        """Whether something must still be done."""
        return bool(self.action) and self.closed_at is None

    def is_overdue(self, now: datetime) -> bool:
        """Whether it is not done although its day has come."""
        return self.is_open and self.due is not None and now >= self.due

    @property
    def to_do(self) -> str:
        """What must be done, by whom, until when."""
        until = f" before {self.due:%Y-%m-%d %H:%M %z}" if self.due is not None else ""
        return f"{self.action}, by {self.action_by}{until}"


def with_closed(visits: tuple[Visit, ...], number: str, how: str, by: str, at: datetime) -> tuple[Visit, ...]:
    """The visits after the action of one was done."""
    return tuple(
        replace(each, closed=how, closed_by=by, closed_at=at) if str(each.number) == number and each.is_open else each
        for each in visits
    )
