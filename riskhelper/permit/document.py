"""A permit as a value: what it is for, where it stands, who signed which part, who is on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum

from riskhelper.permit.control_boundary import Drawing
from riskhelper.permit.copies import Copy
from riskhelper.permit.handover import Handover
from riskhelper.permit.rechecks import Recheck, overdue
from riskhelper.permit.reports import Report
from riskhelper.permit.roster import Roster
from riskhelper.permit.rulings import Ruled, ended
from riskhelper.permit.sanction import Sanction
from riskhelper.permit.side_by_side import Agreed, Pair
from riskhelper.permit.site_visits import Visit


class Road(Enum):
    """The two roads: on plant that is dead and earthed, and beside plant in service."""

    WORK = "permit-to-work"
    ACCESS = "limitation of access"


class State(Enum):
    """Where a permit stands, in the words of the trade."""

    DRAFT = "draft"
    REQUESTED = "requested"
    EVALUATED = "evaluated"
    APPROVED = "approved"
    ISOLATING = "isolating"
    ISOLATED = "isolated"
    ISSUED = "issued"
    ACCEPTED = "accepted"
    IN_FORCE = "in force"
    SUSPENDED = "suspended"
    UNDER_TEST = "under test"
    EXPIRED = "expired"
    REVOKED = "revoked"
    REFUSED = "refused"
    HANDED_BACK = "handed back"
    CANCELLED = "cancelled"


ACCESS_WORDS = {State.ISOLATING: "setting the boundary", State.ISOLATED: "bounded"}
"""Beside plant in service nothing is called isolated."""


def state_words(state: State, road: Road) -> str:
    """A state as it is printed on a road."""
    return ACCESS_WORDS.get(state, state.value) if road is Road.ACCESS else state.value


PREPARING = frozenset({State.DRAFT, State.REQUESTED, State.EVALUATED})
HELD = frozenset(
    {State.APPROVED, State.ISOLATING, State.ISOLATED, State.ISSUED, State.ACCEPTED, State.IN_FORCE, State.SUSPENDED}
    | {State.UNDER_TEST}
)
"""States in which the permit has an end that can be reached, and holds its place against others."""


@dataclass(frozen=True, slots=True)
class Returned:
    """Why a request was given back; the note may belong to one question of the job."""

    by: str
    reason: str
    question: str = ""


@dataclass(frozen=True)
class Permit:
    """A permit.

    `signed` maps a part of this revision to who signed it; `acceptor` is whoever holds it now; `test` is the sanction
    to test that is out, `tests` those that ended; `releasing` gives, for a hold point that takes several signatures,
    who has signed in which role; `meets` is how its work meets each kind of work, as its approval wrote it down;
    `live` is what was written of parts left live, by its name there, empty where none are; `shift_end` how each
    shift ends, where the plan is longer than one; `control` is how far the control of each party reaches; from
    `started_at` to `left_at` people could work under it.
    """

    number: str
    job: str
    road: Road
    plant: str
    apparatus: str
    zone: str
    voltage_v: int
    energies: frozenset[str]
    points: tuple[str, ...]
    state: State = State.DRAFT
    revision: int = 1
    starts: datetime | None = None
    ends: datetime | None = None
    signed: Mapping[str, str] = field(default_factory=dict)
    prepared_by: frozenset[str] = frozenset()
    acceptor: str = ""
    coordinator: str = ""
    roster: Roster = field(default_factory=Roster)
    handover: Handover | None = None
    passed: tuple[str, ...] = ()
    releasing: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    rulings: tuple[Ruled, ...] = ()
    rechecks: Mapping[str, Recheck] = field(default_factory=dict)
    points_touched: bool = False
    copies: tuple[Copy, ...] = ()
    reports: tuple[Report, ...] = ()
    meets: Mapping[str, Pair] = field(default_factory=dict)
    safeguards: tuple[Agreed, ...] = ()
    visits: tuple[Visit, ...] = ()
    started_at: datetime | None = None
    left_at: datetime | None = None
    started: bool = False
    test: Sanction | None = None
    tests: tuple[Sanction, ...] = ()
    changed_at: datetime | None = None
    proof_needed_since: datetime | None = None
    state_left: str = ""
    returned: Returned | None = None
    complete: bool | None = None
    resuming_allowed_by: str = ""
    live: Mapping[str, str] = field(default_factory=dict)
    shift_end: str = ""
    control: Mapping[str, str] = field(default_factory=dict)
    drawing: Drawing | None = None
    last: datetime | None = None

    @property
    def closed(self) -> bool:
        """Whether nothing is left to do: cancelled, or refused before any point was touched."""
        return self.state is State.CANCELLED or (self.state is State.REFUSED and not self.points_touched)

    def at(self, now: datetime) -> State:
        """The state at a moment: past its end a permit is expired, and with a check overdue its work is suspended,
        whatever the clock did in between."""
        moment = max(now, self.last) if self.last is not None else now
        if self.state in HELD and self.ends is not None and moment >= self.ends:
            return State.EXPIRED
        if self.state is State.IN_FORCE and self.run_out(moment):
            return State.SUSPENDED
        return self.state

    def run_out(self, now: datetime) -> tuple[str, ...]:
        """What suspends by the clock alone: checks overdue, rulings at their end."""
        ruled = tuple(f"the ruling on {stop} has ended" for stop in ended(self.rulings, now))
        return (*overdue(self.rechecks, now), *ruled)

    def words(self, now: datetime) -> str:
        """The state as it is printed."""
        state = self.at(now)
        named = state_words(state, self.road)
        if self.revision > 1 and self.points_touched and state in PREPARING | {State.APPROVED}:
            return f"suspended, revision {self.revision} {named}"
        return named
