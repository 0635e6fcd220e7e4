"""`rules compare`, `rules replay` and `rules show`: two sets side by side, past jobs through both, one entry."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Callable

from riskhelper.acts.context import Refused
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode


def compare(_place: Workplace, given: Namespace) -> ExitCode:
    """Prints what differs in meaning; the exit code says whether anything is looser."""
    from riskhelper.acts.rule_sets.comparing import compare_folders, comparison_json, comparison_lines, save_examples

    old, new = _sides(given)
    found = compare_folders(old, new, given.local)
    if given.json:
        print(json.dumps(comparison_json(found), indent=2, ensure_ascii=False))
    else:
        print("\n".join(comparison_lines(found)))
    if given.save is not None:
        for file in save_examples(found, new, given.save):
            print(f"Example job: {file}", file=sys.stderr)
    return _exit(bool(found.differences), bool(found.looser))


def replay(place: Workplace, given: Namespace) -> ExitCode:
    """Replays the jobs of the record; the exit code says whether anything comes out milder."""
    from riskhelper.acts.rule_sets.replaying import replay_lines, replay_record, write_csv

    old, new = _sides(given)
    context = place.context()
    codes = given.local or [code for code in old.codes if code in new.codes]
    replays = [replay_record(context, old, new, code, given.milestone, _progress(code)) for code in codes]
    for told in replays:
        if told.found.count or len(codes) == 1:
            print("\n".join(replay_lines(told)))
    if not any(told.found.count for told in replays):
        print("The record holds no job under these local codes.", file=sys.stderr)
    if given.csv is not None:
        write_csv(replays, given.csv)
        print(f"Every change, one line each: {given.csv}", file=sys.stderr)
    return _exit(any(told.found.changed for told in replays), any(told.found.looser for told in replays))


def show(place: Workplace, given: Namespace) -> ExitCode:
    """Prints one entry with all that feeds it and hangs on it."""
    from riskhelper.acts.rule_sets.showing_entry import entry_json, entry_lines, show_entry

    where = RuleFolder(place.shelf.folder)
    context = place.context() if place.store.exists() else None
    found = show_entry(where, given.local or where.usual_code, " ".join(given.entry), context)
    if given.json:
        print(json.dumps(entry_json(found), indent=2, ensure_ascii=False))
    else:
        print("\n".join(entry_lines(found)))
    return ExitCode.NO_STOP_FOUND


def _sides(given: Namespace) -> tuple[RuleFolder, RuleFolder]:
    if given.new is None and not given.supplement:
        raise Refused("A second set is missing. Name its folder after the first, or a supplement with --with FOLDER")
    return RuleFolder(given.old), RuleFolder(given.new or given.old, tuple(given.supplement))


def _progress(code: str) -> Callable[[int], bool]:
    def told(done: int) -> bool:
        if sys.stderr.isatty():
            print(f"\r{code}: {done:,} jobs replayed. Ctrl+C ends it.", end="", file=sys.stderr, flush=True)
        return True

    return told


def _exit(changed: bool, looser: bool) -> ExitCode:
    if looser:
        return ExitCode.LOOSER
    return ExitCode.DIFFERS if changed else ExitCode.NO_STOP_FOUND
