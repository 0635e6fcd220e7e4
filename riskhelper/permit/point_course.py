"""The course of a point of isolation: planned, secured, proved, released; locks and earths counted on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from types import MappingProxyType

from riskhelper.permit.document import Permit, State
from riskhelper.permit.guards import Asked
from riskhelper.permit.handover import ABSENCE_DUTIES
from riskhelper.permit.lock_numbers import number_in, number_lack, taken
from riskhelper.permit.persons import ACCEPTOR, ISOLATOR, ISSUER, SAFETY_OFFICER, WORKER
from riskhelper.permit.points import (
    ELECTRICAL,
    Point,
    PointState,
    device_lack,
    found_live,
    proof_lack,
    proved,
    release_lack,
    released,
    secured,
)
from riskhelper.permit.procedures import Procedure, inspected, used
from riskhelper.permit.proof import Current, Proof, reading_told
from riskhelper.permit.refusal import Lack
from riskhelper.permit.switching import SIDES, Earth, carried_by, left_without, message_lack, message_of, opened

PLAN, SECURE, EARTH, PROVE, UNEARTH, RELEASE = "plan", "secure", "earth", "prove", "take earth off", "release"
RECHECK, OPEN_EARTHED = "check again", "open earthed device"
INSPECT = "inspect procedure"
FOUND_LIVE, EXPLAIN_LIVE = "found live", "explain live"
LOCK, UNLOCK, ALLOW_UNLOCK, UNLOCK_ABSENT = "lock", "unlock", "allow unlocking", "unlock for absent"
SWITCHING = frozenset({SECURE, EARTH, UNEARTH, OPEN_EARTHED, RELEASE})
"""Acts that carry out a switching order."""
INSPECTION = {"inspected": "what of the procedure was seen in use", "reviewed_with": "with whom it was gone through"}
LIVE_EXPLAINED = {
    "live_from": "where the voltage came from, and how that was found",
    "live_ended": "what was done so that it does not come back",
}
NUMBERED = ("lock", "tag", "key")
NO_PROCEDURES: Mapping[str, Procedure] = MappingProxyType({})
S = PointState
EARTH_STAYS = frozenset({State.ISOLATED, State.ISSUED, State.ACCEPTED, State.IN_FORCE, State.SUSPENDED})


@dataclass(frozen=True, slots=True)
class PointRow:
    """An act on a point: from which states and by which roles."""

    act: str
    states: frozenset[PointState]
    roles: tuple[str, ...]


POINT_COURSE: tuple[PointRow, ...] = (
    PointRow(PLAN, frozenset({S.RELEASED}), (ISOLATOR, ISSUER)),
    PointRow(SECURE, frozenset({S.PLANNED}), (ISOLATOR,)),
    PointRow(PROVE, frozenset({S.SECURED, S.PROVED}), (ISOLATOR,)),
    PointRow(FOUND_LIVE, frozenset({S.SECURED, S.PROVED}), (ISOLATOR, ACCEPTOR, WORKER)),
    PointRow(EXPLAIN_LIVE, frozenset({S.SECURED}), (ISOLATOR,)),
    PointRow(RECHECK, frozenset({S.PROVED}), (ISOLATOR, ACCEPTOR, WORKER)),
    PointRow(EARTH, frozenset({S.PROVED}), (ISOLATOR,)),
    PointRow(UNEARTH, frozenset({S.SECURED, S.PROVED}), (ISOLATOR,)),
    PointRow(OPEN_EARTHED, frozenset({S.SECURED, S.PROVED}), (ISOLATOR,)),
    PointRow(INSPECT, frozenset(S), (ISOLATOR, SAFETY_OFFICER)),
    PointRow(LOCK, frozenset({S.SECURED, S.PROVED}), (WORKER, ACCEPTOR, ISOLATOR)),
    PointRow(UNLOCK, frozenset(S), (WORKER, ACCEPTOR, ISOLATOR)),
    PointRow(ALLOW_UNLOCK, frozenset(S), (ISSUER,)),
    PointRow(UNLOCK_ABSENT, frozenset(S), (ISOLATOR,)),
    PointRow(RELEASE, frozenset({S.PLANNED, S.SECURED, S.PROVED}), (ISOLATOR,)),
)
POINT_ROWS = {row.act: row for row in POINT_COURSE}


def needed_by(point: str, permits: Iterable[Permit], now: datetime) -> tuple[str, ...]:
    """Numbers of the permits not closed that need a point, suspended ones first."""
    found = [permit for permit in permits if point in permit.points and not permit.closed]
    return tuple(p.number for p in sorted(found, key=lambda p: (p.at(now) is not State.SUSPENDED, p.number)))


def point_lacks(
    points: Mapping[str, Point],
    name: str,
    asked: Asked,
    permits: Iterable[Permit],
    procedures: Mapping[str, Procedure] = NO_PROCEDURES,
) -> list[Lack]:
    """Why an act on a point is refused; empty where it is possible."""
    if found := not_of_point_course(points, name, asked):
        return found
    point = points.get(name) or _new(name, asked)
    if asked.act == INSPECT:
        guard, words, by = _inspection_lack(procedures.get(point.plant), asked)
    else:
        guard, words, by = _own_lack(points, point, asked, permits)
    if not words and asked.act in SWITCHING:
        guard, words, by = "message_repeated", message_lack(asked.details), "send the order, hear it back, confirm it"
    return [Lack(guard, words, by)] if words else []


def not_of_point_course(points: Mapping[str, Point], name: str, asked: Asked) -> list[Lack]:
    """Why an act is none of a point in this state or of this person; asked again whenever a record is read."""
    row = POINT_ROWS[asked.act]
    point = points.get(name)
    if point is None:
        if asked.act != PLAN:
            return [Lack("state", f"no point `{name}` in the register", "plan it first")]
        point = _new(name, asked)
    if point.state not in row.states:
        where = ", ".join(state.value for state in S if state in row.states)
        return [Lack("state", f"point {name} is {point.state.value}", f"a point that is {where}")]
    if asked.role not in row.roles:
        return [Lack("role", f"`{asked.act}` is not an act of the role {asked.role}", " or ".join(row.roles))]
    if lack := asked.person.lack(asked.role, point.plant, point.voltage_v, asked.now):
        return [Lack("role", lack, " or ".join(row.roles))]
    return []


def _new(name: str, asked: Asked) -> Point:
    return Point(name, asked.told("plant"), asked.told("device"), asked.told("position"), state=S.RELEASED)


def _own_lack(
    points: Mapping[str, Point], point: Point, asked: Asked, permits: Iterable[Permit]
) -> tuple[str, str, str]:
    name = asked.person.name
    match asked.act:
        case "plan":
            if lack := device_lack(asked.told("device")):
                return "control_device", lack, "a device that parts the circuit, locked"
            needed = ("plant", "position", *(("side",) if asked.told("device") in ELECTRICAL else ()))
            missing = [key for key in needed if not asked.told(key)]
            if missing:
                return "described", f"{' and '.join(missing)} not written", "write them"
            if asked.told("device") in ELECTRICAL and not int(asked.told("voltage_v") or 0):
                return (
                    "described",
                    "the highest voltage on it is not written",
                    "whole volts; by it the tester is judged",
                )
            side = asked.told("side")
            lack = f"`{side}` is no side; known are {', '.join(SIDES)}" if side and side not in SIDES else ""
            return "described", lack, "the side of the work it holds off"
        case "secure":
            return _numbers_lack(points, point, asked, permits)
        case "prove" | "found live":
            return _reading_lack(point, asked)
        case "explain live":
            if point.live is None:
                return "found_live", f"point {point.id} was not found live", "nothing; prove it"
            missing = [words for key, words in LIVE_EXPLAINED.items() if not asked.told(key)]
            return "live_explained", f"not written: {', '.join(missing)}" if missing else "", "write it"
        case "check again":
            return "checked", "" if asked.told("seen") else "what was seen or read is not written", "write it"
        case "earth":
            on = any(each.number == asked.told("earth") for each in point.earths)
            if on or not asked.told("earth"):
                return "earth_named", "it is on already" if on else "the earth has no number", "write its number"
            return "", "", ""
        case "take earth off":
            if not any(each.number == asked.told("earth") for each in point.earths):
                return "earth_on", f"earth `{asked.told('earth')}` is not on it", "an earth that is on it"
            return _earth_lack(point, left_without(point.earths, number=asked.told("earth")), permits)
        case "open earthed device":
            through = asked.told("opened_device")
            if through not in carried_by(point.earths):
                return "earth_on", f"no earth reaches the work through `{through}`", "a device that carries an earth"
            return _earth_lack(point, left_without(point.earths, through=through), permits)
        case "lock":
            if name in point.to_tell and not asked.told("told_of_removal"):
                words = f"the lock of {name} was taken off it in their absence"
                return "told_of_removal", words, "be told of it, and write by whom: told_of_removal=..."
            if name in point.personal_locks:
                return "own_lock", f"a lock of {name} is on it already", "one lock each"
            typed = asked.told("lock")
            lack = number_lack("lock", typed) if typed else "the number of the lock is not written"
            if lack:
                return "lock_numbered", lack, "the number that stands on your own lock"
            return "lock_unique", taken("lock", typed, points, permits), "another lock"
        case "unlock":
            held = [p.number for p in permits if point.id in p.points and _is_on(p, name)]
            if held:
                return (
                    "lock_cover",
                    f"{name} is still on permit {', '.join(held)}",
                    "sign off, hand over or hand back",
                )
            on = name in point.personal_locks
            return "by_applier", "" if on else f"no lock of {name} is on it", "the hand that put it on"
        case "allow unlocking" | "unlock for absent":
            return _absent_lack(point, asked, permits)
        case "release":
            if point.live is not None:
                return "live_explained", f"point {point.id} was found live", "explain live: where it came from"
            numbers = needed_by(point.id, permits, asked.now)
            guard, words = release_lack(point, numbers, _group_locks(point, permits), asked.details)
            return guard, words, "reinstate in reverse: permits cancelled, earths off, locks off, people told"
    raise KeyError(asked.act)


def _numbers_lack(
    points: Mapping[str, Point], point: Point, asked: Asked, permits: Iterable[Permit]
) -> tuple[str, str, str]:
    """Lock, tag and key by their numbers, each of them on one point only."""
    missing = [key for key in NUMBERED if not asked.told(key)]
    if missing:
        return "locked_and_tagged", f"{', '.join(missing)} not written", "lock, tag and key by their numbers"
    known = tuple(permits)
    for what in NUMBERED:
        if lack := number_lack(what, asked.told(what)):
            return "locked_and_tagged", lack, "lock, tag and key by their numbers"
        if lack := taken(what, asked.told(what), points, known, besides=point.id):
            return f"{what}_unique", lack, f"another {what}" if what != "key" else "another lock"
    return "", "", ""


def _reading_lack(point: Point, asked: Asked) -> tuple[str, str, str]:
    """Why a proving does not prove, or why readings show no voltage."""
    if asked.act == PROVE and point.live is not None:
        lack = f"the tester showed voltage at point {point.id}, and nobody has explained it"
        return "live_explained", lack, "explain live: where it came from; then prove from the start"
    try:
        proof = proof_told(point, asked)
    except ValueError as fault:
        return "tested_dead", str(fault), "prove again from the start"
    if asked.act == PROVE:
        return "tested_dead", proof_lack(point, proof), "prove again from the start"
    if not proof.tester.strip():
        return "found_live", "the serial of the tester is missing", "write it"
    return "found_live", "" if proof.live else "none of the readings shows voltage on the points", "the live reading"


def _inspection_lack(procedure: Procedure | None, asked: Asked) -> tuple[str, str, str]:
    """29 CFR 1910.147(c)(6)(i)(A): inspected by somebody other than those who use the procedure."""
    name = asked.person.name
    if procedure is not None and name in procedure.used_by:
        words = f"{name} has worked by the procedure of {procedure.plant} since its last inspection"
        return "inspected_by_another", words, "an isolator or safety officer who does not use it"
    missing = [words for key, words in INSPECTION.items() if not asked.told(key)]
    return "inspection_written", f"not written: {', '.join(missing)}" if missing else "", "write it"


def procedures_after(procedures: Mapping[str, Procedure], plant: str, asked: Asked) -> dict[str, Procedure]:
    """The isolation procedures after an act on a point of a plant."""
    old = procedures.get(plant) or Procedure(plant, asked.now)
    if asked.act == INSPECT:
        new = inspected(old, asked.details, asked.person.name, asked.now)
    elif asked.act == PLAN:
        new = old
    else:
        new = used(old, asked.person.name)
    return {**procedures, plant: new}


def _is_on(permit: Permit, name: str) -> bool:
    """Whether somebody works under a permit or holds it: their lock stays until another's covers."""
    holds = permit.acceptor == name and permit.state not in (State.HANDED_BACK, State.CANCELLED)
    takes_over = permit.handover is not None and permit.handover.incoming == name
    return holds or takes_over or name in permit.roster.signed_on


def _group_locks(point: Point, permits: Iterable[Permit]) -> tuple[str, ...]:
    """Locks of people still signed on under any permit of the point, whatever became of it."""
    return tuple(
        f"{member.lock or 'a lock'} of {member.name}, permit {permit.number}"
        for permit in permits
        if point.id in permit.points
        for member in permit.roster.on
    )


def _earth_lack(point: Point, left: Iterable[Earth], permits: Iterable[Permit]) -> tuple[str, str, str]:
    """While a permit relies on the earth of this side, its replacement is on before it comes off."""
    relying = [p.number for p in permits if point.id in p.points and _relies_on_earth(p)]
    if not relying or any(left):
        return "", "", ""
    side = f" on the {SIDES[point.side]}" if point.side in SIDES else ""
    words = f"permit {', '.join(relying)} relies on it, and nothing else earths point {point.id}{side}"
    return "earth_needed", words, "the replacement earth first; or test or hand-back of that permit"


def _relies_on_earth(permit: Permit) -> bool:
    """A permit that takes an earth for granted, or whose people are not all out yet, whatever its state."""
    return permit.state in EARTH_STAYS or bool(permit.roster.signed_on)


def _absent_lack(point: Point, asked: Asked, permits: Iterable[Permit]) -> tuple[str, str, str]:
    owner = asked.told("member")
    held = [p.number for p in permits if point.id in p.points and _is_on(p, owner)]
    if held:
        lack = f"{owner} is still on permit {', '.join(held)}"
        return "lock_cover", lack, "sign them off as absent, or hand over for them, first"
    if owner not in point.personal_locks:
        return "lock_on", f"no lock of `{owner}` is on it", "name a person whose lock is on it"
    if owner == asked.person.name:
        return "by_applier", "whoever is here takes their own lock off", "unlock"
    if asked.act == ALLOW_UNLOCK:
        for duty, words in ABSENCE_DUTIES.items():
            if not asked.told(duty):
                return duty, f"not shown: {words}", "do it and write how"
        return "", "", ""
    allowed = point.unlocking_allowed.get(owner, "")
    if not allowed or allowed == asked.person.name:
        return "two_signatures", "nobody else has allowed it", "the issuer allows it after the three duties"
    return "", "", ""


def proof_told(point: Point, asked: Asked) -> Proof:
    """The proving as typed: readings `source L1-N 231 2031-02-03T15:30Z; points L1-N 0 ...`; raises `ValueError`."""
    parts = filter(None, (part.strip() for part in asked.told("readings").split(";")))
    readings = tuple(reading_told(part) for part in parts)
    current, for_v = asked.told("current") or point.current, int(asked.told("tester_for_v") or 0)
    if current not in ("AC", "DC"):
        raise ValueError(f"`{current}` should be AC or DC")
    kind: Current = "AC" if current == "AC" else "DC"
    return Proof(asked.told("tester"), kind, readings, asked.person.name, asked.now, for_v)


def point_after(points: Mapping[str, Point], name: str, asked: Asked) -> Point:
    """The point after an act on it, with the order by which it was switched."""
    after = _after(points, name, asked)
    if asked.act not in SWITCHING:
        return after
    return replace(after, messages=(*after.messages, message_of(asked.act, asked.details, asked.now)))


def _after(points: Mapping[str, Point], name: str, asked: Asked) -> Point:
    if asked.act == PLAN:
        return Point(
            id=name,
            plant=asked.told("plant"),
            device=asked.told("device"),
            position=asked.told("position"),
            side=asked.told("side"),
            voltage_v=int(asked.told("voltage_v") or 0),
            current="DC" if asked.told("current") == "DC" else "AC",
            at=asked.now,
            recheck_min=int(asked.told("recheck_min") or 0),
        )
    point, who = points[name], asked.person.name
    match asked.act:
        case "secure":
            words = {key: number_in(asked.told(key)) for key in NUMBERED}
            return secured(point, **words, by=who, at=asked.now)
        case "prove":
            return proved(point, proof_told(point, asked))
        case "found live":
            return found_live(point, proof_told(point, asked))
        case "explain live":
            return replace(point, live=None)
        case "inspect procedure":
            return point
        case "check again":
            return replace(point, rechecked_at=asked.now)
        case "earth":
            return replace(point, earths=(*point.earths, Earth(asked.told("earth"), asked.told("earth_through"))))
        case "take earth off":
            return replace(point, earths=tuple(e for e in point.earths if e.number != asked.told("earth")))
        case "open earthed device":
            return replace(point, earths=opened(point.earths, asked.told("opened_device")))
        case "lock":
            told = point.to_tell - {who}
            numbers = {**point.lock_numbers, who: number_in(asked.told("lock"))}
            return replace(point, personal_locks=(*point.personal_locks, who), lock_numbers=numbers, to_tell=told)
        case "unlock":
            return _without_lock(point, who)
        case "allow unlocking":
            return replace(point, unlocking_allowed={**point.unlocking_allowed, asked.told("member"): who})
        case "unlock for absent":
            owner = asked.told("member")
            return replace(_without_lock(point, owner), to_tell=point.to_tell | {owner})
        case "release":
            return released(point, asked.now)
    raise KeyError(asked.act)


def _without_lock(point: Point, owner: str) -> Point:
    allowed = {name: by for name, by in point.unlocking_allowed.items() if name != owner}
    locks = tuple(name for name in point.personal_locks if name != owner)
    return replace(point, personal_locks=locks, unlocking_allowed=allowed)
