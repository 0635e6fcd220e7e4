"""Differences planted into copies of the shipped set: each is told, the right way round, with a job that shows it.

Where the table says `job`, an example must be given; it is written as an answer file, read back and assessed under
both sets, as an officer would do who doubts it. Words that change nothing are told as such. `open` marks where the
solver settles some other way of the same entry no longer in time: that is told, never passed over.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from riskhelper.acts.job.answer_files import AnswerFile, opened, written
from riskhelper.acts.job.answer_reading import read
from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment
from riskhelper.office.answer_columns import fitted
from riskhelper.office.comparing import compare
from riskhelper.office.deciding import Subject
from riskhelper.office.difference import Comparison, Difference, ExampleJob
from riskhelper.office.looks import MOMENT, look_of
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.store.rule_files import rule_files, shipped_rules
from tests.office.with_proofs import proofs

FILES = rule_files(shipped_rules())
CODE = "en50110"


@dataclass(frozen=True)
class Planted:
    """One passage written otherwise, and the difference that must be told of it."""

    title: str
    file: str
    was: str
    now: str
    kind: str
    entry: str
    way: str
    words: str
    job: bool = True
    open: bool = False


PLANTED = {
    each["title"]: Planted(**each)
    for each in tomllib.loads(Path(__file__).with_name("planted_differences.toml").read_text("utf-8"))["planted"]
}


@cache
def shipped() -> RuleSet:
    return load_rules(FILES, CODE, prove_guards=False)


def changed(file: str, was: str, now: str) -> RuleSet:
    text = FILES[file].decode()
    assert was in text, "the passage is no longer in the shipped set: plant it elsewhere"
    return load_rules({**FILES, file: text.replace(was, now, 1).encode()}, CODE, prove_guards=False)


def compared(new: RuleSet) -> Comparison:
    return compare({CODE: shipped()}, {CODE: new}, proofs)


def replayed(example: ExampleJob, rules: RuleSet, folder: Path) -> Assessment:
    """What the assessment says of an example that went through an answer file."""
    job = fitted(rules, example.job)
    file = folder / "example.toml"
    file.write_bytes(written(AnswerFile(job, example.milestone), rules))
    back = read(opened(file.name, file.read_bytes()), rules, rules.local_code)
    assert back.job.answers.keys() == job.answers.keys()
    return assess(rules, back.job, back.milestone, MOMENT)


@pytest.mark.parametrize(
    "case", [pytest.param(name, marks=pytest.mark.slow) if one.open else name for name, one in PLANTED.items()]
)
def test_requirement_gov_02_each_planted_difference_is_told_with_its_way_and_a_job(case: str, tmp_path: Path) -> None:
    """GOV-02: a change report shows each changed cell or limit and its direction."""
    planted = PLANTED[case]
    new = changed(planted.file, planted.was, planted.now)

    found = compared(new)

    told = [one for one in found.differences if one.kind == planted.kind and planted.entry in ("", one.name)]
    those = [one for one in told if one.direction.value == planted.way and planted.words in one.words]
    assert those, [(one.kind, one.name, one.direction.value, one.words) for one in found.differences]
    assert planted.open or found.unsettled == ()
    assert not [one for one in told if one.settled and one.direction.value != planted.way]
    if planted.job:
        check_replayed(those[0], new, tmp_path)


def check_replayed(one: Difference, new: RuleSet, folder: Path) -> None:
    """The job of a difference says what the comparison says of it, read back from a file."""
    assert one.example is not None
    for told, rules in ((one.example.before, shipped()), (one.example.after, new)):
        shown = replayed(one.example, rules, folder)
        said, _, verdict = told.rpartition("; verdict ")
        assert verdict == shown.verdict.words
        if one.kind in ("hazard", "stop") and "PPE" not in one.words:
            assert said == look_of(Subject(one.kind, one.name)).words(shown)  # type: ignore[arg-type]
    assert one.example.before != one.example.after


@pytest.mark.parametrize(
    ("file", "was", "now", "name"),
    [
        ("oil.toml", 'title = "Suction at the valve"', 'title = "Suction at this valve"', "stop oil.valve_suction"),
        ("oil.toml", "PCB is a poison.", "PCB poisons.", "question oil.pcb"),
        ("oil.toml", 'because = "the plant is in service"', 'because = "the plant is in use"', ""),
        ("ruleset.toml", "Both initials stand on the paper.", "Both sign the paper.", "hold point plate_read"),
        ("matrix.toml", "Keep the usual care of the trade.", "Keep the care of the trade.", "matrix"),
        ("tables/en_50110_1_a1.toml", "may be larger.", "can be larger.", "table en_50110_1_a1"),
        ("oil.toml", "plant.live and oil.flow_l_per_s > 1", "oil.flow_l_per_s > 1 and plant.live and job.oil", ""),
    ],
)  # fmt: skip
def test_words_that_change_nothing_are_told_as_other_words_only(file: str, was: str, now: str, name: str) -> None:
    found = compared(changed(file, was, now))

    assert found.differences == ()
    assert found.reworded
    assert name in ("", *found.reworded)
