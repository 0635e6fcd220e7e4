"""`rules`: what loads and is still wrong; everything else about rule sets is handed on to its own module."""

from __future__ import annotations

import json
import sys
from argparse import Namespace

from riskhelper.acts.rule_sets.reviewing import review_folder, review_json, review_lines
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode


def rules(place: Workplace, given: Namespace) -> ExitCode:
    """What was asked for about rule sets."""
    from riskhelper.cli import adopting, comparing

    match given.what:
        case "review":
            return _review(place, given)
        case "prove" | "ask":
            from riskhelper.cli import proving

            return proving.prove(place, given) if given.what == "prove" else proving.ask(place, given)
        case "compare":
            return comparing.compare(place, given)
        case "replay":
            return comparing.replay(place, given)
        case "show":
            return comparing.show(place, given)
        case "list":
            return adopting.listed(place)
        case _:
            return adopting.course(place, given)


def _review(place: Workplace, given: Namespace) -> ExitCode:
    """Prints the review; open findings have an exit code of their own, so that a build can stop at them."""
    found = review_folder(place.shelf.folder)
    if given.json:
        print(json.dumps(review_json(found), indent=2, ensure_ascii=False))
    else:
        for line in review_lines(found, with_waived=given.waived):
            print(line)
    words = f"{place.shelf.folder}: {len(found.findings)} findings open, {len(found.waived)} waived."
    print(words, file=sys.stderr)
    return ExitCode.FINDINGS if found.findings else ExitCode.NO_STOP_FOUND
