"""How a command ends."""

from __future__ import annotations

from enum import IntEnum

from riskhelper.terms import Verdict


class ExitCode(IntEnum):
    """Every exit code. `riskhelper --help` prints this list with `EXIT_WORDS`."""

    NO_STOP_FOUND = 0
    UNEXPECTED = 1
    USAGE = 2
    CONDITIONS = 3
    STOP = 4
    BAD_INPUT = 5
    BAD_RULES = 6
    STORE = 7
    LEFT = 8
    DOES_NOT_HOLD = 9
    FINDINGS = 10
    DIFFERS = 11
    LOOSER = 12
    NOT_SETTLED = 13


EXIT_WORDS = {
    ExitCode.NO_STOP_FOUND: "done; where a job was assessed, no stop was found",
    ExitCode.UNEXPECTED: "a fault of the program; a report was left beside the log",
    ExitCode.USAGE: "the command line was not understood",
    ExitCode.CONDITIONS: "assessed: conditions",
    ExitCode.STOP: "assessed: stop",
    ExitCode.BAD_INPUT: "an answer, a file or the configuration was refused",
    ExitCode.BAD_RULES: "the rule set has faults or was not found",
    ExitCode.STORE: "the store could not be opened, read or written",
    ExitCode.LEFT: "the interview was left before its end; every answer is saved",
    ExitCode.DOES_NOT_HOLD: "checked: the record does not hold",
    ExitCode.FINDINGS: "reviewed or proved: findings that are not waived; asked: there is such a job",
    ExitCode.DIFFERS: "compared or replayed: something differs, nothing is looser",
    ExitCode.LOOSER: "compared or replayed: something is looser, or neither stricter nor looser alone",
    ExitCode.NOT_SETTLED: "proved or asked: no finding, but not everything was settled in time",
}
_OF_VERDICT = {
    Verdict.NO_STOP_FOUND: ExitCode.NO_STOP_FOUND,
    Verdict.CONDITIONS: ExitCode.CONDITIONS,
    Verdict.STOP: ExitCode.STOP,
}


def exit_of_verdict(verdict: Verdict | None) -> ExitCode:
    """The exit code of a verdict; none means that the person left before there was one."""
    return ExitCode.LEFT if verdict is None else _OF_VERDICT[verdict]
