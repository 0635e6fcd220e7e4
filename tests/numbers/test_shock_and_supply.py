"""Shock, fault current, disconnection, capacitors and cables beyond the check values of `electrical.toml`."""

from __future__ import annotations

import math

import pytest

from riskhelper.calc import table_rows
from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed, OutsideLimits
from tests.numbers.reading_cases import table

CATALOGUE = complete_catalogue()


@pytest.mark.parametrize(
    ("area_mm2", "mv_per_a_m"), [(1.5, 29.0), (2.5, 18.0), (4.0, 11.0), (6.0, 7.3), (10.0, 4.4), (16.0, 2.8)]
)
def test_volt_drop_agrees_with_the_wiring_rules(area_mm2: float, mv_per_a_m: float) -> None:
    """BS 7671 Table 4D2B, two-core copper cable, 2.5 mm2 read and the rest from memory; two figures printed."""
    outcome = CATALOGUE["cable.volt_drop_pct"].at(current_a=1.0, length_m=1.0, area_mm2=area_mm2, supply_v=230.0)

    assert isinstance(outcome, Computed)
    assert float(outcome.extra["drop_v"]) * 1000 == pytest.approx(mv_per_a_m, rel=0.04)
    assert outcome.value == pytest.approx(100 * float(outcome.extra["drop_v"]) / 230)


def test_volt_drop_of_a_long_thin_cable_by_hand() -> None:
    """2 x 0.0225 x 80 m x 5 A / 2.5 mm2 = 7.2 V of 230 V."""
    outcome = CATALOGUE["cable.volt_drop_pct"].at(current_a=5.0, length_m=80.0, area_mm2=2.5, supply_v=230.0)

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(100 * 7.2 / 230)


@pytest.mark.parametrize(
    ("area_mm2", "rated_a"), [(0.5, 3.0), (1.49, 10.0), (1.5, 14.0), (2.5, 18.5), (3.9, 18.5), (16.0, 57.0)]
)
def test_an_odd_cable_counts_as_the_next_thinner_one(area_mm2: float, rated_a: float) -> None:
    """IEC 60364-5-52 Table B.52.2, method A2, and BS 7671 Table 4F3A below 1.5 mm2."""
    outcome = CATALOGUE["cable.current_limit_a"].at(table=table("copper_pvc_rating"), area_mm2=area_mm2)

    assert isinstance(outcome, Computed)
    assert outcome.value == rated_a
    assert outcome.notes[0].endswith("(published)")


@pytest.mark.parametrize("area_mm2", [0.49, 16.1])
def test_a_cable_not_in_the_table_has_no_rating(area_mm2: float) -> None:
    outcome = CATALOGUE["cable.current_limit_a"].at(table=table("copper_pvc_rating"), area_mm2=area_mm2)

    assert outcome == OutsideLimits(f"cross-section 0.5 to 16 mm2, got {area_mm2:g}")


def test_the_later_impedance_table_gives_the_higher_current() -> None:
    """IEC 479-1 (read) against IEC TS 60479-1:2005 (from memory), 5 % column, 230 V: the edition decides."""
    older, later = (
        CATALOGUE["shock.body_current"].at(table=table(name), touch_v=230.0, percentile="5")
        for name in ("iec_479_1_1984", "iec_60479_1_2005")
    )
    assert isinstance(older, Computed)
    assert isinstance(later, Computed)

    assert later.value > 1.25 * older.value
    assert "to be confirmed" in later.notes[0]


def test_wet_skin_figures_end_at_50_v() -> None:
    outcome = CATALOGUE["shock.body_current"].at(
        table=table("iec_479_1_1984"), touch_v=50.1, percentile="5", skin="wet_water"
    )

    assert outcome == OutsideLimits("wet-skin figures hold to 50 V, got 50.1")


def test_a_surface_layer_of_crushed_rock() -> None:
    """IEEE Std 80: 400 ohm m under 2500 ohm m, 0.102 m thick, gives 0.74 as remembered from its Annex B."""
    outcome = CATALOGUE["shock.surface_factor"].at(soil_ohm_m=400.0, surface_ohm_m=2500.0, thickness_m=0.102)

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(0.74, abs=0.005)


def test_without_a_layer_the_surface_factor_is_the_ratio_of_resistivities() -> None:
    """IEEE Std 80: for h_s = 0 the relation becomes rho / rho_s."""
    outcome = CATALOGUE["shock.surface_factor"].at(soil_ohm_m=400.0, surface_ohm_m=2500.0, thickness_m=0.0)

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(0.16)


@pytest.mark.parametrize(
    ("skin", "lowest", "highest"),
    [("dry", 2625.0, 2625.0), ("wet_water", 1968.75, 2362.5), ("conducting_liquid", 1312.5, 1312.5)],
)
def test_the_current_counts_at_the_lowest_impedance_of_the_skin(skin: str, lowest: float, highest: float) -> None:
    """IEC 479-1 Table 1, note: ordinary water 10 to 25 % less, conducting solutions down to half, to 50 V."""
    outcome = CATALOGUE["shock.body_current"].at(
        table=table("iec_479_1_1984"), touch_v=50.0, percentile="50", skin=skin
    )

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(50.0 / lowest)
    assert outcome.extra["body_impedance_min_ohm"] == pytest.approx(lowest)
    assert outcome.extra["body_impedance_max_ohm"] == pytest.approx(highest)


@pytest.mark.parametrize(
    ("model", "duration_s", "inside"),
    [
        ("dalziel_50_kg", 0.00799, False),
        ("dalziel_50_kg", 0.008, True),
        ("dalziel_50_kg", 5.0, True),
        ("dalziel_50_kg", 5.01, False),
        ("ieee_80_70_kg", 0.0299, False),
        ("ieee_80_70_kg", 0.03, True),
        ("ieee_80_70_kg", 3.0, True),
        ("ieee_80_70_kg", 3.01, False),
    ],
)
def test_the_energy_rule_ends_at_its_durations(model: str, duration_s: float, inside: bool) -> None:
    """Dalziel and Lee 1968: 8 ms to 5 s (read); IEEE Std 80: 30 ms to 3 s (from memory)."""
    outcome = CATALOGUE["shock.fibrillation_current"].at(model=model, duration_s=duration_s)

    assert isinstance(outcome, Computed) == inside


def test_step_voltage_stands_beside_touch_voltage() -> None:
    """IEEE Std 80 Annex B example, from memory: 2686.6 V."""
    outcome = CATALOGUE["shock.touch_voltage_limit"].at(
        model="ieee_80_70_kg", surface_factor=0.74, surface_ohm_m=2500.0, duration_s=0.5
    )

    assert isinstance(outcome, Computed)
    assert outcome.extra["step_voltage_v"] == pytest.approx(2686.6, abs=0.5)


LV = table("lv_fault_currents")


@pytest.mark.parametrize("row", LV.rows, ids=lambda row: f"{row[0]:g}_kva")
@pytest.mark.parametrize(
    ("construction", "upstream_mva"), [("oil", 500.0), ("cast_resin", 250.0), ("cast_resin", 500.0)]
)
def test_every_row_of_the_fault_table_comes_out(
    row: tuple[float, ...], construction: str, upstream_mva: float
) -> None:
    """LV fault table, three figures, with the impedances of Electrical Installation Guide figure G33."""
    impedances = table("transformer_impedance")
    size = table_rows.row_up_to(impedances, "to_kva", row[0])
    assert size is not None
    column = f"{construction.removesuffix('_resin')}_{upstream_mva:g}_mva_ka"

    outcome = CATALOGUE["fault_current.with_upstream"].at(
        rated_kva=row[0],
        no_load_v=420.0,
        impedance_pct=table_rows.number(impedances, size, f"{construction}_pct"),
        upstream_mva=upstream_mva,
    )

    assert isinstance(outcome, Computed)
    assert outcome.value / 1000 == pytest.approx(row[LV.columns.index(column)], rel=0.005)


def test_an_infinite_network_gives_the_same_as_none() -> None:
    with_network = CATALOGUE["fault_current.with_upstream"].at(
        rated_kva=400.0, no_load_v=420.0, impedance_pct=4.0, upstream_mva=100_000.0
    )
    without = CATALOGUE["fault_current.without_upstream"].at(rated_kva=400.0, no_load_v=420.0, impedance_pct=4.0)
    assert isinstance(with_network, Computed)
    assert isinstance(without, Computed)

    assert with_network.value < without.value
    assert with_network.value == pytest.approx(without.value, rel=2e-4)


def test_a_weak_network_decides_alone() -> None:
    """1 MVA upstream of a very large transformer: by hand 1e6 / (sqrt 3 x 420) = 1374.6 A, less 0.0005 %."""
    outcome = CATALOGUE["fault_current.with_upstream"].at(
        rated_kva=1_000_000.0, no_load_v=420.0, impedance_pct=0.5, upstream_mva=1.0
    )

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(1374.64, abs=0.02)


def test_rated_current_of_the_guide() -> None:
    """Electrical Installation Guide, chapter G: 400 kVA at 420 V, 550 A (549.9)."""
    outcome = CATALOGUE["fault_current.rated"].at(rated_kva=400.0, no_load_v=420.0)

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(549.9, abs=0.1)


BREAKERS = table("bs_7671_41_3")


@pytest.mark.parametrize("row", BREAKERS.rows, ids=lambda row: f"{row[0]:g}_a")
@pytest.mark.parametrize("device", ["type_b", "type_c", "type_d"])
def test_every_row_of_the_loop_impedance_table_comes_out(row: tuple[float, ...], device: str) -> None:
    """BS 7671:2018 Table 41.3, printed to 0.01 ohm."""
    outcome = CATALOGUE["disconnection.breaker_loop_limit"].at(device=device, rated_a=row[0])

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(row[BREAKERS.columns.index(f"{device}_ohm")], abs=0.0051)


def test_a_time_delayed_rcd_has_a_least_time_too() -> None:
    """BS EN 61008-1, type S: 130 to 500 ms, 200 ms, 150 ms."""
    outcome = CATALOGUE["disconnection.rcd_trip_time"].at(table=table("rcd_trip_times"), kind="time_delayed_s")

    assert isinstance(outcome, Computed)
    assert (outcome.extra["least_1x_s"], outcome.value) == (0.13, 0.5)
    assert (outcome.extra["most_2x_s"], outcome.extra["most_5x_s"]) == (0.2, 0.15)


def test_a_time_nobody_prints_is_left_out() -> None:
    """BS 4293 and BS 7288 give 200 ms and 40 ms and nothing at twice the current."""
    outcome = CATALOGUE["disconnection.rcd_trip_time"].at(table=table("rcd_trip_times"), kind="general_bs_4293")

    assert isinstance(outcome, Computed)
    assert outcome.value == 0.2
    assert outcome.extra == {"least_1x_s": 0.0, "most_5x_s": 0.04}


def test_discharge_time_and_voltage_left_are_each_other_turned_round() -> None:
    left = CATALOGUE["capacitor.voltage_left"].at(
        capacitance_f=470e-6, resistance_ohm=10e3, start_v=400.0, time_s=4.7
    )
    assert isinstance(left, Computed)
    time = CATALOGUE["capacitor.discharge_time"].at(
        capacitance_f=470e-6, resistance_ohm=10e3, start_v=400.0, end_v=left.value
    )
    assert isinstance(time, Computed)

    assert left.value == pytest.approx(400.0 / math.e)
    assert time.value == pytest.approx(4.7)


def test_a_capacitor_already_below_the_voltage_needs_no_time() -> None:
    outcome = CATALOGUE["capacitor.discharge_time"].at(
        capacitance_f=1e-6, resistance_ohm=1e6, start_v=40.0, end_v=50.0
    )

    assert isinstance(outcome, Computed)
    assert (outcome.value, outcome.extra["time_constant_s"]) == (0.0, 1.0)


def test_the_impulse_lasts_three_time_constants() -> None:
    """Electrical Safety of Low-Voltage Systems, chapter 13."""
    outcome = CATALOGUE["capacitor.body_impulse"].at(capacitance_f=2e-6, voltage_v=1000.0, body_ohm=500.0)

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(0.816497, abs=1e-6)  # 2 A / sqrt 6
    assert outcome.extra["duration_s"] == pytest.approx(0.003)
    assert outcome.extra["peak_current_a"] == pytest.approx(2.0)
