"""Check values for lifting, height, weather, daylight and noise; whole printed charts; every limit at its edges."""

from __future__ import annotations

import math
import tomllib
from datetime import date
from typing import Any

import pytest

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed, InputFault, NotApplicable, OutsideLimits
from riskhelper.calc.daylight import sun_position
from riskhelper.interval import WHOLE_LINE, Interval
from riskhelper.units import converted
from tests.numbers.reading_cases import HERE, Case, cases, check, resolved, table, told

CATALOGUE = complete_catalogue()
CASES = cases("physical")
CHARTS = tomllib.loads((HERE / "physical_charts.toml").read_text(encoding="utf-8"))
PUBLISHED_SOURCES = 164
OURS = ("cold", "daylight", "heat", "height", "lift", "lightning", "manual_handling", "noise", "wind")
STANDINGS = {"published", "derived from a published rule", "library", "to be confirmed", "common practice"}
CHECKED_BELOW = {
    "heat.category",
    "height.limit_kn",
    "lift.coupling_multiplier",
    "lift.index_carried",
    "lift.index_worst",
    "manual_handling.push_pull_kg",
}


def _value(name: str, **inputs: Any) -> float:
    outcome = CATALOGUE[name].at(**{key: resolved(given) for key, given in inputs.items()})
    assert isinstance(outcome, Computed), outcome
    return outcome.value


# Check values ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_a_published_figure_comes_out(case: Case) -> None:
    outcome = CATALOGUE[case.calculation].at(**{name: resolved(given) for name, given in case.inputs.items()})
    got = told(outcome)
    if isinstance(outcome, NotApplicable):
        got["state"] = outcome.reason.partition(":")[0]

    check(case, got)


def test_no_published_figure_was_dropped() -> None:
    assert len({case.id.partition("/")[0] for case in CASES}) == PUBLISHED_SOURCES


def test_every_case_states_source_and_standing() -> None:
    assert [case.id for case in CASES if not case.source or case.standing not in STANDINGS] == []


def test_every_calculation_of_these_subjects_has_a_check_value() -> None:
    ours = {name for name in CATALOGUE if name.partition(".")[0] in OURS}

    assert ours - {case.calculation for case in CASES} == CHECKED_BELOW


# Whole charts ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", CHARTS["wind_chill"]["rows"], ids=lambda row: f"{row[0]} km/h")
def test_the_wind_chill_chart_comes_out_cell_by_cell(row: list[int]) -> None:
    for air_c, printed in zip(CHARTS["wind_chill"]["air_c"], row[1:], strict=True):
        assert _value("cold.wind_chill_c", air_c=air_c, wind_m_per_s=row[0] / 3.6) == pytest.approx(
            printed, abs=0.501
        )


@pytest.mark.parametrize("row", CHARTS["heat_index"]["rows"], ids=lambda row: f"{row[0]} degF")
def test_the_heat_index_chart_comes_out_where_it_has_no_humid_correction(row: list[int]) -> None:
    """The chart leaves the humid correction out: its cells above 85 percent at 80 and 84 degF are skipped."""
    for humidity_pct, printed in zip(CHARTS["heat_index"]["humidity_pct"], row[1:], strict=False):
        if row[0] <= 87 and humidity_pct > 85:
            continue
        got_c = _value("heat.index_c", air_c=converted(row[0], "degF", "degC"), humidity_pct=humidity_pct)
        assert converted(got_c, "degC", "degF") == pytest.approx(printed, abs=0.51)


@pytest.mark.parametrize("row", table("noise_reference_duration").rows, ids=lambda row: f"{row[0]} dBA")
def test_the_formula_gives_every_row_of_the_reference_durations(row: tuple[float, float]) -> None:
    """29 CFR 1910.95 appendix A, table G-16a: 0.1 h printed, 0.01 h below one hour, 0.125 h at 120 dBA."""
    level_dba, printed_h = row
    hours = _value("noise.allowed_h", level_dba=level_dba, criterion_dba=90.0, exchange_db=5.0, criterion_h=8.0)

    assert hours == pytest.approx(printed_h, abs=0.051 if printed_h >= 1 else 0.0051)


def test_the_permissible_levels_agree_with_the_reference_durations() -> None:
    """29 CFR 1910.95 table G-16 prints whole decibels and full or half hours."""
    for duration_h, level_dba in table("noise_exposure_osha").rows:
        hours = _value("noise.allowed_h", level_dba=level_dba, criterion_dba=90.0, exchange_db=5.0, criterion_h=8.0)
        assert hours == pytest.approx(duration_h, rel=0.02)


# Lifting --------------------------------------------------------------------------------------------------

VALVES = (  # unit, heaviest other thing, hands, reach, twist, index worked by hand from NIOSH 94-110
    (6.0, 7.0, 1.1, 0.4, 0.0, 0.57),
    (6.0, 7.0, 0.5, 0.5, 30.0, 0.68),
    (6.0, 7.0, 1.5, 0.5, 30.0, 0.92),
    (6.0, 7.0, 0.9, 0.4, 0.0, 0.57),
    (6.4, 7.0, 0.7, 0.5, 40.0, 0.75),
    (6.0, 7.0, 0.6, 0.5, 20.0, 0.66),
    (6.0, 7.0, 1.0, 0.4, 0.0, 0.57),
)


@pytest.mark.parametrize("valve", VALVES)
def test_the_index_of_the_day_is_the_worse_of_unit_and_heaviest_thing(valve: tuple[float, ...]) -> None:
    unit_kg, heaviest_kg, hand_m, reach_m, twist_deg, by_hand = valve
    got = _value(
        "lift.index_worst",
        unit_kg=unit_kg,
        heaviest_kg=heaviest_kg,
        hand_m=hand_m,
        reach_m=reach_m,
        twist_deg=twist_deg,
    )

    assert round(got, 2) == by_hand


def test_the_index_of_what_is_carried_is_that_of_a_lift_from_the_ground() -> None:
    """By hand: 7 / (23 x 25/30 x (1 - 0.003 x 75) x (0.82 + 4.5/90) x 0.95) = 0.5702."""
    assert _value("lift.index_carried", heaviest_kg=7.0) == pytest.approx(0.5702, abs=5e-5)


def test_a_heavy_unit_counts_where_it_is_picked_up_even_if_it_is_hung_close() -> None:
    close = {"hand_m": 0.75, "reach_m": 0.25, "twist_deg": 0.0}

    assert _value("lift.index_worst", unit_kg=20.0, heaviest_kg=5.0, **close) == _value(
        "lift.index_carried", heaviest_kg=20.0
    )


def test_reach_beyond_the_equation_gives_the_whole_line() -> None:
    box = {
        "unit_kg": Interval.exactly(6.0),
        "heaviest_kg": Interval.exactly(7.0),
        "hand_m": Interval(0.5, 1.6),
        "reach_m": Interval(0.3, 0.9),
        "twist_deg": Interval.exactly(0.0),
    }
    enclosure = CATALOGUE["lift.index_worst"].over(box)

    assert enclosure.range == WHOLE_LINE
    assert enclosure.outside == "reach in front of the ankles 0 to 0.63 m, got 0.9"


@pytest.mark.parametrize(("coupling", "low", "high"), [("good", 1.0, 1.0), ("fair", 0.95, 1.0), ("poor", 0.9, 0.9)])
def test_the_grip_table_splits_at_three_quarters_of_a_metre(coupling: str, low: float, high: float) -> None:
    """NIOSH 94-110 table 7, p. 18; V = 75 cm belongs to the upper column."""
    assert _value("lift.coupling_multiplier", coupling=coupling, vertical_m=0.7499) == low
    assert _value("lift.coupling_multiplier", coupling=coupling, vertical_m=0.75) == high


def test_the_frequency_column_changes_at_three_quarters_of_a_metre() -> None:
    """NIOSH 94-110 table 5: 13 lifts a minute, short, 0 below 75 cm and 0.34 from there."""
    given = {"frequency_per_min": 13.0, "duration": "short", "frequencies": "table:lift_frequency"}

    assert _value("lift.frequency_multiplier", origin_height_m=0.7499, **given) == 0.0
    assert _value("lift.frequency_multiplier", origin_height_m=0.75, **given) == 0.34


@pytest.mark.parametrize(
    ("name", "inputs", "edge", "beyond", "at_edge"),
    [  # NIOSH 94-110 pp. 8-12 and table 5: the last value that counts, one beyond it, the multiplier at the edge
        ("lift.horizontal_multiplier", {}, {"horizontal_m": 0.63}, {"horizontal_m": 0.631}, 0.3968),
        ("lift.vertical_multiplier", {}, {"vertical_m": 1.75}, {"vertical_m": 1.751}, 0.7),
        ("lift.distance_multiplier", {}, {"travel_m": 1.75}, {"travel_m": 1.751}, 0.8457),
        ("lift.asymmetry_multiplier", {}, {"asymmetry_deg": 135.0}, {"asymmetry_deg": 135.1}, 0.568),
        (
            "lift.frequency_multiplier",
            {"duration": "short", "origin_height_m": 1.0, "frequencies": "table:lift_frequency"},
            {"frequency_per_min": 15.0},
            {"frequency_per_min": 15.1},
            0.28,
        ),
    ],
)
def test_a_multiplier_falls_to_nothing_beyond_the_edge_of_the_manual(
    name: str, inputs: dict[str, Any], edge: dict[str, float], beyond: dict[str, float], at_edge: float
) -> None:
    assert _value(name, **inputs, **edge) == pytest.approx(at_edge, abs=5e-5)
    assert _value(name, **inputs, **beyond) == 0.0


@pytest.mark.parametrize(
    ("name", "given", "multiplier"),
    [  # NIOSH 94-110: below the least value the least value counts
        ("lift.horizontal_multiplier", {"horizontal_m": 0.25}, 1.0),
        ("lift.horizontal_multiplier", {"horizontal_m": 0.26}, 25 / 26),
        ("lift.distance_multiplier", {"travel_m": 0.1}, 1.0),
        ("lift.distance_multiplier", {"travel_m": 0.25}, 1.0),
        ("lift.distance_multiplier", {"travel_m": 0.26}, 0.82 + 4.5 / 26),
    ],
)
def test_a_short_reach_or_travel_counts_as_a_quarter_metre(
    name: str, given: dict[str, float], multiplier: float
) -> None:
    assert _value(name, **given) == pytest.approx(multiplier, abs=1e-12)


def test_the_reach_of_a_crate_is_longer_with_low_hands() -> None:
    """NIOSH 94-110 p. 8: 20 + W/2 from 25 cm upwards, 25 + W/2 below."""
    assert _value("lift.reach_estimate_m", container_depth_m=0.4, vertical_m=0.25) == pytest.approx(0.40)
    assert _value("lift.reach_estimate_m", container_depth_m=0.4, vertical_m=0.24) == pytest.approx(0.45)


def test_an_index_over_no_recommended_weight_is_refused() -> None:
    outcome = CATALOGUE["lift.index"].at(load_kg=6.0, recommended_kg=0.0)

    assert outcome == OutsideLimits("recommended weight above 0 kg: a limit of the lifting equation is passed")


def test_careless_placing_leaves_the_origin_to_govern() -> None:
    given = {"origin_kg": 15.83, "destination_kg": 6.89}

    assert _value("lift.governing_weight_kg", placed_with_care="no", **given) == 15.83


@pytest.mark.parametrize(
    ("spells", "counted", "duration"),
    [  # NIOSH 94-110 section 1.3.5.2: short needs as much recovery as work, moderate 0.3 of it
        ((60.0, 60.0, 45.0), 60.0, "short"),
        ((60.0, 59.0, 45.0), 105.0, "moderate"),
        ((61.0, 18.3, 20.0), 61.0, "moderate"),
        ((61.0, 18.2, 70.0), 131.0, "long"),
        ((120.0,), 120.0, "moderate"),
        ((121.0, 300.0, 30.0), 151.0, "long"),
        ((30.0, 10.0, 30.0, 59.0, 30.0), 90.0, "moderate"),
        ((30.0, 10.0, 30.0, 60.0, 30.0), 60.0, "short"),
    ],
)
def test_spells_without_their_recovery_count_together(
    spells: tuple[float, ...], counted: float, duration: str
) -> None:
    names = ("first_min", "first_rest_min", "second_min", "second_rest_min", "third_min")
    outcome = CATALOGUE["lift.counted_duration_min"].at(**dict(zip(names, spells, strict=False)))

    assert told(outcome) == {"value": counted, "unit": "min", "duration_class": duration}


def test_long_lifting_has_no_recovery_named() -> None:
    outcome = CATALOGUE["lift.required_recovery_min"].at(work_min=400.0, duration="long")

    assert outcome == NotApplicable("the manual names no recovery for long duration")


def test_short_lifting_needs_as_much_recovery_as_work() -> None:
    assert _value("lift.required_recovery_min", work_min=40.0, duration="short") == 40.0


def test_two_kinds_of_lift_need_no_third() -> None:
    """By hand: 1.6 + 1.0 x (1/0.88 - 1/0.94) = 1.6725."""
    two = {"hardest_index": 1.6, "first_multiplier": 0.94, "second_index": 1.0, "second_multiplier": 0.88}

    assert _value("lift.composite_index", **two) == pytest.approx(1.6725, abs=5e-5)


def test_rising_frequency_multipliers_are_refused() -> None:
    two = {"hardest_index": 1.6, "first_multiplier": 0.88, "second_index": 1.0, "second_multiplier": 0.94}

    assert isinstance(CATALOGUE["lift.composite_index"].at(**two), OutsideLimits)


# Guideline masses -----------------------------------------------------------------------------------------

STANDING_CLOSE = {
    "population": "men",
    "reach": "close",
    "zone": "elbow_to_knuckle",
    "zones": "table:lifting_zones",
    "reductions": "table:lifting_reductions",
}


@pytest.mark.parametrize(
    ("twist_deg", "rate", "kept"),
    [  # HSE INDG143: bands as printed; between two bands the stricter one (ours)
        (45.0, 0.5, 1.0),
        (45.1, 0.5, 0.9),
        (90.0, 0.5, 0.9),
        (90.1, 0.5, 0.8),
        (0.0, 0.6, 0.7),
        (0.0, 2.0, 0.7),
        (0.0, 3.0, 0.5),
        (0.0, 8.0, 0.5),
        (0.0, 9.0, 0.2),
        (60.0, 1.0, 0.63),
    ],
)
def test_twist_and_rate_take_off_what_the_leaflet_prints(twist_deg: float, rate: float, kept: float) -> None:
    got = _value("manual_handling.guideline_kg", operations_per_min=rate, twist_deg=twist_deg, **STANDING_CLOSE)

    assert got == pytest.approx(25.0 * kept)


def test_three_people_lift_half_of_their_sum() -> None:
    """HSE L23, from memory."""
    assert _value("manual_handling.team_kg", first_kg=20.0, second_kg=20.0, third_kg=20.0) == 30.0


@pytest.mark.parametrize(
    ("population", "action", "printed_kg"),
    [
        ("men", "start_or_stop", 20.0),
        ("women", "start_or_stop", 15.0),
        ("men", "keep_moving", 10.0),
        ("women", "keep_moving", 7.0),
    ],
)
def test_pushing_forces_are_those_of_the_page(population: str, action: str, printed_kg: float) -> None:
    """HSE guideline filter for pushing and pulling (INDG143 and L23)."""
    given = {"population": population, "action": action, "forces": "table:pushing_and_pulling"}

    assert _value("manual_handling.push_pull_kg", **given) == printed_kg


# Height ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "item", "published"),
    [  # figure recomputed from the foot and pound figures the rules print first
        ("height.limit_m", "fall_protection_us_construction", 6 * 0.3048),
        ("height.limit_m", "fall_protection_us_general_industry", 4 * 0.3048),
        ("height.limit_m", "free_fall_us", 6 * 0.3048),
        ("height.limit_m", "deceleration_us", 3.5 * 0.3048),
        ("height.limit_m", "ladder_above_landing_us", 3 * 0.3048),
        ("height.limit_kn", "arrest_force_us", 1800 * 0.45359237 * 9.80665 / 1000),
        ("height.limit_kn", "anchorage_us", 5000 * 0.45359237 * 9.80665 / 1000),
    ],
)
def test_a_metric_figure_of_a_us_rule_agrees_with_its_feet_or_pounds(name: str, item: str, published: float) -> None:
    assert _value(name, item=item, limits="table:height_limits") == pytest.approx(published, rel=0.02)


def test_a_figure_is_not_given_in_another_unit() -> None:
    outcome = CATALOGUE["height.limit_m"].at(item="arrest_force_eu", limits=table("height_limits"))

    assert outcome == OutsideLimits("arrest force eu is printed in kN, not in m")


def test_an_item_nobody_printed_is_refused_with_the_items_there_are() -> None:
    with pytest.raises(InputFault, match="no row `arrest_force`; choose one of fall_protection_us_construction,"):
        CATALOGUE["height.limit_kn"].at(item="arrest_force", limits=table("height_limits"))


def test_a_lanyard_that_is_taut_gives_no_free_fall() -> None:
    assert _value("height.free_fall_m", lanyard_m=1.8, anchor_above_dring_m=2.0) == 0.0
    assert _value("height.free_fall_m", lanyard_m=1.8, anchor_above_dring_m=-1.5) == pytest.approx(3.3)


@pytest.mark.parametrize(
    ("rule", "top_edge_m", "meets"),
    [
        ("us_construction", 0.9906, "yes"),
        ("us_construction", 0.99, "no"),
        ("us_construction", 1.143, "yes"),
        ("us_construction", 1.144, "no"),
        ("uk", 0.95, "yes"),
        ("uk", 0.949, "no"),
        ("uk", 2.0, "yes"),
        ("platform_eu", 1.1, "yes"),
        ("platform_eu", 1.099, "no"),
    ],
)
def test_a_guardrail_meets_one_rule_and_misses_another(rule: str, top_edge_m: float, meets: str) -> None:
    """29 CFR 1926.502(b)(1), Work at Height Regulations 2005 schedule 2, EN 280."""
    given = {"top_edge_m": top_edge_m, "rule": rule, "rails": table("guardrail_heights")}

    assert told(CATALOGUE["height.guardrail_margin_m"].at(**given))["meets_rule"] == meets


@pytest.mark.parametrize(("rule", "angle_deg"), [("quarter_of_height", 75.96), ("quarter_of_length", 75.52)])
def test_the_two_ladder_rules_differ_by_half_a_degree(rule: str, angle_deg: float) -> None:
    got = told(CATALOGUE["height.ladder_foot_offset_m"].at(measure_m=4.0, rule=rule))

    assert got["value"] == 1.0
    assert got["angle_deg"] == pytest.approx(angle_deg, abs=0.005)


def test_a_clearance_without_datum_or_body_says_so() -> None:
    parts = {"fall_m": 1.2, "stopping_m": 0.9, "body_m": 0.0, "margin_m": 0.3}
    outcome = CATALOGUE["height.fall_clearance_m"].at(measured_from="not_stated", **parts)

    assert isinstance(outcome, Computed)
    assert outcome.notes == (
        "measured downwards from: not stated",
        "the source names no datum: count from the lower of anchor and walking surface",
        "the body below the D-ring is left out",
    )


def test_a_bare_head_and_a_helmet_follow_one_author() -> None:
    assert _value("lift.head_energy_j", helmet="yes") - _value("lift.head_energy_j", helmet="no") == 50.0


# Weather --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wind_m_per_s", "force"), [(0.25, 1.0), (10.75, 6.0), (32.6, 11.0), (32.7, 12.0), (99.0, 12.0)]
)
def test_a_wind_between_two_bands_counts_as_the_stronger(wind_m_per_s: float, force: float) -> None:
    assert _value("wind.beaufort", wind_m_per_s=wind_m_per_s, scale="table:beaufort") == force


@pytest.mark.parametrize(
    ("index_c", "shortest_min"), [(-27.5, 10.0), (-39.0, 10.0), (-39.1, 5.0), (-47.1, 2.0), (-54.1, 0.0)]
)
def test_an_index_between_two_frostbite_bands_counts_as_the_colder(index_c: float, shortest_min: float) -> None:
    assert _value("cold.frostbite_min", wind_chill_c=index_c, bands="table:frostbite") == shortest_min


def test_frostbite_in_mild_cold_is_not_applicable() -> None:
    outcome = CATALOGUE["cold.frostbite_min"].at(wind_chill_c=-27.0, bands=table("frostbite"))

    assert outcome == NotApplicable("the table gives no time to frostbite for this index")


@pytest.mark.parametrize(
    ("index_f", "older", "newer"),
    [
        (79.9, 0, 0),
        (80.1, 1, 1),
        (90.1, 2, 2),
        (102.9, 2, 2),
        (103.1, 2, 3),
        (105.1, 3, 3),
        (125.1, 3, 4),
        (130.1, 4, 4),
    ],
)
def test_the_two_editions_disagree_on_danger(index_f: float, older: float, newer: float) -> None:
    """US National Weather Service categories; danger from 105 degF in the older edition, 103 in the newer."""
    index_c = converted(index_f, "degF", "degC")
    given = {"index_c": index_c, "categories": "table:heat_index_categories"}

    assert (_value("heat.category", edition="older", **given), _value("heat.category", edition="newer", **given)) == (
        older,
        newer,
    )


def test_the_dry_correction_ends_at_thirteen_percent() -> None:
    """By hand at 95 degF and 9 percent: (13 - 9) / 4 x sqrt(17 / 17) = 1 degF off the polynomial, 89.24 degF."""
    got_f = converted(_value("heat.index_c", air_c=35.0, humidity_pct=9.0), "degC", "degF")
    polynomial = -42.379 + 2.04901523 * 95 + 10.14333127 * 9 - 0.22475541 * 95 * 9 - 6.83783e-3 * 95**2
    polynomial += -5.481717e-2 * 81 + 1.22874e-3 * 95**2 * 9 + 8.5282e-4 * 95 * 81 - 1.99e-6 * 95**2 * 81

    assert got_f == pytest.approx(polynomial - 1.0, abs=1e-9)


@pytest.mark.parametrize(("humidity_pct", "corrected"), [(85.0, 0.0), (95.0, 0.6)])
def test_the_humid_correction_begins_above_eighty_five_percent(humidity_pct: float, corrected: float) -> None:
    """By hand at 84 degF: (R - 85) / 10 x (87 - 84) / 5; above 87 degF there is none."""
    t, r = 84.0, humidity_pct
    polynomial = -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 6.83783e-3 * t**2
    polynomial += -5.481717e-2 * r**2 + 1.22874e-3 * t**2 * r + 8.5282e-4 * t * r**2 - 1.99e-6 * t**2 * r**2
    got_f = converted(_value("heat.index_c", air_c=converted(t, "degF", "degC"), humidity_pct=r), "degC", "degF")

    assert got_f - polynomial == pytest.approx(corrected, abs=1e-9)


def test_a_heat_index_beyond_the_chart_is_refused() -> None:
    outcome = CATALOGUE["heat.index_c"].at(air_c=43.0, humidity_pct=50.0)

    assert isinstance(outcome, OutsideLimits)
    assert outcome.limit.startswith("heat index up to the end of the chart, 137.5 degF, got ")


@pytest.mark.parametrize(("seconds", "stop"), [(30.0, 1.0), (30.1, 0.0)])
def test_thunder_thirty_seconds_after_the_flash_stops_the_work(seconds: float, stop: float) -> None:
    assert _value("lightning.stop_work", flash_to_bang_s=seconds) == stop


@pytest.mark.parametrize(("since", "left"), [(29.0, 1.0), (30.0, 0.0), (31.0, 0.0)])
def test_the_wait_after_thunder_ends_at_thirty_minutes(since: float, left: float) -> None:
    assert _value("lightning.wait_left_min", since_thunder_min=since) == left


# Daylight -------------------------------------------------------------------------------------------------


def test_the_clock_is_rounded_towards_the_dark() -> None:
    place = {"local_date": "2015-12-01", "latitude_deg": 51.5, "longitude_east_deg": -0.1333}
    rise, sets = (told(CATALOGUE[f"daylight.{event}_min"].at(**place)) for event in ("sunrise", "sunset"))

    assert int(rise["utc"][:2]) * 60 + int(rise["utc"][3:]) == pytest.approx(rise["value"] + 0.5, abs=0.5)
    assert int(sets["utc"][:2]) * 60 + int(sets["utc"][3:]) == pytest.approx(sets["value"] - 0.5, abs=0.5)


@pytest.mark.parametrize(
    ("event", "local_date", "latitude_deg", "longitude_east_deg", "clock"),
    [  # pvlib 0.16.1 and, for 35 S, the NREL calculator: both run the NREL algorithm and print seconds
        ("sunrise", "2026-09-23", -1.286, 36.817, (3, 21, 53)),
        ("sunset", "2026-09-23", -1.286, 36.817, (15, 28, 24)),
        ("sunrise", "2026-03-20", -0.18, -78.47, (11, 17, 59)),
        ("sunset", "2026-03-20", -0.18, -78.47, (23, 24, 30)),
        ("sunrise", "2026-12-21", 64.147, -21.94, (11, 22, 18)),
        ("sunset", "2026-12-21", 64.147, -21.94, (15, 29, 23)),
        ("sunrise", "1996-07-05", -35.0, 0.0, (7, 8, 15)),
        ("sunset", "1996-07-05", -35.0, 0.0, (17, 1, 4)),
    ],
)
def test_the_sun_keeps_within_four_seconds_of_the_best_algorithm(
    event: str, local_date: str, latitude_deg: float, longitude_east_deg: float, clock: tuple[int, int, int]
) -> None:
    place = {"local_date": local_date, "latitude_deg": latitude_deg, "longitude_east_deg": longitude_east_deg}
    hours, minutes, seconds = clock

    assert _value(f"daylight.{event}_min", **place) == pytest.approx(hours * 60 + minutes + seconds / 60, abs=4 / 60)


def test_the_position_of_the_sun_is_that_of_a_worked_example() -> None:
    """Meeus, Astronomical Algorithms, examples 25.a and 28.a (from memory): 13 October 1992, 0 h."""
    equation_min, declination = sun_position(date(1992, 10, 13), 0.0)

    assert math.degrees(declination) == pytest.approx(-7.78507, abs=5e-6)
    assert equation_min == pytest.approx(13 + 42.6 / 60, abs=0.002)


@pytest.mark.parametrize("latitude_deg", [90.1, -90.1])
def test_no_place_lies_beyond_the_pole(latitude_deg: float) -> None:
    place = {"local_date": "2026-06-01", "latitude_deg": latitude_deg, "longitude_east_deg": 10.0}

    assert CATALOGUE["daylight.sunrise_min"].at(**place) == OutsideLimits(
        f"latitude -90 to 90 deg, got {latitude_deg:g}"
    )


def test_a_sunset_west_of_the_date_line_belongs_to_the_local_date() -> None:
    """In Hawaii the sun sets after midnight UTC: beyond 1440 minutes, printed as the clock of the next day."""
    got = told(
        CATALOGUE["daylight.sunset_min"].at(local_date="2026-06-21", latitude_deg=21.3, longitude_east_deg=-157.86)
    )

    assert got["value"] > 1440
    assert got["utc"].startswith("05:")


def test_midwinter_beyond_the_circle_is_a_polar_night() -> None:
    outcome = CATALOGUE["daylight.sunset_min"].at(
        local_date="2019-12-21", latitude_deg=69.6, longitude_east_deg=18.95
    )

    assert isinstance(outcome, NotApplicable)
    assert outcome.reason.startswith("polar night: ")


@pytest.mark.parametrize("latitude_deg", [90.0, -90.0])
def test_at_the_pole_the_sun_neither_rises_nor_sets(latitude_deg: float) -> None:
    for local_date in ("2026-06-21", "2026-12-21"):
        outcome = CATALOGUE["daylight.sunrise_min"].at(
            local_date=local_date, latitude_deg=latitude_deg, longitude_east_deg=0.0
        )
        is_light = (latitude_deg > 0) == (local_date == "2026-06-21")

        assert isinstance(outcome, NotApplicable)
        assert outcome.reason.startswith("polar day" if is_light else "polar night")


def test_beyond_sixty_five_degrees_no_time_is_given() -> None:
    place = {"local_date": "2026-03-20", "longitude_east_deg": 18.95}

    assert isinstance(CATALOGUE["daylight.sunset_min"].at(latitude_deg=65.0, **place), Computed)
    assert CATALOGUE["daylight.sunset_min"].at(latitude_deg=65.1, **place) == OutsideLimits(
        "latitude up to 65 degrees either side, got 65.1"
    )


@pytest.mark.parametrize(("year", "is_given"), [(1949, False), (1950, True), (2100, True), (2101, False)])
def test_the_sun_is_given_for_the_years_of_its_series(year: int, is_given: bool) -> None:
    place = {"local_date": f"{year}-06-01", "latitude_deg": 50.0, "longitude_east_deg": 10.0}

    assert isinstance(CATALOGUE["daylight.sunrise_min"].at(**place), Computed) is is_given


def test_a_date_that_is_none_is_refused() -> None:
    with pytest.raises(InputFault, match=r"date `23\.9\.2026` is no date; write it as 2026-09-23"):
        CATALOGUE["daylight.sunset_min"].at(local_date="23.9.2026", latitude_deg=50.0, longitude_east_deg=0.0)


# Noise ----------------------------------------------------------------------------------------------------


def test_two_parts_of_a_day_add_their_energy() -> None:
    """By hand: two parts of equal energy are 3.01 dB above one."""
    one = _value("noise.daily_dba", first_dba=80.0, first_h=2.0)
    two = _value("noise.daily_dba", first_dba=80.0, first_h=2.0, second_dba=83.0103, second_h=1.0)

    assert two - one == pytest.approx(3.0103, abs=1e-4)


def test_five_days_at_a_level_make_a_week_at_that_level() -> None:
    """HSE ready-reckoner: 100 points a day are 85 dBA; a week counts five days."""
    assert _value("noise.weekly_dba", week_points=500.0) == pytest.approx(85.0, abs=1e-9)


def test_a_day_without_noise_has_no_exposure() -> None:
    outcome = CATALOGUE["noise.daily_dba"].at(first_dba=90.0, first_h=0.0)

    assert outcome == NotApplicable("no time in noise was given")


@pytest.mark.parametrize(
    ("daily_dba", "ear", "state"),
    [
        (79.9, "as_measured", "below"),
        (80.0, "as_measured", "lower_action"),
        (84.9, "as_measured", "lower_action"),
        (95.0, "as_measured", "upper_action"),
        (86.9, "under_protection", "below"),
        (87.0, "under_protection", "limit"),
    ],
)
def test_protectors_count_only_against_the_limit(daily_dba: float, ear: str, state: str) -> None:
    """Control of Noise at Work Regulations 2005, regulation 4."""
    got = told(CATALOGUE["noise.action_state"].at(daily_dba=daily_dba, ear=ear, values=table("noise_values_uk")))

    assert got["state"] == state


def test_the_dose_is_told_as_an_eight_hour_level_too() -> None:
    """29 CFR 1910.95 appendix A, table A-1: 200 percent is 95.0 dBA, 50 percent is 85.0 dBA."""
    rule = {"criterion_dba": 90.0, "exchange_db": 5.0}
    double = told(CATALOGUE["noise.dose_pct"].at(first_dba=95.0, first_h=8.0, **rule))
    half = told(CATALOGUE["noise.dose_pct"].at(first_dba=90.0, first_h=4.0, **rule))

    assert (double["value"], round(double["twa_dba"], 1)) == (200.0, 95.0)
    assert (half["value"], round(half["twa_dba"], 1)) == (50.0, 85.0)


def test_a_day_without_noise_has_no_dose() -> None:
    rule = {"criterion_dba": 90.0, "exchange_db": 5.0}

    assert told(CATALOGUE["noise.dose_pct"].at(first_dba=95.0, first_h=0.0, **rule)) == {"value": 0.0, "unit": "%"}


def test_the_index_of_the_unit_turns_where_travel_and_height_balance() -> None:
    """NIOSH 94-110 multipliers, handle at 20 cm, by hand.

    DM leaves 1 at 20 + 25 cm. VM at the handle is 1 - 0.003 x 55 = 0.835; DM x VM is least 39.08 cm above it,
    the root of 4.5 x 0.835 / (0.003 x 0.82). VM itself turns at 75 cm.
    """
    assert CATALOGUE["lift.index_worst"].turning_points["hand_m"] == pytest.approx((0.45, 0.5908, 0.75), abs=0.00005)


@pytest.mark.parametrize("name", ["lift.vertical_multiplier", "lift.recommended_weight_kg"])
def test_the_height_of_the_hands_turns_at_75_centimetres(name: str) -> None:
    """NIOSH 94-110, table 2: VM is 1 at 75 cm and less above and below."""
    assert CATALOGUE[name].turning_points["vertical_m"] == pytest.approx((0.75,))
