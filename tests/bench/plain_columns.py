"""The rules of sample_rules.toml written by hand in NumPy: every answer known, two-valued, one column an answer,
the worse end of each measured figure taken by hand.

Choices are small whole numbers in the order of their options, several-answers one column of yes or no an option.
"""

from __future__ import annotations

from typing import Any

import numpy as np

Columns = dict[str, Any]
BAND = np.array([0] * 5 + [1] * 5 + [2] * 5 + [3] * 11, dtype=np.int8)
HIGH, VERY_HIGH, NONE = 2, 3, np.int8(-1)


def grid(outward: Any, figure: Any, step: float) -> Any:
    """A figure rounded outward to the grid on which rules compare it."""
    touch = 1e-9 if outward is np.floor else -1e-9
    return np.round(outward(figure / step + touch) * step, 9)


def level(least: int, at_least: tuple[tuple[int, Any], ...] = (), add: tuple[tuple[int, Any], ...] = ()) -> Any:
    """A level on the scale of 1 to 5."""
    found: Any = np.int8(least)
    for one, flags in at_least:
        found = np.maximum(found, flags * np.int8(one))
    for by, flags in add:
        found = found + flags * np.int8(by)
    return np.minimum(found, np.int8(5))


def credited(levels: tuple[Any, Any], engineering: int = 0, administrative: int = 0, ppe: int = 0) -> Any:
    """Band left by planned controls."""
    likelihood, severity = levels
    strong = np.maximum(np.int8(1), likelihood - np.int8(min(3, engineering)))
    left_l = np.maximum(np.int8(1), strong - np.int8(min(2, administrative)))
    left_s = np.maximum(np.int8(1), severity - np.int8(min(1, ppe)))
    first, left = BAND[likelihood * severity], BAND[left_l * left_s]
    floor = np.where(strong < likelihood, np.maximum(BAND[strong * severity] - np.int8(1), np.int8(0)), first)
    return np.where(first >= HIGH, np.maximum(left, floor), left)


def judged(a: Columns) -> tuple[Any, dict[str, Any], dict[str, Any]]:
    """Verdict, band of each hazard (-1: not in play) and stops, with the three controls of the sample planned."""
    live, oil, wire = a["site.state"] == 0, a["job.scope oil"], a["job.scope wire"]
    alarms, raised = a["job.scope alarms"], a["height.feet_m"] > 0.3
    clear = grid(np.floor, a["live.near_m"] - 0.05 - a["live.long_m"] - 2.5, 0.01)
    column = grid(np.floor, a["oil.gas_m"] - 0.4 + (a["oil.head_m"] - 0.3), 0.1)
    column_most = grid(np.ceil, a["oil.gas_m"] + 0.4 + (a["oil.head_m"] + 0.3), 0.1)
    tired = grid(np.ceil, a["people.awake_h"] + a["people.hours_h"], 0.5)
    spare = grid(np.floor, a["mains.fuse_a"] - a["mains.unit_a"] * 1.25, 0.1)
    dark, air, hours = a["weather.dark"] == 0, a["weather.air_c"], a["people.hours_h"]
    levels: dict[str, tuple[Any, Any, Any]] = {
        "live.reach": (
            live,
            level(
                1,
                ((2, clear < 3.0), (3, clear < 2.1), (4, clear < 1.4), (5, clear <= 1.1)),
                ((1, a["live.barrier"] == 1), (1, dark)),
            ),
            np.int8(5),
        ),
        "site.wrong_plant": (
            np.True_,
            level(1, ((2, a["site.twin"] == 0), (4, a["site.plate"] != 0))),
            level(4, ((5, live),)),
        ),
        "oil.vacuum": (oil, level(1, ((3, column < 0.7), (5, column <= 0.0))), level(4, ((5, live),))),
        "oil.air_pocket": (
            oil & live,
            level(2, add=((1, (a["oil.valve"] == 0) | (a["oil.valve"] == 3)), (1, a["oil.bleed"] != 0))),
            np.int8(5),
        ),
        "oil.release": (
            oil,
            level(2, ((4, column_most > 10.0),), ((1, a["oil.valve"] == 3), (1, a["oil.tray"] == 1))),
            level(
                3,
                (
                    (4, (a["oil.bore_mm"] > 25) & (column_most > 0.5)),
                    (5, (a["oil.bore_mm"] > 80) & (column_most > 5.0)),
                ),
            ),
        ),
        "oil.fire": (oil, level(1, ((2, wire),), ((1, air > 40),)), level(3, ((4, a["oil.liquid"] == 0),))),
        "height.fall": (
            raised,
            level(
                1,
                ((3, a["height.access"] == 2), (2, a["height.access"] == 1)),
                ((1, a["height.wind_ms"] > 12), (1, a["height.edge"] == 0), (1, dark)),
            ),
            level(3, ((4, a["height.feet_m"] >= 1.2), (5, a["height.feet_m"] > 2.0))),
        ),
        "lift.strain": (
            np.True_,
            level(
                1,
                ((2, a["lift.mass_kg"] > 10), (3, (a["lift.mass_kg"] > 20) & (a["lift.two"] == 1))),
                ((1, a["lift.reach_m"] > 0.6), (1, raised)),
            ),
            level(2, ((3, a["lift.mass_kg"] > 25), (4, a["lift.mass_kg"] > 40))),
        ),
        "mains.shock": (
            wire,
            level(1, ((4, a["mains.dead"] != 0), (2, a["mains.drawing"] != 0)), ((1, a["mains.wet"] == 0),)),
            np.int8(5),
        ),
        "mains.overload": (wire, level(1, ((3, spare < 2.0), (5, spare <= 0.0))), np.int8(3)),
        "alarm.trip": (
            alarms,
            level(1, ((3, a["alarm.feed"] == 1), (5, a["alarm.trip"] == 0))),
            level(4, ((5, live),)),
        ),
        "weather.heat": (
            np.True_,
            level(1, ((3, air > 30),), ((1, hours > 6), (1, tired > 14.0))),
            level(2, ((3, air > 35),)),
        ),
        "weather.cold": (np.True_, level(1, ((3, air < -10),), ((1, hours > 4),)), np.int8(2)),
        "people.tired": (
            np.True_,
            level(
                1,
                add=(
                    (2, tired > 16.0),
                    (1, hours > 10),
                    (2, (a["people.team"] > 1) & (a["people.language"] == 1)),
                ),
            ),
            np.int8(4),
        ),
        "people.alone": (np.True_, level(1, ((4, a["people.team"] < 2),)), level(3, ((4, wire | live),))),
    }
    credit = {
        "live.reach": {"engineering": 2},
        "oil.air_pocket": {"engineering": 2},
        "mains.shock": {"engineering": 3},
    }
    found = stops(a, live, oil, wire, alarms, raised, clear, column, tired, spare)
    bands: dict[str, Any] = {}
    unacceptable: Any = np.False_
    bare: Any = np.False_
    for name, (applies, likelihood, severity) in levels.items():
        band = credited((likelihood, severity), **credit.get(name, {}))
        bands[name] = np.where(applies, band, NONE)
        unacceptable = unacceptable | (bands[name] == VERY_HIGH)
        if name not in credit:
            bare = bare | (bands[name] == HIGH)
    found["rating.unacceptable"], found["rating.no_control"] = unacceptable, bare
    stopped: Any = np.False_
    for flags in found.values():
        stopped = stopped | flags
    return np.where(stopped, np.int8(2), np.int8(1)), bands, found


def stops(
    a: Columns,
    live: Any,
    oil: Any,
    wire: Any,
    alarms: Any,
    raised: Any,
    clear: Any,
    column: Any,
    tired: Any,
    spare: Any,
) -> dict[str, Any]:
    """Stops that fire."""
    thunder, access = a["weather.thunder"], a["height.access"]
    return {
        "live.close": live & (clear <= 1.1),
        "site.plate_differs": a["site.plate"] != 0,
        "oil.no_pressure": oil & (column <= 0.0),
        "oil.no_bleed": oil & live & (a["oil.bleed"] != 0),
        "oil.open_drain": oil & (a["oil.drain"] == 0) & (a["oil.tray"] == 1),
        "oil.too_wide": oil & (a["oil.bore_mm"] > 100) & (a["oil.valve"] == 3),
        "height.open_edge": raised & (a["height.edge"] == 0) & (access != 1),
        "height.wind": raised & (a["height.wind_ms"] > 17),
        "lift.too_heavy": (a["lift.mass_kg"] > 50) | ((a["lift.mass_kg"] > 25) & (a["lift.two"] == 1)),
        "mains.not_dead": wire & (a["mains.dead"] != 0),
        "mains.no_drawing": wire & (a["mains.drawing"] != 0),
        "mains.no_spare": wire & (spare <= 0.0),
        "alarm.trip_open": alarms & live & (a["alarm.trip"] == 0),
        "weather.lightning": (thunder == 2) | ((thunder == 1) & raised),
        "weather.over_limit": (a["weather.air_c"] > 50) | (a["weather.air_c"] < -30),
        "people.no_second": (a["people.team"] < 2) & (wire | live),
        "people.too_tired": tired > 20.0,
        "people.no_common_words": (a["people.team"] > 1) & (a["people.language"] == 1),
    }
