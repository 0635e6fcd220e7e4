"""The course of a rule set from the command line: one signed act, or what stands and is due."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Mapping

from riskhelper.acts.context import Context, printable
from riskhelper.acts.register.signing import key_folder, sign_in
from riskhelper.acts.rule_sets import adopting
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode
from riskhelper.cli.secrets import passphrases

DETAILS: Mapping[str, Mapping[str, str]] = {
    "propose": {},
    "comment": {"entry": "entry", "words": "words"},
    "settle": {"entry": "entry"},
    "check": {"findings": "findings"},
    "adopt": {"from": "day", "looser": "looser"},
    "withdraw": {"reason": "reason"},
    "call-review": {"reason": "reason"},
    "reviewed": {"next": "next"},
}
"""For each command what is written with the act, and the option that gives it."""


def course(place: Workplace, given: Namespace) -> ExitCode:
    """One act of the course; prints where the set stands afterwards."""
    context = place.context()
    where = RuleFolder(place.shelf.folder)
    signing = sign_in(context, key_folder(place), given.name, given.in_role, passphrases([given.name])[given.name])
    name = given.what.replace("-", " ")
    details = {key: getattr(given, option) for key, option in DETAILS[given.what].items()}
    compared = None
    if given.what == "adopt" and given.against is not None:
        from riskhelper.acts.rule_sets.replaying import compared_with

        compared = compared_with(context, RuleFolder(given.against), where, given.local)
        print(compared.words, file=sys.stderr)
    adopting.act(signing, where, given.local, name, details, compared)
    line = adopting.standing_of(context, where.under(given.local), given.local)
    print(printable(line.words))
    for one in adopting.due_on(context, line):
        print(printable(due_words(one)))
    print(f"Possible now: {'; '.join(line.possible) or 'nothing'}", file=sys.stderr)
    if given.what == "withdraw":
        _telephone(context, line)
    return ExitCode.NO_STOP_FOUND


def listed(place: Workplace) -> ExitCode:
    """The sets of the record and what is due."""
    context = place.context()
    for line in adopting.rule_sets(context):
        print(printable(line.words))
    waiting = adopting.due(context)
    for one in waiting:
        print(printable(due_words(one)))
    if not adopting.rule_sets(context):
        print("No rule set was proposed at this site. Until one is in force, work is a rehearsal.", file=sys.stderr)
    return ExitCode.NO_STOP_FOUND


def due_words(one: adopting.Due) -> str:
    """Something that waits, marked where its day is past."""
    return f"{'LATE' if one.late else 'due'}: {one.words}"


def _telephone(context: Context, line: adopting.RuleSetLine) -> None:
    jobs = adopting.touched(context, line.course)
    print("Jobs opened under it:" if jobs else "No job was opened under it.")
    for job in jobs:
        permits = "; ".join(job.permits) or "no permit open"
        people = f"; telephone {', '.join(job.people)}" if job.people else ""
        print(printable(f"  {job.number}: {permits}{people}"))
