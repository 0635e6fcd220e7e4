"""A context on a store of its own, with a clock that stands still until it is moved."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from riskhelper.acts.context import Context
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.store.logbook import Logbook
from riskhelper.store.sqlite import SqliteStore
from tests.acts.small_rules import write_rules

START = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)


@dataclass
class Clock:
    """The moment, moved by hand."""

    moment: datetime = START

    def __call__(self) -> datetime:
        return self.moment

    def move(self, minutes: float) -> None:
        self.moment += timedelta(minutes=minutes)


def context(folder: Path, clock: Clock | None = None, *, rehearsal: bool = False, **units: str) -> Context:
    """A context on the small rule set; called again on the same folder it opens the same store."""
    shelf = RuleShelf(write_rules(folder / "rules"))
    return Context(
        store=SqliteStore(folder / "record.sqlite", rehearsal=rehearsal),
        rules=shelf,
        clock=clock or Clock(),
        who="Ada Quist",
        role="work leader",
        logbook=Logbook(folder / "log"),
        local_codes=shelf.local_codes,
        units=units,
        keys=folder / "keys",
        plants=folder / "plants",
    )
