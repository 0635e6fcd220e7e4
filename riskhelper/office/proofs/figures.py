"""Calculated figures in solver terms: bounded unknowns with what is known of the calculation, sharpened on demand.

What is assumed of a calculation is what `tests/numbers` proves of it: over a wider box it gives a wider range, a
limit of validity broken anywhere breaks the whole box, and inside its validity it moves with each input as its
declared direction says. All else is found out point by point, from the calculation itself (`learned`).
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import z3  # type: ignore[import-untyped]

from riskhelper.calc.calculation import Calculation, Enclosure, Table
from riskhelper.interval import Interval
from riskhelper.office.proofs.logic import Plain, conjoined, disjoined, implied, negated
from riskhelper.office.proofs.spans import (
    ENDLESS,
    WHOLE_LINE,
    Span,
    exactly,
    less,
    less_or_equal,
    plus,
    term,
)
from riskhelper.ruleset.model import Derived, RuleSet

Box = Mapping[str, Interval | frozenset[str]]
_TOUCH = Fraction(1, 10**9)  # what lies this near to a step of the grid lies on it, as in `ruleset.valuation`
_HALVINGS = 10


@dataclass(frozen=True)
class Source:
    """A calculation with everything it is given that is not an answer: two with equal keys are the same function."""

    key: tuple[Any, ...]
    calculation: Calculation
    fixed: Mapping[str, Any]

    def over(self, box: Box) -> Enclosure:
        """The enclosure over a box of the inputs that are answers."""
        return self.calculation.over({**self.fixed, **box})


@dataclass(frozen=True)
class Figure:
    """One use of a calculation: its inputs in solver terms, its ends, and whether it is without bound there."""

    source: Source
    inputs: Mapping[str, Any]
    span: Span
    endless: Plain

    def inside(self, box: Box) -> Plain:
        """Whether the inputs lie inside a box."""
        return conjoined(self._inside(name, side) for name, side in box.items())

    def around(self, box: Box) -> Plain:
        """Whether the inputs leave everything in a box possible."""
        parts: list[Plain] = []
        for name, side in box.items():
            given = self.inputs[name]
            if isinstance(side, Interval):
                parts += [less_or_equal(given.low, exactly(side.low)), less_or_equal(exactly(side.high), given.high)]
            else:
                parts += [given[option] for option in side]
        return conjoined(parts)

    def _inside(self, name: str, side: Interval | frozenset[str]) -> Plain:
        given = self.inputs[name]
        if isinstance(side, Interval):
            return conjoined(
                (less_or_equal(exactly(side.low), given.low), less_or_equal(given.high, exactly(side.high)))
            )
        return conjoined(negated(possible) for option, possible in given.items() if option not in side)


class Figures:
    """All uses of calculations in one proof, and the facts about them that the solver is given."""

    def __init__(self) -> None:
        self.facts: list[Plain] = []
        self.used: list[Figure] = []
        self._known: dict[tuple[Any, ...], Figure] = {}
        self._grids: dict[tuple[Any, ...], Any] = {}
        self._count = itertools.count()

    def mark(self) -> tuple[int, int]:
        """How far facts and figures have come: `forget` goes back to it."""
        return len(self.facts), len(self.used)

    def forget(self, mark: tuple[int, int]) -> None:
        """Drops what was added since a mark."""
        del self.facts[mark[0] :]
        for figure in self.used[mark[1] :]:
            self._known = {key: one for key, one in self._known.items() if one is not figure}
        del self.used[mark[1] :]
        self._grids.clear()

    def on_grid(self, span: Span, step: Fraction) -> Span:
        """A range rounded outward to a grid, once."""
        return Span(self._rounded(span.low, step, down=True), self._rounded(span.high, step, down=False))

    def _rounded(self, number: Any, step: Fraction, *, down: bool) -> Any:
        if isinstance(number, Fraction):
            if abs(number) >= ENDLESS:
                return number
            steps = number / step
            return ((steps + _TOUCH).__floor__() if down else (steps - _TOUCH).__ceil__()) * step
        key = (number.get_id(), step, down)
        if key not in self._grids:
            steps = z3.Int(f"grid {next(self._count)}")
            found = z3.ToReal(steps) * term(step)
            touch = _TOUCH * step
            if down:
                self.facts += [
                    less_or_equal(found, plus(number, touch)),
                    less(plus(number, touch), plus(found, step)),
                ]
            else:
                self.facts += [
                    less_or_equal(plus(number, -touch), found),
                    less(plus(found, -step), plus(number, -touch)),
                ]
            self._grids[key] = (found, number)  # the number is kept, so that its id stays its own
        return self._grids[key][0]

    def calculated(self, rules: RuleSet, derived: Derived, inputs: Mapping[str, Any]) -> Span:
        """The range of a calculated fact for inputs in solver terms."""
        source = source_of(rules, derived)
        if source is None:
            return WHOLE_LINE
        key = (*source.key, *(part for name in sorted(inputs) for part in _identity(inputs[name])))
        if key not in self._known:
            self._known[key] = figure = self._figure(rules, derived, source, inputs)
            for other in self.used:
                if other.source.key == source.key:
                    self.facts.extend(_moves_alike(figure, other))
                    self.facts.extend(_moves_alike(other, figure))
            self.used.append(figure)
        return self._known[key].span

    def _figure(self, rules: RuleSet, derived: Derived, source: Source, inputs: Mapping[str, Any]) -> Figure:
        number = next(self._count)
        low, high = (
            z3.Real(f"{source.calculation.name} low {number}"),
            z3.Real(f"{source.calculation.name} high {number}"),
        )
        outer = source.over(widest(rules, derived))
        endless: Plain = False
        if outer.outside or outer.not_applicable:
            endless = z3.Bool(f"{source.calculation.name} endless {number}")
            self.facts.append(implied(endless, conjoined((low == term(-ENDLESS), high == term(ENDLESS)))))
            self.facts += [less_or_equal(-ENDLESS, low), less_or_equal(high, ENDLESS)]
        else:
            self.facts += [
                less_or_equal(exactly(outer.range.low), low),
                less_or_equal(high, exactly(outer.range.high)),
            ]
        self.facts.append(low <= high)
        return Figure(source, dict(inputs), Span(low, high), endless)

    def learned(self, figure: Figure, box: Box, low: Fraction, high: Fraction, cuts: tuple[Fraction, ...]) -> bool:
        """Adds what the calculation gives over a box where the solver supposed `low` to `high`; false if that is so.

        What is added holds wherever the same can be told: the box is grown as far as the figure stays on the same
        side of what it is compared with (`cuts`), or halfway to what was supposed.
        """
        truth = figure.source.over(box)
        ends = exactly(truth.range.low), exactly(truth.range.high)
        if (low, high) == ends:
            return False
        uses = [one for one in self.used if one.source.key == figure.source.key]
        if ends[0] == -ENDLESS and ends[1] == ENDLESS:
            self.facts.extend(implied(one.around(box), one.endless) for one in uses)
            return True
        for which, supposed, found in (("low", low, ends[0]), ("high", high, ends[1])):
            outside = supposed < found if which == "low" else supposed > found
            if outside:
                wanted = _between(supposed, found, cuts)
                grown = _grown(figure.source, box, which, wanted)
                self.facts.extend(_stays(one, grown, which, wanted) for one in uses)
            elif supposed != found:
                self.facts.extend(_reaches(one, box, which, found) for one in uses)
        return True


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


def _identity(value: Any) -> tuple[Any, ...]:
    """What makes two inputs the same term."""
    ends = (value.low, value.high) if isinstance(value, Span) else tuple(value[option] for option in sorted(value))
    return tuple(end if isinstance(end, (Fraction, bool)) else ("term", end.get_id()) for end in ends)


def _moves_alike(one: Figure, other: Figure) -> list[Plain]:
    """How the ends of one use lie to those of another, by the order of their inputs."""
    contained = conjoined(_no_worse(one, other, name, 0) for name in one.inputs)
    found = []
    for which in ("low", "high"):
        nowhere = conjoined(_no_worse(one, other, name, _one_sided(one.source, name, which)) for name in one.inputs)
        ordered = (
            less_or_equal(other.span.low, one.span.low)
            if which == "low"
            else less_or_equal(one.span.high, other.span.high)
        )
        found.append(implied(disjoined((contained, conjoined((nowhere, negated(one.endless))))), ordered))
    return found


def _no_worse(one: Figure, other: Figure, name: str, hurts: int) -> Plain:
    """Whether an input of one use lies inside that of the other, as far as it can hurt."""
    here, there = one.inputs[name], other.inputs[name]
    if not isinstance(here, Span):
        return conjoined(implied(possible, there[option]) for option, possible in here.items())
    return conjoined(
        (
            hurts > 0 or less_or_equal(there.low, here.low),
            hurts < 0 or less_or_equal(here.high, there.high),
        )
    )


def _between(supposed: Fraction, found: Fraction, cuts: tuple[Fraction, ...]) -> Fraction:
    """The figure to hold: a cut between what was supposed and what is so, else the middle."""
    low, high = sorted((supposed, found))
    inside = [cut for cut in cuts if low < cut <= high] if supposed < found else [c for c in cuts if low <= c < high]
    if inside:
        return max(inside) if supposed < found else min(inside)
    return found if abs(supposed) >= ENDLESS else (supposed + found) / 2


def _grown(source: Source, box: Box, which: str, wanted: Fraction) -> Box:
    """A box around the given one, as large as can be found, over which an end still keeps to `wanted`."""

    def keeps(trial: Box) -> bool:
        found = source.over(trial).range
        return exactly(found.low) >= wanted if which == "low" else exactly(found.high) <= wanted

    grown = dict(box)
    if not keeps(grown):
        return grown
    for name, side in box.items():
        if isinstance(side, frozenset):
            continue
        for towards in (-1, 1):
            if _one_sided(source, name, which) == -towards:
                continue  # on that side the figure only moves away: `_stays` does not bound it
            span = max(side.high - side.low, abs(side.low), abs(side.high), 1.0) * 4
            good, step = 0.0, span
            for _ in range(_HALVINGS):
                now = grown[name]
                assert isinstance(now, Interval)
                low, high = (side.low - good - step, now.high) if towards < 0 else (now.low, side.high + good + step)
                if keeps({**grown, name: Interval(round(low, 9), round(high, 9))}):
                    good += step
                    grown[name] = Interval(round(low, 9), round(high, 9))
                step /= 2
    return grown


def _one_sided(source: Source, name: str, which: str) -> int:
    """On which side an input can hurt an end: -1 below, 1 above, 0 both."""
    direction = source.calculation.directions.get(name)
    if direction not in ("up", "down"):
        return 0
    return -1 if (direction == "up") == (which == "low") else 1


def _stays(figure: Figure, box: Box, which: str, wanted: Fraction) -> Plain:
    """Inside the box, as far as it matters for that end, the end keeps to `wanted`."""
    parts: list[Plain] = []
    for name, side in box.items():
        given = figure.inputs[name]
        if isinstance(side, frozenset):
            parts += [negated(possible) for option, possible in given.items() if option not in side]
            continue
        hurts = _one_sided(figure.source, name, which)
        if hurts <= 0:
            parts.append(less_or_equal(exactly(side.low), given.low))
        if hurts >= 0:
            parts.append(less_or_equal(given.high, exactly(side.high)))
    inside_box = figure.inside(box)
    bounded = disjoined((negated(figure.endless), inside_box))
    end = less_or_equal(wanted, figure.span.low) if which == "low" else less_or_equal(figure.span.high, wanted)
    return implied(conjoined((*parts, bounded)), end)


def _reaches(figure: Figure, box: Box, which: str, found: Fraction) -> Plain:
    """Where everything in the box is possible, or worse for that end, the end reaches what was found."""
    parts: list[Plain] = []
    for name, side in box.items():
        given = figure.inputs[name]
        if isinstance(side, frozenset):
            parts += [given[option] for option in side]
            continue
        hurts = _one_sided(figure.source, name, which)
        if hurts <= 0:
            parts.append(less_or_equal(given.low, exactly(side.low)))
        if hurts >= 0:
            parts.append(less_or_equal(exactly(side.high), given.high))
    end = less_or_equal(figure.span.low, found) if which == "low" else less_or_equal(found, figure.span.high)
    return implied(conjoined(parts), end)
