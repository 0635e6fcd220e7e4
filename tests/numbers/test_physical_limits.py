"""Each limit of validity at its edge and just beyond, for lifting, height, weather and noise.

The limits are ours unless the calculation says otherwise; beyond one nothing is calculated.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import InputFault, OutsideLimits
from tests.numbers.reading_cases import resolved

CATALOGUE = complete_catalogue()

LIFT = {
    "horizontal_m": 0.4,
    "vertical_m": 1.0,
    "origin_height_m": 0.5,
    "travel_m": 0.5,
    "asymmetry_deg": 0.0,
    "frequency_per_min": 0.2,
    "duration": "short",
    "coupling": "fair",
    "frequencies": "table:lift_frequency",
}
MULTIPLIERS = dict.fromkeys(("horizontal", "vertical", "distance", "asymmetry", "frequency", "coupling"), 0.9)
FILTER = {
    "population": "men",
    "reach": "close",
    "zone": "above_shoulder",
    "operations_per_min": 0.2,
    "twist_deg": 0.0,
    "zones": "table:lifting_zones",
    "reductions": "table:lifting_reductions",
}
VALVE = {"unit_kg": 6.0, "heaviest_kg": 7.0, "hand_m": 1.0, "reach_m": 0.4, "twist_deg": 0.0}
CLEARANCE = {"measured_from": "anchor", "fall_m": 2.0, "stopping_m": 1.0, "body_m": 1.5, "margin_m": 1.0}
COMPOSITE = {"hardest_index": 1.6, "first_multiplier": 0.9, "second_index": 1.0, "second_multiplier": 0.8}
DOSE = {"criterion_dba": 90.0, "exchange_db": 5.0, "first_dba": 92.0, "first_h": 1.0}
ALLOWED = {"level_dba": 100.0, "criterion_dba": 90.0, "exchange_db": 5.0, "criterion_h": 8.0}
DAY = {"first_dba": 90.0, "first_h": 1.0, "second_dba": 80.0, "third_dba": 80.0}
PLACE = {"local_date": "2026-03-20", "latitude_deg": 50.0, "longitude_east_deg": 10.0}

EDGES: tuple[tuple[str, dict[str, Any], str, float | None, float | None], ...] = (
    ("lift.horizontal_multiplier", {}, "horizontal_m", 0.0, 2.0),
    ("lift.vertical_multiplier", {}, "vertical_m", 0.0, 3.0),
    ("lift.distance_multiplier", {}, "travel_m", 0.0, 3.0),
    ("lift.asymmetry_multiplier", {}, "asymmetry_deg", 0.0, 180.0),
    ("lift.coupling_multiplier", {"coupling": "fair"}, "vertical_m", 0.0, 3.0),
    ("lift.recommended_weight_kg", LIFT, "horizontal_m", 0.0, 2.0),
    ("lift.recommended_weight_kg", LIFT, "origin_height_m", 0.0, 3.0),
    ("lift.recommended_weight_kg", LIFT, "frequency_per_min", 0.0, 60.0),
    ("lift.reach_estimate_m", {"vertical_m": 1.0, "container_depth_m": 0.3}, "container_depth_m", 0.0, 0.86),
    ("lift.reach_estimate_m", {"vertical_m": 1.0, "container_depth_m": 0.3}, "vertical_m", 0.0, 1.75),
    *(
        ("lift.weight_from_multipliers_kg", MULTIPLIERS | {"load_constant_kg": 23.0}, name, 0.0, 1.0)
        for name in MULTIPLIERS
    ),
    ("lift.weight_from_multipliers_kg", MULTIPLIERS, "load_constant_kg", 0.0, 25.0),
    ("lift.index_worst", VALVE, "unit_kg", 0.0, 60.0),
    ("lift.index_worst", VALVE, "heaviest_kg", 0.0, 60.0),
    ("lift.index_worst", VALVE, "hand_m", 0.0, 1.75),
    ("lift.index_worst", VALVE, "reach_m", 0.0, 0.63),
    ("lift.index_worst", VALVE, "twist_deg", 0.0, 135.0),
    ("lift.index_carried", {}, "heaviest_kg", 0.0, 60.0),
    ("lift.index", {"recommended_kg": 10.0}, "load_kg", 0.0, 200.0),
    ("lift.index", {"load_kg": 10.0}, "recommended_kg", None, 25.0),
    ("lift.governing_weight_kg", {"destination_kg": 9.0, "placed_with_care": "yes"}, "origin_kg", 0.0, 25.0),
    ("lift.governing_weight_kg", {"origin_kg": 9.0, "placed_with_care": "yes"}, "destination_kg", 0.0, 25.0),
    ("lift.composite_index", COMPOSITE, "hardest_index", 0.0, 20.0),
    ("lift.composite_index", COMPOSITE, "second_index", 0.0, 20.0),
    ("lift.composite_index", COMPOSITE | {"third_multiplier": 0.7}, "third_index", 0.0, 20.0),
    ("lift.composite_index", COMPOSITE, "first_multiplier", 0.8, 1.0),
    ("lift.average_frequency_per_min", {"lifting_min": 8.0}, "rate_per_min", 0.0, 60.0),
    ("lift.average_frequency_per_min", {"rate_per_min": 8.0}, "lifting_min", 0.0, 15.0),
    ("lift.average_frequency_per_min", {"rate_per_min": 8.0, "lifting_min": 1.0}, "sample_min", 1.0, 480.0),
    ("lift.required_recovery_min", {"duration": "short"}, "work_min", 0.0, 60.0),
    ("lift.required_recovery_min", {"duration": "moderate"}, "work_min", 0.0, 120.0),
    ("lift.required_recovery_min", {"duration": "long"}, "work_min", 0.0, 480.0),
    ("lift.counted_duration_min", {}, "first_min", 0.0, 480.0),
    ("lift.counted_duration_min", {"first_min": 30.0}, "first_rest_min", 0.0, 480.0),
    ("lift.counted_duration_min", {"first_min": 180.0}, "second_min", 0.0, 300.0),
    ("lift.drop_energy_j", {"height_m": 1.0}, "mass_kg", 0.0, 500.0),
    ("lift.drop_energy_j", {"mass_kg": 1.0}, "height_m", 0.0, 100.0),
    ("manual_handling.guideline_kg", FILTER, "operations_per_min", 0.0, 60.0),
    ("manual_handling.guideline_kg", FILTER, "twist_deg", 0.0, 180.0),
    ("manual_handling.share_of_guideline", FILTER, "load_kg", 0.0, 200.0),
    ("manual_handling.carry_share", {}, "distance_m", 0.0, 1000.0),
    ("manual_handling.team_kg", {"second_kg": 20.0}, "first_kg", 0.0, 100.0),
    ("manual_handling.team_kg", {"first_kg": 20.0}, "second_kg", 0.0, 100.0),
    ("manual_handling.team_kg", {"first_kg": 20.0, "second_kg": 20.0}, "third_kg", 0.0, 100.0),
    *(
        ("height.fall_clearance_m", CLEARANCE, part, 0.0, 20.0)
        for part in ("fall_m", "stopping_m", "body_m", "margin_m")
    ),
    ("height.fall_clearance_m", CLEARANCE, "harness_m", 0.0, 20.0),
    ("height.fall_clearance_m", CLEARANCE, "line_m", 0.0, 20.0),
    ("height.free_fall_m", {"anchor_above_dring_m": 0.0}, "lanyard_m", 0.0, 20.0),
    ("height.free_fall_m", {"lanyard_m": 2.0}, "anchor_above_dring_m", -2.0, 20.0),
    ("height.swing_drop_m", {"offset_m": 1.0}, "anchor_above_dring_m", 0.0, 50.0),
    ("height.swing_drop_m", {"anchor_above_dring_m": 1.0}, "offset_m", 0.0, 50.0),
    ("height.mean_arrest_force_n", {"free_fall_m": 1.0, "stopping_m": 1.0}, "mass_kg", 0.0, 200.0),
    ("height.mean_arrest_force_n", {"mass_kg": 80.0, "stopping_m": 1.0}, "free_fall_m", 0.0, 20.0),
    ("height.mean_arrest_force_n", {"mass_kg": 80.0, "free_fall_m": 1.0}, "stopping_m", 0.1, 20.0),
    ("height.ladder_angle_deg", {"foot_offset_m": 1.0}, "support_height_m", 0.5, 20.0),
    ("height.ladder_angle_deg", {"support_height_m": 4.0}, "foot_offset_m", 0.1, 20.0),
    ("height.ladder_foot_offset_m", {"rule": "quarter_of_height"}, "measure_m", 0.5, 20.0),
    ("height.guardrail_margin_m", {"rule": "uk", "rails": "table:guardrail_heights"}, "top_edge_m", 0.0, 3.0),
    ("wind.beaufort", {"scale": "table:beaufort"}, "wind_m_per_s", 0.0, 100.0),
    ("wind.margin_m_per_s", {"use": "balance", "limits": "table:wind_limits"}, "wind_m_per_s", 0.0, 100.0),
    ("cold.wind_chill_c", {"wind_m_per_s": 5.0}, "air_c", -50.0, 10.0),
    ("cold.wind_chill_c", {"air_c": -5.0}, "wind_m_per_s", 5 / 3.6, 80 / 3.6),
    ("cold.frostbite_min", {"bands": "table:frostbite"}, "wind_chill_c", -99.0, 0.0),
    ("heat.index_c", {"humidity_pct": 30.0}, "air_c", 5.0, 43.333),
    ("heat.index_c", {"air_c": 27.0}, "humidity_pct", 0.0, 100.0),
    ("heat.category", {"edition": "newer", "categories": "table:heat_index_categories"}, "index_c", 0.0, 60.0),
    ("heat.wbgt_shade_c", {"globe_c": 30.0}, "natural_wet_bulb_c", -10.0, 60.0),
    ("heat.wbgt_shade_c", {"natural_wet_bulb_c": 30.0}, "globe_c", -10.0, 90.0),
    ("heat.wbgt_sun_c", {"natural_wet_bulb_c": 30.0, "globe_c": 30.0}, "air_c", -10.0, 60.0),
    ("heat.wbgt_sun_c", {"natural_wet_bulb_c": 30.0, "air_c": 30.0}, "globe_c", -10.0, 90.0),
    ("heat.wbgt_sun_c", {"globe_c": 30.0, "air_c": 30.0}, "natural_wet_bulb_c", -10.0, 60.0),
    ("heat.exposure_limit_c", {"acclimatised": "yes"}, "metabolic_w", 116.0, 580.0),
    ("lightning.distance_m", {}, "flash_to_bang_s", 0.0, 120.0),
    ("lightning.stop_work", {}, "flash_to_bang_s", 0.0, 120.0),
    ("lightning.wait_left_min", {}, "since_thunder_min", 0.0, 1440.0),
    ("daylight.sunset_min", PLACE, "longitude_east_deg", -180.0, 180.0),
    ("daylight.sunset_min", PLACE, "latitude_deg", -65.0, 65.0),
    ("noise.daily_dba", DAY, "first_dba", 0.0, 140.0),
    ("noise.daily_dba", DAY, "second_dba", 0.0, 140.0),
    ("noise.daily_dba", DAY, "third_dba", 0.0, 140.0),
    ("noise.daily_dba", DAY, "second_h", 0.0, 23.0),
    ("noise.daily_dba", DAY | {"first_h": 0.0}, "third_h", None, 24.0),
    ("noise.points", {}, "daily_dba", 0.0, 140.0),
    ("noise.weekly_dba", {}, "week_points", 1.0, 1e7),
    ("noise.action_state", {"ear": "as_measured", "values": "table:noise_values_uk"}, "daily_dba", 0.0, 140.0),
    ("noise.allowed_h", ALLOWED, "level_dba", 70.0, 140.0),
    ("noise.allowed_h", ALLOWED, "criterion_dba", 75.0, 95.0),
    ("noise.allowed_h", ALLOWED, "exchange_db", 3.0, 6.0),
    ("noise.allowed_h", ALLOWED, "criterion_h", 1.0, 24.0),
    ("noise.dose_pct", DOSE, "first_dba", 70.0, 140.0),
    ("noise.dose_pct", DOSE, "second_h", 0.0, 23.0),
    ("noise.dose_pct", DOSE, "criterion_dba", 75.0, 95.0),
)
BEYOND = 0.01  # of the edge, at least a hundredth of the unit


def _at(name: str, inputs: dict[str, Any]) -> Any:
    return CATALOGUE[name].at(**{key: resolved(given) for key, given in inputs.items()})


@pytest.mark.parametrize("edge", EDGES, ids=lambda edge: f"{edge[0]} {edge[2]}")
def test_the_edge_counts_and_a_step_beyond_it_is_refused(
    edge: tuple[str, dict[str, Any], str, float | None, float | None],
) -> None:
    name, inputs, moving, low, high = edge
    for limit, outwards in ((low, -1), (high, 1)):
        if limit is None:
            continue
        step = outwards * max(BEYOND * min(1.0, abs(limit)), 0.002)
        beyond = _at(name, inputs | {moving: limit + step})

        assert not isinstance(_at(name, inputs | {moving: limit}), OutsideLimits), limit
        assert isinstance(beyond, OutsideLimits), limit + step
        assert beyond.limit


def test_the_edges_of_every_number_of_these_subjects_are_tried() -> None:
    ours = {edge[0].partition(".")[0] for edge in EDGES}
    tried = {edge[0] for edge in EDGES}
    without_numbers = {
        "daylight.dawn_min",  # share their limits with sunset
        "daylight.dusk_min",
        "daylight.sunrise_min",
        "height.limit_kn",
        "height.limit_m",
        "height.limit_min",
        "heat.reference_c",
        "lift.frequency_multiplier",  # through the recommended weight
        "lift.head_energy_j",
        "manual_handling.push_pull_kg",
        "manual_handling.reference_mass_kg",
        "manual_handling.seated_guideline_kg",
    }

    assert {name for name in CATALOGUE if name.partition(".")[0] in ours} - tried == without_numbers


@pytest.mark.parametrize("worthless", [math.nan, math.inf])
def test_a_number_that_is_none_is_a_fault(worthless: float) -> None:
    with pytest.raises(InputFault, match="`reach_m` must be a finite number"):
        _at("lift.index_worst", VALVE | {"reach_m": worthless})


@pytest.mark.parametrize(
    ("name", "inputs", "words"),
    [
        ("lift.coupling_multiplier", {"coupling": "firm", "vertical_m": 1.0}, "coupling `firm` is not known"),
        ("height.fall_clearance_m", CLEARANCE | {"measured_from": "roof"}, "measured from `roof` is not known"),
        ("noise.action_state", {"daily_dba": 80.0, "ear": "left", "values": "table:noise_values_uk"}, "ear `left`"),
        ("manual_handling.guideline_kg", FILTER | {"zone": "attic"}, "no row `attic`; choose one of above_shoulder"),
        ("lift.head_energy_j", {"helmet": "maybe"}, "helmet `maybe` is not known; choose one of no, yes"),
    ],
)
def test_an_option_nobody_knows_is_refused_with_the_known_ones(name: str, inputs: dict[str, Any], words: str) -> None:
    with pytest.raises(InputFault, match=words):
        _at(name, inputs)
