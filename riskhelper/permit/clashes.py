"""Permits that may not stand beside one another: overlap in plant or place, time and energy; test and work."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
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

INCOMPATIBLE: Mapping[frozenset[str], str] = {
    frozenset({"heat", "oil"}): "a spark or a flame lights oil and its vapour",
    frozenset({"heat", "chemical"}): "a spark or a flame lights solvents and their vapour",
    frozenset({"heat", "pressure"}): "a vessel or hose under pressure bursts when it is heated",
    frozenset({"heat", "stored charge"}): "batteries give off gas that a spark lights",
    frozenset({"electrical", "water"}): "water carries a shock to whoever stands in it",
    frozenset({"electrical", "movement"}): "a jib or a ladder reaches live parts",
    **{
        frozenset({"gravity", under}): "a load or a tool falls on whoever works below"
        for under in ENERGIES
        if under != "gravity"
    },
}
"""Pairs of different energies whose work never meets (common practice). Any other pair goes together only with one
person who coordinates both crews, and may still be reported by anybody."""


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
    counts = not other.closed and (state in HELD or other.points_touched)
    near = is_same(one.plant, other.plant) or is_same(one.zone, other.zone)
    energy = do_not_go_together(_told(one), _told(other))
    return counts and near and energy and _same_time(one, other, now)


def do_not_go_together(one: frozenset[str], other: frozenset[str]) -> bool:
    """Whether two crews with these energies may not work near one another. None named counts as every energy."""
    if not one or not other or one & other:
        return True
    return any(frozenset({mine, theirs}) in INCOMPATIBLE for mine in one for theirs in other)


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
