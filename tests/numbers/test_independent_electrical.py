"""Electrical calculations against general-purpose libraries over random input: scipy, numpy and pandapower.

Interpolation, the equations of a network, and the differential equation of a discharge are solved by the
library; nothing here repeats a relation of ours.
"""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import interp1d

from riskhelper.calc import matrix_axioms
from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed
from tests.numbers.reading_cases import table

pytestmark = pytest.mark.slow
CATALOGUE = complete_catalogue()
TRIES = 200
NETWORKS = 50


def _computed(name: str, **inputs: Any) -> Computed:
    outcome = CATALOGUE[name].at(**inputs)
    assert isinstance(outcome, Computed), outcome
    return outcome


def test_distances_between_rows_agree_with_a_library_interpolation() -> None:
    """scipy.interpolate.interp1d; ours is the next centimetre at or above."""
    en, chance = table("en_50110_1_a1"), random.Random("distance")
    rows = np.array([row for row in en.rows if float(row[0]) >= 3], dtype=float)
    inner, outer = interp1d(rows[:, 0], rows[:, 1]), interp1d(rows[:, 0], rows[:, 2])

    for _ in range(TRIES):
        kv = chance.uniform(3.0, 700.0)
        for person, line in (("skilled", inner), ("ordinary", outer)):
            ours = _computed(
                "approach.no_closer_distance", table=en, voltage_kv=kv, altitude_m=0.0, person=person
            ).value
            assert -1e-9 <= ours - float(line(kv)) < 0.01 + 1e-9


@pytest.mark.parametrize("edition", ["iec_479_1_1984", "iec_60479_1_2005"])
def test_body_current_agrees_with_a_library_interpolation(edition: str) -> None:
    """scipy.interpolate.interp1d over the impedance table."""
    body, chance = table(edition), random.Random(edition)
    rows = np.array(body.rows, dtype=float)

    for _ in range(TRIES):
        touch_v, column = chance.uniform(25.0, 1000.0), chance.randint(1, 3)
        ours = _computed(
            "shock.body_current", table=body, touch_v=touch_v, percentile=("5", "50", "95")[column - 1]
        ).value
        assert ours == pytest.approx(touch_v / float(interp1d(rows[:, 0], rows[:, column])(touch_v)))


@pytest.mark.filterwarnings("ignore::FutureWarning", "ignore:Calculation does not support calculation of voltages")
def test_fault_current_agrees_with_a_power_network_library() -> None:
    """pandapower's short circuit by IEC 60909: a network feeder, identical transformers, a fault at the low side."""
    import pandapower  # here, as it takes seconds and the quick tests only collect this module
    from pandapower import shortcircuit

    chance = random.Random("network")
    for _ in range(NETWORKS):
        mva, ratio, count = chance.uniform(20, 5000), chance.uniform(0, 1), chance.randint(1, 4)
        kva, percent = chance.uniform(50, 3150), chance.uniform(3, 10)
        resistive = chance.uniform(0.1, 0.5) * percent
        tolerance_pct = chance.choice((6, 10))  # of the low voltage: c_max 1.05 or 1.10
        ours = _computed(
            "fault_current.by_iec_60909",
            upstream_mva=mva,
            upstream_r_over_x=ratio,
            hv_nominal_kv=20.0,
            hv_c=1.1,
            transformers=float(count),
            rated_kva=kva,
            rated_hv_kv=21.0,
            rated_lv_v=410.0,
            impedance_pct=percent,
            resistive_pct=resistive,
            lv_nominal_v=400.0,
            lv_c=1.05 if tolerance_pct == 6 else 1.1,
        )
        net = pandapower.create_empty_network(f_hz=50)
        high, low = pandapower.create_bus(net, vn_kv=20.0), pandapower.create_bus(net, vn_kv=0.4)
        pandapower.create_ext_grid(net, high, s_sc_max_mva=mva, rx_max=ratio)
        for _ in range(count):
            pandapower.create_transformer_from_parameters(
                net,
                high,
                low,
                sn_mva=kva / 1000,
                vn_hv_kv=21.0,
                vn_lv_kv=0.41,
                vk_percent=percent,
                vkr_percent=resistive,
                pfe_kw=0.0,
                i0_percent=0.0,
            )
        shortcircuit.calc_sc(net, case="max", fault="3ph", bus=low, lv_tol_percent=tolerance_pct)

        assert ours.value == pytest.approx(1000 * net.res_bus_sc.ikss_ka[low], rel=1e-9)


def test_magnitudes_added_never_give_less_impedance_than_the_complex_sum() -> None:
    """The simple relation against numpy's complex sum: never above it, and within 10 % for real networks."""
    chance = random.Random("magnitudes")
    for _ in range(TRIES):
        kva, percent, mva = chance.uniform(50, 3150), chance.uniform(4, 6), chance.uniform(100, 1000)
        simple = _computed(
            "fault_current.with_upstream",
            rated_kva=kva,
            no_load_v=420.0,
            impedance_pct=percent,
            upstream_mva=mva,
        ).value
        resistive = chance.uniform(0.1, 0.35) * percent
        own = complex(resistive, math.sqrt(percent**2 - resistive**2)) / 100 * 420.0**2 / (1000 * kva)
        network = complex(0.0995, 0.995) * 420.0**2 / (1e6 * mva)
        exact = 420.0 / (math.sqrt(3) * np.abs(np.sum([own, network])))

        assert 0.9 * exact <= simple <= exact * (1 + 1e-4)


def test_a_discharge_agrees_with_the_integrated_equation() -> None:
    """scipy.integrate.solve_ivp on C dv/dt = -v / R, and the time at which it crosses the end voltage."""
    chance = random.Random("discharge")
    for _ in range(20):
        capacitance_f, resistance_ohm = 10 ** chance.uniform(-7, -2), 10 ** chance.uniform(2, 6)
        start_v = chance.uniform(60, 1000)
        end_v = chance.uniform(0.05, 0.95) * start_v
        constant_s = capacitance_f * resistance_ohm

        def slope(_: float, v: Any, constant_s: float = constant_s) -> Any:
            return -v / constant_s

        def at_end(_: float, v: Any, end_v: float = end_v) -> float:
            return float(v[0] - end_v)

        solved = solve_ivp(
            slope, (0, 4 * constant_s), [start_v], events=at_end, dense_output=True, rtol=1e-10, atol=1e-9
        )
        inputs = {"capacitance_f": capacitance_f, "resistance_ohm": resistance_ohm, "start_v": start_v}
        time_s = _computed("capacitor.discharge_time", **inputs, end_v=end_v).value
        moment_s = chance.uniform(0, 4) * constant_s
        left_v = _computed("capacitor.voltage_left", **inputs, time_s=moment_s).value

        assert time_s == pytest.approx(solved.t_events[0][0], rel=1e-6)
        assert left_v == pytest.approx(float(solved.sol(moment_s)[0]), rel=1e-6)


def test_the_impulse_through_a_body_agrees_with_the_integral() -> None:
    """scipy.integrate.quad of i^2 over three time constants; the book drops exp(-6), 0.12 % of the current."""
    chance = random.Random("impulse")
    for _ in range(50):
        capacitance_f, voltage_v = 10 ** chance.uniform(-8, -4), chance.uniform(100, 20_000)
        body_ohm = chance.uniform(300, 5000)
        ours = _computed(
            "capacitor.body_impulse", capacitance_f=capacitance_f, voltage_v=voltage_v, body_ohm=body_ohm
        )
        constant_s = body_ohm * capacitance_f

        def squared(t: float, peak_a: float = voltage_v / body_ohm, constant_s: float = constant_s) -> float:
            return (peak_a * math.exp(-t / constant_s)) ** 2

        heat, _ = quad(squared, 0, 3 * constant_s)
        total, _ = quad(squared, 0, 40 * constant_s)

        assert ours.value == pytest.approx(math.sqrt(heat / (3 * constant_s)), rel=0.0013)
        assert ours.extra["energy_j"] == pytest.approx(total * body_ohm, rel=1e-6)


def test_cells_of_a_matrix_agree_with_a_library() -> None:
    """numpy.digitize with the upper edge inclusive."""
    chance = random.Random("cells")
    for _ in range(TRIES):
        size = chance.randint(2, 10)
        shares = [chance.uniform(0.001, 1.0) for _ in range(4)]
        edges = np.linspace(0, 1, size + 1)[1:-1]
        cells = np.digitize(shares, edges, right=True) + 1
        ours = _computed(
            "matrix_axioms.rank_comparison",
            size=float(size),
            probability_1=shares[0],
            consequence_1=shares[1],
            probability_2=shares[2],
            consequence_2=shares[3],
        )

        assert ours.extra["score_1"] == cells[0] * cells[1]
        assert ours.extra["score_2"] == cells[2] * cells[3]
        assert (ours.extra["order_reversed"] == "yes") == (
            np.sign(shares[0] * shares[1] - shares[2] * shares[3])
            * np.sign(cells[0] * cells[1] - cells[2] * cells[3])
            < 0
        )


def test_axioms_of_random_matrices_agree_with_array_arithmetic() -> None:
    """The same conditions as numpy differences and slices."""
    chance = random.Random("axioms")
    for _ in range(TRIES):
        height, width = chance.randint(2, 5), chance.randint(2, 5)
        rows = ["".join(chance.choice("GYR") for _ in range(width)) for _ in range(height)]
        ranks = np.array([["GYR".index(cell) for cell in row] for row in rows])[::-1]
        ours = matrix_axioms.check_axioms(rows)
        up, right = np.diff(ranks, axis=0), np.diff(ranks, axis=1)
        diagonal = ranks[1:, 1:] - ranks[:-1, :-1]

        assert ours.red_green_shared_edges == np.sum(np.abs(up) == 2) + np.sum(np.abs(right) == 2)
        assert len(ours.betweenness_violations) == sum(int(np.sum(d == 2)) for d in (up, right, diagonal))
        assert ours.is_monotone == bool(np.all(up >= 0) and np.all(right >= 0))
        assert ours.border_is_green == (not ranks[0].any() and not ranks[:, 0].any())
        assert ours.second_line_is_not_red == (2 not in ranks[1] and 2 not in ranks[:, 1])
        assert len(ours.red_in_lowest_row_or_column) == np.sum(ranks[0] == 2) + np.sum(ranks[1:, 0] == 2)
