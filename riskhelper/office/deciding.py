"""What can be asked of two rule sets over every job there is, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from riskhelper.evidence import Job
from riskhelper.office.direction import Direction

SubjectKind = Literal["hazard", "stop", "control", "ppe", "question", "service", "fact"]


@dataclass(frozen=True, slots=True)
class Subject:
    """What is looked at in both sets.

    Levels of a `hazard`; whether a `stop` fires, a `control` is of use, PPE (`ppe`) may not count for a hazard, a
    `question` is asked, the plant counts as in `service`; the value of a `fact`. `now` reads what is pending as not
    known instead of as the plan expects it.
    """

    kind: SubjectKind
    name: str = ""
    now: bool = False


@dataclass(frozen=True, slots=True)
class Same:
    """Proved: no job goes that way."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A job that goes that way, found so when it was read under both sets."""

    job: Job
    milestone: str


@dataclass(frozen=True, slots=True)
class Undecided:
    """Neither was reached; `words` say how far it came."""

    words: str


Decided = Same | Seen | Undecided


class Decider(Protocol):
    """Settles questions about two rule sets, over every job whose answers both accept."""

    def decide(self, subject: Subject, way: Direction) -> Decided:
        """Whether some job goes a way from the old set to the new one; `DIFFERENT` of a fact is any change."""
