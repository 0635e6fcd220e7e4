"""Ranges carried through a calculation hold every value inside them, and declared directions are real.

Boxes are drawn inside the ranges of `sample_ranges.toml`; the enclosure of each must hold the values on a dense
grid and at random points of the box. A calculation that declares a direction needs an entry there.
"""

from __future__ import annotations

import itertools
import random
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Calculation, Computed
from riskhelper.interval import WHOLE_LINE, Interval
from tests.numbers.reading_cases import resolved

CATALOGUE = complete_catalogue()
RANGES: Mapping[str, Mapping[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "sample_ranges.toml").read_text(encoding="utf-8")
)
MOVING = [name for name, entry in CATALOGUE.items() if set(entry.directions.values()) - {"fixed"}]
SAMPLED = sorted(set(MOVING) & set(RANGES))
BOXES = 25
POINTS = 40
WALKS = 60
GRID_POINTS = 200  # at most, over all inputs of a box
DUST = 1e-9  # relative rounding of the last digits


def test_every_calculation_with_a_direction_has_sample_ranges() -> None:
    assert sorted(set(MOVING) - set(RANGES)) == []


def test_no_sample_ranges_are_left_over() -> None:
    assert sorted(set(RANGES) - set(CATALOGUE)) == []


@pytest.mark.parametrize("name", SAMPLED)
def test_the_enclosure_holds_every_value_of_the_box(name: str) -> None:
    entry, chance = CATALOGUE[name], random.Random(name)
    told_something = 0
    for _ in range(BOXES):
        box = {key: _part(given, chance) for key, given in _given(name).items()}
        enclosure = entry.over(box)
        if enclosure.range == WHOLE_LINE:
            assert enclosure.outside or enclosure.not_applicable
            continue
        told_something += 1
        for point in [*_grid(box), *(_point(box, chance) for _ in range(POINTS))]:
            outcome = entry.at(**point)
            assert isinstance(outcome, Computed), (point, outcome)
            slack = DUST * max(1.0, abs(outcome.value))
            assert enclosure.range.low - slack <= outcome.value <= enclosure.range.high + slack, point

    assert told_something, "no box lay inside the limits"


@pytest.mark.parametrize("name", SAMPLED)
def test_the_declared_direction_is_the_true_one(name: str) -> None:
    entry, chance = CATALOGUE[name], random.Random(name)
    whole = {key: _whole(given) for key, given in _given(name).items()}
    compared = 0
    for parameter, direction in entry.directions.items():
        if direction == "fixed" or not isinstance(whole.get(parameter), Interval):
            continue
        for _ in range(WALKS):
            point = _point(whole, chance)
            low, high = sorted((float(point[parameter]), chance.uniform(*_ends(whole[parameter]))))
            below, above = (entry.at(**{**point, parameter: value}) for value in (low, high))
            if not (isinstance(below, Computed) and isinstance(above, Computed)):
                continue
            compared += 1
            slack = DUST * max(1.0, abs(above.value), abs(below.value))
            if direction == "up":
                assert below.value <= above.value + slack, (parameter, point, low, high)
            elif direction == "down":
                assert below.value >= above.value - slack, (parameter, point, low, high)
            else:
                _assert_turns_only_where_declared(entry, parameter, point, low, high)

    assert compared or not any(isinstance(part, Interval) for part in whole.values())


@pytest.mark.parametrize("name", SAMPLED)
def test_an_exact_box_gives_the_exact_value(name: str) -> None:
    entry, chance = CATALOGUE[name], random.Random(name)
    whole = {key: _whole(given) for key, given in _given(name).items()}
    computed = 0
    for _ in range(BOXES):
        point = _point(whole, chance)
        outcome = entry.at(**point)
        if isinstance(outcome, Computed):
            box = {k: Interval.exactly(v) if isinstance(v, float) else v for k, v in point.items()}
            assert entry.over(box).range == Interval.exactly(outcome.value)
            computed += 1

    assert computed


def _assert_turns_only_where_declared(
    entry: Calculation, parameter: str, point: Mapping[str, Any], low: float, high: float
) -> None:
    """Between two turning points the result moves one way: no third value leaves its neighbours' span."""
    turns = [t for t in entry.turning_points[parameter] if low < t < high]
    for first, last in itertools.pairwise([low, *turns, high]):
        three = [entry.at(**{**point, parameter: v}) for v in (first, (first + last) / 2, last)]
        values = [each.value for each in three if isinstance(each, Computed)]
        if len(values) == 3:
            slack = DUST * max(1.0, *(abs(value) for value in values))
            assert min(values[0], values[2]) - slack <= values[1] <= max(values[0], values[2]) + slack, (
                parameter,
                point,
            )


def _given(name: str) -> dict[str, Any]:
    """The sample ranges of a calculation, every input of it named."""
    given = {key: resolved(value) for key, value in RANGES[name].items()}
    assert set(CATALOGUE[name].required) <= set(given) <= set(CATALOGUE[name].parameters)
    return given


def _is_span(given: Any) -> bool:
    return isinstance(given, list) and len(given) == 2 and all(isinstance(v, (int, float)) for v in given)


def _whole(given: Any) -> Any:
    """The sample range as the calculation takes it."""
    if _is_span(given):
        return Interval(float(given[0]), float(given[1]))
    return frozenset(given) if isinstance(given, list) else given


def _ends(span: Any) -> tuple[float, float]:
    return span.low, span.high


def _part(given: Any, chance: random.Random) -> Any:
    """A random part of a sample range; now and then a single value, or a wide part."""
    if _is_span(given):
        low, high = float(given[0]), float(given[1])
        width = (high - low) * chance.choice((0.0, 0.02, 0.2, 1.0))
        start = chance.uniform(low, high - width)
        return Interval(start, min(high, start + width))
    if isinstance(given, list):
        return frozenset(chance.sample(given, chance.randint(1, len(given))))
    return given


def _point(box: Mapping[str, Any], chance: random.Random) -> dict[str, Any]:
    """A random point of a box."""
    return {
        key: chance.uniform(given.low, given.high)
        if isinstance(given, Interval)
        else chance.choice(sorted(given))
        if isinstance(given, frozenset)
        else given
        for key, given in box.items()
    }


def _grid(box: Mapping[str, Any]) -> list[dict[str, Any]]:
    """A regular grid over the box, as dense as `GRID_POINTS` allows."""
    spans = [key for key, given in box.items() if isinstance(given, Interval) and not given.is_exact]
    steps = max(2, int(GRID_POINTS ** (1 / max(1, len(spans)))))
    axes = []
    for key, given in box.items():
        if isinstance(given, Interval):
            count = steps if key in spans else 1
            axes.append([given.low + (given.high - given.low) * i / max(1, count - 1) for i in range(count)])
            axes[-1][-1] = given.high
        else:
            axes.append(sorted(given) if isinstance(given, frozenset) else [given])
    return [dict(zip(box, values, strict=True)) for values in itertools.product(*axes)]
