"""Physical calculations against general-purpose libraries over random input inside the validity range.

`pythermalcomfort` 4.8 gives wind chill, heat index (Rothfusz in degC) and WBGT; `astral` 3.2 the times
of the sun; `scipy` integrates falls and noise and interpolates tables without the relations of the program.
"""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import Any

import pytest
from astral import Observer
from astral.sun import dawn, dusk, eq_of_time, sun_declination, sunrise, sunset
from pythermalcomfort.models import heat_index_rothfusz, wbgt, wind_chill_temperature
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import RegularGridInterpolator
from scipy.optimize import brentq, minimize_scalar
from scipy.special import logsumexp

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed
from riskhelper.calc.daylight import sun_position
from riskhelper.interval import Interval
from tests.numbers.reading_cases import resolved, table

CATALOGUE = complete_catalogue()
G = 9.81
DRAWS = 200
pytestmark = pytest.mark.slow


def _computed(name: str, **inputs: Any) -> Computed:
    outcome = CATALOGUE[name].at(**{key: resolved(given) for key, given in inputs.items()})
    assert isinstance(outcome, Computed), f"{inputs}: {outcome}"
    return outcome


def _draws(seed: int, count: int = DRAWS) -> list[Random]:
    return [Random(seed * 1000 + draw) for draw in range(count)]


# Weather --------------------------------------------------------------------------------------------------


def test_wind_chill_agrees_with_pythermalcomfort() -> None:
    for random in _draws(1):
        air_c, wind_km_per_h = random.uniform(-50, 10), random.uniform(5, 80)
        wanted = wind_chill_temperature(tdb=air_c, v=wind_km_per_h, round_output=False).wct
        got = _computed("cold.wind_chill_c", air_c=air_c, wind_m_per_s=wind_km_per_h / 3.6)

        assert got.value == pytest.approx(float(wanted), abs=1e-6)


def test_heat_index_without_corrections_agrees_with_the_polynomial_in_degrees_celsius() -> None:
    """The library has no corrections and rounds its coefficients for degC: 13 to 85 percent, within 0.02 K."""
    compared = 0
    for random in _draws(2):
        air_c, humidity_pct = random.uniform(27, 43), random.uniform(13, 85)
        wanted = float(heat_index_rothfusz(tdb=air_c, rh=humidity_pct, round_output=False).hi)
        if not 27.5 < wanted < 58:
            continue
        compared += 1
        got = _computed("heat.index_c", air_c=air_c, humidity_pct=humidity_pct)

        assert got.value == pytest.approx(wanted, abs=0.02), (air_c, humidity_pct)

    assert compared > DRAWS / 4


def test_wet_bulb_globe_temperature_agrees_with_pythermalcomfort() -> None:
    for random in _draws(3):
        wet_c, globe_c, air_c = (random.uniform(10, 40) for _ in range(3))
        shade = wbgt(twb=wet_c, tg=globe_c, round_output=False).wbgt
        sun = wbgt(twb=wet_c, tg=globe_c, tdb=air_c, with_solar_load=True, round_output=False).wbgt

        assert _computed("heat.wbgt_shade_c", natural_wet_bulb_c=wet_c, globe_c=globe_c).value == pytest.approx(shade)
        assert _computed(
            "heat.wbgt_sun_c", natural_wet_bulb_c=wet_c, globe_c=globe_c, air_c=air_c
        ).value == pytest.approx(sun)


def test_beaufort_bounds_follow_the_power_law_of_the_scale() -> None:
    """v = 0.836 B^1.5 at half forces (from memory, to be confirmed); the scale is printed to 0.1 m/s."""
    for force, _, from_m_per_s, _, _ in table("beaufort").rows[1:]:
        assert float(from_m_per_s) == pytest.approx(0.836 * (float(force) - 0.5) ** 1.5, abs=0.11)


# Daylight -------------------------------------------------------------------------------------------------


def test_the_position_of_the_sun_agrees_with_astral() -> None:
    for random in _draws(14):
        day = date(1950, 1, 1) + timedelta(days=random.randrange(0, 365 * 150))
        minutes = random.uniform(0, 1440)
        century = (day.toordinal() - date(2000, 1, 1).toordinal() + (minutes - 720) / 1440) / 36525
        equation_min, declination = sun_position(day, minutes)

        assert equation_min == pytest.approx(eq_of_time(century), abs=1e-6)
        assert math.degrees(declination) == pytest.approx(sun_declination(century), abs=1e-6)


EVENTS = {"sunrise": sunrise, "sunset": sunset, "dawn": dawn, "dusk": dusk}


@pytest.mark.parametrize("event", EVENTS)
def test_the_sun_agrees_with_astral(event: str) -> None:
    """Compared on the clock, because the library works on the UTC date: a minute a day later at 60 degrees."""
    worst_min = 0.0
    for random in _draws(4):
        day = date(2000, 1, 1) + timedelta(days=random.randrange(0, 365 * 50))
        latitude, longitude = random.uniform(-60, 60), random.uniform(-180, 180)
        place = {"local_date": day.isoformat(), "latitude_deg": latitude, "longitude_east_deg": longitude}
        outcome = CATALOGUE[f"daylight.{event}_min"].at(**place)
        if not isinstance(outcome, Computed):
            continue
        at = datetime(day.year, day.month, day.day, tzinfo=UTC) + timedelta(minutes=outcome.value)
        days = [EVENTS[event](Observer(latitude, longitude), date=at.date() + timedelta(days=d)) for d in (-1, 0, 1)]
        on_the_clock = [((day - at).total_seconds() + 43200) % 86400 - 43200 for day in days]
        nearest = min(abs(seconds) for seconds in on_the_clock)
        worst_min = max(worst_min, nearest / 60)

    assert 0 < worst_min < 1.5


# Falls ----------------------------------------------------------------------------------------------------


def test_a_dropped_thing_integrated_step_by_step_arrives_with_the_same_speed_and_energy() -> None:
    for random in _draws(5, 50):
        mass_kg, height_m = random.uniform(0.1, 50), random.uniform(0.2, 30)

        def lands(_: float, y: Any, h: float = height_m) -> float:
            return float(y[0] - h)

        lands.terminal = True  # type: ignore[attr-defined]
        path = solve_ivp(lambda _, y: (y[1], G), (0, 10), (0.0, 0.0), events=lands, rtol=1e-10, atol=1e-12)
        speed = path.y_events[0][0][1]
        got = _computed("lift.drop_energy_j", mass_kg=mass_kg, height_m=height_m)

        assert got.extra["impact_speed_m_per_s"] == pytest.approx(speed, rel=1e-6)
        assert got.value == pytest.approx(mass_kg * speed**2 / 2, rel=1e-6)


def test_the_mean_arrest_force_brings_the_body_to_rest() -> None:
    for random in _draws(6):
        mass_kg, free_fall_m, stopping_m = random.uniform(50, 140), random.uniform(0.1, 4), random.uniform(0.3, 2)

        def energy_left(force_n: float, m: float = mass_kg, h: float = free_fall_m, s: float = stopping_m) -> float:
            fallen = quad(lambda _: m * G, 0, h + s)[0]
            return float(fallen - quad(lambda _: force_n, 0, s)[0])

        got = _computed("height.mean_arrest_force_n", mass_kg=mass_kg, free_fall_m=free_fall_m, stopping_m=stopping_m)

        assert got.value == pytest.approx(brentq(energy_left, 0, 1e7), rel=1e-6)


def test_the_lowest_point_of_a_swing_lies_below_the_anchor_by_the_length_of_the_line() -> None:
    for random in _draws(7):
        height_m, offset_m = random.uniform(0.5, 20), random.uniform(0.1, 10)
        line_m = abs(complex(offset_m, height_m))
        lowest = minimize_scalar(lambda a, r=line_m: -r * math.cos(a), bounds=(-1.0, 1.0), method="bounded")
        got = _computed("height.swing_drop_m", anchor_above_dring_m=height_m, offset_m=offset_m)

        assert got.value == pytest.approx(-lowest.fun - height_m, abs=1e-6)


def test_the_ladder_angle_closes_the_triangle() -> None:
    for random in _draws(8):
        height_m, offset_m = random.uniform(1, 10), random.uniform(0.2, 5)
        angle = brentq(lambda a, h=height_m, o=offset_m: o * math.tan(a) - h, 1e-6, math.pi / 2 - 1e-6)
        got = _computed("height.ladder_angle_deg", support_height_m=height_m, foot_offset_m=offset_m)

        assert got.value == pytest.approx(math.degrees(angle), abs=1e-6)


# Lifting --------------------------------------------------------------------------------------------------


def test_the_frequency_multiplier_agrees_with_linear_interpolation() -> None:
    printed = table("lift_frequency")
    rates = [float(row[0]) for row in printed.rows]
    columns = [[float(cell) for cell in row[1:]] for row in printed.rows]
    between = RegularGridInterpolator((rates, list(range(6))), columns, method="linear")
    for random in _draws(9):
        rate, duration, origin_m = random.uniform(0.2, 15), random.randrange(3), random.uniform(0, 1.7)
        column = 2 * duration + (origin_m >= 0.75)
        got = _computed(
            "lift.frequency_multiplier",
            frequency_per_min=rate,
            duration=("short", "moderate", "long")[duration],
            origin_height_m=origin_m,
            frequencies=printed,
        )

        assert got.value == pytest.approx(float(between((rate, column))), abs=1e-12)


def test_the_us_form_of_the_equation_lies_within_four_percent() -> None:
    """NIOSH 94-110: 51 lb, 10/H, 1 - 0.0075 |V - 30|, 0.82 + 1.8/D, inches.

    51 lb is 0.6 percent above 23 kg, 10 in 1.6 above 25 cm, high hands 1.2: together below 4 percent.
    """
    for random in _draws(10):
        reach_in, hands_in, travel_in = random.uniform(10, 24.8), random.uniform(0, 68.9), random.uniform(10, 68.9)
        twist_deg = random.uniform(0, 135)
        pounds = 51 * 10 / reach_in * (1 - 0.0075 * abs(hands_in - 30)) * (0.82 + 1.8 / travel_in)
        pounds *= (1 - 0.0032 * twist_deg) * 0.9
        got = _computed(
            "lift.recommended_weight_kg",
            horizontal_m=reach_in * 0.0254,
            vertical_m=hands_in * 0.0254,
            origin_height_m=0.5,
            travel_m=travel_in * 0.0254,
            asymmetry_deg=twist_deg,
            frequency_per_min=0.2,
            duration="short",
            coupling="poor",
            frequencies="table:lift_frequency",
        )

        assert got.value == pytest.approx(pounds * 0.45359237, rel=0.04)


def test_the_enclosure_of_the_index_holds_the_extremes_a_search_finds() -> None:
    entry = CATALOGUE["lift.index_worst"]
    for random in _draws(11, 60):
        low_m = random.uniform(0, 1.6)
        high_m = random.uniform(low_m, 1.75)
        rest = {
            "unit_kg": random.uniform(1, 30),
            "heaviest_kg": random.uniform(0, 10),
            "reach_m": random.uniform(0.2, 0.63),
            "twist_deg": random.uniform(0, 135),
        }
        box = {key: Interval.exactly(value) for key, value in rest.items()} | {"hand_m": Interval(low_m, high_m)}
        enclosure = entry.over(box).range
        for sign in (1, -1):
            found = minimize_scalar(
                lambda hand_m, s=sign, r=rest: s * entry.at(hand_m=hand_m, **r).value,
                bounds=(low_m, high_m),
                method="bounded",
            )
            assert enclosure.low - 1e-9 <= sign * found.fun <= enclosure.high + 1e-9


# Noise ----------------------------------------------------------------------------------------------------


def test_the_daily_exposure_agrees_with_a_sum_of_exponentials() -> None:
    for random in _draws(12):
        levels = [random.uniform(60, 120) for _ in range(3)]
        hours = [random.uniform(0.1, 8) for _ in range(3)]
        wanted = (
            10 / math.log(10) * logsumexp([level * math.log(10) / 10 for level in levels], b=[h / 8 for h in hours])
        )
        names = ("first", "second", "third")
        given = {f"{n}_dba": level for n, level in zip(names, levels, strict=True)}
        given |= {f"{n}_h": h for n, h in zip(names, hours, strict=True)}

        assert _computed("noise.daily_dba", **given).value == pytest.approx(float(wanted), abs=1e-9)


def test_the_dose_agrees_with_an_integral_over_the_day() -> None:
    for random in _draws(13, 50):
        criterion_dba, exchange_db = random.choice([(90.0, 5.0), (85.0, 3.0), (87.0, 3.0)])
        level_dba, hours = random.uniform(75, 115), random.uniform(0.1, 12)
        share = quad(lambda _, x=(level_dba - criterion_dba) / exchange_db: 2**x / 8, 0, hours)[0]
        got = _computed(
            "noise.dose_pct",
            criterion_dba=criterion_dba,
            exchange_db=exchange_db,
            first_dba=level_dba,
            first_h=hours,
        )
        steady = brentq(lambda x, s=share, c=criterion_dba, q=exchange_db: 2 ** ((x - c) / q) - s, 0, 200)

        assert got.value == pytest.approx(100 * share, rel=1e-9)
        assert got.extra["twa_dba"] == pytest.approx(steady, abs=1e-6)
