"""The crew of a permit: who was briefed, who is signed on, and whether the briefing covered what it must."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

BRIEFING_SUBJECTS: dict[str, str] = {
    "hazards": "the hazards of the job",
    "procedures": "the order of work",
    "precautions": "the special precautions",
    "energy_source_controls": "how energy is held off",
    "ppe": "protective equipment",
}
"""The five subjects of 29 CFR 1926.952(b), in our words."""


@dataclass(frozen=True, slots=True)
class Member:
    """A person of the crew. `off` is none while they are signed on; `lock` is their own lock on the group lock, empty
    where their locks are on the points; `works_at` is what they work on, empty for all of the apparatus."""

    name: str
    on: datetime
    off: datetime | None = None
    signed_off_by: str = ""
    lock: str = ""
    works_at: str = ""


@dataclass(frozen=True, slots=True)
class Roster:
    """The crew and the latest briefing."""

    members: tuple[Member, ...] = ()
    briefed: frozenset[str] = frozenset()
    briefed_at: datetime | None = None

    @property
    def on(self) -> tuple[Member, ...]:
        """Those signed on now."""
        return tuple(member for member in self.members if member.off is None)

    @property
    def signed_on(self) -> tuple[str, ...]:
        """Names of those signed on now."""
        return tuple(member.name for member in self.on)

    @property
    def subjects_missing(self) -> tuple[str, ...]:
        """Subjects the latest briefing left out."""
        return tuple(subject for subject in BRIEFING_SUBJECTS if subject not in self.briefed)

    def with_briefing(self, subjects: Iterable[str], at: datetime) -> Roster:
        """After a briefing on these subjects."""
        return replace(self, briefed=frozenset(subjects), briefed_at=at)

    def with_member(self, name: str, at: datetime, *, lock: str = "", works_at: str = "") -> Roster:
        """After somebody signed on."""
        return replace(self, members=(*self.members, Member(name, at, lock=lock, works_at=works_at)))

    def without(self, name: str, at: datetime, by: str) -> Roster:
        """After somebody was signed off."""
        members = tuple(
            replace(member, off=at, signed_off_by=by) if member.name == name and member.off is None else member
            for member in self.members
        )
        return replace(self, members=members)
