"""One point of isolation in words: device, position, lock, tag, key, earths, locks, proof, who needs it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.permit.isolation import PointLine, register
from riskhelper.acts.permit.point_state import device_words, own_lock, state_words
from riskhelper.acts.permit.site_sheet import by_number
from riskhelper.acts.permit.typed_moments import moment_words
from riskhelper.acts.register.signing import moment, site
from riskhelper.permit.points import Point
from riskhelper.permit.procedures import Procedure
from riskhelper.permit.switching import SIDES


@dataclass(frozen=True, slots=True)
class PointShown:
    """A point with its line for the register and its page."""

    point: Point
    state: str
    line: str
    lines: tuple[str, ...]


def points_shown(context: Context) -> tuple[PointShown, ...]:
    """Every point of the register by plant, the plants and points in the order of their numbers."""
    standing = site(context)
    now = moment(context, standing)
    found = sorted(register(context), key=lambda each: (by_number(each.point.plant), by_number(each.point.id)))
    return tuple(_shown(each, standing.procedures.get(each.point.plant), now) for each in found)


def point_shown(context: Context, name: str) -> PointShown:
    """One point; it is in the register."""
    return next(each for each in points_shown(context) if each.point.id == name)


def _shown(line: PointLine, procedure: Procedure | None, now: datetime) -> PointShown:
    point = line.point
    needed = f"needed by {', '.join(line.needed_by)}" if line.needed_by else "needed by no permit"
    described = device_words(point)
    counted = f"{_count(len(point.personal_locks), 'own lock')}, {_count(len(point.earths), 'earth')}"
    return PointShown(
        point=point,
        state=state_words(point).upper(),
        line=f"{point.id}, {described}; {counted}; {needed}",
        lines=(
            f"Plant {point.plant}; {described}; up to {point.voltage_v} V {point.current}{_side(point)}.",
            *_live(point, now),
            *_secured(point, now),
            *_proof(point, now),
            f"Earths on it: {', '.join(each.words for each in point.earths) or 'none'}.",
            f"Own locks on it: {', '.join(own_lock(point, owner) for owner in point.personal_locks) or 'none'}.",
            *(f"{owner} was away when their lock came off: tell them." for owner in sorted(point.to_tell)),
            *(f"Order {each.at:%H:%M}, {each.words}." for each in point.messages),
            *(f"{by} allows the lock of {owner} to come off." for owner, by in point.unlocking_allowed.items()),
            f"It is {needed}.",
            *_procedure(procedure, now),
            *((f"Now: {lack}.",) if (lack := point.work_as_dead_lack()) and point.electrical else ()),
        ),
    )


def procedure_lines(context: Context) -> tuple[str, ...]:
    """Every isolation procedure of the site by its plant, what is overdue first."""
    standing = site(context)
    now = moment(context, standing)
    found = sorted(standing.procedures.values(), key=lambda each: (not each.overdue(now), by_number(each.plant)))
    return tuple(line for each in found for line in _procedure(each, now))


def _procedure(procedure: Procedure | None, now: datetime) -> tuple[str, ...]:
    return () if procedure is None else tuple(f"{line}." for line in procedure.lines(now))


def _side(point: Point) -> str:
    return f"; {SIDES[point.side]}" if point.side in SIDES else ""


def _count(number: int, word: str) -> str:
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


def _live(point: Point, now: datetime) -> tuple[str, ...]:
    if point.live is None:
        return ()
    read = "; ".join(f"{each.poles} {each.words} at {each.at:%H:%M}" for each in point.live.live)
    return (
        f"FOUND LIVE by {point.live.by}, {moment_words(point.live.at, now)}: {read}; {point.live.tester}. "
        "Nothing is proved until it is explained.",
    )


def _secured(point: Point, now: datetime) -> tuple[str, ...]:
    if not point.lock:
        return ("No lock and no tag are on it.",)
    at = f", {moment_words(point.at, now)}" if point.at is not None else ""
    return (f"Lock {point.lock}, tag {point.tag}, key {point.key}; secured by {point.secured_by}{at}.",)


def _proof(point: Point, now: datetime) -> tuple[str, ...]:
    if point.proof is None:
        return ("It is not proved.",)
    proof = point.proof
    read = "; ".join(f"{each.on} {each.poles} {each.words} at {each.at:%H:%M}" for each in proof.readings)
    return (
        f"Proved by {proof.by}, {moment_words(proof.at, now)}; {proof.tester}.",
        *((f"Readings ({proof.current}): {read}.",) if read else ()),
    )
