"""What the papers of a permit are drawn from: the permit, its points, signatures, head of the record, this copy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.permit.document import Permit, Road, State
from riskhelper.permit.live_work import LiveField
from riskhelper.permit.points import Point
from riskhelper.ruleset.entries import IsolationRowEntry
from riskhelper.statement.document import Block


@dataclass(frozen=True, slots=True)
class Signed:
    """One signature as it is printed: name, role, meaning, moment and entry (21 CFR 11.50)."""

    name: str
    role: str
    act: str
    meaning: str
    at: datetime
    entry: int
    revision: int


@dataclass(frozen=True, slots=True)
class CopyShown:
    """This copy: its number and for whom it was drawn. Number 0 is a copy without number, which nobody controls."""

    number: int = 0
    drawn_for: str = ""

    @property
    def words(self) -> str:
        """How the copy is called on every page."""
        return (
            f"COPY {self.number} FOR {self.drawn_for.upper()}" if self.number else "UNCONTROLLED COPY WITHOUT NUMBER"
        )


@dataclass(frozen=True)
class PermitSheet:
    """The permit as the record has it at a moment, and what the job adds in words.

    `hold_points` are words, who releases, and how it stands; `live_work` are the fields of an authorisation of work
    on live parts; `superseded_by` is the revision that came after the one shown, 0 where it is the present one. `day`
    draws the window of the permit beside daylight and what was seen.
    """

    permit: Permit
    points: Mapping[str, Point]
    now: datetime
    signed: tuple[Signed, ...]
    head: str
    register_words: str
    copy: CopyShown = CopyShown()
    superseded_by: int = 0
    rehearsal: bool = False
    adopted: bool = False
    rule_sets: str = ""
    hazards: tuple[tuple[str, str, str], ...] = ()
    lesser_hazards: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    rulings: tuple[tuple[str, str], ...] = ()
    stops_to_come: tuple[str, ...] = ()
    hold_points: tuple[tuple[str, str, str], ...] = ()
    others: tuple[str, ...] = ()
    procedures: tuple[str, ...] = ()
    day: tuple[Block, ...] = ()
    live_work: tuple[LiveField, ...] = ()
    exceptions: tuple[tuple[str, ...], ...] = ()
    isolation_plan: tuple[IsolationRowEntry, ...] = ()

    @property
    def beside_service(self) -> bool:
        """Whether the plant stays in service: then no paper calls anything isolated or dead."""
        return self.permit.road is Road.ACCESS

    @property
    def state(self) -> State:
        """The state at the moment of the sheet."""
        return self.permit.at(self.now)

    @property
    def state_words(self) -> str:
        """The state in large words; a copy of an older revision is superseded whatever it said."""
        if self.superseded_by:
            return f"SUPERSEDED BY REVISION {self.superseded_by}"
        return self.permit.words(self.now).upper()

    def point_rows(self) -> tuple[Point, ...]:
        """The points of the permit that the register knows, in their order."""
        return tuple(self.points[name] for name in self.permit.points if name in self.points)
