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

from riskhelper.office.proofs.lessons import Exact, Figure, bounded_box, lesson_of
from riskhelper.office.proofs.logic import Plain, conjoined, disjoined, implied, negated, place_of
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
from riskhelper.ruleset.calculated import Box, End, Source, source_of, widest
from riskhelper.ruleset.model import RuleSet

ENDS: tuple[End, End] = ("low", "high")
_TOUCH = Fraction(1, 10**9)  # what lies this near to a step of the grid lies on it, as in `ruleset.valuation`


@dataclass(frozen=True, eq=False)
class Grid:
    """A number rounded to a whole number of steps, down or up."""

    number: Any
    step: Fraction
    down: bool
    result: Any

    def facts(self) -> list[Plain]:
        """How far the result can lie from the number."""
        touch = _TOUCH * self.step
        if self.down:
            near = plus(self.number, touch)
            return [less_or_equal(self.result, near), less(near, plus(self.result, self.step))]
        near = plus(self.number, -touch)
        return [less_or_equal(near, self.result), less(plus(self.result, -self.step), near)]


def rounded(number: Fraction, step: Fraction, *, down: bool) -> Fraction:
    """A number rounded to whole steps; what lies on one, or is endless, stays."""
    if abs(number) >= ENDLESS:
        return number
    steps = number / step
    return ((steps + _TOUCH).__floor__() if down else (steps - _TOUCH).__ceil__()) * step


class Figures:
    """All uses of calculations in one proof, and the facts about them that the solver is given."""

    def __init__(self) -> None:
        self.facts: list[Plain] = []
        self.used: list[Figure] = []
        self._known: dict[tuple[Any, ...], Figure] = {}
        self.grids: list[Grid] = []
        self._grids: dict[tuple[Any, ...], Grid] = {}
        self._count = itertools.count()
        self._lessons = 0  # so that each input of a figure is given most room in its turn

    def mark(self) -> tuple[int, int, int]:
        """How far facts, figures and grids have come: `forget` goes back to it."""
        return len(self.facts), len(self.used), len(self.grids)

    def forget(self, mark: tuple[int, int, int]) -> None:
        """Drops what was added since a mark."""
        del self.facts[mark[0] :]
        for figure in self.used[mark[1] :]:
            self._known = {key: one for key, one in self._known.items() if one is not figure}
        del self.used[mark[1] :]
        del self.grids[mark[2] :]
        self._grids = {key: grid for key, grid in self._grids.items() if grid in self.grids}

    def on_grid(self, span: Span, step: Fraction) -> Span:
        """A range rounded outward to a grid, once."""
        return Span(self._rounded(span.low, step, down=True), self._rounded(span.high, step, down=False))

    def _rounded(self, number: Any, step: Fraction, *, down: bool) -> Any:
        if isinstance(number, Fraction):
            return rounded(number, step, down=down)
        key = (place_of(number), step, down)
        if key not in self._grids:
            # That the result is a whole number of steps is told only where it matters (`grid_learned`): searching
            # for whole numbers over endless ranges does not end.
            grid = Grid(number, step, down, z3.Real(f"grid {next(self._count)}"))
            self.facts.extend(grid.facts())
            for other in self.grids:
                if (other.step, other.down) == (step, down):
                    self.facts += [
                        implied(less_or_equal(one.number, two.number), less_or_equal(one.result, two.result))
                        for one, two in ((grid, other), (other, grid))
                    ]
            self._grids[key] = grid
            self.grids.append(grid)
        return self._grids[key].result

    def grid_learned(self, grid: Grid, number: Fraction, supposed: Fraction) -> bool:
        """Adds what a number rounds to where the solver supposed something else; false if that is so."""
        found = rounded(number, grid.step, down=grid.down)
        if found == supposed:
            return False
        touch, step = _TOUCH * grid.step, grid.step
        if grid.down:
            first, last = found - touch, found + step - touch
            inside = conjoined((less_or_equal(first, grid.number), less(grid.number, last)))
        else:
            first, last = found - step + touch, found + touch
            inside = conjoined((less(first, grid.number), less_or_equal(grid.number, last)))
        self.facts.append(implied(inside, grid.result == term(found)))
        return True

    def calculated(self, rules: RuleSet, name: str, inputs: Mapping[str, Any]) -> Span:
        """The range of a calculated fact for inputs in solver terms."""
        source = source_of(rules, rules.derived[name])
        if source is None:
            return WHOLE_LINE
        key = (*source.key, *(part for one in sorted(inputs) for part in _identity(inputs[one])))
        if key not in self._known:
            self._known[key] = figure = self._figure(rules, name, source, inputs)
            for other in self.used:
                if other.source.key == source.key:
                    self.facts.extend(_moves_alike(figure, other))
                    self.facts.extend(_moves_alike(other, figure))
            self.used.append(figure)
        return self._known[key].span

    def _figure(self, rules: RuleSet, name: str, source: Source, inputs: Mapping[str, Any]) -> Figure:
        number = next(self._count)
        low, high = z3.Real(f"figure {number} low"), z3.Real(f"figure {number} high")
        whole = widest(rules, rules.derived[name])
        outer = source.over(whole)
        endless: Plain = False
        if outer.outside or outer.not_applicable:
            endless = z3.Bool(f"figure {number} endless")
            self.facts.append(implied(endless, conjoined((low == term(-ENDLESS), high == term(ENDLESS)))))
            self.facts += [less_or_equal(-ENDLESS, low), less_or_equal(high, ENDLESS)]
        else:
            self.facts += [
                less_or_equal(exactly(outer.range.low), low),
                less_or_equal(high, exactly(outer.range.high)),
            ]
        self.facts.append(low <= high)
        return Figure(name, source, dict(inputs), Span(low, high), endless, whole)

    def learned(
        self,
        figure: Figure,
        box: Box,
        exact: Exact,
        supposed: Span,
        cuts: tuple[Fraction, ...],
        *,
        supposed_endless: bool,
    ) -> bool:
        """Adds what the calculation gives over a box where the solver supposed something else; false if that is so.

        What is added holds wherever the same can be told: the box is grown as far as the figure stays on the same
        side of what it is compared with (`cuts`), or halfway to what was supposed.
        """
        truth = figure.source.over(box)
        ends = exactly(truth.range.low), exactly(truth.range.high)
        if (supposed.low, supposed.high) == ends:
            return False
        self._lessons += 1
        uses = [one for one in self.used if one.source.key == figure.source.key]
        if truth.outside or truth.not_applicable:
            self.facts.extend(implied(one.around(box, exact), one.endless) for one in uses)
            return True
        if supposed_endless:
            bounded = bounded_box(figure.source, box, figure.widest)
            self.facts.extend(implied(one.inside(bounded, exact), negated(one.endless)) for one in uses)
            return True
        turn = self._lessons % len(box) if box else 0
        turned = {name: box[name] for name in (*list(box)[turn:], *list(box)[:turn])}
        for end, wrong, found in zip(ENDS, (supposed.low, supposed.high), ends, strict=True):
            if wrong != found:
                lesson = lesson_of(figure.source, turned, exact, figure.widest, end, wrong, found, cuts)
                self.facts.extend(lesson.told_of(one) for one in uses)
        return True


def _identity(value: Any) -> tuple[Any, ...]:
    """What makes two inputs the same term."""
    ends = (value.low, value.high) if isinstance(value, Span) else tuple(value[option] for option in sorted(value))
    return tuple(end if isinstance(end, (Fraction, bool)) else ("term", place_of(end)) for end in ends)


def _moves_alike(one: Figure, other: Figure) -> list[Plain]:
    """How the ends of one use lie to those of another, by the order of their inputs."""
    contained = conjoined(_no_worse(one, other, name, 0) for name in one.inputs)
    found = []
    for end in ENDS:
        nowhere = conjoined(_no_worse(one, other, name, one.source.hurts(name, end)) for name in one.inputs)
        ordered = (
            less_or_equal(other.span.low, one.span.low)
            if end == "low"
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
