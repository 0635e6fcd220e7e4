"""One difference between two rule sets, as a value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from riskhelper.evidence import Job
from riskhelper.office.direction import Direction


@dataclass(frozen=True, slots=True)
class ExampleJob:
    """A job on which two rule sets differ, and what the ordinary assessment says of it under each.

    `told` names the answers that were set for it, in words.
    """

    job: Job
    milestone: str
    before: str
    after: str
    told: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Difference:
    """What differs in meaning. `codes` names the local codes under which it shows; empty where it shows under all.

    `settled` is false where neither sameness was proved nor a difference found: `words` then say how far it came,
    `direction` which way is open.
    """

    kind: str
    name: str
    title: str
    words: str
    direction: Direction
    example: ExampleJob | None = None
    codes: tuple[str, ...] = ()
    settled: bool = True


@dataclass(frozen=True)
class Comparison:
    """Every difference in meaning, hazards first; `reworded` names entries whose text alone changed."""

    differences: tuple[Difference, ...]
    reworded: tuple[str, ...]

    @property
    def directions(self) -> Mapping[Direction, int]:
        """How many differences go which way; what is not settled is counted apart."""
        settled = [one.direction for one in self.differences if one.settled]
        return {way: settled.count(way) for way in Direction}

    @property
    def looser(self) -> tuple[Difference, ...]:
        """Differences that can make an outcome milder."""
        return tuple(one for one in self.differences if one.direction is not Direction.STRICTER)

    @property
    def unsettled(self) -> tuple[Difference, ...]:
        """What was neither proved alike nor found to differ."""
        return tuple(one for one in self.differences if not one.settled)
