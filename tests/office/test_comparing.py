"""A comparison tells what differs in meaning, which way, and shows a job for it; another wording is no difference."""

from __future__ import annotations

from functools import cache
from time import monotonic

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.office.comparing import compare
from riskhelper.office.difference import Comparison, Difference
from riskhelper.office.direction import Direction
from riskhelper.office.looks import MOMENT
from riskhelper.office.pair_proofs import PairProofs
from riskhelper.office.proofs.proving import Patience
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.store.rule_files import rule_files, shipped_rules

FILES = rule_files(shipped_rules())
CODE = "en50110"
STRICTER, LOOSER, DIFFERENT = Direction.STRICTER, Direction.LOOSER, Direction.DIFFERENT


@cache
def shipped() -> RuleSet:
    return load_rules(FILES, CODE, prove_guards=False)


def changed(file: str, was: str, now: str) -> RuleSet:
    """The shipped set with one passage of one file written otherwise."""
    text = FILES[file].decode()
    assert was in text
    return load_rules({**FILES, file: text.replace(was, now, 1).encode()}, CODE, prove_guards=False)


def compared(new: RuleSet) -> Comparison:
    return compare({CODE: shipped()}, {CODE: new}, proofs)


def proofs(old: RuleSet, new: RuleSet) -> PairProofs:
    return PairProofs.of(old, new, Patience(monotonic, monotonic() + 60))


def told(found: Comparison) -> set[tuple[str, str, Direction]]:
    return {(one.kind, one.name, one.direction) for one in found.differences}


def check_example(one: Difference, new: RuleSet) -> None:
    """The example is a job on which the ordinary assessment says different things."""
    assert one.example is not None
    pair = [assess(rules, one.example.job, one.example.milestone, MOMENT) for rules in (shipped(), new)]
    assert one.example.before != one.example.after
    assert [shown.verdict.words for shown in pair] == [
        words.rpartition("; verdict ")[2] for words in (one.example.before, one.example.after)
    ]


def test_a_set_does_not_differ_from_itself() -> None:
    found = compared(shipped())

    assert found.differences == ()
    assert found.reworded == ()


@pytest.mark.parametrize(
    ("file", "was", "now"),
    [
        ("oil.toml", 'applies_if = "plant.live and job.oil"', 'applies_if = "job.oil and plant.live"'),
        (
            "oil.toml",
            "oil.valve_kind in ('ball', 'butterfly')",
            "oil.valve_kind not in ('gate', 'globe', 'needle')",
        ),
        (
            "oil.toml",
            "oil.valve_state != 'free' or oil.drip_dry == 'no'",
            "not (oil.valve_state == 'free' and oil.drip_dry == 'yes')",
        ),
        ("oil.toml", "plant.live and oil.flow_l_per_s > 1", "oil.flow_l_per_s > 1 and plant.live and job.oil"),
    ],
)
def test_another_wording_with_the_same_meaning_is_no_difference(file: str, was: str, now: str) -> None:
    found = compared(changed(file, was, now))

    assert found.differences == ()
    assert len(found.reworded) == 1


@pytest.mark.parametrize(
    ("file", "was", "now", "name", "way"),
    [
        ("oil.toml", "oil.p_after_kpa <= 0 or", "oil.p_after_kpa < 0 or", "oil.air_drawn_in", LOOSER),
        (
            "oil.toml",
            "oil.p_after_kpa < oil.low_pressure_kpa",
            "oil.p_after_kpa <= oil.low_pressure_kpa",
            "oil.air_drawn_in",
            STRICTER,
        ),
        (
            "oil.toml",
            "{ by = 1, if = \"oil.outlet_dir == 'down'\"",
            "{ by = 2, if = \"oil.outlet_dir == 'down'\"",
            "oil.air_floats_in",
            STRICTER,
        ),
        (
            "oil.toml",
            "plant.live and oil.flow_l_per_s > 1",
            "oil.flow_l_per_s > 1",
            "oil.oil_will_not_stop",
            STRICTER,
        ),
        (
            "oil.toml",
            "oil.pumps == 'running_or_auto' and oil.pump_side == 'no'",
            "oil.pumps == 'running_or_auto' and oil.pump_side != 'no'",
            "oil.pump_pulls_air",
            DIFFERENT,
        ),
    ],
)
def test_a_hazard_rated_otherwise_is_found_with_its_way_and_a_job(
    file: str, was: str, now: str, name: str, way: Direction
) -> None:
    new = changed(file, was, now)

    found = [one for one in compared(new).differences if one.kind == "hazard"]

    ways = {one.direction for one in found}
    assert {one.name for one in found} == {name}
    assert ways == ({STRICTER, LOOSER} if way is DIFFERENT else {way})
    for one in found:
        check_example(one, new)


def test_a_limit_moved_shows_at_the_limit_and_at_the_stop_it_feeds() -> None:
    new = changed("emergency.toml", 'is = 30\nunit = "min"', 'is = 40\nunit = "min"')

    found = compared(new)

    assert told(found) == {
        ("hazard", "emergency.late_help", LOOSER),
        ("stop", "emergency.late_help", LOOSER),
        ("limit", "emergency.help_most_min", LOOSER),
    }
    for one in found.differences:
        if one.kind != "limit":
            check_example(one, new)


@pytest.mark.parametrize(
    ("file", "was", "now", "expected"),
    [
        ("matrix.toml", "weak_bands = 1", "weak_bands = 2", ("credit", "weak_bands", LOOSER)),
        ("matrix.toml", "weak_bands = 1", "weak_bands = 0", ("credit", "weak_bands", STRICTER)),
    ],
)
def test_a_frame_written_otherwise_is_found(
    file: str, was: str, now: str, expected: tuple[str, str, Direction]
) -> None:
    assert expected in told(compared(changed(file, was, now)))


def test_requirement_gov_02_names_every_cell_and_limit_that_moved() -> None:
    """GOV-02: a change report shows each changed cell or limit and its direction."""
    text = FILES["matrix.toml"].decode()
    first = shipped().matrix.bands[0].up_to
    new = load_rules(
        {**FILES, "matrix.toml": text.replace(f"up_to = {first}", f"up_to = {first + 1}", 1).encode()},
        CODE,
        prove_guards=False,
    )

    cells = [one for one in compared(new).differences if one.kind == "matrix"]

    assert [one.direction for one in cells] == [LOOSER]
    assert cells[0].words.startswith(f"product {first + 1}: ")
