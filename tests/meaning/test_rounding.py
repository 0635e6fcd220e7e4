"""Figures that rules compare are rounded outward, once; what lies on the grid stays; nothing between is rounded."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskhelper.evidence import Answer, Job
from riskhelper.facts import Reading
from riskhelper.ruleset import valuation
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Truth
from tests.meaning import generate
from tests.meaning.outcome import loaded
from tests.thoroughness import examples

SIGNS = ("<", "<=", ">", ">=")


def ruleset(resolution: float, limit: float = 0.0) -> RuleSet:
    """A fact that scales a depth in millimetre steps off its grid, and a stop for each comparison with a limit."""
    depth = generate.question("number", asked_at="gate", unit="m", step=0.001, range=[-10.0, 10.0])
    fact = {"is": "job.depth_m * 0.3", "unit": "m", "resolution": resolution}
    stops = {f"job.stop{n}": generate.stop(stops_if=f"job.scaled_m {sign} {limit}") for n, sign in enumerate(SIGNS)}
    entries = {
        "question": {"job.depth_m": depth},
        "fact": {"job.scaled_m": fact},
        "hazard": {"job.hazard0": generate.hazard()},
        "stop": stops | generate.built_in_stops(),
    }
    return loaded(generate.RuleText(entries, generate.frame()))


def answered(depth_m: float) -> Job:
    """A job with one depth."""
    return Job({"job.depth_m": Answer(depth_m)}, local_code="none")


def reading(rules: RuleSet, depth_m: float) -> Reading:
    """The values at the gate."""
    return Reading(rules, answered(depth_m), "gate", generate.NOW, if_held=True)


COARSE, FINE = ruleset(0.5, 1.5), ruleset(0.1, 0.3)


@given(st.integers(-10000, 10000))
@settings(max_examples=examples(200), deadline=None)
def test_a_figure_is_rounded_outward_to_its_grid(millimetres: int) -> None:
    exact = Fraction(millimetres, 1000) * Fraction(3, 10)
    for rules, grid in ((COARSE, Fraction(1, 2)), (FINE, Fraction(1, 10))):
        expected = (float(math.floor(exact / grid) * grid), float(math.ceil(exact / grid) * grid))
        assert reading(rules, millimetres / 1000).grid["job.scaled_m"] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("depth_m", "expected"), [(1.0, 0.3), (2.0, 0.6), (7.0, 2.1), (-1.0, -0.3), (0.0, 0.0)])
def test_what_lies_on_the_grid_stays_although_the_machine_misses_it_by_a_hair(
    depth_m: float, expected: float
) -> None:
    assert reading(FINE, depth_m).grid["job.scaled_m"] == (expected, expected)


def missed(rules: RuleSet, limit: Fraction) -> list[str]:
    """Comparisons that are so and are not found, over depths in millimetres around the limit."""
    found = []
    for millimetres in range(-300, 301):
        exact = (limit / Fraction(3, 10)) + Fraction(millimetres, 1000)
        depth_m = float(round(exact * 1000)) / 1000
        value = Fraction(str(depth_m)) * Fraction(3, 10)
        so = (value < limit, value <= limit, value > limit, value >= limit)
        values = reading(rules, depth_m)
        for number, is_so in enumerate(so):
            check = rules.stop_rules[f"job.stop{number}"].check
            assert check is not None
            truth = check.test(values)
            if (is_so and truth == Truth.NO) or (not is_so and truth == Truth.YES):
                found.append(f"{float(value)} {SIGNS[number]} {float(limit)}")
    return found


def test_no_comparison_is_missed_near_its_limit() -> None:
    assert missed(COARSE, Fraction(3, 2)) == []
    assert missed(FINE, Fraction(3, 10)) == []


@pytest.mark.parametrize("inward", [round, math.floor, math.ceil])
def test_rounding_to_one_side_or_to_the_nearest_misses_some(inward: Any) -> None:
    def one_sided(self: valuation.Valuation, name: str) -> tuple[float, ...]:
        return tuple(inward(end / 0.5) * 0.5 for end in self[name])

    with patch.object(valuation.Valuation, "_on_grid", one_sided):
        assert missed(COARSE, Fraction(3, 2))


def test_nothing_between_is_rounded() -> None:
    depth = generate.question("number", asked_at="gate", unit="m", step=0.01, range=[0.0, 10.0])
    facts = {
        "job.part_m": {"is": "job.depth_m * 0.3", "unit": "m", "resolution": 1.0},
        "job.whole_m": {"is": "job.part_m + job.part_m", "unit": "m", "resolution": 0.1},
    }
    entries = {
        "question": {"job.depth_m": depth},
        "fact": facts,
        "hazard": {"job.hazard0": generate.hazard()},
        "stop": generate.built_in_stops(),
    }
    rules = loaded(generate.RuleText(entries, generate.frame()))
    assert reading(rules, 1.0).grid["job.part_m"] == (0.0, 1.0)
    assert reading(rules, 1.0).grid["job.whole_m"] == (0.6, 0.6)
