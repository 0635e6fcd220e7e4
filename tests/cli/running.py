"""Runs the command line in a process of its own, in a home of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def environment(home: Path) -> dict[str, str]:
    """An environment in which nothing of this machine's user is seen."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("XDG_")}
    return {**kept, "HOME": str(home), "PYTHONPATH": str(ROOT), "TERM": "dumb", "USER": "ada"}


def riskhelper(home: Path, *words: str, typed: str | bytes = "") -> subprocess.CompletedProcess[str]:
    """What a command printed, said and ended with."""
    data = typed if isinstance(typed, bytes) else typed.encode("utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "riskhelper", *words],
        input=data,
        capture_output=True,
        env=environment(home),
        cwd=home,
        check=False,
        timeout=120,
    )
    return subprocess.CompletedProcess(
        done.args, done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8")
    )
