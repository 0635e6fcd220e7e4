"""Approach distances: between and beyond the rows of tables, altitude, persons, and the formula behind them."""

from __future__ import annotations

import math
from typing import Any

import pytest

from riskhelper.calc import approach_formula, table_rows
from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed, NotApplicable, OutsideLimits, Table
from tests.numbers.reading_cases import table

CATALOGUE = complete_catalogue()


R6 = table("us_1910_269_r6")
R5 = table("us_1910_269_r5")
EN = table("en_50110_1_a1")
S5 = table("us_1910_333_s5")


@pytest.mark.parametrize("row", R6.rows[1:], ids=lambda row: f"{row[1]:g}_kv")
@pytest.mark.parametrize("exposure", approach_formula.EXPOSURES)
def test_the_formula_gives_every_row_of_the_us_tables(row: tuple[Any, ...], exposure: str) -> None:
    """29 CFR 1910.269: rows to 169 kV are read, those above remembered; the formula is remembered too."""
    up_to_kv = row[R6.columns.index("up_to_kv")]
    assumed = approach_formula.assumed_overvoltage(table("us_1910_269_r9"), max(up_to_kv, 73.0))
    assert isinstance(assumed, Computed)

    outcome = approach_formula.minimum_approach_distance(table("us_1910_269_gap"), up_to_kv, exposure, assumed.value)

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(row[R6.columns.index(f"{exposure}_m")], abs=1e-9)


@pytest.mark.parametrize("row", [row for row in EN.rows if row[0] >= 3], ids=lambda row: f"{row[0]:g}_kv")
def test_a_row_of_the_en_table_stands_as_printed(row: tuple[float, float, float]) -> None:
    kv, inner_m, outer_m = row

    assert _value("approach.no_closer_distance", EN, kv, "skilled") == inner_m
    assert _value("approach.no_closer_distance", EN, kv, "ordinary") == outer_m
    assert _value("approach.outer_distance", EN, kv) == outer_m


def test_the_formula_gives_no_distance_where_contact_is_to_be_avoided() -> None:
    """29 CFR 1910.269 Table R-3, from memory."""
    outcome = approach_formula.minimum_approach_distance(table("us_1910_269_gap"), 0.3, "phase_to_ground", 3.0)

    assert outcome == NotApplicable("up to 300 V contact is avoided; the rule gives no distance")


@pytest.mark.parametrize(
    ("kv", "distance_m"),
    [
        (0.301, 0.33),  # 0.02 + 0.31
        (0.75, 0.33),
        (0.751, 0.63),  # 0.02 + 0.61
        (5.0, 0.63),
        (5.001, 0.63),  # first rod gap, 2 cm
        (10.0, 0.64),  # 28.8 kV peak, gap 2.3 up to 3 cm
        (72.5, 1.0),
        (72.6, 0.81),  # 0.3048 x 0.011 x 41.92 x 3.5 + 0.31 = 0.802
    ],
)
def test_the_bands_of_the_formula_meet_where_the_rule_says(kv: float, distance_m: float) -> None:
    """29 CFR 1910.269 Table R-3, from memory; up to 72.5 kV the overvoltage given does not matter."""
    outcome = approach_formula.minimum_approach_distance(table("us_1910_269_gap"), kv, "phase_to_ground", 3.5)

    assert isinstance(outcome, Computed)
    assert outcome.value == distance_m


@pytest.mark.parametrize(
    ("exposure", "peak_kv", "term"),
    [
        ("phase_to_ground", 635.0, 0.0),
        ("phase_to_ground", 649.0, 0.0001),  # 14 / 140000
        ("phase_to_ground", 915.0, 0.002),  # 280 / 140000 = 270 / 135000
        ("phase_to_ground", 928.5, 0.0021),  # 283.5 / 135000
        ("phase_to_ground", 1050.0, 0.003),  # 405 / 135000 = 375 / 125000
        ("phase_to_ground", 1062.5, 0.0031),  # 387.5 / 125000
        ("phase_to_phase", 630.0, 0.0),
        ("phase_to_phase", 645.5, 0.0001),  # 15.5 / 155000
        ("phase_to_phase", 848.0, 218 / 155_000),
        ("phase_to_phase", 860.0, 226.4 / 152_207),
        ("phase_to_phase", 1131.0, 497.4 / 152_207),
        ("phase_to_phase", 1140.0, 512 / 153_846),
        ("phase_to_phase", 1485.0, 857 / 153_846),
        ("phase_to_phase", 1490.0, 1139.5 / 203_666),
    ],
)
def test_saturation_begins_and_bends_where_the_rule_says(exposure: str, peak_kv: float, term: float) -> None:
    """29 CFR 1910.269 Table R-3, from memory, worked by hand."""
    assert approach_formula.saturation(exposure, peak_kv) == pytest.approx(term, abs=1e-9)


@pytest.mark.parametrize(
    ("exposure", "start_kv"),
    [(exposure, line[0]) for exposure, lines in approach_formula.SATURATION.items() for line in lines],
)
def test_the_pieces_of_the_saturation_term_meet(exposure: str, start_kv: float) -> None:
    """A wrong slope or start would leave a step; the printed pieces meet within 0.000003."""
    below = approach_formula.saturation(exposure, start_kv)
    above = approach_formula.saturation(exposure, math.nextafter(start_kv, math.inf))

    assert above == pytest.approx(below, abs=3e-6)


@pytest.mark.parametrize(
    ("kv", "distance_m"), [(50.0, 3.05), (50.1, 3.16), (60.0, 3.16), (60.1, 3.26), (70.0, 3.26), (250.0, 5.09)]
)
def test_the_unqualified_distance_grows_with_each_10_kv_begun(kv: float, distance_m: float) -> None:
    """29 CFR 1910.333(c)(3)(i): 305 cm, plus 4 in (10.16 cm) each, rounded up."""
    outcome = CATALOGUE["approach.unqualified_distance"].at(voltage_to_ground_kv=kv)

    assert isinstance(outcome, Computed)
    assert outcome.value == distance_m


@pytest.mark.parametrize(
    ("kv", "inner_m", "outer_m"),
    [(11.0, 0.13, 1.16), (420.0, 2.78, 4.84), (132.0, 1.10, 3.00)],
)
def test_between_rows_the_distance_is_rounded_up(kv: float, inner_m: float, outer_m: float) -> None:
    """EN 50110-1 Table A.1, note 1 (linear); 11 kV gives 0.128 m and 1.152 m before rounding. Worked by hand."""
    assert _value("approach.no_closer_distance", EN, kv, "instructed", 640.0) == inner_m
    assert _value("approach.outer_distance", EN, kv, altitude_m=640.0) == outer_m


@pytest.mark.parametrize("kv", [1.0001, 2.0, 3.0])
def test_above_1_kv_nothing_is_interpolated_from_no_contact(kv: float) -> None:
    assert _value("approach.no_closer_distance", EN, kv, "skilled") == 0.06
    assert _value("approach.no_closer_distance", EN, kv, "ordinary") == 1.12


def test_the_upper_edge_of_a_band_belongs_to_it() -> None:
    """29 CFR 1910.333 Table S-5: "not over"."""
    assert _value("approach.no_closer_distance", S5, 37.0, "skilled") == 0.91
    assert _value("approach.no_closer_distance", S5, 37.001, "skilled") == 1.07


def test_the_general_us_rule_is_shorter_than_that_of_utilities() -> None:
    """A trap: 0.61 m against 0.65 m at 11 kV; the two rules are never mixed."""
    assert _value("approach.no_closer_distance", S5, 11.0, "skilled") == 0.61
    assert _value("approach.no_closer_distance", R6, 11.0, "skilled") == 0.65


@pytest.mark.parametrize(
    ("table_used", "kv", "altitude_m", "said"),
    [
        (S5, 140.1, 0.0, "ends at 140 kV; ask the owner of the plant"),
        (EN, 700.1, 0.0, "ends at 700 kV; ask the owner of the plant"),
        (R6, 800.1, 0.0, "ends at 800 kV; ask the owner of the plant"),
        (EN, 132.0, 1000.1, "hold to 1000 m above sea level; ask the owner of the plant"),
        (R6, 132.0, 900.1, "hold to 900 m above sea level; ask the owner of the plant"),
        (R6, 132.0, 6000.1, "altitude -500 to 6000 m, got 6000.1"),
        (R6, -0.1, 0.0, "voltage 0 kV and more, got -0.1"),
    ],
)
def test_beyond_a_table_there_is_no_distance(table_used: Table, kv: float, altitude_m: float, said: str) -> None:
    outcome = CATALOGUE["approach.no_closer_distance"].at(
        table=table_used, voltage_kv=kv, altitude_m=altitude_m, person="skilled"
    )

    assert isinstance(outcome, OutsideLimits)
    assert outcome.limit.endswith(said)


def test_the_en_altitude_table_gives_nothing_above_1000_m() -> None:
    """IEC 62271-1: insulation in air holds to 1000 m; no factor for distances is made up."""
    inputs = {"table": EN, "voltage_kv": 132.0, "person": "skilled", "altitude_factors": table("en_altitude")}
    at_limit = CATALOGUE["approach.no_closer_distance"].at(**inputs, altitude_m=1000.0)
    above = CATALOGUE["approach.no_closer_distance"].at(**inputs, altitude_m=1000.1)

    assert isinstance(at_limit, Computed)
    assert at_limit.value == 1.1
    assert isinstance(above, OutsideLimits)
    assert above.limit.endswith("ends at 1000 m above sea level; ask the owner of the plant")


def test_the_altitude_factor_multiplies_the_whole_table_distance() -> None:
    """29 CFR 1910.269, footnote 1: 1.13 m x 1.05 = 1.1865 m at 1500 m, rounded up."""
    outcome = CATALOGUE["approach.no_closer_distance"].at(
        table=R6, voltage_kv=121.0, altitude_m=1500.0, person="skilled", altitude_factors=R5
    )

    assert isinstance(outcome, Computed)
    assert outcome.value == 1.19


def test_the_formula_multiplies_only_the_electrical_part() -> None:
    """29 CFR 1910.269 Table R-3: 0.8193 m x 1.05 + 0.31 m, shorter than the table rule."""
    outcome = approach_formula.minimum_approach_distance(
        table("us_1910_269_gap"), 121.0, "phase_to_ground", 3.5, 1500.0, R5
    )

    assert isinstance(outcome, Computed)
    assert outcome.value == 1.18
    assert outcome.extra["altitude_factor"] == 1.05


def test_an_ordinary_person_keeps_the_unqualified_distance_under_us_rules() -> None:
    """29 CFR 1910.333(c)(3)(i): 3.05 m to 50 kV, 4 in for each 10 kV begun above."""
    assert _value("approach.no_closer_distance", R6, 13.8, "ordinary") == 3.05
    assert _value("approach.outer_distance", R6, 50.0) == 3.05
    assert _value("approach.outer_distance", R6, 50.1) == 3.16
    assert _value("approach.outer_distance", R6, 138.0) == 3.97


def test_superseded_figures_are_kept_but_not_given_out() -> None:
    """29 CFR 1910.269 Table R-6 before 2014 printed 0.64 m at 15 kV, 0.65 m is in force."""
    stale = table("us_1910_269_r6_before_2014")
    row = table_rows.row_up_to(stale, "up_to_kv", 15.0)
    assert row is not None

    assert table_rows.number(stale, row, "phase_to_ground_m") == 0.64
    for person in ("skilled", "ordinary"):
        outcome = CATALOGUE["approach.no_closer_distance"].at(
            table=stale, voltage_kv=15.0, altitude_m=0.0, person=person
        )
        assert isinstance(outcome, OutsideLimits)
        assert outcome.limit.endswith("superseded, do not use")


def test_a_french_table_has_no_distance_for_ordinary_persons() -> None:
    outcome = CATALOGUE["approach.outer_distance"].at(
        table=table("fr_arrete_2013_dma"), voltage_kv=20.0, altitude_m=0.0
    )

    assert isinstance(outcome, OutsideLimits)
    assert outcome.limit.endswith("gives no distance for ordinary persons")


def _value(name: str, used: Table, kv: float, person: str = "", altitude_m: float = 0.0) -> float:
    inputs = {"table": used, "voltage_kv": kv, "altitude_m": altitude_m}
    outcome = CATALOGUE[name].at(**inputs, **({"person": person} if person else {}))
    assert isinstance(outcome, Computed), outcome
    return outcome.value
