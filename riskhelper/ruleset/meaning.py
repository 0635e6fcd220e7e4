"""What a typed tree means: one walk that turns it into functions of a reading.

A reading offers `reading[name]` (a `Span` for numbers, possible options for a choice, `(must, may)` for
several, a truth for a fact), `reading.grid[name]` (the span rounded outward to the grid on which rules
compare it), `reading.marked[name]` (truth of a fact where a question not asked leaves a mark) and
`reading.absent(name)` (a question, or a number that rests on one, that is surely not asked).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any as Anything
from typing import Protocol

from riskhelper.ruleset import tree

NO, CANNOT_TELL, YES, NOT_ASKED = 0, 1, 2, 3
Span = tuple[float, float]


class Readable(Protocol):
    """What a compiled condition asks of a reading."""

    grid: Mapping[str, Span]
    marked: Mapping[str, int]

    def __getitem__(self, name: str, /) -> Anything:
        """Possible values of a name."""

    def absent(self, name: str, /) -> bool:
        """Whether a name rests on a question that is surely not asked."""


Test = Callable[[Readable], int]
Measure = Callable[[Readable], Span]


def measured(node: tree.Expression, *, compared: bool = False) -> Measure:
    """The span of an expression; `compared` reads names on the grid of their resolution."""
    match node:
        case tree.PlainNumber(value):
            span = (value, value)
            return lambda _: span
        case tree.Value(name) if compared:
            return lambda reading: reading.grid[name]
        case tree.Value(name):
            return lambda reading: reading[name]
        case tree.Sum(terms):
            parts = [(factor, measured(term)) for factor, term in terms]

            def total(reading: Readable) -> Span:
                low = high = 0.0
                for factor, part in parts:
                    bottom, top = part(reading)
                    if factor < 0:
                        bottom, top = top, bottom
                    low += factor * bottom
                    high += factor * top
                return (low, high)

            return total
        case tree.Extreme(which, inner):
            members = [measured(part) for part in inner]
            pick = min if which == "min" else max

            def extreme(reading: Readable) -> Span:
                spans = [member(reading) for member in members]
                return (pick(low for low, _ in spans), pick(high for _, high in spans))

            return extreme


def _compared(low: Span, high: Span, or_equal: bool) -> int:
    """Truth of `low < high` (or `<=`) over two spans."""
    if or_equal:
        if low[1] <= high[0]:
            return YES
        return NO if low[0] > high[1] else CANNOT_TELL
    if low[1] < high[0]:
        return YES
    return NO if low[0] >= high[1] else CANNOT_TELL


def _comparison(node: tree.Compare) -> Test:
    left, op, right = node.left, node.op, node.right
    if op in (">", ">="):
        left, right = right, left
    first, second = measured(left, compared=True), measured(right, compared=True)
    if op in ("==", "!="):
        same, other = (YES, NO) if op == "==" else (NO, YES)

        def equal(reading: Readable) -> int:
            one, two = _snapped(first(reading)), _snapped(second(reading))
            if one[1] < two[0] or two[1] < one[0]:
                return other
            return same if one == two and one[0] == one[1] else CANNOT_TELL

        return equal
    or_equal = op in ("<=", ">=")
    # A plain name is on its grid already; a sum of names is snapped once so that 0.1 + 0.2 equals 0.3.
    if all(isinstance(side, (tree.Value, tree.PlainNumber)) for side in (left, right)):
        return lambda reading: _compared(first(reading), second(reading), or_equal)
    return lambda reading: _compared(_snapped(first(reading)), _snapped(second(reading)), or_equal)


def _snapped(span: Span) -> Span:
    return (round(span[0], 9), round(span[1], 9))


def _atom(node: tree.Condition) -> Test:
    match node:
        case tree.Constant(value):
            verdict = YES if value else NO
            return lambda _: verdict
        case tree.Holds(name):
            return lambda reading: reading[name]
        case tree.OneOf(name, options):

            def one_of(reading: Readable) -> int:
                possible = reading[name]
                if possible <= options:
                    return YES
                return NO if possible.isdisjoint(options) else CANNOT_TELL

            return one_of
        case tree.Contains(name, option):

            def contains(reading: Readable) -> int:
                must, may = reading[name]
                if option in must:
                    return YES
                return CANNOT_TELL if option in may else NO

            return contains
        case tree.Compare():
            return _comparison(node)
        case _:
            raise TypeError(f"{node} is not an atom")


def _negated(inner: Test) -> Test:
    flipped = (YES, CANNOT_TELL, NO, NOT_ASKED)
    return lambda reading: flipped[inner(reading)]


@lru_cache(maxsize=4096)
def tested(node: tree.Condition) -> Test:
    """Strict meaning: yes, no or cannot tell. A question not asked counts as its whole range."""
    match node:
        case tree.Not(part):
            return _negated(tested(part))
        case tree.All(parts):
            tests = [tested(part) for part in parts]

            def every(reading: Readable) -> int:
                result = YES
                for test in tests:
                    truth = test(reading)
                    if truth == NO:
                        return NO
                    result = min(result, truth)
                return result

            return every
        case tree.Any(parts):
            tests = [tested(part) for part in parts]

            def some(reading: Readable) -> int:
                result = NO
                for test in tests:
                    truth = test(reading)
                    if truth == YES:
                        return YES
                    result = max(result, truth)
                return result

            return some
        case _:
            return _atom(node)


def marked(node: tree.Condition, *, mark_beats_doubt: bool = False) -> Test:
    """Meaning with a mark for questions not asked: `and` no, mark, doubt; `or` yes, doubt, mark.

    With `mark_beats_doubt` the mark also wins over doubt in `or`: the form used to prove guards.
    """
    all_order = (NO, NOT_ASKED, CANNOT_TELL, YES)
    any_order = (YES, NOT_ASKED, CANNOT_TELL, NO) if mark_beats_doubt else (YES, CANNOT_TELL, NOT_ASKED, NO)
    match node:
        case tree.Not(part):
            return _negated(marked(part, mark_beats_doubt=mark_beats_doubt))
        case tree.All(parts) | tree.Any(parts):
            tests = [marked(part, mark_beats_doubt=mark_beats_doubt) for part in parts]
            order = all_order if isinstance(node, tree.All) else any_order

            def joined(reading: Readable) -> int:
                found = {test(reading) for test in tests}
                return next(truth for truth in order if truth in found)

            return joined
        case tree.Holds(name):
            return lambda reading: reading.marked[name]
        case _:
            atom = _atom(node)
            names = tuple(tree.names_in(node))
            return lambda reading: NOT_ASKED if any(reading.absent(n) for n in names) else atom(reading)


def undecided_names(node: tree.Condition, reading: Readable) -> frozenset[str]:
    """The names whose doubt keeps a condition undecided in a reading."""
    if tested(node)(reading) != CANNOT_TELL:
        return frozenset()
    match node:
        case tree.Not(part):
            return undecided_names(part, reading)
        case tree.All(parts) | tree.Any(parts):
            return frozenset().union(*(undecided_names(part, reading) for part in parts))
        case _:
            return tree.names_in(node)
