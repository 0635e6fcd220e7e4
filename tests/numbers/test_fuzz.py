"""Every calculation of the catalogue under random and extreme input: it ends in one of four ways, never in NaN.

Standing of the inputs: invented. What is checked is the promise about endings, not a figure.
"""

from __future__ import annotations

import inspect
import math
import random
import re
import tomllib
import typing
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed, InputFault, NotApplicable, OutsideLimits, Table
from riskhelper.interval import WHOLE_LINE, Interval
from tests.numbers.reading_cases import HERE, TABLES, table

CATALOGUE = complete_catalogue()
TRIES = 400
EXTREMES = (0.0, -0.0, 1.0, -1.0, 0.5, 5e-324, -5e-324, 1e-9, 1e9, -1e9, 1e154, 1e300, -1e300, 1.7976931348623157e308)
NO_VALUE = (math.nan, math.inf, -math.inf)
ELSEWHERE: Mapping[str, list[Mapping[str, Any]]] = {  # calculations whose checks stand in no table of this folder
    "height.limit_kn": [{"item": "arrest_force_us", "limits": "table:height_limits"}],
    "manual_handling.push_pull_kg": [
        {"population": ["men", "women"], "action": "keep_moving", "forces": "table:pushing_and_pulling"}
    ],
    "oil_data.flash_point_floor_c": [{"first": "table:oil_limits_recalled", "second": "table:oil_limits_examined"}],
}
PUBLISHED = sorted(path.stem for path in Path(TABLES).glob("*.toml"))


def _meaningful() -> Mapping[str, list[Mapping[str, Any]]]:
    """Inputs of the check values and sample ranges of this folder, by calculation: random input starts from them."""
    found = {name: list(ELSEWHERE.get(name, [])) for name in CATALOGUE}
    for file in sorted(HERE.glob("*.toml")):
        content = tomllib.loads(file.read_text(encoding="utf-8"))
        cases = [(case["calculation"], case["inputs"]) for case in content.get("case", []) if "calculation" in case]
        for name, inputs in content.items() if file.stem == "sample_ranges" else cases:
            if name in found:
                found[name].append(inputs)
    return found


FUND = _meaningful()


def _drawn(kinds: set[object], usual: Any, chance: random.Random) -> Any:
    """One input: mostly as usual, sometimes scaled, extreme or of a quite different size."""
    usual = chance.choice(usual) if isinstance(usual, list) else usual
    if Table in kinds:
        kept = isinstance(usual, str) and usual.startswith("table:") and chance.random() < 0.9
        return table(str(usual).removeprefix("table:") if kept else chance.choice(PUBLISHED))
    if str in kinds:
        return usual if isinstance(usual, str) and chance.random() < 0.95 else "moon"
    kind = chance.random()
    if isinstance(usual, int | float) and kind < 0.8:
        return float(usual) * (1.0 if kind < 0.6 else chance.choice((0.5, 0.99, 1.01, 2.0, 10.0, -1.0)))
    return chance.choice(EXTREMES) if kind < 0.9 else chance.uniform(-1, 1) * 10 ** chance.uniform(-6, 8)


def _inputs(name: str, chance: random.Random) -> dict[str, Any]:
    function = CATALOGUE[name].function
    hints = typing.get_type_hints(function)
    usual = chance.choice(FUND[name] or [{}])
    return {
        key: _drawn(set(typing.get_args(hints[key])) or {hints[key]}, usual.get(key), chance)
        for key, given in inspect.signature(function).parameters.items()
        if given.default is given.empty or key in usual or chance.random() < 0.3
    }


@pytest.mark.slow
@pytest.mark.parametrize("name", CATALOGUE)
def test_a_calculation_ends_in_a_finite_value_or_says_why_not(name: str) -> None:
    chance = random.Random(name)
    computed = 0
    for _ in range(TRIES):
        inputs = _inputs(name, chance)
        try:
            outcome = CATALOGUE[name].at(**inputs)
        except InputFault:
            continue
        assert isinstance(outcome, Computed | NotApplicable | OutsideLimits), inputs
        if isinstance(outcome, Computed):
            computed += 1
            figures = [outcome.value, *(value for value in outcome.extra.values() if not isinstance(value, str))]
            assert all(math.isfinite(figure) for figure in figures), (inputs, outcome)
        else:
            assert re.search(r"[a-z]{3}", outcome.limit if isinstance(outcome, OutsideLimits) else outcome.reason)
            assert "nan" not in str(outcome).split()

    assert computed, "no input was accepted: the fund of meaningful values is too poor"


@pytest.mark.parametrize("name", CATALOGUE)
@pytest.mark.parametrize("value", NO_VALUE)
def test_what_is_no_number_is_an_input_fault(name: str, value: float) -> None:
    chance = random.Random(name)
    hints = typing.get_type_hints(CATALOGUE[name].function)
    for key in CATALOGUE[name].parameters:
        if float in (set(typing.get_args(hints[key])) or {hints[key]}):
            with pytest.raises(InputFault):
                CATALOGUE[name].at(**{**_inputs(name, chance), key: value})


@pytest.mark.slow
@pytest.mark.parametrize("name", CATALOGUE)
def test_a_range_ends_in_bounds_or_in_the_whole_line_with_a_reason(name: str) -> None:
    chance = random.Random(name)
    for _ in range(TRIES // 8):
        first, second = _inputs(name, chance), _inputs(name, chance)
        box: dict[str, Any] = dict(first)
        for key in first.keys() & second.keys():
            ends = first[key], second[key]
            if all(isinstance(end, float) for end in ends) and chance.random() < 0.5:
                box[key] = Interval(min(ends), max(ends))
        try:
            found = CATALOGUE[name].over(box)
        except InputFault:
            continue
        assert found.range != WHOLE_LINE or found.outside or found.not_applicable, box
        assert found.range == WHOLE_LINE or math.isfinite(found.range.low + found.range.high), box


def test_a_table_of_another_kind_is_told_with_what_it_lacks() -> None:
    with pytest.raises(InputFault) as told:
        CATALOGUE["wind.beaufort"].at(scale=table("pushing_and_pulling"), wind_m_per_s=3.0)

    assert str(told.value) == (
        "table `pushing_and_pulling` has no column `to_m_per_s`, only action, men_kg, women_kg; "
        "name a table of the kind needed"
    )
