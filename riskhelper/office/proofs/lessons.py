"""What one look at a calculation teaches: a bound on one end that holds far around the inputs that were looked at."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from riskhelper.interval import Interval
from riskhelper.office.proofs.logic import Plain, conjoined, implied, negated
from riskhelper.office.proofs.spans import ENDLESS, Span, exactly, less_or_equal
from riskhelper.ruleset.calculated import Box, End, Source

_HALVINGS = 5  # how closely the way to the end of a range is searched
Exact = Mapping[tuple[str, End, float], Fraction]  # an end of an input as the solver has it, by what it is as a float


@dataclass(frozen=True)
class Figure:
    """One use of a calculation: its inputs in solver terms, its ends, and whether it is without bound there."""

    fact: str
    source: Source
    inputs: Mapping[str, Any]
    span: Span
    endless: Plain
    widest: Box

    def input_terms(self) -> list[Any]:
        """The terms of its inputs."""
        return [
            end
            for given in self.inputs.values()
            for end in ((given.low, given.high) if isinstance(given, Span) else given.values())
        ]

    def around(self, box: Box, exact: Exact) -> Plain:
        """Whether the inputs leave everything in a box possible."""
        parts: list[Plain] = []
        for name, side in box.items():
            given = self.inputs[name]
            if isinstance(side, Interval):
                low, high = exact_ends(name, side, exact)
                parts += [less_or_equal(given.low, low), less_or_equal(high, given.high)]
            else:
                parts += [given[option] for option in side]
        return conjoined(parts)

    def inside(self, box: Box, exact: Exact) -> Plain:
        """Whether every input lies in a box."""
        return conjoined(self.input_inside(name, side, exact) for name, side in box.items())

    def input_inside(self, name: str, side: Interval | frozenset[str], exact: Exact) -> Plain:
        """Whether one input does."""
        given = self.inputs[name]
        if not isinstance(side, Interval):
            return conjoined(negated(possible) for option, possible in given.items() if option not in side)
        low, high = exact_ends(name, side, exact)
        return conjoined((less_or_equal(low, given.low), less_or_equal(given.high, high)))


def exact_ends(name: str, side: Interval, exact: Exact) -> tuple[Fraction, Fraction]:
    """The ends of an input as the solver has them: else what it supposed may lie beside the box of its own lesson."""
    low, high = side.low, side.high
    return exact.get((name, "low", low), exactly(low)), exact.get((name, "high", high), exactly(high))


@dataclass(frozen=True)
class Lesson:
    """An end keeps to `bound`, from outside (`outward`: no further out) or from inside (at least as far out).

    It does so where every input lies in the box, or, for an input that pulls the end in one direction only, no
    further out (`outward`) or at least as far out. Without `within` the inputs must leave the whole box possible.
    """

    box: Box
    end: End
    bound: Fraction
    outward: bool
    exact: Exact
    within: bool = True

    def told_of(self, figure: Figure) -> Plain:
        """The lesson for one use of the calculation."""
        if self.outward == (self.end == "low"):
            keeps = less_or_equal(self.bound, getattr(figure.span, self.end))
        else:
            keeps = less_or_equal(getattr(figure.span, self.end), self.bound)
        parts = (
            [figure.around(self.box, self.exact)]
            if not self.within
            else [self._where(figure, name) for name in self.box]
        )
        bounded = negated(figure.endless) if self.outward else True
        return implied(conjoined((*parts, bounded)), keeps)

    def _where(self, figure: Figure, name: str) -> Plain:
        given, side, hurts = figure.inputs[name], self.box[name], figure.source.hurts(name, self.end)
        if not isinstance(side, Interval) or hurts == 0:
            return figure.input_inside(name, side, self.exact)
        low, high = exact_ends(name, side, self.exact)
        if self.outward:
            return less_or_equal(low, given.low) if hurts < 0 else less_or_equal(given.high, high)
        return less_or_equal(given.low, low) if hurts < 0 else less_or_equal(high, given.high)


def lesson_of(
    source: Source,
    box: Box,
    exact: Exact,
    widest: Box,
    end: End,
    supposed: Fraction,
    found: Fraction,
    cuts: tuple[Fraction, ...],
) -> Lesson:
    """The lesson of a look at a box where `found` was supposed otherwise: as general as a short search makes it.

    Inputs are tried in the order of `box`; who comes first is given most room.
    """
    outward = (supposed < found) == (end == "low")
    bound = _between(supposed, found, cuts)
    if outward:

        def keeps_out(trial: Box) -> bool:
            reached = exactly(getattr(source.over(trial).range, end))
            return reached >= bound if end == "low" else reached <= bound

        free = {name: source.hurts(name, end) for name in box}
        return Lesson(_grown(box, widest, keeps_out, free), end, bound, outward, exact)
    corner: dict[str, Interval | frozenset[str]] = {}
    for name, side in box.items():
        hurts = source.hurts(name, end)
        point = hurts and isinstance(side, Interval)
        corner[name] = Interval.exactly(side.low if hurts < 0 else side.high) if point else side  # type: ignore[union-attr]
    spread = _worst_spread(source, corner, end)

    def keeps_in(trial: Box) -> bool:
        # Wherever the inputs lie, the other end of the whole is as far out as the bound.
        range_ = source.over({**trial, **spread}).range
        return exactly(range_.high) <= bound if end == "low" else exactly(range_.low) >= bound

    if keeps_in(corner):
        back = {name: -source.hurts(name, end) for name in box}
        grown = _grown(corner, widest, keeps_in, back, moves_points=True)
        return Lesson(grown, end, bound, outward, exact)
    return Lesson(box, end, found, outward, exact, within=False)


def _worst_spread(source: Source, box: Box, end: End) -> dict[str, Interval]:
    """The value of each input that is uncertain by nature which pulls the end furthest out."""
    chosen: dict[str, Interval] = {}
    for name, spread in source.calculation.spreads.items():
        points = [spread.low, *source.calculation.turning_points.get(name, ()), spread.high]
        trials = {point: source.over({**box, **chosen, name: Interval.exactly(point)}).range for point in points}
        ends = {point: getattr(range_, end) for point, range_ in trials.items()}
        chosen[name] = Interval.exactly((min if end == "low" else max)(ends, key=lambda p: ends[p]))
    return chosen


def _between(supposed: Fraction, found: Fraction, cuts: tuple[Fraction, ...]) -> Fraction:
    """The bound to hold: the cut nearest to what was supposed that what is so lies beyond, else the middle.

    The further the bound lies from what is so, the larger the box over which it holds.
    """
    if supposed < found:
        best = min((cut for cut in cuts if supposed < cut <= found), default=None)
    else:
        best = max((cut for cut in cuts if found <= cut < supposed), default=None)
    if best is not None:
        return best
    return found if abs(supposed) >= ENDLESS else (supposed + found) / 2


def bounded_box(source: Source, box: Box, widest: Box) -> Box:
    """A box around one inside the limits of a calculation, inside them too, as large as a short search makes it."""

    def keeps_bounded(trial: Box) -> bool:
        enclosure = source.over(trial)
        return not (enclosure.outside or enclosure.not_applicable)

    return _grown(box, widest, keeps_bounded, dict.fromkeys(box, 0))


def _grown(
    box: Box, widest: Box, keeps: Callable[[Box], bool], hurts: Mapping[str, int], *, moves_points: bool = False
) -> Box:
    """A box around the given one, as large as a short search makes it, over which something still holds.

    An input that `hurts` on one side alone grows there only; with `moves_points` it is a point and moves as a whole.
    """
    grown = dict(box)
    if not keeps(grown):
        return grown
    for name, side in box.items():
        outer = widest[name]
        if not isinstance(side, Interval) or not isinstance(outer, Interval):
            continue
        for towards, limit in ((-1, outer.low), (1, outer.high)):
            if hurts[name] == -towards or not math.isfinite(limit):
                continue  # on that side nothing is asked of the input
            now = grown[name]
            assert isinstance(now, Interval)
            holds, fails, share = 0.0, 1.0, 1.0
            for _ in range(_HALVINGS):
                trial = _moved(now, towards, limit, share, point=moves_points and hurts[name] != 0)
                if keeps({**grown, name: trial}):
                    grown[name], holds = trial, share
                    if share == 1.0:
                        break
                else:
                    fails = share
                share = (holds + fails) / 2
    return grown


def _moved(side: Interval, towards: int, limit: float, share: float, *, point: bool) -> Interval:
    """An interval with one end moved a share of the way to a limit; a point moves as a whole."""
    start = side.low if towards < 0 else side.high
    end = round(start + share * (limit - start), 9)
    if point:
        return Interval.exactly(end)
    return Interval(min(end, side.low), side.high) if towards < 0 else Interval(side.low, max(end, side.high))
