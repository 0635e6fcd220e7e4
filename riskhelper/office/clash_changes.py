"""Which kinds of work may meet under one set and not under the other, or under other safeguards."""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.office.difference import Difference
from riskhelper.office.direction import Direction
from riskhelper.ruleset.clashing import every_pair, kinds_in, pair_words
from riskhelper.ruleset.entries import ClashEntry
from riskhelper.ruleset.model import RuleSet

UNSAID = ClashEntry(ban=True, because="the set says nothing of it")
"""What a set without pairs means: nothing meets."""


def clash_changes(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    """Each pair of kinds of work that means something else, with its direction."""
    names = {kinds_in(name): name for rules in (old, new) for name in rules.clashes}
    olds, news = ({kinds_in(name): entry for name, entry in rules.clashes.items()} for rules in (old, new))
    for pair in every_pair() if names else ():
        one, other = olds.get(pair, UNSAID), news.get(pair, UNSAID)
        if change := _change(one, other):
            way, words = change
            yield Difference("clash", names[pair], pair_words(pair).capitalize(), words, way)


def _change(one: ClashEntry, other: ClashEntry) -> tuple[Direction, str] | None:
    if one.ban != other.ban:
        if other.ban:
            return Direction.STRICTER, "never near one another, before under safeguards"
        return Direction.LOOSER, f"together under {_listed(other.safeguards)}, before never"
    come, gone = ([w for w in a.safeguards if w not in b.safeguards] for a, b in ((other, one), (one, other)))
    if come and gone:
        return Direction.DIFFERENT, f"other safeguards: {_listed(come)} in place of {_listed(gone)}"
    if come:
        return Direction.STRICTER, f"a further safeguard: {_listed(come)}"
    if gone:
        return Direction.LOOSER, f"no longer a safeguard: {_listed(gone)}"
    return None


def _listed(words: tuple[str, ...] | list[str]) -> str:
    return "; ".join(f"`{each.rstrip('.')}`" for each in words)
