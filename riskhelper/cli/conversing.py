"""`interview` and the interface: a conversation with a person. Front ends are loaded by name, none knows another."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from dataclasses import replace
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode, exit_of_verdict
from riskhelper.terms import GATE

if TYPE_CHECKING:
    from riskhelper.acts.job.answer_files import AnswerFile

PLAIN = "riskhelper.plain"
INTERFACE = "riskhelper.tui"


def open_interface(place: Workplace, given: Namespace) -> ExitCode:
    """The terminal interface where a terminal can carry it, plain lines elsewhere."""
    return _converse(INTERFACE if can_draw() else PLAIN, place, given)


def interview(place: Workplace, given: Namespace) -> ExitCode:
    """The interview in plain lines."""
    return _converse(PLAIN, place, given)


def open_rehearsal(place: Workplace, file: AnswerFile, folder: Path) -> ExitCode:
    """Enters a file into a rehearsal store of its own in a folder, makes the crew that can sign there, and opens the
    interface on it."""
    from riskhelper.acts.job.from_file import enter
    from riskhelper.acts.plan.gate import has_register
    from riskhelper.acts.register.rehearsal_crew import LEADER, make_crew

    own = replace(place, rehearsal=True, store_file=folder / "rehearsal.sqlite")
    context = own.context(LEADER)
    state = enter(context, file)
    if not has_register(context):
        make_crew(context)
    words = {"local": state.job.local_code, "milestone": file.milestone, "who": LEADER, "role": "", "paper": ""}
    return open_interface(own, Namespace(job=state.number, papers=str(folder), **words))


def can_draw() -> bool:
    """Whether all three streams are a terminal that can place characters, and the interface is there.

    The interface reads from input, looks at output for the size, and draws on the error stream. Behind a browser it
    talks to the server instead, which names its driver.
    """
    if "TEXTUAL_DRIVER" in os.environ:
        return find_spec(INTERFACE) is not None
    on_terminal = all(stream.isatty() for stream in (sys.stdin, sys.stdout, sys.stderr))
    return on_terminal and os.environ.get("TERM", "dumb") != "dumb" and find_spec(INTERFACE) is not None


def _converse(front_end: str, place: Workplace, given: Namespace) -> ExitCode:
    verdict = import_module(front_end).start(
        place,
        job=given.job,
        local_code=given.local or place.config.local_code,
        milestone=given.milestone or GATE,
        who=given.who,
        role=given.role,
        paper=given.paper or place.config.paper,
        folder=Path(given.papers) if given.papers else place.places.papers,
    )
    return exit_of_verdict(verdict)
