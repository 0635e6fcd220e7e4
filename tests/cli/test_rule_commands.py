"""Compare, replay and show from the command line, with exit codes a build can stop at."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from riskhelper.cli.exits import ExitCode
from tests.acts.small_rules import GATE_ANSWERS, write_rules
from tests.cli.running import riskhelper


def two(home: Path, was: str, now: str) -> tuple[str, str]:
    """The small set, and the same with one passage written otherwise."""
    old = write_rules(home / "old")
    new = home / "new"
    shutil.copytree(old, new)
    for file in new.rglob("*.toml"):
        file.write_text(file.read_text(encoding="utf-8").replace(was, now), encoding="utf-8")
    return str(old), str(new)


@pytest.mark.parametrize(
    ("was", "now", "code", "told"),
    [
        (
            "Thunder near",
            "Thunder is near",
            ExitCode.NO_STOP_FOUND,
            "Other words, same meaning:\n  stop pump.thunder",
        ),
        (
            "pump.thunder == 'yes'",
            "pump.thunder == 'yes' and pump.state == 'stopped'",
            ExitCode.LOOSER,
            "LOOSER: Thunder near [stop pump.thunder]: no longer fires for answers for which it did.",
        ),
        (
            "pump.thunder == 'yes'",
            "pump.thunder == 'yes' or pump.state == 'stopped'",
            ExitCode.DIFFERS,
            "STRICTER: Thunder near [stop pump.thunder]: fires for answers for which it did not.",
        ),
    ],
)
def test_a_build_can_stop_at_what_is_looser(tmp_path: Path, was: str, now: str, code: ExitCode, told: str) -> None:
    done = riskhelper(tmp_path, "rules", "compare", *two(tmp_path, was, now))

    assert done.returncode == code, done.stderr
    assert told in done.stdout


def test_an_example_is_a_job_that_can_be_assessed_under_both_sets(tmp_path: Path) -> None:
    old, new = two(tmp_path, "pump.thunder == 'yes'", "pump.thunder == 'yes' and pump.state == 'stopped'")
    riskhelper(tmp_path, "rules", "compare", old, new, "--save", str(tmp_path / "jobs"))
    job = str(tmp_path / "jobs" / "01-stop-pump-thunder.toml")

    before, after = (riskhelper(tmp_path, "--rules", rules, "assess", job) for rules in (old, new))

    assert "Thunder near" in before.stdout
    assert "Thunder near" not in after.stdout


def test_requirement_gov_04_a_supplement_is_told_entry_by_entry_and_the_base_set_stays(tmp_path: Path) -> None:
    """GOV-04: tailoring sits in an overlay, not in the base; the comparison lists every entry it adds or moves."""
    old = write_rules(tmp_path / "old")
    more = tmp_path / "more"
    more.mkdir()
    (more / "more.toml").write_text(
        '[supplement]\nname = "bay 4"\nnumber = 1\nlanguage = 1\n\n[stop.bay.no_running]\n'
        'title = "No running pump here"\n'
        'stops_if = "pump.state == \'running\'"\nlifted_by = "issuer"\nbecause = "The bay floods."\n'
        'act = "Have the pump stopped."\n',
        encoding="utf-8",
    )

    before = {file: file.read_bytes() for file in Path(old).rglob("*.toml")}
    done = riskhelper(tmp_path, "rules", "compare", str(old), "--with", str(more), "--json")

    assert done.returncode == ExitCode.DIFFERS, done.stderr
    found = json.loads(done.stdout)["differences"]
    assert [(one["entry"], one["direction"], one["words"]) for one in found] == [
        ("bay.no_running", "stricter", "added")
    ]
    assert found[0]["example"]["after"].startswith("the stop fires")
    assert before == {file: file.read_bytes() for file in Path(old).rglob("*.toml")}


def test_past_jobs_are_replayed_and_every_change_is_written(tmp_path: Path) -> None:
    old, new = two(tmp_path, "pump.thunder == 'yes'", "pump.thunder == 'yes' or pump.state == 'running'")
    typed = "\n".join(("dale", *(answer for _, answer in GATE_ANSWERS)))
    at = ("--rules", old, "--store", str(tmp_path / "r.sqlite"))
    riskhelper(tmp_path, *at, "interview", "--job", "7", "--local", "dale", typed=typed)

    done = riskhelper(tmp_path, *at, "rules", "replay", old, new, "--csv", str(tmp_path / "changes.csv"))

    assert done.returncode == ExitCode.DIFFERS, done.stderr
    assert "1 past job replayed: 1 comes out differently, 1 stricter, 0 looser." in done.stdout
    assert (tmp_path / "changes.csv").read_text(encoding="utf-8").splitlines()[0].startswith("local code,job,what,")


def test_one_entry_is_shown_with_what_feeds_it_and_hangs_on_it(tmp_path: Path) -> None:
    done = riskhelper(tmp_path, "rules", "show", "oil.oil_c")

    assert done.returncode == ExitCode.NO_STOP_FOUND, done.stderr
    assert "question oil.oil_c\nHow warm is the oil" in done.stdout
    assert "hazard oil.hot_oil: Hot oil or hot metal" in done.stdout
    wrong = riskhelper(tmp_path, "rules", "show", "oil.oil_d")
    assert wrong.returncode == ExitCode.BAD_INPUT
    assert "`oil.oil_d` is no entry of this set. Did you mean `oil.oil_c`?" in wrong.stderr


def test_a_set_is_not_compared_with_nothing(tmp_path: Path) -> None:
    done = riskhelper(tmp_path, "rules", "compare", str(write_rules(tmp_path / "old")))

    assert done.returncode == ExitCode.BAD_INPUT
    assert "A second set is missing. Name its folder after the first, or a supplement" in done.stderr
