"""Permits that may not stand beside one another: overlap in plant or place, time and energy; test and work."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime

from riskhelper.permit.document import HELD, Permit, State

ENERGIES = (
    "electrical",
    "stored charge",
    "oil",
    "water",
    "pressure",
    "gravity",
    "movement",
    "heat",
    "chemical",
    "noise",
)
"""Energies that two permits may differ in. One named otherwise counts as every energy, so that a word typed amiss
never lets two permits meet."""


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
        and is_same(other.plant, permit.plant)
        and is_same(other.apparatus, permit.apparatus)
        and other.at(now) in states
    )


def _clash(one: Permit, other: Permit, now: datetime) -> bool:
    state = other.at(now)
    over = state in (State.EXPIRED, State.REVOKED, State.REFUSED, State.HANDED_BACK)
    counts = state in HELD or (over and other.points_touched)
    near = is_same(one.plant, other.plant) or is_same(one.zone, other.zone)
    energy = not _told(one) or not _told(other) or bool(_told(one) & _told(other))
    return counts and near and energy and _same_time(one, other, now)


def is_same(one: str, other: str) -> bool:
    """Whether two names mean one thing: blanks, hyphens and capitals are typed this way and that."""
    return _bare(one) == _bare(other)


def _bare(name: str) -> str:
    return re.sub(r"[\s_-]+", "", name).casefold()


def _told(permit: Permit) -> frozenset[str]:
    """The energies of a permit; none, which counts as every energy, where one is not of the list."""
    named = frozenset(energy.strip().casefold() for energy in permit.energies)
    return named if named <= frozenset(ENERGIES) else frozenset()


def _same_time(one: Permit, other: Permit, now: datetime) -> bool:
    """A permit past its end that is not cancelled still holds its place."""
    if one.starts is None or one.ends is None or other.starts is None or other.ends is None:
        return True
    other_ends = other.ends if other.at(now) in HELD else max(other.ends, now)
    return one.starts < other_ends and other.starts < one.ends
