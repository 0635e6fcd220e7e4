"""Whether figures move with each input as their calculation declares, with the tables that this set gives them.

Everything else rests on it: ranges are worked out at their ends, and proofs order figures by their inputs.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

from riskhelper.calc.calculation import InputFault, Table
from riskhelper.interval import Interval
from riskhelper.ruleset.calculated import Box, Source, source_of, widest
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.model import RuleSet


def check_directions(rules: RuleSet, found: Collected) -> None:
    """Note figures that fall where they are declared to rise, or rise where to fall, between two rows of a table."""
    for name, derived in rules.derived.items():
        source = source_of(rules, derived) if derived.calculation is not None else None
        try:
            turns = [] if source is None else list(_turns(source, widest(rules, derived)))
        except InputFault:
            continue  # a table of another kind: nothing is worked out from it, and what reads it is a stop
        for given, low, high in turns:
            told = f"between {low:g} and {high:g} of `{derived.entry.from_[given]}`"
            words = f"a table makes it move against what its calculation declares, {told}; look at these rows"
            found.fault("fact", name, "from", words)


def _turns(source: Source, outer: Box) -> Iterator[tuple[str, float, float]]:
    """For each input that a figure moves with, the first two rows between which it moves the other way."""
    for given, side in outer.items():
        points = list(_points(source, side)) if source.calculation.directions.get(given) in ("up", "down") else []
        wrong = (_first_wrong(source, given, points, corner) for corner in (_corners(outer, given) if points else ()))
        first = next((pair for pair in wrong if pair is not None), None)
        if first is not None:
            yield given, *first


def _points(source: Source, side: Interval | frozenset[str]) -> Iterator[float]:
    """The rows of the tables that lie in the range of an input, in order."""
    keys = {row[0] for table in source.fixed.values() if isinstance(table, Table) for row in table.rows}
    if isinstance(side, Interval):
        yield from sorted(key for key in keys if isinstance(key, float | int) and side.low <= key <= side.high)


def _corners(outer: Box, left_out: str) -> Iterator[Mapping[str, Interval | frozenset[str]]]:
    """The other inputs at each end of their ranges and at each option."""
    names = [name for name in outer if name != left_out]
    sides: list[list[Interval | frozenset[str]]] = []
    for name in names:
        side = outer[name]
        ends = (
            sorted({0.0 if side.low <= 0 <= side.high else side.low, side.high}) if isinstance(side, Interval) else []
        )
        options = [] if isinstance(side, Interval) else [frozenset({one}) for one in sorted(side)]
        sides.append([*(Interval.exactly(end) for end in ends), *options])
    for values in itertools.product(*sides):
        yield dict(zip(names, values, strict=True))


def _first_wrong(
    source: Source, given: str, points: list[float], corner: Mapping[str, Interval | frozenset[str]]
) -> tuple[float, float] | None:
    rises = source.calculation.directions[given] == "up"
    last: tuple[float, Interval] | None = None
    for point in points:
        enclosure = source.over({**corner, given: Interval.exactly(point)})
        if enclosure.outside or enclosure.not_applicable:
            continue
        found = enclosure.range
        if last is not None:
            before, after = (last[1], found) if rises else (found, last[1])
            if after.low < before.low or after.high < before.high:
                return last[0], point
        last = (point, found)
    return None
