"""Permits near one another in plant or place and in time: what they may not do together, or only under safeguards."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import datetime

from riskhelper.permit.document import HELD, Permit, State
from riskhelper.permit.side_by_side import UNSAID, Pair, Pairs, kinds_of, mark_of, met, strictest


def clashes(permit: Permit, others: Iterable[Permit], pairs: Pairs | None, now: datetime) -> tuple[str, ...]:
    """Numbers of the permits that may not stand beside this one, suspended ones first."""
    found = [other for other, pair in near(permit, others, pairs, now) if pair.ban]
    return tuple(o.number for o in sorted(found, key=lambda o: (o.at(now) is not State.SUSPENDED, o.number)))


def near(
    permit: Permit, others: Iterable[Permit], pairs: Pairs | None, now: datetime
) -> Iterator[tuple[Permit, Pair]]:
    """Other permits near this one in plant or place and in time, each with what the two ask of one another."""
    for other in others:
        counts = not other.closed and (other.at(now) in HELD or other.points_touched)
        beside = is_same(permit.plant, other.plant) or is_same(permit.zone, other.zone)
        if other.number != permit.number and counts and beside and _same_time(permit, other, now):
            yield other, meeting(permit, other, pairs)


def meeting(one: Permit, other: Permit, pairs: Pairs | None) -> Pair:
    """What two permits ask of one another: the strictest of the pairs at hand and of what either approval wrote down.

    `pairs` are those of the rule set at hand; none where there is none. Where nobody says anything, it is a ban.
    """
    mine, theirs = kinds_of(one.energies), kinds_of(other.energies)
    found = [met(mine, theirs, pairs)] if pairs is not None else []
    found += [one.meets[kind] for kind in theirs if kind in one.meets]
    found += [other.meets[kind] for kind in mine if kind in other.meets]
    return strictest(found) if found else UNSAID


def safeguards_beside(
    permit: Permit, others: Iterable[Permit], pairs: Pairs | None, now: datetime
) -> dict[tuple[str, str], str]:
    """Every safeguard against the work of another permit, by its number and words, as the line that is read."""
    return {
        (
            other.number,
            words,
        ): f"Beside permit {other.number} ({other.plant}, {other.apparatus}, {other.zone}): {words}"
        for other, pair in near(permit, others, pairs, now)
        if not pair.ban and other.at(now) in HELD
        for words in pair.safeguards
    }


def safeguard_lines(permit: Permit, others: Iterable[Permit], pairs: Pairs | None, now: datetime) -> dict[str, str]:
    """The lines by the mark with which each is acknowledged."""
    return {mark_of(line): line for line in safeguards_beside(permit, others, pairs, now).values()}


def not_agreed(
    permit: Permit, others: Iterable[Permit], pairs: Pairs | None, now: datetime
) -> Iterator[tuple[str, str, str]]:
    """What does not stand yet where it should: on which permit, against which, the words of the safeguard."""
    known = {other.number: other for other in others}
    for number, words in safeguards_beside(permit, known.values(), pairs, now):
        for one, other in ((permit, known[number]), (known[number], permit)):
            if not any((each.other, each.words) == (other.number, words) for each in one.safeguards):
                yield one.number, other.number, words


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


def is_same(one: str, other: str) -> bool:
    """Whether two names mean one thing: blanks, hyphens and capitals are typed this way and that."""
    return _bare(one) == _bare(other)


def _bare(name: str) -> str:
    return re.sub(r"[\s_-]+", "", name).casefold()


def _same_time(one: Permit, other: Permit, now: datetime) -> bool:
    """A permit past its end that is not cancelled still holds its place."""
    if one.starts is None or one.ends is None or other.starts is None or other.ends is None:
        return True
    other_ends = other.ends if other.at(now) in HELD else max(other.ends, now)
    return one.starts < other_ends and other.starts < one.ends
