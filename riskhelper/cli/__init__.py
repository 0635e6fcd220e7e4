"""The command line: one act a command, data on standard output, words on standard error."""

from riskhelper.cli.run import main

__all__ = ["main"]
