"""Permits that may not stand beside one another: overlap in plant or place, time and energy; test and work."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from riskhelper.permit.document import HELD, Permit, State


def clashes(permit: Permit, others: Iterable[Permit], now: datetime) -> tuple[str, ...]:
    """Numbers of the permits that clash, suspended ones first."""
    found = [other for other in others if other.number != permit.number and _clash(permit, other, now)]
    return tuple(o.number for o in sorted(found, key=lambda o: (o.at(now) is not State.SUSPENDED, o.number)))


def on_apparatus(
    permit: Permit, others: Iterable[Permit], states: frozenset[State], now: datetime
) -> tuple[str, ...]:
    """Numbers of other permits on the same apparatus that are in one of these states."""
    return tuple(
        other.number
        for other in others
        if other.number != permit.number
        and (other.plant, other.apparatus) == (permit.plant, permit.apparatus)
        and other.at(now) in states
    )


def _clash(one: Permit, other: Permit, now: datetime) -> bool:
    state = other.at(now)
    over = state in (State.EXPIRED, State.REVOKED, State.REFUSED, State.HANDED_BACK)
    counts = state in HELD or (over and other.points_touched)
    near = one.plant == other.plant or one.zone == other.zone
    energy = not one.energies or not other.energies or bool(one.energies & other.energies)
    return counts and near and energy and _same_time(one, other, now)


def _same_time(one: Permit, other: Permit, now: datetime) -> bool:
    """A permit past its end that is not cancelled still holds its place."""
    if one.starts is None or one.ends is None or other.starts is None or other.ends is None:
        return True
    other_ends = other.ends if other.at(now) in HELD else max(other.ends, now)
    return one.starts < other_ends and other.starts < one.ends
