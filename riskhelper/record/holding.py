"""Which store holds a plant or a point: only that one issues and releases there.

At first everything is held by the store in which the register was set up. Holding is passed by an entry in the
store that gives it, to a store by its name, and taken by an entry in that store; in between nobody holds it. Of a
store that is lost the keepers of the register claim the holding. Whoever holds or not, everybody may interview, draw
up a permit, stop and suspend.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from riskhelper.permit.document import Permit
from riskhelper.permit.points import Point
from riskhelper.record.entries import log_name

FREE_ACTS = frozenset(
    {"draft", "request", "stop", "suspend", "revoke", "sign off", "note", "plan", "report clash"}
    | {"visit on site", "close finding", "inspect procedure"}
)
"""Acts on permits and points that any store may enter."""


@dataclass(frozen=True, slots=True)
class Held:
    """Who holds a thing: a log, and while it is being passed the name of the store it goes to."""

    log: str
    to: str = ""

    @property
    def words(self) -> str:
        """The holder as it is named to people."""
        if self.to:
            return f"passed by {log_name(self.log)} to {self.to}, which has not taken it yet"
        return f"held by {log_name(self.log)}"


@dataclass(frozen=True)
class Holding:
    """The holding of a site: `first` is the log that holds whatever was never passed."""

    first: str = ""
    passed: Mapping[str, Held] = field(default_factory=dict)

    def of(self, thing: str, plant: str = "") -> Held:
        """Who holds a plant or point; a point that was never passed by itself goes with its plant."""
        return self.passed.get(thing) or self.passed.get(plant) or Held(self.first)

    def lacking(self, log: str, act: str, things: Mapping[str, str]) -> tuple[str, ...]:
        """What that log does not hold of what an act needs, each with its holder in words; empty where it may act.

        `things` gives for each plant and point the plant it goes with.
        """
        if act in FREE_ACTS:
            return ()
        held = {thing: self.of(thing, plant) for thing, plant in things.items()}
        return tuple(f"{thing} is {by.words}" for thing, by in held.items() if by != Held(log))

    def passing(self, log: str, things: Mapping[str, str], to: str) -> Holding:
        """The holding after a log passed things on; what it did not hold stays where it is."""
        moved = {thing: Held(log, to) for thing, plant in things.items() if self.of(thing, plant) == Held(log)}
        return replace(self, passed={**self.passed, **moved})

    def taking(self, log: str, things: Iterable[str]) -> Holding:
        """The holding after a log took what was passed to it; the rest stays where it is."""
        waiting = self.on_the_way_to(log)
        return self.claimed(log, (thing for thing in things if thing in waiting))

    def claimed(self, log: str, things: Iterable[str]) -> Holding:
        """The holding after the keepers of the register gave things to a log, whoever held them."""
        return replace(self, passed={**self.passed, **{thing: Held(log) for thing in things}})

    def on_the_way_to(self, log: str) -> tuple[str, ...]:
        """Things that were passed to a log and that it has not taken yet."""
        return tuple(thing for thing, held in self.passed.items() if held.to == log_name(log))


def plant_thing(plant: str) -> str:
    """How a plant is named in the holding."""
    return f"plant {plant}"


def point_thing(point: str) -> str:
    """How a point is named in the holding."""
    return f"point {point}"


def things_of_permit(permit: Permit, points: Mapping[str, Point]) -> dict[str, str]:
    """What an act on a permit needs held: its plant and its points."""
    plant = plant_thing(permit.plant)
    named = {name: points[name].plant if name in points else permit.plant for name in permit.points}
    return {plant: plant, **{point_thing(name): plant_thing(of) for name, of in named.items()}}


def things_of_point(name: str, plant: str) -> dict[str, str]:
    """What an act on a point needs held: the point."""
    return {point_thing(name): plant_thing(plant)}
