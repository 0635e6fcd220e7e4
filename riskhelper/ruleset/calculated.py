"""Calculations as a rule set uses them: what they are given, how far they reach, on which side an input can hurt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from riskhelper.calc.calculation import Calculation, Enclosure, Table
from riskhelper.interval import Interval
from riskhelper.ruleset.model import Derived, RuleSet

Box = Mapping[str, Interval | frozenset[str]]
End = Literal["low", "high"]


@dataclass(frozen=True)
class Source:
    """A calculation with everything it is given that is not an answer: two with equal keys are the same function."""

    key: tuple[Any, ...]
    calculation: Calculation
    fixed: Mapping[str, Any]

    def over(self, box: Box) -> Enclosure:
        """The enclosure over a box of the inputs that are answers."""
        return self.calculation.over({**self.fixed, **box})

    def hurts(self, name: str, end: End) -> int:
        """On which side an input can pull an end outward: -1 below, 1 above, 0 on both or in no known way."""
        direction = self.calculation.directions.get(name)
        if direction not in ("up", "down"):
            return 0
        return -1 if (direction == "up") == (end == "low") else 1


def source_of(rules: RuleSet, derived: Derived) -> Source | None:
    """The calculation of a fact with its fixed inputs; `None` where the local code gives no table for it."""
    calculation = derived.calculation
    assert calculation is not None
    fixed: dict[str, Any] = {}
    for parameter, given in derived.entry.from_.items():
        if not isinstance(given, str):
            fixed[parameter] = float(given)
        elif given.startswith("text:"):
            fixed[parameter] = given.removeprefix("text:")
        elif given.startswith("table:"):
            if given.removeprefix("table:") not in rules.tables:
                return None
            fixed[parameter] = rules.tables[given.removeprefix("table:")]
    told = tuple((n, (v.id, v.rows) if isinstance(v, Table) else v) for n, v in sorted(fixed.items()))
    return Source((calculation.name, told), calculation, fixed)


def widest(rules: RuleSet, derived: Derived) -> Box:
    """Everything the inputs of a calculation can be, each taken apart from the others."""
    found: dict[str, Interval | frozenset[str]] = {}
    for parameter, given in derived.entry.from_.items():
        if isinstance(given, str) and ":" not in given:
            found[parameter] = _widest(rules, given)
    return found


def _widest(rules: RuleSet, name: str) -> Interval | frozenset[str]:
    question = rules.questions.get(name)
    if question is not None:
        if question.type != "number":
            return frozenset(question.options)
        assert question.range is not None
        margin = 0.0
        if isinstance(question.error, str):
            side = _widest(rules, question.error)
            assert isinstance(side, Interval)
            margin = max(abs(side.low), abs(side.high))
        elif question.error is not None:
            margin = question.error
        return Interval(question.range[0] - margin, question.range[1] + margin)
    if name in rules.limits:
        return Interval.exactly(rules.limits[name].is_)
    derived = rules.derived[name]
    if derived.calculation is not None:
        source = source_of(rules, derived)
        endless = Interval(float("-inf"), float("inf"))
        return endless if source is None else source.over(widest(rules, derived)).range
    if derived.entry.table is not None:
        cells = [v for n, v in derived.entry.table.items() if n != "of"]
        ends = [float(end) for cell in cells for end in (cell if isinstance(cell, tuple) else (cell,))]
        return Interval(min(ends), max(ends))
    low, high = derived.measure(_Widest(rules))  # type: ignore[arg-type]
    return Interval(low, high)


class _Widest(dict[str, tuple[float, float]]):
    """A reading in which every number is as wide as it can be."""

    def __init__(self, rules: RuleSet) -> None:
        super().__init__()
        self._rules = rules

    def __missing__(self, name: str) -> tuple[float, float]:
        side = _widest(self._rules, name)
        assert isinstance(side, Interval)
        return (side.low, side.high)
