"""`waiting`: the plans at the gate in plain lines."""

from __future__ import annotations

from argparse import Namespace
from importlib import import_module

from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode

PLAIN = "riskhelper.plain.waiting"


def waiting(place: Workplace, given: Namespace) -> ExitCode:
    """The list, one plan, what stands behind it, and what is decided on it."""
    import_module(PLAIN).start(place, who=given.who, role=given.role, job=given.job)
    return ExitCode.NO_STOP_FOUND
