"""The command `riskhelper`: reads the command line and hands over; what a command needs is imported with it."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Sequence

from riskhelper.cli.exits import ExitCode
from riskhelper.cli.parser import read_words


def main(arguments: Sequence[str] | None = None) -> int:
    """The command `riskhelper`; gives the exit code."""
    for stream, errors in ((sys.stdin, "surrogateescape"), (sys.stdout, "replace"), (sys.stderr, "replace")):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors=errors)
    words = sys.argv[1:] if arguments is None else list(arguments)
    given = read_words(words)
    try:
        code = _run(given)
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = ExitCode.UNEXPECTED
    except KeyboardInterrupt:
        print("Interrupted. What was shown as saved is saved.", file=sys.stderr)
        code = ExitCode.LEFT
    return int(code)


def _run(given: Namespace) -> ExitCode:
    if given.command == "compute":
        from riskhelper.cli.calculating import compute  # without store, rules, papers: it answers at once

        return compute(given)
    from riskhelper.cli.placed import run  # brings in everything else

    return run(given)
