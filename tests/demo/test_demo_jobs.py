"""Every demo job comes to the outcome written beside it, and its papers can be drawn."""

from __future__ import annotations

import os
import subprocess
import tomllib
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from riskhelper.acts.demonstrating import NAME, demonstrate
from riskhelper.acts.job.assessing import assessed, without_effect
from riskhelper.acts.job.from_file import Taken, enter, take
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.assessment.result import Assessment
from riskhelper.store.rule_files import shipped_rules
from tests.acts.workbench import START
from tests.cli.running import ROOT, environment, riskhelper

DEMO = ROOT / "demo"
JOBS = sorted(path.parent for path in DEMO.glob("*/answers.toml"))
NOW = datetime(2031, 1, 14, 13, 40, tzinfo=UTC)


@pytest.fixture(scope="module")
def shelf() -> RuleShelf:
    return RuleShelf(shipped_rules())


def outcome(job: Path, shelf: RuleShelf) -> tuple[Taken, Assessment, dict[str, Any]]:
    taken = take(job / "answers.toml", shelf)
    expected = tomllib.loads((job / "expected.toml").read_text(encoding="utf-8"))
    return taken, assessed(taken.rules, taken.file.job, taken.file.milestone, NOW), expected


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.name)
def test_a_demo_job_comes_to_the_outcome_written_beside_it(job: Path, shelf: RuleShelf) -> None:
    _, assessment, expected = outcome(job, shelf)
    found = {
        "verdict": assessment.verdict.words,
        "stops": [stop.id for stop in assessment.stops],
        "unknowns": list(assessment.unknowns),
        "hold_points": [p for p in expected["hold_points"] if p in {c.hold_point for c in assessment.conditions}],
        "worst": [
            {
                "id": hazard.id,
                "found": [hazard.as_found.likelihood, hazard.as_found.severity],
                "planned": [hazard.as_planned.likelihood, hazard.as_planned.severity],
            }
            for hazard in assessment.worst
        ],
    }

    assert found == {key: expected[key] for key in found}


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.name)
def test_the_numbers_of_a_demo_job_are_those_worked_by_hand(job: Path, shelf: RuleShelf) -> None:
    _, assessment, expected = outcome(job, shelf)
    values = {shown.id: [shown.value.low, shown.value.high] for shown in assessment.quantities}

    assert {name: values[name] for name in expected["facts"]} == {
        name: pytest.approx(ends) for name, ends in expected["facts"].items()
    }


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.name)
def test_every_answer_of_a_demo_job_has_an_effect(job: Path, shelf: RuleShelf) -> None:
    taken, assessment, _ = outcome(job, shelf)

    assert without_effect(assessment, taken.file.job) == ()


def test_the_demo_writes_its_papers_and_marks_them_as_a_rehearsal(tmp_path: Path, shelf: RuleShelf) -> None:
    shown = demonstrate(shelf, tmp_path, "A4", NOW)

    assert shown.pdf.read_bytes().startswith(b"%PDF-")
    assert "REHEARSAL" in shown.text.read_text(encoding="utf-8")
    assert '"rehearsal": true' in shown.json.read_text(encoding="utf-8")


def test_the_command_prints_the_whole_path_without_a_terminal(tmp_path: Path) -> None:
    done = riskhelper(tmp_path, "demo", "--out", "out")

    assert done.returncode == 0, done.stderr
    assert all(f"{step}. " in done.stdout for step in range(1, 6))
    assert str(tmp_path / "out" / "method-statement.pdf") in done.stdout
    assert "Verdict at gate: CONDITIONS" in done.stdout


def test_the_demo_job_in_a_rehearsal_store_stands_where_the_file_says(tmp_path: Path, shelf: RuleShelf) -> None:
    from riskhelper.acts.context import Context
    from riskhelper.store.logbook import Logbook
    from riskhelper.store.sqlite import SqliteStore

    taken = take(DEMO / NAME / "answers.toml", shelf)
    bench = Context(
        store=SqliteStore(tmp_path / "rehearsal.sqlite", rehearsal=True),
        rules=shelf,
        clock=lambda: START,
        who="Mirela Oduya",
        role="work leader",
        logbook=Logbook(tmp_path / "log"),
        local_codes=shelf.local_codes,
    )
    state = enter(bench, taken.file)

    assert state.job.rehearsal
    assert {q: a.value for q, a in state.job.answers.items()} == {
        q: a.value for q, a in taken.file.job.answers.items()
    }
    assert state.job.planned == taken.file.job.planned


@pytest.mark.slow
def test_an_installed_package_brings_its_rules_and_its_demo(tmp_path: Path) -> None:
    pip = [str(tmp_path / "venv" / "bin" / "python"), "-m", "pip", "install", "--quiet"]
    subprocess.run(["python3", "-m", "venv", str(tmp_path / "venv")], check=True)
    subprocess.run([*pip, str(ROOT)], check=True)
    clean = {key: value for key, value in environment(tmp_path).items() if key != "PYTHONPATH"}
    command = tmp_path / "venv" / "bin" / "riskhelper"
    done = subprocess.run(
        [str(command), "demo", "--out", "out"], capture_output=True, text=True, cwd=tmp_path, env=clean, check=False
    )
    lies = subprocess.run(
        [str(command), "where"], capture_output=True, text=True, cwd=tmp_path, env=clean, check=True
    )

    assert done.returncode == 0, done.stderr
    assert "Verdict at gate: CONDITIONS" in done.stdout
    assert os.path.join("site-packages", "riskhelper", "shipped_rules") in lies.stdout
