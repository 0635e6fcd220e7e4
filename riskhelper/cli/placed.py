"""Runs the commands that need this machine's store, configuration or rules."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Callable, Mapping
from importlib import import_module
from pathlib import Path

from riskhelper.acts.setting_up import Workplace, workplace
from riskhelper.cli.exits import ExitCode

COMMANDS: Mapping[str, tuple[str, str]] = {
    "": ("conversing", "open_interface"),
    "open-in-browser": ("browsing", "open_in_browser"),
    "interview": ("conversing", "interview"),
    "waiting": ("waiting", "waiting"),
    "assess": ("assessing", "assess_file"),
    "papers": ("printing", "papers"),
    "questions": ("showing", "questions"),
    "demo": ("showing", "demo"),
    "where": ("showing", "where"),
    "rules": ("reviewing", "rules"),
    "plants": ("knowing_plants", "plants"),
    "people": ("registering", "people"),
    "permit": ("permitting", "permit"),
    "isolation": ("permitting", "isolation"),
    "verify": ("registering", "verify"),
    "carry": ("carrying", "carry"),
    "holding": ("carrying", "holding"),
    "backup": ("keeping", "backup"),
    "restore": ("keeping", "restore"),
    "texts": ("keeping", "texts"),
    "incident": ("keeping", "incident"),
}


def run(given: Namespace) -> ExitCode:
    """The command on this machine; every refusal becomes words on standard error and an exit code."""
    place: Workplace | None = None
    try:
        place = workplace(
            os.environ,
            Path.home(),
            rules_folder=given.rules,
            store_file=given.store,
            rehearsal=given.rehearsal,
            language=given.language,
        )
        code = _command(given.command or "")(place, given)
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except Exception as fault:
        return _refused(fault, place)
    return code


def _command(name: str) -> Callable[[Workplace, Namespace], ExitCode]:
    """The command of that name; only its own module is loaded, as the interface must be on the screen at once."""
    module, function = COMMANDS[name]
    command: Callable[[Workplace, Namespace], ExitCode] = getattr(import_module(f"riskhelper.cli.{module}"), function)
    return command


def _refused(fault: Exception, place: Workplace | None) -> ExitCode:
    from riskhelper.acts.telling import Cause, cause_of, told

    codes = {
        Cause.INPUT: ExitCode.BAD_INPUT,
        Cause.RULES: ExitCode.BAD_RULES,
        Cause.STORE: ExitCode.STORE,
        Cause.UNEXPECTED: ExitCode.UNEXPECTED,
    }
    cause = cause_of(fault)
    if cause is Cause.UNEXPECTED:
        report = place.logbook.crash(place.now(), fault) if place is not None else None
        where = f"A report lies in {report}" if report else f"It was {type(fault).__name__}: {fault}"
        print(
            f"The program came to a fault it did not expect. What was shown as saved is saved. {where}.",
            file=sys.stderr,
        )
    else:
        for line in told(fault):
            print(line, file=sys.stderr)
    return codes[cause]
