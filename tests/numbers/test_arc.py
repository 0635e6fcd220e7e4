"""Arc-flash relations of two editions of one standard, and who may see their results."""

from __future__ import annotations

import math
from typing import Any

import pytest

from riskhelper.calc import arc
from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed, OutsideLimits

CATALOGUE = complete_catalogue()


def test_the_two_arc_relations_agree_at_the_boundary() -> None:
    """Lee at 5.0 J/cm2 against the NFPA 70E distance: within 0.25 %, which proves the unit J/cm2."""
    lee = CATALOGUE["arc.lee_energy"].at(voltage_v=13800.0, bolted_a=20000.0, arc_s=0.2, distance_mm=1000.0)
    burn = CATALOGUE["arc.curable_burn_distance"].at(voltage_v=13800.0, bolted_a=20000.0, arc_s=0.2)
    assert isinstance(lee, Computed)
    assert isinstance(burn, Computed)

    assert float(lee.extra["boundary_mm"]) == pytest.approx(1000 * burn.value, rel=0.0025)


def test_the_2002_energy_follows_its_own_distance_and_time() -> None:
    """IEEE 1584-2002: E ~ t / D^x, and 5.0208 J/cm2 at the boundary. The constants are remembered only."""
    given = {
        "voltage_v": 480.0,
        "bolted_a": 20000.0,
        "gap_mm": 32.0,
        "enclosure": "box",
        "earthing": "earthed",
        "distance_exponent": 1.473,
    }
    near, far = (
        CATALOGUE["arc.energy_2002"].at(**given, arc_s=t, distance_mm=d) for t, d in ((0.2, 610.0), (0.4, 1220.0))
    )
    assert isinstance(near, Computed)
    assert isinstance(far, Computed)
    edge = CATALOGUE["arc.energy_2002"].at(**given, arc_s=0.2, distance_mm=float(near.extra["boundary_mm"]))
    assert isinstance(edge, Computed)

    assert far.value == pytest.approx(near.value * 2 / 2**1.473)
    assert edge.value == pytest.approx(5.0208)
    lg_normalised = -0.555 - 0.113 + 1.081 * math.log10(float(near.extra["arcing_current_a"]) / 1000) + 0.0352
    assert near.value == pytest.approx(4.184 * 1.5 * 10**lg_normalised)


@pytest.mark.parametrize(
    ("enclosure", "earthing", "lg_at_610_mm"),
    [
        ("open", "not_earthed", -0.792),
        ("open", "earthed", -0.905),
        ("box", "not_earthed", -0.555),
        ("box", "earthed", -0.668),
    ],
)
def test_the_2002_constants_of_energy(enclosure: str, earthing: str, lg_at_610_mm: float) -> None:
    """IEEE 1584-2002, from memory: K1 + K2, above 1 kV, where the current is lg I_a = 0.00402 + 0.983 lg I."""
    outcome = CATALOGUE["arc.energy_2002"].at(
        voltage_v=5000.0,
        bolted_a=10_000.0,
        gap_mm=100.0,
        enclosure=enclosure,
        earthing=earthing,
        distance_exponent=2.0,
        arc_s=0.2,
        distance_mm=610.0,
    )

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(4.184 * 10 ** (lg_at_610_mm + 1.081 * 0.98702 + 0.11))


def test_the_2002_factor_of_one_and_a_half_ends_at_1_kv() -> None:
    """IEEE 1584-2002: C_f 1.5 up to 1 kV, 1.0 above; from 1 kV the current does not depend on the voltage."""
    given = {"bolted_a": 10_000.0, "gap_mm": 100.0, "enclosure": "box", "earthing": "earthed"}
    at, above = (
        CATALOGUE["arc.energy_2002"].at(**given, voltage_v=volts, distance_exponent=2.0, arc_s=0.2, distance_mm=610.0)
        for volts in (1000.0, 1001.0)
    )
    assert isinstance(at, Computed)
    assert isinstance(above, Computed)

    assert at.value == pytest.approx(1.5 * above.value)


def test_the_2002_current_in_open_air() -> None:
    """IEEE 1584-2002, K = -0.153 from memory; the rest as in the published example: 0.056 less in the logarithm."""
    box, free = (
        CATALOGUE["arc.arcing_current_2002"].at(voltage_v=460.0, bolted_a=34730.0, gap_mm=25.0, enclosure=enclosure)
        for enclosure in ("box", "open")
    )
    assert isinstance(box, Computed)
    assert isinstance(free, Computed)

    assert float(box.extra["lg_arcing_current_ka"]) - float(free.extra["lg_arcing_current_ka"]) == pytest.approx(
        0.056
    )


def test_a_lower_arcing_current_can_give_more_energy() -> None:
    """IEEE 1584-2018 Annex D.2: at 0.319 s the reduced current gives more than the full one at 0.061 s."""
    box = {
        "voltage_v": 480.0,
        "bolted_a": 45000.0,
        "gap_mm": 32.0,
        "distance_mm": 609.6,
        "height_mm": 610.0,
        "width_mm": 610.0,
        "depth_mm": 254.0,
    }
    full = CATALOGUE["arc.energy_2018"].at(**box, arc_s=0.061, current="full")
    reduced = CATALOGUE["arc.energy_2018"].at(**box, arc_s=0.319, current="reduced")
    assert isinstance(full, Computed)
    assert isinstance(reduced, Computed)

    assert reduced.value > full.value


ARC_BOX = {"gap_mm": 32.0, "distance_mm": 609.6, "height_mm": 610.0, "width_mm": 610.0, "depth_mm": 254.0}


def _arc_2018(voltage_v: float, **changed: Any) -> Computed:
    inputs = {**ARC_BOX, "voltage_v": voltage_v, "bolted_a": 20_000.0, "arc_s": 0.1, **changed}
    outcome = CATALOGUE["arc.energy_2018"].at(**inputs)
    assert isinstance(outcome, Computed), outcome
    return outcome


@pytest.mark.parametrize(("voltage_v", "at_model"), [(2700.0, "2700_v"), (14_300.0, "14300_v")])
def test_at_a_model_voltage_nothing_is_carried_over(voltage_v: float, at_model: str) -> None:
    """IEEE 1584-2018, equations 16 to 18."""
    got = _arc_2018(voltage_v).extra

    assert got["arcing_current_a"] == pytest.approx(got[f"arcing_current_{at_model}_a"])


def test_between_600_v_and_2700_v_two_lines_are_weighted() -> None:
    """IEEE 1584-2018, equation 18 at 1650 V: half of each line. At 600 V it meets the low-voltage relation."""
    got = _arc_2018(1650.0).extra
    low, middle, high = (float(got[f"arcing_current_{kv}_v_a"]) for kv in (600, 2700, 14300))
    first, second = (low + middle) / 2, middle - (high - middle) * 1.05 / 11.6

    assert got["arcing_current_a"] == pytest.approx((first + second) / 2)
    assert _arc_2018(600.0).value == pytest.approx(_arc_2018(600.001).value, rel=1e-4)


def test_a_small_deep_box_counts_as_one_of_508_mm() -> None:
    """IEEE 1584-2018, Table 6: 20 in is the least for a typical box."""
    small = _arc_2018(480.0, height_mm=300.0, width_mm=400.0)

    assert small.value == _arc_2018(480.0, height_mm=508.0, width_mm=508.0).value
    assert small.extra["equivalent_box_in"] == pytest.approx(20.0, abs=0.001)


@pytest.mark.parametrize(
    ("voltage_v", "side_mm", "depth_mm", "is_shallow"),
    [
        (599.0, 507.0, 203.2, True),
        (600.0, 507.0, 203.2, False),
        (599.0, 508.0, 203.2, False),
        (599.0, 507.0, 203.3, False),
    ],
)
def test_a_shallow_box_is_left_to_a_study(
    voltage_v: float, side_mm: float, depth_mm: float, is_shallow: bool
) -> None:
    """IEEE 1584-2018: shallow below 600 V, 508 mm (20 in) and to 203.2 mm (8 in) deep; no example proves it."""
    sides = {"height_mm": side_mm, "width_mm": side_mm, "depth_mm": depth_mm}
    outcome = CATALOGUE["arc.energy_2018"].at(
        **{**ARC_BOX, **sides}, voltage_v=voltage_v, bolted_a=20_000.0, arc_s=0.1
    )

    assert isinstance(outcome, OutsideLimits) == is_shallow


@pytest.mark.parametrize(
    ("voltage_v", "bolted_a", "energy", "variation"),
    [
        (208.0, 100_000.0, 13.58123, 0.27690876),
        (2700.0, 60_000.0, 43.783937, 0.089957046),
        (15_000.0, 60_000.0, 48.327907, 0.021693437),
    ],
)
def test_the_2018_figures_far_from_the_examples(
    voltage_v: float, bolted_a: float, energy: float, variation: float
) -> None:
    """Standing: recorded. Holds the small coefficients still, which the published examples hardly feel."""
    got = _arc_2018(voltage_v, bolted_a=bolted_a)

    assert got.value == pytest.approx(energy, rel=1e-6)
    assert got.extra["variation_factor"] == pytest.approx(variation, rel=1e-6)


def test_arc_results_are_for_the_officer_only() -> None:
    arcs = {name for name in CATALOGUE if name.startswith("arc.")}

    assert set(arc.OFFICER_ONLY) == arcs
    assert all(CATALOGUE[name].validity.startswith("officer only") for name in arcs)


BOX_2018 = {"distance_mm": 610.0, "height_mm": 610.0, "width_mm": 610.0, "depth_mm": 610.0, "arc_s": 0.2}


@pytest.mark.parametrize("voltage_kv", [0.601, 0.625, 2.69, 2.71, 2.8, 14.29, 15.0])
def test_the_2018_current_follows_the_published_interpolation(voltage_kv: float) -> None:
    """IEEE 1584-2018, equations 16 to 18 and 4.9 (published): the first line to 2.7 kV, the second above it."""
    outcome = CATALOGUE["arc.energy_2018"].at(voltage_v=1000 * voltage_kv, bolted_a=10_000.0, gap_mm=32.0, **BOX_2018)
    assert isinstance(outcome, Computed)
    at_600, at_2700, at_14300 = (float(outcome.extra[f"arcing_current_{v}_v_a"]) for v in (600, 2700, 14300))
    first = (at_2700 - at_600) / 2.1 * (voltage_kv - 2.7) + at_2700
    second = (at_14300 - at_2700) / 11.6 * (voltage_kv - 14.3) + at_14300
    third = first * (2.7 - voltage_kv) / 2.1 + second * (voltage_kv - 0.6) / 2.1

    assert outcome.extra["arcing_current_a"] == pytest.approx(third if voltage_kv <= 2.7 else second)


def test_the_2018_ranges_change_above_600_v() -> None:
    """IEEE 1584-2018, 4.2 (published): to 600 V gaps from 6.35 mm, above from 19.05 mm."""
    at, above = (
        CATALOGUE["arc.energy_2018"].at(voltage_v=v, bolted_a=10_000.0, gap_mm=13.0, **BOX_2018)
        for v in (600.0, 601.0)
    )

    assert isinstance(at, Computed)
    assert isinstance(above, OutsideLimits)
    assert "19.05" in above.limit
