"""What every act is given: the store, the rules, the clock, and who acts in which role."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # record, log and rules are read after the first page is on the screen
    from pathlib import Path

    from riskhelper.record.canonical import Content
    from riskhelper.record.entries import Entry
    from riskhelper.ruleset.model import RuleSet
    from riskhelper.statement.header import Header
    from riskhelper.store.logbook import Logbook
    from riskhelper.store.sqlite import RecordStore

MOST_NAME = 80
MOST_WORDS = 2_000
TURNS_TEXT_ROUND = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Refused(Exception):
    """An act that is not possible now: what, why, and what to do. Nothing was saved."""


def _blank_header() -> Header:
    from riskhelper.statement.header import Header

    return Header()


@dataclass(frozen=True)
class Context:
    """Everything an act may use besides its input. `rules` gives the rule set for a local code; `keys` is the
    folder of the sealed keys beside the store, `plants` that of the plant files; `header` is what the configuration
    puts at the head of every paper. `true_at` is set where something is entered afterwards, as from paper: when it
    was true. `language` is the one the rules are read in, empty where it is their own."""

    store: RecordStore
    rules: Callable[[str], RuleSet]
    clock: Callable[[], datetime]
    who: str
    role: str
    logbook: Logbook
    local_codes: Mapping[str, str] = field(default_factory=dict)
    zone: str = ""
    units: Mapping[str, str] = field(default_factory=dict)
    keys: Path | None = None
    plants: Path | None = None
    true_at: datetime | None = None
    language: str = ""
    header: Header = field(default_factory=_blank_header)

    @property
    def rehearsal(self) -> bool:
        """Whether this is a rehearsal: every output is marked."""
        return self.store.rehearsal

    def append(self, job: str, act: str, content: Mapping[str, Content]) -> Entry:
        """Saves an act; when this returns it is on disk."""
        from riskhelper.record.entries import drafted

        now = self.clock()
        draft = drafted(
            job=job,
            who=self.who,
            role=self.role,
            act=act,
            content=content,
            entered=now,
            true_at=self.true_at,
            zone=self.zone,
        )
        entry = self.store.append(draft)
        self.logbook.act(now, act, entry.number)
        return entry

    def refused(self, act: str, kind: str, message: str) -> Refused:
        """The refusal of an act, noted in the log by its kind alone."""
        self.logbook.refusal(self.clock(), act, kind)
        return Refused(message)


def printable(text: str) -> str:
    """Text without characters that would move the cursor, ring, or turn the reading direction.

    >>> printable("T2\\x1b[2J")
    'T2?[2J'
    """
    kept = (c if (c.isprintable() or c == "\n") and c not in TURNS_TEXT_ROUND else "?" for c in text)
    return "".join(kept)


def checked_words(what: str, text: str, most: int) -> str:
    """Words a person typed, trimmed; refused where they are too long or hold control characters."""
    trimmed = text.strip()
    if len(trimmed) > most:
        raise Refused(f"{what} must be at most {most} characters; you entered {len(trimmed)}. Shorten it")
    if printable(trimmed) != trimmed or "\n" in trimmed:
        raise Refused(f"{what} holds characters that cannot be printed: `{printable(trimmed)[:60]}`. Type it again")
    return trimmed
