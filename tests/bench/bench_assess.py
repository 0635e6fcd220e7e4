"""An assessment with unknowns and reasons, against the same rules written by hand as plain two-valued Python."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job, PlannedControl
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.terms import Status
from tests.bench import plain_rules

NOW = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
ROUNDS, PER_ROUND = 15, 40
SAMPLE = Path(__file__).with_name("sample_rules.toml")
LOCAL = b'[local]\nname = "none"\ntitle = "no code"\nedition = "-"\ndefers_to = "the local code"\n'
SCOPE = ("mount", "oil", "wire", "alarms")
ANSWERS: plain_rules.Answers = {
    "job.scope": {"mount", "oil", "wire", "alarms"},
    "site.state": "in_service",
    "site.plate": "yes",
    "site.twin": "yes",
    "live.near_m": 8.2,
    "live.long_m": 2.0,
    "live.barrier": "yes",
    "oil.liquid": "mineral",
    "oil.head_m": 3.1,
    "oil.gas_m": 1.0,
    "oil.valve": "ball",
    "oil.bore_mm": 50,
    "oil.bleed": "yes",
    "oil.drain": "no",
    "oil.tray": "yes",
    "height.feet_m": 1.5,
    "height.access": "scaffold",
    "height.wind_ms": 6,
    "height.edge": "no",
    "lift.mass_kg": 12,
    "lift.reach_m": 0.4,
    "lift.two": "no",
    "mains.dead": "yes",
    "mains.drawing": "yes",
    "mains.wet": "no",
    "mains.fuse_a": 6,
    "mains.unit_a": 1.5,
    "alarm.feed": "yes",
    "alarm.trip": "no",
    "weather.air_c": 18,
    "weather.thunder": "none",
    "weather.dark": "yes",
    "people.team": 2,
    "people.awake_h": 9,
    "people.hours_h": 3.5,
    "people.language": "yes",
}
PLANNED = {"live.screen", "oil.sweep", "mains.lock"}
UNKNOWN = {"live.near_m", "oil.head_m", "oil.valve", "weather.thunder", "people.awake_h", "height.wind_ms"}
PENDING = {"site.plate", "oil.gas_m", "mains.dead", "alarm.trip"}


def rules() -> RuleSet:
    """The sample as the program reads it."""
    return load_rules({"sample.toml": SAMPLE.read_bytes(), "local/none.toml": LOCAL}, "none")


def job(left_open: set[str]) -> Job:
    """The answers, without those left open."""
    given: dict[str, Answer] = {}
    for name in ANSWERS.keys() - left_open:
        value = ANSWERS[name]
        lines = {option: "yes" if option in value else "no" for option in SCOPE} if name == "job.scope" else None
        given[name] = Answer(lines or value, at=NOW)
    return Job(given, {name: PlannedControl() for name in PLANNED}, local_code="none")


def seconds(act: Callable[[], Any]) -> float:
    """Time of one act, over a round of them."""
    start = time.process_time()
    for _ in range(PER_ROUND):
        act()
    return (time.process_time() - start) / PER_ROUND


def compared(left_open: set[str], milestone: str) -> tuple[float, float]:
    """Ratio of the program to plain Python, and milliseconds of one assessment; medians over rounds."""
    ruleset, opened = rules(), job(left_open)
    pairs = [
        (
            seconds(lambda: plain_rules.judged(ANSWERS, PLANNED, set())),
            seconds(lambda: assess(ruleset, opened, milestone, NOW)),
        )
        for _ in range(ROUNDS)
    ]
    plain, ours = (statistics.median(column) for column in zip(*pairs, strict=True))
    return ours / plain, ours * 1000


def check_that_both_say_the_same() -> None:
    verdict, stops, asked, ratings = plain_rules.judged(ANSWERS, PLANNED, set())
    shown = assess(rules(), job(set()), "approval", NOW)
    bands = ("low", "medium", "high", "very_high")

    assert shown.verdict.words == verdict
    assert {stop.id for stop in shown.stops} == set(stops)
    assert {name for name, status in shown.statuses.items() if status is not Status.NOT_ASKED} == set(asked)
    assert [hazard.id for hazard in shown.hazards] == list(ratings)
    for hazard in shown.hazards:
        three = (hazard.as_found, hazard.as_planned, hazard.as_proved)
        assert tuple((r.likelihood, r.severity, bands.index(r.band)) for r in three) == ratings[hazard.id]


def main() -> None:
    """Prints the ratios, after checking that both sides say the same."""
    check_that_both_say_the_same()
    raising = [*rules().hazard_rules.values()]
    conditions = sum(len(hazard.likelihood) + len(hazard.severity) for hazard in raising)
    conditions += sum(rule.check is not None for rule in rules().stop_rules.values())
    print(f"assess, {conditions} rules, {len(ANSWERS)} questions:")
    assert conditions >= 60
    for words, left_open, milestone, aim in (
        ("with unknowns, pending checks and reasons", UNKNOWN | PENDING, "approval", 25),
        ("with all answers known", set[str](), "approval", 15),
    ):
        ratio, ms = compared(left_open, milestone)
        print(f"  {words}: {ratio:.1f} times plain Python (aim: at most {aim}), {ms:.2f} ms")


if __name__ == "__main__":
    main()
