"""Numbered copies of the papers of a permit: each is drawn for somebody and called in before the permit is closed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Copy:
    """A numbered copy of one paper: for whom, drawn by whom and when, of which revision."""

    number: int
    kind: str
    drawn_for: str
    drawn_by: str
    at: datetime
    revision: int
