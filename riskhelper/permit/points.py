"""Points of isolation: their own course, what proves them dead, and who still needs them.

A point is planned, secured, proved, released. It may serve several permits and carry several personal locks; it
comes off only when no permit that is not cancelled needs it, no lock is on it and no earth is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import Enum

from riskhelper.permit.proof import Current, Proof, readings_lack
from riskhelper.permit.switching import WINDINGS, Earth, Message, left_without, message_lack

NOT_POINTS: Mapping[str, str] = {
    "push_button": "a push button",
    "selector_switch": "a selector switch",
    "interlock": "an interlock",
    "control_circuit": "a control circuit",
}
"""Control devices that are never the only means, 29 CFR 1910.333(b)(2)(ii)(B)."""
DEVICES = ("disconnector", "withdrawn_breaker", "links", "fuses", "plug", "blank", "valve", "boundary", *NOT_POINTS)
ELECTRICAL = frozenset({"disconnector", "withdrawn_breaker", "links", "fuses", "plug"})
EARTH_FROM_V = 600
"""DOE Electrical Handbook 2.13.2.2; other rules ask for earths above 1000 V only."""
DEAD_WORKING: tuple[tuple[str, str], ...] = (
    ("disconnect_completely", "disconnect completely, all poles"),
    ("secure_against_reconnection", "secure against re-connection"),
    ("verify_dead", "verify absence of operating voltage"),
    ("earth_and_short_circuit", "earth and short-circuit"),
    ("protect_against_adjacent_live_parts", "protect against adjacent live parts"),
)
"""The five rules of dead working (EN 50110-1, clause 6.2), in their order, in our words."""


class PointState(Enum):
    """Where a point stands."""

    PLANNED = "planned"
    SECURED = "secured"
    PROVED = "proved"
    RELEASED = "released"


@dataclass(frozen=True, slots=True)
class Point:
    """A point of isolation as it stands. `recheck_min` is not 0 where stored energy can build up again; `side` is the
    side of the work it holds off, empty where an older entry named none; `messages` are the orders by which it was
    switched since it was planned; `lock_numbers` are those of the own locks by owner; `live` holds the readings that
    showed voltage, until they are explained; `to_tell` are people whose lock was taken off in their absence and
    who were not told yet."""

    id: str
    plant: str
    device: str
    position: str
    voltage_v: int = 0
    current: Current = "AC"
    state: PointState = PointState.PLANNED
    lock: str = ""
    tag: str = ""
    key: str = ""
    side: str = ""
    earths: tuple[Earth, ...] = ()
    messages: tuple[Message, ...] = ()
    personal_locks: tuple[str, ...] = ()
    lock_numbers: Mapping[str, str] = field(default_factory=dict)
    secured_by: str = ""
    at: datetime | None = None
    proof: Proof | None = None
    live: Proof | None = None
    recheck_min: int = 0
    rechecked_at: datetime | None = None
    to_tell: frozenset[str] = frozenset()
    unlocking_allowed: Mapping[str, str] = field(default_factory=dict)

    @property
    def electrical(self) -> bool:
        """Whether it holds off electricity."""
        return self.device in ELECTRICAL

    @property
    def asks_readings(self) -> bool:
        """Whether only readings prove it: it parts electricity, or there is a voltage on it whatever the device."""
        return self.electrical or self.voltage_v > 0

    @property
    def needs_earth(self) -> bool:
        """Whether working dead behind it takes an earth: by its voltage, or as what feeds a winding there comes out
        higher on its other side (common practice)."""
        return self.electrical and (self.voltage_v >= EARTH_FROM_V or self.side in WINDINGS)

    def work_as_dead_lack(self) -> str:
        """Why work behind this point is not work on dead plant; empty where it is. One step missing: as live."""
        if self.state not in (PointState.SECURED, PointState.PROVED):
            return f"point {self.id} is {self.state.value}, not secured"
        if self.live is not None:
            return f"point {self.id} was found LIVE, and nobody has explained it"
        if self.state is not PointState.PROVED:
            return f"point {self.id} is not proved"
        if self.needs_earth and not left_without(self.earths):
            return f"point {self.id} carries no earth"
        return ""


def device_lack(device: str) -> str:
    """Why a device is no point of isolation; empty where it is one."""
    if device in NOT_POINTS:
        return (
            f"{NOT_POINTS[device]} only controls; it is no point of isolation. Name the device that parts the circuit"
        )
    if device not in DEVICES:
        return f"`{device}` is not known; known are {', '.join(d for d in DEVICES if d not in NOT_POINTS)}"
    return ""


def proof_lack(point: Point, proof: Proof) -> str:
    """Why a proving does not prove this point; empty where it does."""
    if point.asks_readings:
        return readings_lack(proof, point.voltage_v, point.current)
    return "" if proof.tester.strip() else "what was seen is not written"


def release_lack(
    point: Point, needed_by: Iterable[str], group_locks: Iterable[str], told: Mapping[str, str]
) -> tuple[str, str]:
    """The guard a release meets and what is lacking; two empty texts where the point may come off."""
    numbers = ", ".join(needed_by)
    if numbers:
        return "other_permits", f"permits {numbers} still need point {point.id}"
    if point.personal_locks:
        return "personal_locks_on", f"locks of {', '.join(point.personal_locks)} are on point {point.id}"
    if locked := ", ".join(group_locks):
        return "personal_locks_on", f"on the group lock of point {point.id} are still {locked}"
    if point.earths:
        on = ", ".join(each.words for each in point.earths)
        return "earths_on", f"earths {on} are on point {point.id}; take them off first and count them"
    if told.get("basis") == "agreed_time":
        return "agreed_time", "power never comes back by an agreed time or signal; people talk, repeat and confirm"
    if not told.get("affected_notified", "").strip():
        return "affected_notified", "everybody affected must be told before power comes back; say who was"
    lack = message_lack(told)
    return ("message_repeated", lack) if lack else ("", "")


def secured(point: Point, *, lock: str, tag: str, key: str, by: str, at: datetime) -> Point:
    """After device, lock and tag are in place; an older proof no longer counts."""
    return replace(
        point, state=PointState.SECURED, lock=lock, tag=tag, key=key, secured_by=by, at=at, proof=None, earths=()
    )


def proved(point: Point, proof: Proof) -> Point:
    """After a proving that proves."""
    return replace(point, state=PointState.PROVED, proof=proof, rechecked_at=proof.at)


def found_live(point: Point, found: Proof) -> Point:
    """After the tester showed voltage: no proof counts, and none is taken until it is explained."""
    return replace(point, state=PointState.SECURED, proof=None, live=found)


def released(point: Point, at: datetime) -> Point:
    """After the point was put back."""
    return replace(point, state=PointState.RELEASED, lock="", tag="", key="", at=at, proof=None)
