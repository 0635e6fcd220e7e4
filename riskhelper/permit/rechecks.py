"""Checks that must be repeated while the work goes on: answers that age, stored energy that can build up again.

A check is raised when a quarter of its interval is left. When the interval has run out without it, the permit is
suspended by that alone, whatever anybody did or did not do.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

POINT_CHECK = "point:"
RAISED_FROM = 0.75
"""Share of the interval after which a check is raised. Ours."""


@dataclass(frozen=True, slots=True)
class Recheck:
    """A check in words, its interval in minutes, and when it was last done."""

    words: str
    every_min: int
    done: datetime

    @property
    def due(self) -> datetime:
        """By when it must be done again."""
        return self.done + timedelta(minutes=self.every_min)

    def is_raised(self, now: datetime) -> bool:
        """Whether it is time to do it."""
        return now >= self.done + timedelta(minutes=self.every_min * RAISED_FROM)


def overdue(rechecks: Mapping[str, Recheck], now: datetime) -> tuple[str, ...]:
    """Words of the checks whose interval has run out."""
    return tuple(check.words for check in rechecks.values() if now > check.due)


def written(rechecks: Mapping[str, Recheck]) -> str:
    """Checks as they are written with an act."""
    rows = [[name, check.words, check.every_min, check.done.isoformat()] for name, check in sorted(rechecks.items())]
    return json.dumps(rows, ensure_ascii=False)


def read(text: str) -> dict[str, Recheck]:
    """Checks as they were written with an act; none where nothing was."""
    return {
        name: Recheck(words, every_min, datetime.fromisoformat(done))
        for name, words, every_min, done in json.loads(text or "[]")
    }
