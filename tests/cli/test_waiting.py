"""`riskhelper waiting`: the plans at the gate on the command line."""

from __future__ import annotations

from pathlib import Path

from riskhelper.cli.exits import ExitCode
from tests.cli.running import riskhelper


def test_with_nothing_handed_over_it_says_so_and_ends_well(tmp_path: Path) -> None:
    done = riskhelper(tmp_path, "--rehearsal", "waiting")

    assert done.returncode == ExitCode.NO_STOP_FOUND
    assert "REHEARSAL. NOT FOR WORK." in done.stdout
    assert "No plan waits at the gate." in done.stdout


def test_a_job_nobody_knows_is_refused_with_the_nearest(tmp_path: Path) -> None:
    done = riskhelper(tmp_path, "--rehearsal", "waiting", "--job", "71")

    assert done.returncode == ExitCode.BAD_INPUT
    assert "No job `71` in this store." in done.stderr
