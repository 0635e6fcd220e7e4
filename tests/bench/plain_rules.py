"""The rules of sample_rules.toml written by hand as plain two-valued Python: every answer known, no reasons."""

from __future__ import annotations

from typing import Any

Answers = dict[str, Any]
Figures = dict[str, Any]
Levels = dict[str, tuple[int, int]]
Rating = tuple[int, int, int]
Ratings = dict[str, tuple[Rating, Rating, Rating]]
Outcome = tuple[str, list[str], list[str], Ratings]

HIGH, VERY_HIGH = 2, 3
CONTROLS = {
    "live.reach": (("live.screen", "engineering", 2), ("live.observer", "administrative", 1)),
    "oil.release": (("oil.own_valve", "engineering", 2),),
    "oil.air_pocket": (("oil.sweep", "engineering", 2),),
    "height.fall": (("height.rails", "substitution", 2), ("height.harness", "ppe", 1)),
    "mains.shock": (("mains.lock", "engineering", 3),),
    "site.wrong_plant": (("site.aloud", "administrative", 1),),
}
ALWAYS = (
    "job.scope",
    "site.state",
    "site.plate",
    "site.twin",
    "height.feet_m",
    "lift.mass_kg",
    "lift.reach_m",
    "lift.two",
    "weather.air_c",
    "weather.thunder",
    "weather.dark",
    "people.team",
    "people.awake_h",
    "people.hours_h",
    "people.language",
)
GUARDED = {
    "live": ("live.near_m", "live.long_m", "live.barrier"),
    "oil": (
        "oil.liquid",
        "oil.head_m",
        "oil.gas_m",
        "oil.valve",
        "oil.bore_mm",
        "oil.bleed",
        "oil.drain",
        "oil.tray",
    ),
    "raised": ("height.access", "height.wind_ms", "height.edge"),
    "wire": ("mains.dead", "mains.drawing", "mains.wet", "mains.fuse_a", "mains.unit_a"),
    "alarms": ("alarm.feed", "alarm.trip"),
}


def figures(a: Answers) -> Figures:
    """Facts and figures of the answers."""
    scope, live = a["job.scope"], a["site.state"] == "in_service"
    oil, wire = "oil" in scope, "wire" in scope
    return {
        "live": live,
        "oil": oil,
        "wire": wire,
        "alarms": "alarms" in scope,
        "raised": a["height.feet_m"] > 0.3,
        "clear_m": a["live.near_m"] - a["live.long_m"] - 2.5 if live else None,
        "column_m": a["oil.gas_m"] + a["oil.head_m"] if oil else None,
        "tired_h": a["people.awake_h"] + a["people.hours_h"],
        "spare_a": a["mains.fuse_a"] - a["mains.unit_a"] * 1.25 if wire else None,
    }


def plant_hazards(a: Answers, f: Figures, levels: Levels) -> None:
    """Levels of the hazards about plant."""
    if f["live"]:
        likelihood, severity = 1, 5
        if f["clear_m"] < 3.0:
            likelihood = max(likelihood, 2)
        if f["clear_m"] < 2.1:
            likelihood = max(likelihood, 3)
        if f["clear_m"] < 1.4:
            likelihood = max(likelihood, 4)
        if f["clear_m"] <= 1.1:
            likelihood = max(likelihood, 5)
        if a["live.barrier"] == "no":
            likelihood += 1
        if a["weather.dark"] == "yes":
            likelihood += 1
        levels["live.reach"] = (min(likelihood, 5), min(severity, 5))
    likelihood, severity = 1, 4
    if f["live"]:
        severity = max(severity, 5)
    if a["site.twin"] == "yes":
        likelihood = max(likelihood, 2)
    if a["site.plate"] != "yes":
        likelihood = max(likelihood, 4)
    levels["site.wrong_plant"] = (min(likelihood, 5), min(severity, 5))


def oil_hazards(a: Answers, f: Figures, levels: Levels) -> None:
    """Levels of the hazards about oil."""
    if f["oil"]:
        likelihood, severity = 1, 4
        if f["live"]:
            severity = max(severity, 5)
        if f["column_m"] < 0.7:
            likelihood = max(likelihood, 3)
        if f["column_m"] <= 0.0:
            likelihood = max(likelihood, 5)
        levels["oil.vacuum"] = (min(likelihood, 5), min(severity, 5))
    if f["oil"] and f["live"]:
        likelihood, severity = 2, 5
        if a["oil.valve"] in ("ball", "butterfly"):
            likelihood += 1
        if a["oil.bleed"] != "yes":
            likelihood += 1
        levels["oil.air_pocket"] = (min(likelihood, 5), min(severity, 5))
    if f["oil"]:
        likelihood, severity = 2, 3
        if a["oil.bore_mm"] > 25 and f["column_m"] > 0.5:
            severity = max(severity, 4)
        if a["oil.bore_mm"] > 80 and f["column_m"] > 5.0:
            severity = max(severity, 5)
        if f["column_m"] > 10.0:
            likelihood = max(likelihood, 4)
        if a["oil.valve"] == "butterfly":
            likelihood += 1
        if a["oil.tray"] == "no":
            likelihood += 1
        levels["oil.release"] = (min(likelihood, 5), min(severity, 5))
    if f["oil"]:
        likelihood, severity = 1, 3
        if a["oil.liquid"] == "mineral":
            severity = max(severity, 4)
        if f["wire"]:
            likelihood = max(likelihood, 2)
        if a["weather.air_c"] > 40:
            likelihood += 1
        levels["oil.fire"] = (min(likelihood, 5), min(severity, 5))


def height_hazards(a: Answers, f: Figures, levels: Levels) -> None:
    """Levels of the hazards about height."""
    if f["raised"]:
        likelihood, severity = 1, 3
        if a["height.feet_m"] >= 1.2:
            severity = max(severity, 4)
        if a["height.feet_m"] > 2.0:
            severity = max(severity, 5)
        if a["height.access"] == "ladder":
            likelihood = max(likelihood, 3)
        if a["height.access"] == "scaffold":
            likelihood = max(likelihood, 2)
        if a["height.wind_ms"] > 12:
            likelihood += 1
        if a["height.edge"] == "yes":
            likelihood += 1
        if a["weather.dark"] == "yes":
            likelihood += 1
        levels["height.fall"] = (min(likelihood, 5), min(severity, 5))


def lifting_hazards(a: Answers, f: Figures, levels: Levels) -> None:
    """Levels of the hazards about lifting."""
    likelihood, severity = 1, 2
    if a["lift.mass_kg"] > 25:
        severity = max(severity, 3)
    if a["lift.mass_kg"] > 40:
        severity = max(severity, 4)
    if a["lift.mass_kg"] > 10:
        likelihood = max(likelihood, 2)
    if a["lift.mass_kg"] > 20 and a["lift.two"] == "no":
        likelihood = max(likelihood, 3)
    if a["lift.reach_m"] > 0.6:
        likelihood += 1
    if f["raised"]:
        likelihood += 1
    levels["lift.strain"] = (min(likelihood, 5), min(severity, 5))


def wiring_hazards(a: Answers, f: Figures, levels: Levels) -> None:
    """Levels of the hazards about wiring."""
    if f["wire"]:
        likelihood, severity = 1, 5
        if a["mains.dead"] != "yes":
            likelihood = max(likelihood, 4)
        if a["mains.drawing"] != "yes":
            likelihood = max(likelihood, 2)
        if a["mains.wet"] == "yes":
            likelihood += 1
        levels["mains.shock"] = (min(likelihood, 5), min(severity, 5))
    if f["wire"]:
        likelihood, severity = 1, 3
        if f["spare_a"] < 2.0:
            likelihood = max(likelihood, 3)
        if f["spare_a"] <= 0.0:
            likelihood = max(likelihood, 5)
        levels["mains.overload"] = (min(likelihood, 5), min(severity, 5))
    if f["alarms"]:
        likelihood, severity = 1, 4
        if f["live"]:
            severity = max(severity, 5)
        if a["alarm.feed"] == "no":
            likelihood = max(likelihood, 3)
        if a["alarm.trip"] == "yes":
            likelihood = max(likelihood, 5)
        levels["alarm.trip"] = (min(likelihood, 5), min(severity, 5))


def people_hazards(a: Answers, f: Figures, levels: Levels) -> None:
    """Levels of the hazards about people."""
    likelihood, severity = 1, 2
    if a["weather.air_c"] > 35:
        severity = max(severity, 3)
    if a["weather.air_c"] > 30:
        likelihood = max(likelihood, 3)
    if a["people.hours_h"] > 6:
        likelihood += 1
    if f["tired_h"] > 14.0:
        likelihood += 1
    levels["weather.heat"] = (min(likelihood, 5), min(severity, 5))
    likelihood, severity = 1, 2
    if a["weather.air_c"] < -10:
        likelihood = max(likelihood, 3)
    if a["people.hours_h"] > 4:
        likelihood += 1
    levels["weather.cold"] = (min(likelihood, 5), min(severity, 5))
    likelihood, severity = 1, 4
    if f["tired_h"] > 16.0:
        likelihood += 2
    if a["people.hours_h"] > 10:
        likelihood += 1
    if a["people.team"] > 1 and a["people.language"] == "no":
        likelihood += 2
    levels["people.tired"] = (min(likelihood, 5), min(severity, 5))
    likelihood, severity = 1, 3
    if f["wire"] or f["live"]:
        severity = max(severity, 4)
    if a["people.team"] < 2:
        likelihood = max(likelihood, 4)
    levels["people.alone"] = (min(likelihood, 5), min(severity, 5))


def stops(a: Answers, f: Figures) -> list[str]:
    """Stops that fire."""
    found = []
    if f["live"] and f["clear_m"] <= 1.1:
        found.append("live.close")
    if a["site.plate"] != "yes":
        found.append("site.plate_differs")
    if f["oil"] and f["column_m"] <= 0.0:
        found.append("oil.no_pressure")
    if f["oil"] and f["live"] and a["oil.bleed"] != "yes":
        found.append("oil.no_bleed")
    if f["oil"] and a["oil.drain"] == "yes" and a["oil.tray"] == "no":
        found.append("oil.open_drain")
    if f["oil"] and a["oil.bore_mm"] > 100 and a["oil.valve"] == "butterfly":
        found.append("oil.too_wide")
    if f["raised"] and a["height.edge"] == "yes" and a["height.access"] != "scaffold":
        found.append("height.open_edge")
    if f["raised"] and a["height.wind_ms"] > 17:
        found.append("height.wind")
    if a["lift.mass_kg"] > 50 or (a["lift.mass_kg"] > 25 and a["lift.two"] == "no"):
        found.append("lift.too_heavy")
    if f["wire"] and a["mains.dead"] != "yes":
        found.append("mains.not_dead")
    if f["wire"] and a["mains.drawing"] != "yes":
        found.append("mains.no_drawing")
    if f["wire"] and f["spare_a"] <= 0.0:
        found.append("mains.no_spare")
    if f["alarms"] and f["live"] and a["alarm.trip"] == "yes":
        found.append("alarm.trip_open")
    if a["weather.thunder"] == "near" or (a["weather.thunder"] == "far" and f["raised"]):
        found.append("weather.lightning")
    if a["weather.air_c"] > 50 or a["weather.air_c"] < -30:
        found.append("weather.over_limit")
    if a["people.team"] < 2 and (f["wire"] or f["live"]):
        found.append("people.no_second")
    if f["tired_h"] > 20.0:
        found.append("people.too_tired")
    if a["people.team"] > 1 and a["people.language"] == "no":
        found.append("people.no_common_words")
    return found


def asked(f: Figures) -> list[str]:
    """Questions that are asked."""
    found = list(ALWAYS)
    for guard, names in GUARDED.items():
        if f[guard]:
            found.extend(names)
    return found


def credited(likelihood: int, severity: int, controls: list[tuple[str, int]]) -> tuple[int, int, int]:
    """Likelihood, severity and band left by controls of a kind with their credit."""
    engineering = substitution = administrative = ppe = 0
    for kind, credit in controls:
        if kind == "engineering":
            engineering += credit
        elif kind == "substitution":
            substitution += credit
        elif kind == "administrative":
            administrative += credit
        else:
            ppe += credit
    strong = max(1, likelihood - min(3, engineering) - min(4, substitution))
    left_likelihood, left_severity = max(1, strong - min(2, administrative)), max(1, severity - min(1, ppe))
    left, first = band(left_likelihood * left_severity), band(likelihood * severity)
    if first >= HIGH:
        left = max(left, band(strong * severity) - 1 if strong < likelihood else first)
    return left_likelihood, left_severity, left


def band(product: int) -> int:
    """Band of a product, mildest first."""
    return 0 if product <= 4 else 1 if product <= 9 else HIGH if product <= 14 else VERY_HIGH


def judged(a: Answers, planned: set[str], proved: set[str]) -> Outcome:
    """Verdict, stops, questions asked, and the three ratings of every hazard that applies, worst first."""
    f = figures(a)
    levels: Levels = {}
    plant_hazards(a, f, levels)
    oil_hazards(a, f, levels)
    height_hazards(a, f, levels)
    lifting_hazards(a, f, levels)
    wiring_hazards(a, f, levels)
    people_hazards(a, f, levels)
    found = stops(a, f)
    ratings: Ratings = {}
    verdict = "CONDITIONS" if f["live"] or planned - proved else "NO STOP FOUND"
    for hazard, (likelihood, severity) in levels.items():
        offered = CONTROLS.get(hazard, ())
        as_found = credited(likelihood, severity, [])
        as_planned = credited(likelihood, severity, [c[1:] for c in offered if c[0] in planned or c[0] in proved])
        as_proved = credited(likelihood, severity, [c[1:] for c in offered if c[0] in proved])
        ratings[hazard] = (as_found, as_planned, as_proved)
        if as_planned[2] == VERY_HIGH:
            found.append("rating.unacceptable")
        elif as_planned[2] == HIGH and not any(c[0] in planned or c[0] in proved for c in offered):
            found.append("rating.no_control")
    worst_first = sorted(ratings, key=lambda h: (-levels[h][0] * levels[h][1], -levels[h][1], h))
    verdict = "STOP" if found else verdict
    return verdict, found, asked(f), {hazard: ratings[hazard] for hazard in worst_first}
