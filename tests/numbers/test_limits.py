"""Each limit of validity at its edge and a step beyond, for electricity, oil, burns and what goes with them.

`test_physical_limits.py` does the same for lifting, height, weather and noise.
"""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Outcome, OutsideLimits, Table
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


# Tables that go on past the limit: the limit holds by itself, not because the published table ends there.
LONG_CONTACT = Table(
    "long", "made up", "1", "1", "degC", "ours", ("s", "uncoated_metal"), ((60.0, 51.0), (86_400.0, 40.0)), "next_row"
)
HOT_WATER = Table(
    "hot", "made up", "1", "1", "s", "ours", ("degC", "third_degree_s"), ((60.0, 5.0), (100.0, 0.5)), "next_row"
)
HIGH_PLACES = Table(
    "high", "made up", "1", "1", "", "ours", ("up_to_m", "factor"), ((6000.0, 1.44), (9000.0, 2.0)), "next_row"
)
LONG_DAY = Table(
    "day", "made up", "1", "1", "dBA", "ours", ("duration_h", "limit_dba"), ((24.0, 80.0), (48.0, 77.0)), "next_row"
)
CONTACT = {"material": "uncoated_metal", "accidental": LONG_CONTACT, "touch": LONG_CONTACT, "planned": LONG_CONTACT}
LINE = {
    "rod_gaps": "table:us_1910_269_gap",
    "voltage_kv": 145.0,
    "exposure": "phase_to_ground",
    "overvoltage_pu": 3.5,
    "altitude_factors": HIGH_PLACES,
}
LONGER_TABLES = (
    ("burn.table_threshold_c", {"table": LONG_CONTACT, "material": "uncoated_metal"}, "contact_s", 28_800.0),
    ("burn.threshold_c", CONTACT, "contact_s", 28_800.0),
    ("burn.scald_time_s", {"table": HOT_WATER, "liquid": "water", "depth": "third_degree_s"}, "liquid_c", 60.0),
    ("approach.minimum_approach_distance", LINE, "altitude_m", 6000.0),
    (
        "approach.no_closer_distance",
        {"table": "table:us_1910_269_r6", "voltage_kv": 15.0, "person": "skilled", "altitude_factors": HIGH_PLACES},
        "altitude_m",
        6000.0,
    ),
    ("noise_plant.permitted_dba", {"table": LONG_DAY}, "duration_h", 24.0),
)


@pytest.mark.parametrize(("name", "inputs", "moving", "edge"), LONGER_TABLES, ids=[each[0] for each in LONGER_TABLES])
def test_a_longer_table_does_not_widen_a_limit(name: str, inputs: dict[str, Any], moving: str, edge: float) -> None:
    assert not isinstance(at(name, inputs | {moving: edge}), OutsideLimits)
    assert isinstance(at(name, inputs | {moving: edge * (1 + STEP)}), OutsideLimits)
