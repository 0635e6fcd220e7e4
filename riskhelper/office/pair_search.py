"""Two rule sets over the same answers: exact enumeration of the answers that conditions of either mention."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from riskhelper.office.direction import Direction
from riskhelper.office.meaning_keys import MeaningKeys
from riskhelper.review.possible import parts
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import CANNOT_TELL, NO, YES, tested, undecided_names
from riskhelper.ruleset.mentioned import Mentioned, open_value
from riskhelper.ruleset.model import Derived, RuleSet
from riskhelper.ruleset.valuation import WHOLE, Valuation

MOST_TRIES = 4_000
OLD, NEW = "old", "new"
Levels = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Sides:
    """Two rule sets with the keys of their meanings."""

    old: RuleSet
    new: RuleSet
    old_keys: MeaningKeys
    new_keys: MeaningKeys

    def shares(self, name: str) -> bool:
        """Whether a fact is worked out alike in both."""
        if name not in self.old.derived or name not in self.new.derived:
            return False
        return self.old_keys.of_name(name) == self.new_keys.of_name(name)


@dataclass(frozen=True, slots=True)
class Weighed:
    """A condition with what it gives: a level on a scale, or an addition to it, or (both 0) whether all counts."""

    node: tree.Condition
    key: str
    scale: int = 0
    level: int = 0
    by: int = 0


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one set says of a hazard or a stop: when it counts at all, and how far each scale is raised."""

    applies: Weighed
    least: tuple[int, ...]
    raises: tuple[Weighed, ...]

    @property
    def conditions(self) -> tuple[Weighed, ...]:
        """Every condition."""
        return (self.applies, *self.raises)


@dataclass(frozen=True, slots=True)
class Found:
    """Answers and figures under which the two differ; a figure worked out otherwise is named with its side."""

    supposed: Mapping[str, Any]
    direction: Direction


class _Side(Valuation):
    """Some answers and figures supposed for one of two sets, all others open; every question counts as asked."""

    def __init__(self, sides: Sides, side: str, supposed: Mapping[str, Any], domain: Mapping[str, Any]) -> None:
        super().__init__(sides.old if side == OLD else sides.new)
        self._sides, self._side = sides, side
        self._supposed, self._domain = supposed, domain

    def question_value(self, name: str) -> Any:
        return self._supposed.get(name, self._domain[name])

    def asked(self, name: str) -> int:
        del name
        return YES

    def fact_value(self, name: str, derived: Derived) -> Any:
        if derived.calculation is None:
            return super().fact_value(name, derived)
        # A calculated figure counts as free: what is the same even then is the same.
        return self._supposed.get(named(self._sides, self._side, name), WHOLE)


def named(sides: Sides, side: str, figure: str) -> str:
    """What a calculated figure is called among what is supposed."""
    return figure if sides.shares(figure) else f"{side} {figure}"


def domain_of(sides: Sides) -> dict[str, Any]:
    """For each question of either set the answers that both accept."""
    found: dict[str, Any] = {}
    for name in dict.fromkeys((*sides.old.questions, *sides.new.questions)):
        values = [
            open_value(rules.questions[name])
            for rules in (sides.old, sides.new)
            if name in rules.questions and rules.questions[name].type != "text"
        ]
        if values:
            found[name] = values[0] if len(values) == 1 else _common(values[0], values[1])
    return found


def _common(one: Any, other: Any) -> Any:
    if isinstance(one, frozenset) and isinstance(other, frozenset):
        return one & other or one
    if isinstance(one[0], frozenset) and isinstance(other[0], frozenset):
        return (frozenset(), one[1] & other[1])
    low, high = max(one[0], other[0]), min(one[1], other[1])
    return (low, high) if low <= high else one


class PairSearch:
    """Looks for answers under which two meanings differ, or proves that there are none."""

    def __init__(self, sides: Sides, old: Meaning, new: Meaning, domain: Mapping[str, Any]) -> None:
        self._sides, self._old, self._new, self._domain = sides, old, new, domain
        common = {(w.key, w.scale, w.level, w.by) for w in old.raises}
        common &= {(w.key, w.scale, w.level, w.by) for w in new.raises}
        self._common = common
        self._same_applies = old.applies.key == new.applies.key
        mentioned = [
            Mentioned(rules, tuple(w.node for w in meaning.conditions))
            for rules, meaning in ((sides.old, old), (sides.new, new))
        ]
        self._cuts: dict[str, list[float]] = {}
        self._options: dict[str, set[str]] = {}
        for one in mentioned:
            for name, cuts in one.cuts.items():
                self._cuts.setdefault(name, []).extend(cuts)
            for name, options in one.options.items():
                self._options.setdefault(name, set()).update(options)
        self.nodes = tuple(tuple(w.node for w in meaning.conditions) for meaning in (old, new))
        self.exhausted = False
        self.open: list[Mapping[str, Any]] = []
        self.tries = 0

    def differences(self) -> Iterator[Found]:
        """Every region of answers found in which the two differ.

        Afterwards `exhausted` says whether that is all, and `open` holds regions in which nothing could be decided.
        """
        stack: list[dict[str, Any]] = [{}]
        while stack:
            if self.tries >= MOST_TRIES:
                return
            self.tries += 1
            supposed = stack.pop()
            readings = {side: _Side(self._sides, side, supposed, self._domain) for side in (OLD, NEW)}
            waiting = list(self._waiting(readings))
            if not waiting:
                old, new = (self._levels(readings[side], side) for side in (OLD, NEW))
                if old != new:
                    yield Found(supposed, _way(old, new))
                continue
            split = next(filter(None, (self._split(*one, readings) for one in waiting)), None)
            if split is None:
                self.open.append(supposed)
                continue
            name, values = split
            stack.extend({**supposed, name: value} for value in values)
        self.exhausted = not self.open

    def _waiting(self, readings: Mapping[str, _Side]) -> Iterator[tuple[str, Weighed]]:
        """Conditions still to be decided before the two can be compared; none where they surely say the same."""
        changed = [(OLD, w) for w in self._old.raises if not self._is_common(w)]
        changed += [(NEW, w) for w in self._new.raises if not self._is_common(w)]
        applies = [] if self._same_applies else [(OLD, self._old.applies), (NEW, self._new.applies)]
        own = [one for one in (*applies, *changed) if self._truth(*one, readings) == CANNOT_TELL]
        if own:
            yield from own
            return
        if self._says_the_same(readings):
            return
        for side, meaning in ((OLD, self._old), (NEW, self._new)):
            in_play = self._truth(side, meaning.applies, readings) != NO
            for one in meaning.conditions if in_play else ():
                if self._truth(side, one, readings) == CANNOT_TELL:
                    yield side, one

    def _says_the_same(self, readings: Mapping[str, _Side]) -> bool:
        if not self._same_applies:
            old, new = (self._truth(s, m.applies, readings) for s, m in ((OLD, self._old), (NEW, self._new)))
            if old != new:
                return False
            if old == NO:
                return True
        own = [
            self._raised(meaning, side, readings, lambda w: not self._is_common(w))
            for side, meaning in ((OLD, self._old), (NEW, self._new))
        ]
        return own[0] == own[1]

    def _is_common(self, one: Weighed) -> bool:
        return (one.key, one.scale, one.level, one.by) in self._common

    def _truth(self, side: str, one: Weighed, readings: Mapping[str, _Side]) -> int:
        return tested(one.node)(readings[side])

    def _raised(
        self, meaning: Meaning, side: str, readings: Mapping[str, _Side], which: Any
    ) -> list[tuple[int, int]]:
        found = [(least, 0) for least in meaning.least]
        for one in meaning.raises:
            if which(one) and self._truth(side, one, readings) != NO:
                base, added = found[one.scale]
                found[one.scale] = (max(base, one.level), added + one.by)
        return found

    def _levels(self, reading: _Side, side: str) -> Levels:
        meaning = self._old if side == OLD else self._new
        readings = {side: reading}
        if self._truth(side, meaning.applies, readings) == NO:
            return tuple(0 for _ in (0, *meaning.least))
        raised = self._raised(meaning, side, readings, lambda _: True)
        return (1, *(min(5, base + added) for base, added in raised))

    # -- what to suppose next

    def _split(self, side: str, one: Weighed, readings: Mapping[str, _Side]) -> tuple[str, list[Any]] | None:
        reading, rules = readings[side], self._sides.old if side == OLD else self._sides.new
        waiting = sorted(undecided_names(one.node, reading))
        for name in waiting:
            derived = rules.derived.get(name)
            if derived is not None and derived.check is not None:
                if tested(derived.check.node)(reading) == CANNOT_TELL:
                    waiting.extend(sorted(undecided_names(derived.check.node, reading)))
                continue
            if derived is not None and derived.calculation is None:
                waiting.extend(sorted(derived.inputs))
                continue
            if name in rules.limits:
                continue
            values = list(parts(rules, name, reading[name], self._cuts, self._options))
            if len(values) > 1:
                return (named(self._sides, side, name) if derived is not None else name), values
        return None


def _way(old: Sequence[int], new: Sequence[int]) -> Direction:
    return Direction.joined(Direction.of(a, b) for a, b in zip(old, new, strict=True) if a != b)
