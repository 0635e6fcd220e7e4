"""Oil calculations against general-purpose libraries over random input inside the validity range.

`fluids` 1.3 gives pipe bores, heads, laminar and plate flow, loss coefficients and the volume of a lying cylinder;
`scipy` integrates drains and throws and solves for pressures, without the closed relations of the program.
"""

from __future__ import annotations

import math
from random import Random
from typing import Any

import pytest
from fluids import nearest_pipe
from fluids.core import P_from_head, Reynolds, dP_from_K
from fluids.fittings import entrance_sharp
from fluids.flow_meter import flow_meter_discharge
from fluids.friction import one_phase_dP
from fluids.geometry import A_partial_circle
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed
from tests.numbers.reading_cases import table

CATALOGUE = complete_catalogue()
G = 9.81
ATMOSPHERE_KPA = 101.325
DRAWS = 100
pytestmark = pytest.mark.slow


def _computed(name: str, **inputs: Any) -> Computed:
    outcome = CATALOGUE[name].at(**inputs)
    assert isinstance(outcome, Computed), f"{inputs}: {outcome}"
    return outcome


def _draws(seed: int) -> list[Random]:
    return [Random(seed * 1000 + draw) for draw in range(DRAWS)]


def test_head_pressure_agrees_with_fluids() -> None:
    for random in _draws(1):
        density, head, cushion = random.uniform(500, 2000), random.uniform(0, 100), random.uniform(-9e4, 1e6)
        got = _computed("hydrostatics.head_pressure_pa", density_kg_per_m3=density, head_m=head, cushion_pa=cushion)

        assert got.value == pytest.approx(cushion + P_from_head(head, density, G), rel=1e-12, abs=1e-6)


def test_flow_from_an_open_bore_spends_the_pressure_as_a_loss_of_one_over_cd_squared() -> None:
    """Outlet and losses of a stub as one loss coefficient, solved for the speed by `brentq`."""
    for random in _draws(2):
        state = {
            "head_m": random.uniform(0.5, 20),
            "cushion_kpa": random.uniform(0, 60),
            "liquid": random.choice(["mineral", "natural_ester", "synthetic_ester", "silicone"]),
            "oil_c": random.uniform(-20, 100),
        }
        bore_mm = random.uniform(6, 150)
        density = _computed("oil.density", liquid=state["liquid"], oil_c=state["oil_c"]).value
        pressure = 1000 * _computed("oil.valve_pressure_kpa", **state).value
        speed = brentq(lambda v, p=pressure, d=density: dP_from_K(1 / 0.82**2, d, v) - p, 0, 100)
        got = _computed("oil.open_bore_flow_l_per_s", **state, bore_mm=bore_mm)

        assert got.value == pytest.approx(speed * A_partial_circle(bore_mm, bore_mm) / 1000, rel=1e-9)


def test_pressure_after_bleeding_keeps_pressure_times_volume() -> None:
    for random in _draws(3):
        cushion_kpa, volume_l, bleed_l = (
            random.uniform(-70, 100),
            random.uniform(1, 20000),
            random.uniform(0, 20),
        )
        level = {"head_m": 0.0, "liquid": "mineral", "oil_c": 20.0, "breathing": "hermetic"}
        got = _computed(
            "oil.pressure_after_bleed_kpa",
            **level,
            cushion_kpa=cushion_kpa,
            bleed_l=bleed_l,
            cushion_l=volume_l,
        )
        before = (cushion_kpa + ATMOSPHERE_KPA) * volume_l
        wanted = brentq(lambda p, b=before, v=volume_l + bleed_l: (p + ATMOSPHERE_KPA) * v - b, -ATMOSPHERE_KPA, 200)

        assert got.value == pytest.approx(wanted, abs=1e-6)


def test_orifice_flow_agrees_with_an_energy_balance_that_counts_the_approach() -> None:
    for random in _draws(4):
        coefficient = random.uniform(0.5, 1)
        given = {
            "density_kg_per_m3": random.uniform(700, 1100),
            "head_m": random.uniform(0.1, 20),
            "cushion_pa": random.uniform(0, 1e5),
            "bore_mm": random.uniform(5, 200),
            "tank_diameter_m": random.uniform(0.3, 3),
        }
        pressure = P_from_head(given["head_m"], given["density_kg_per_m3"], G) + given["cushion_pa"]
        bore_m = given["bore_mm"] / 1000
        tank_m = given["tank_diameter_m"]
        approach = A_partial_circle(bore_m, bore_m) / A_partial_circle(tank_m, tank_m)
        speed = brentq(
            lambda v, p=pressure, d=given["density_kg_per_m3"], k=1 - approach**2: dP_from_K(k, d, v) - p,
            0,
            200,
        )
        got = _computed("flow.orifice_flow_m3_per_s", **given, discharge_coefficient=coefficient)

        assert got.value == pytest.approx(coefficient * speed * A_partial_circle(bore_m, bore_m), rel=1e-9)


def test_plate_flow_and_reynolds_number_agree_with_fluids() -> None:
    for random in _draws(5):
        pipe_mm = random.uniform(10, 500)
        given = {
            "density_kg_per_m3": random.uniform(700, 1100),
            "dynamic_viscosity_pa_s": random.uniform(0.001, 1),
            "pipe_bore_mm": pipe_mm,
            "orifice_bore_mm": pipe_mm * random.uniform(0.2, 0.75),
            "pressure_drop_pa": random.uniform(100, 1e5),
            "coefficient": random.uniform(0.55, 0.9),
        }
        got = _computed("flow.orifice_plate_flow_m3_per_s", **given)
        mass = flow_meter_discharge(
            D=pipe_mm / 1000,
            Do=given["orifice_bore_mm"] / 1000,
            P1=3e5,
            P2=3e5 - given["pressure_drop_pa"],
            rho=given["density_kg_per_m3"],
            C=given["coefficient"],
        )
        mean_speed = got.value / A_partial_circle(pipe_mm / 1000, pipe_mm / 1000)
        reynolds = Reynolds(
            V=mean_speed,
            D=pipe_mm / 1000,
            rho=given["density_kg_per_m3"],
            mu=given["dynamic_viscosity_pa_s"],
        )

        assert got.value == pytest.approx(mass / given["density_kg_per_m3"], rel=1e-9)
        assert got.extra["pipe_reynolds"] == pytest.approx(reynolds, rel=1e-9)


def test_a_jet_lands_where_its_path_integrated_step_by_step_lands() -> None:
    for random in _draws(6):
        head, drop, coefficient = (
            random.uniform(0.2, 20),
            random.uniform(0.05, 10),
            random.uniform(0.9, 1),
        )
        speed = _computed("flow.jet_speed_m_per_s", head_m=head, velocity_coefficient=coefficient).value

        def ground(_t: float, state: list[float], drop: float = drop) -> float:
            return state[1] + drop

        ground.terminal = True  # type: ignore[attr-defined]
        path = solve_ivp(lambda _t, s, v=speed: [v, s[2], -G], (0, 60), [0.0, 0.0, 0.0], events=ground, rtol=1e-9)
        got = _computed("flow.jet_throw_m", head_m=head, drop_m=drop, velocity_coefficient=coefficient)

        assert got.value == pytest.approx(path.y_events[0][0][0], rel=1e-6)


def test_an_upright_vessel_drains_as_its_level_integrated_step_by_step() -> None:
    for random in _draws(7):
        area, bore_mm, start = random.uniform(0.5, 20), random.uniform(10, 100), random.uniform(0.5, 8)
        end, coefficient = start * random.uniform(0.05, 0.9), random.uniform(0.5, 1)
        outlet = coefficient * A_partial_circle(bore_mm / 1000, bore_mm / 1000)

        def empty(_t: float, level: list[float], end: float = end) -> float:
            return level[0] - end

        empty.terminal = True  # type: ignore[attr-defined]
        fall = solve_ivp(
            lambda _t, h, o=outlet, a=area: [-o * math.sqrt(2 * G * max(h[0], 0)) / a],
            (0, 1e7),
            [start],
            events=empty,
            rtol=1e-9,
            atol=1e-12,
        )
        given = {
            "vessel_area_m2": area,
            "bore_mm": bore_mm,
            "level_start_m": start,
            "level_end_m": end,
            "discharge_coefficient": coefficient,
        }
        got = _computed("drain.upright_vessel_s", **given)
        back = {k: v for k, v in given.items() if k != "discharge_coefficient"}
        sized = {k: v for k, v in given.items() if k != "bore_mm"}

        assert got.value == pytest.approx(fall.t_events[0][0], rel=1e-5)
        assert _computed("drain.coefficient_from_fall", **back, time_s=got.value).value == pytest.approx(
            coefficient, rel=1e-9
        )
        assert _computed("drain.bore_for_time_mm", **sized, time_s=got.value).value == pytest.approx(
            bore_mm, rel=1e-9
        )


def test_a_conservator_above_its_outlet_drains_as_its_volume_says() -> None:
    """Integral of dV / Q by parts, with the volume from `fluids` instead of the surface of the program."""
    for random in _draws(8):
        diameter, length, below = random.uniform(0.3, 3), random.uniform(0.5, 10), random.uniform(0.2, 10)
        start = diameter * random.uniform(0.3, 1)
        end = start * random.uniform(0, 0.9)
        bore_mm, coefficient = random.uniform(10, 150), random.uniform(0.5, 1)
        per_root = coefficient * A_partial_circle(bore_mm / 1000, bore_mm / 1000) * math.sqrt(2 * G)

        def volume(level: float, d: float = diameter, length: float = length) -> float:
            return length * float(A_partial_circle(d, level)) if level > 0 else 0.0

        ends = volume(start) / math.sqrt(start + below) - volume(end) / math.sqrt(end + below)
        rest, _ = quad(lambda h, b=below, volume=volume: volume(h) / 2 * (h + b) ** -1.5, end, start, epsrel=1e-10)
        got = _computed(
            "drain.lying_cylinder_s",
            length_m=length,
            diameter_m=diameter,
            bore_mm=bore_mm,
            level_start_m=start,
            level_end_m=end,
            height_above_outlet_m=below,
            discharge_coefficient=coefficient,
        )

        assert got.value == pytest.approx((ends + rest) / per_root, rel=1e-6)
        assert got.extra["flow_start_l_per_s"] == pytest.approx(1000 * per_root * math.sqrt(start + below))


def test_a_lying_cylinder_with_its_outlet_at_the_bottom_follows_the_printed_relation() -> None:
    """t = 4 L ((D - h2)^1.5 - (D - h1)^1.5) / (3 Cd a sqrt(2 g)), B. K. Sarkar, example 4.9."""
    for random in _draws(9):
        diameter, length, bore_mm = random.uniform(0.3, 3), random.uniform(0.5, 10), random.uniform(10, 150)
        start = diameter * random.uniform(0.2, 1)
        end = start * random.uniform(0, 0.95)
        outlet = 0.8 * A_partial_circle(bore_mm / 1000, bore_mm / 1000)
        printed = 4 * length * ((diameter - end) ** 1.5 - (diameter - start) ** 1.5)
        got = _computed(
            "drain.lying_cylinder_s",
            length_m=length,
            diameter_m=diameter,
            bore_mm=bore_mm,
            level_start_m=start,
            level_end_m=end,
            height_above_outlet_m=0.0,
            discharge_coefficient=0.8,
        )

        assert got.value == pytest.approx(printed / (3 * outlet * math.sqrt(2 * G)), rel=1e-6)


def test_laminar_pressure_drop_and_bleed_flow_agree_with_fluids() -> None:
    for random in _draws(10):
        density, viscosity = random.uniform(800, 1000), random.uniform(0.02, 5)
        bore_mm, length = random.uniform(2, 60), random.uniform(0.1, 20)
        speed = random.uniform(0.05, 0.95) * min(2000 * viscosity / density / (bore_mm / 1000), 40)
        drop = _computed(
            "viscous.tube_pressure_drop_pa",
            density_kg_per_m3=density,
            dynamic_viscosity_pa_s=viscosity,
            bore_mm=bore_mm,
            length_m=length,
            speed_m_per_s=speed,
        )
        flow = speed * A_partial_circle(bore_mm / 1000, bore_mm / 1000)
        wanted = one_phase_dP(m=flow * density, rho=density, mu=viscosity, D=bore_mm / 1000, L=length)

        assert drop.value == pytest.approx(wanted, rel=1e-9)
        assert drop.extra["reynolds"] == pytest.approx(
            Reynolds(V=speed, D=bore_mm / 1000, rho=density, mu=viscosity), rel=1e-9
        )
        if wanted <= 500e3:
            bled = _computed(
                "viscous.bleed_flow_l_per_min",
                pressure_kpa=wanted / 1000,
                density_kg_per_m3=density,
                kinematic_viscosity_mm2_per_s=viscosity / density * 1e6,
                bore_mm=bore_mm,
                length_m=length,
            )
            assert bled.value == pytest.approx(flow * 60000, rel=1e-9)


def test_a_bleed_tube_drains_as_its_level_integrated_step_by_step() -> None:
    for random in _draws(11):
        density, viscosity, bore_mm = (
            random.uniform(800, 1000),
            random.uniform(0.3, 2),
            random.uniform(4, 20),
        )
        area, length, start = random.uniform(0.1, 5), random.uniform(0.5, 5), random.uniform(0.3, 3)
        end = start * random.uniform(0.2, 0.95)
        bore_m = bore_mm / 1000

        def flow(level: float, d: float = density, mu: float = viscosity, b: float = bore_m) -> float:
            per_flow = one_phase_dP(m=1e-6 * d, rho=d, mu=mu, D=b, L=1.0) / 1e-6
            return float(P_from_head(level, d, G) / per_flow)

        def reached(_t: float, level: list[float], end: float = end) -> float:
            return level[0] - end

        reached.terminal = True  # type: ignore[attr-defined]
        fall = solve_ivp(
            lambda _t, h, a=area, length=length, flow=flow: [-flow(h[0]) / length / a],
            (0, 1e10),
            [start],
            events=reached,
            rtol=1e-8,
            atol=1e-10,
        )
        got = _computed(
            "viscous.tube_drain_s",
            vessel_area_m2=area,
            bore_mm=bore_mm,
            length_m=length,
            dynamic_viscosity_pa_s=viscosity,
            density_kg_per_m3=density,
            level_start_m=start,
            level_end_m=end,
        )

        assert got.value == pytest.approx(fall.t_events[0][0], rel=1e-4)


@pytest.mark.parametrize(("size", "inches"), [("1", 1), ("1-1/2", 1.5), ("2", 2)])
def test_pipe_bores_agree_with_fluids(size: str, inches: float) -> None:
    """`fluids` follows ASME B36.10M-2004 in whole hundredths of a millimetre and one more on some sizes."""
    _, bore_m, outside_m, wall_m = nearest_pipe(NPS=inches, schedule="40")
    got = _computed("threads.pipe_bore_mm", table=table("pipe_bore_schedule_40"), size=size)

    assert got.value == pytest.approx(bore_m * 1000, abs=0.06)
    assert got.extra["outside_diameter_mm"] == pytest.approx(outside_m * 1000, abs=0.06)
    assert got.extra["wall_mm"] == pytest.approx(wall_m * 1000, abs=0.01)


@pytest.mark.parametrize("method", ["Swamee", "Blevins", "Idelchik", "Crane"])
def test_the_short_tube_of_the_textbooks_follows_from_the_entrance_loss(method: str) -> None:
    got = _computed("flow.coefficient_from_loss", entrance_loss_coefficient=entrance_sharp(method=method))

    assert got.value == pytest.approx(0.82, abs=0.005)
