"""Where the control of each party ends, written for each and drawn; and the drawing, checked against the plant.

A forgotten source stands on no drawing; one that nobody held against the plant shows the plant of years ago.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

PARTY = "boundary of "
"""Before the name of a party: under it the boundary of its control is written."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """The drawing a plan rests on: its number and revision, and when it was held against the plant on site."""

    number: str
    revision: str
    checked_at: datetime

    @property
    def words(self) -> str:
        """The drawing as it is printed."""
        return f"{self.number}, revision {self.revision}, checked on site {self.checked_at:%Y-%m-%d %H:%M %z}"


def drawing_in(details: Mapping[str, str]) -> Drawing | None:
    """The drawing written with an act; none where there is no number, or the moment cannot be read."""
    number, revision = (details.get(key, "").strip() for key in ("drawing", "drawing_revision"))
    try:
        checked = datetime.fromisoformat(details.get("drawing_checked_at", "").strip())
    except ValueError:
        return None
    return Drawing(number, revision, checked) if number and revision and checked.tzinfo is not None else None


def parties_in(details: Mapping[str, str]) -> dict[str, str]:
    """The boundaries of control written with an act, by party."""
    named = {
        key.removeprefix(PARTY).strip(): words.strip() for key, words in details.items() if key.startswith(PARTY)
    }
    return {party: words for party, words in named.items() if party and words}
