"""Runs one command; every refusal becomes words on standard error and an exit code."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from riskhelper.acts.setting_up import Workplace, workplace
from riskhelper.acts.telling import Cause, cause_of, told
from riskhelper.cli import assessing, calculating, conversing, showing
from riskhelper.cli.exits import ExitCode, exit_of_cause
from riskhelper.cli.parser import parser

COMMANDS: Mapping[str, Callable[[Workplace, Namespace], ExitCode]] = {
    "": conversing.open_interface,
    "interview": conversing.interview,
    "assess": assessing.assess_file,
    "questions": showing.questions,
    "compute": calculating.compute,
    "demo": showing.demo,
    "where": showing.where,
}


def main(arguments: Sequence[str] | None = None) -> int:
    """The command `riskhelper`; gives the exit code."""
    for stream, errors in ((sys.stdin, "surrogateescape"), (sys.stdout, "replace"), (sys.stderr, "replace")):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors=errors)
    given = parser().parse_args(arguments)
    place: Workplace | None = None
    try:
        place = workplace(
            os.environ, Path.home(), rules_folder=given.rules, store_file=given.store, rehearsal=given.rehearsal
        )
        code = COMMANDS[given.command or ""](place, given)
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = ExitCode.UNEXPECTED
    except KeyboardInterrupt:
        print("Interrupted. What was shown as saved is saved.", file=sys.stderr)
        code = ExitCode.LEFT
    except Exception as fault:
        code = _refused(fault, place)
    return int(code)


def _refused(fault: Exception, place: Workplace | None) -> ExitCode:
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
    return exit_of_cause(cause)
