"""Each limit of validity at its edge and a step beyond, for electricity, oil, burns and what goes with them.

`test_physical_limits.py` does the same for lifting, height, weather and noise.
"""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Outcome, OutsideLimits
from tests.numbers.reading_cases import HERE, resolved

CATALOGUE = complete_catalogue()
LIMITS = tomllib.loads((HERE / "limits.toml").read_text(encoding="utf-8"))["limit"]
EDGES = [
    (entry["calculation"], entry["inputs"], moving, edge, outwards)
    for entry in LIMITS
    for side, outwards in (("low", -1), ("high", 1))
    for moving, edge in entry.get(side, {}).items()
]
STEP = 0.01  # of the edge; of one where the edge is zero


def at(name: str, inputs: dict[str, Any]) -> Outcome:
    return CATALOGUE[name].at(**{key: resolved(given) for key, given in inputs.items()})


@pytest.mark.parametrize(
    ("name", "inputs", "moving", "edge", "outwards"),
    EDGES,
    ids=[f"{name} {moving} {'from' if way < 0 else 'to'} {edge:g}" for name, _, moving, edge, way in EDGES],
)
def test_the_edge_counts_and_a_step_beyond_it_is_refused(
    name: str, inputs: dict[str, Any], moving: str, edge: float, outwards: int
) -> None:
    beyond = at(name, inputs | {moving: edge + outwards * STEP * (abs(edge) or 1.0)})

    assert not isinstance(at(name, inputs | {moving: edge}), OutsideLimits)
    assert isinstance(beyond, OutsideLimits)
    assert beyond.limit
