"""Whether an act is possible now; if not, which guards refuse it, who satisfies them, what is possible instead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from riskhelper.permit import (
    boundary_guards,
    end_of_shift,
    live_work,
    neighbour_guards,
    people_guards,
    plan_guards,
    point_guards,
    visit_guards,
)
from riskhelper.permit.course import AFTER_CLOSING, ANYONE, COURSE, EXTEND, ROWS, Row
from riskhelper.permit.document import Permit, State, state_words
from riskhelper.permit.guards import GUARDS, Around, Asked
from riskhelper.permit.persons import Person
from riskhelper.permit.points import Point

GUARD_MODULES = (
    plan_guards,
    neighbour_guards,
    live_work,
    point_guards,
    people_guards,
    end_of_shift,
    visit_guards,
    boundary_guards,
)
"""Modules that file their guards when they are imported."""
NO_POINTS: Mapping[str, Point] = MappingProxyType({})
OF_THE_RECORD = frozenset(
    {
        "not_the_requester",
        "prepared_by_another",
        "not_of_the_crew",
        "visited_by_another",
        "not_the_issuer",
        "is_the_acceptor",
        "not_the_acceptor",
        "nobody_accepted",
        "somebody_accepted",
        "handed_back_by_another",
        "witnessed_by_another",
        "resuming_allowed",
        "handover_open",
        "taken_over",
        "signed_on",
        "not_signed_on",
        "crew_out",
        "nothing_touched",
        "risks_evaluated",
        "window_set",
        "window_open",
        "later_end",
        "until_ahead",
        "visited_since_change",
        "briefed_before",
        "briefed_five_subjects",
        "briefed_after_change",
        "briefed_since_suspended",
        "subjects_named",
        "somebody_signed_on",
        "names_a_member",
        "not_oneself",
        "people_clear",
        "points_chosen",
        "points_named",
        "points_secured",
        "tested_dead",
        "earthed",
        "measures_in_place",
        "seen_by_the_witness",
        "own_lock_on",
        "told_of_removal",
    }
)
"""Guards that need the permit, its points and the person alone, and no text that may be destroyed: they are asked
again whenever a record is read."""


@dataclass(frozen=True, slots=True)
class Lack:
    """A guard that refuses: what is lacking, and what or who satisfies it."""

    guard: str
    words: str
    by: str


@dataclass(frozen=True, slots=True)
class Refusal:
    """An act refused. `possible` are the acts of the state, each with the roles that may do it."""

    act: str
    state: str
    lacks: tuple[Lack, ...]
    possible: tuple[str, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """The refusal in sentences."""
        return (
            f"`{self.act}` is refused; nothing changed. The permit is {self.state}.",
            *(f"{lack.words}. Needed: {lack.by}" for lack in self.lacks),
            f"Possible now: {'; '.join(self.possible) or 'nothing, the permit is closed'}",
        )


def refusal(permit: Permit, asked: Asked, around: Around) -> Refusal | None:
    """Why an act is refused; none where it is possible."""
    found = tuple(lacks(permit, asked, around))
    if not found:
        return None
    return Refusal(asked.act, permit.words(asked.now), found, possible_words(permit, asked.now))


def not_of_the_course(permit: Permit, asked: Asked, points: Mapping[str, Point] = NO_POINTS) -> str:
    """Why a signed act cannot have been done as the record says: its state, its role, a person on both sides, its
    window, the briefing, the points as they stood.

    Asked of every entry when a record is read, so that a signature alone moves no permit. Remarks are not looked at:
    their text may have been destroyed since.
    """
    row = ROWS[asked.act]
    if permit.at(asked.now) not in row.states or _is_closed_to(permit, row):
        return f"it is no act of a permit that is {permit.words(asked.now)}"
    if found := _role_lack(permit, asked, row):
        return found[0]
    around = Around(points=points)
    checks = (GUARDS[name].check(permit, asked, around) for name in row.guards if name in OF_THE_RECORD)
    return next((lack for lack in checks if lack), "")


def lacks(permit: Permit, asked: Asked, around: Around) -> list[Lack]:
    """Every guard that refuses the act: the state, the role, then the guards of its row."""
    row, state = ROWS[asked.act], permit.at(asked.now)
    if state not in row.states or _is_closed_to(permit, row):
        if asked.act == EXTEND and state is State.EXPIRED:
            return [Lack("fresh_application_needed", "the end is past", "a fresh application under a new number")]
        where = ", ".join(state_words(each, permit.road) for each in State if each in row.states)
        return [
            Lack(
                "state",
                f"`{asked.act}` is not possible on a permit that is {state_words(state, permit.road)}",
                f"a permit that is {where}",
            )
        ]
    found = [Lack("role", lack, " or ".join(row.roles)) for lack in _role_lack(permit, asked, row)]
    for name in row.guards:
        held = GUARDS[name]
        if lack := held.check(permit, asked, around):
            found.append(Lack(name, lack, held.by))
    return found


def possible(permit: Permit, now: datetime) -> tuple[Row, ...]:
    """Rows of the table that begin in the state of the permit."""
    state = permit.at(now)
    idle = frozenset() if any(visit.is_open for visit in permit.visits) else AFTER_CLOSING
    return tuple(
        row for row in COURSE if state in row.states and row.act not in idle and not _is_closed_to(permit, row)
    )


def _is_closed_to(permit: Permit, row: Row) -> bool:
    """Whether a permit that is closed takes an act no more; a finding of a visit is closed even then."""
    return permit.closed and not (row.act in AFTER_CLOSING and any(visit.is_open for visit in permit.visits))


def possible_words(permit: Permit, now: datetime) -> tuple[str, ...]:
    """The acts of the state, each with the roles that may do it."""
    return tuple(
        f"{row.act} ({'anyone' if row.roles == ANYONE else ' or '.join(row.roles)})" for row in possible(permit, now)
    )


def possible_for(permit: Permit, person: Person, now: datetime) -> tuple[str, ...]:
    """Acts of the state that a person holds a role for."""
    return tuple(
        row.act
        for row in possible(permit, now)
        if row.roles == ANYONE
        or any(not person.lack(role, permit.plant, permit.voltage_v, now, permit.road.value) for role in row.roles)
    )


def _role_lack(permit: Permit, asked: Asked, row: Row) -> list[str]:
    """Anybody may do what is open to all; for the rest the role is held, within its limits, in date."""
    if row.roles == ANYONE:
        return []
    if asked.role not in row.roles:
        return [f"`{asked.act}` is not an act of the role {asked.role}"]
    lack = asked.person.lack(asked.role, permit.plant, permit.voltage_v, asked.now, permit.road.value)
    return [lack] if lack else []
