"""Options of `rules`: review, prove, ask, compare, replay, show, and the course from proposal to withdrawal."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from riskhelper.cli.record_options import SECRETS

if TYPE_CHECKING:
    Acts = argparse._SubParsersAction[argparse.ArgumentParser]


def add_rule_commands(parser: argparse.ArgumentParser) -> None:
    """Adds them to the command line."""
    acts = parser.add_subparsers(dest="what", required=True, metavar="ACT")
    review = acts.add_parser("review", help="what loads and is still wrong, missing, idle or hard to read")
    review.add_argument("--waived", action="store_true", help="print what is waived, and why, too")
    review.add_argument("--json", action="store_true", help="print the review as JSON")
    _add_proofs(acts)
    _add_two_sets(acts)
    show = acts.add_parser("show", help="one entry: what it says, feeds it, hangs on it, its cases and history")
    show.add_argument("entry", nargs="+", metavar="ID", help="such as oil.hot_oil, or `hazard oil.hot_oil`")
    show.add_argument("--local", default="", metavar="CODE", help="local code; the first on offer is usual")
    show.add_argument("--json", action="store_true", help="print it as JSON")
    _add_course(acts)


def _add_proofs(acts: Acts) -> None:
    prove = acts.add_parser("prove", help="what no job may do, proved over every job there is")
    prove.add_argument("--waived", action="store_true", help="print what is waived, and why, too")
    ask = acts.add_parser(
        "ask",
        help="can there be a job in which this holds and that as well?",
        epilog="Conditions are those of the rules, with `verdict`, `stops`, `not_known`, `pending`, `planned`,"
        " `proved`, and of a hazard `likelihood.SUBJECT.NAME`, `severity.`, `band_found.`, `band_planned.` and"
        " `band_proved.` besides; what cannot be ruled out counts as held. Example:"
        ' riskhelper rules ask "plant.live and oil.p_after_kpa <= 0" --never "verdict != \'STOP\'"',
    )
    ask.add_argument("condition", metavar="CONDITION", help="what holds, or cannot be ruled out, in the job")
    ask.add_argument("--never", required=True, metavar="CONDITION", help="what should never hold in it")
    ask.add_argument("--at", default="", metavar="MILESTONE", help="only at this milestone; at any is usual")
    for parser in (prove, ask):
        parser.add_argument(
            "--with", dest="supplement", action="append", default=[], type=Path, metavar="FOLDER", help="supplement"
        )
        parser.add_argument("--local", action="append", default=[], metavar="CODE", help="only under this local code")
        parser.add_argument("--seconds", type=float, default=120.0, help="time for each local code; 120 is usual")
        parser.add_argument(
            "--out", type=Path, metavar="FOLDER", help="save the jobs found: to open, to keep as cases"
        )
        parser.add_argument("--json", action="store_true", help="print it as JSON (ask: the answer file)")


def _add_two_sets(acts: Acts) -> None:
    for name, words in (
        ("compare", "what differs in meaning between two sets, which way, with a job for each difference"),
        ("replay", "past jobs of the record through two sets: what comes out differently, and why"),
    ):
        parser = acts.add_parser(name, help=words)
        parser.add_argument("old", type=Path, metavar="OLD", help="folder of the set before")
        parser.add_argument("new", nargs="?", type=Path, metavar="NEW", help="folder of the set after")
        parser.add_argument(
            "--with",
            dest="supplement",
            action="append",
            default=[],
            type=Path,
            metavar="FOLDER",
            help="supplement on the set after; without NEW on OLD",
        )
        parser.add_argument("--local", action="append", default=[], metavar="CODE", help="only under this local code")
        if name == "compare":
            parser.add_argument("--json", action="store_true", help="print the comparison as JSON")
            parser.add_argument(
                "--save", type=Path, metavar="FOLDER", help="write each example job as an answer file"
            )
        else:
            parser.add_argument(
                "--milestone", default="approval", help="where the jobs are looked at; approval (usual)"
            )
            parser.add_argument("--csv", type=Path, metavar="FILE", help="write every change of every job there")


def _add_course(acts: Acts) -> None:
    """Each act of the course is signed by one person."""
    acts.add_parser("list", help="the rule sets of this site, where each stands, and what is due")
    _signed(acts, "propose", "propose the set, so that a second officer checks it; the worked cases are run")
    comment = _signed(acts, "comment", "say what is wrong with one entry; nobody adopts the set before it is settled")
    comment.add_argument("--entry", required=True, metavar="ENTRY", help="such as `hazard oil.hot_oil`")
    comment.add_argument("--words", required=True, help="what is wrong and what you ask for")
    settle = _signed(acts, "settle", "settle your own comment on an entry")
    settle.add_argument("--entry", required=True, metavar="ENTRY")
    check = _signed(acts, "check", "check a set somebody else proposed; worked cases and review are run")
    check.add_argument("--findings", default="", metavar="REASON", help="why open findings may stand")
    adopt = _signed(acts, "adopt", "adopt a checked set, as one of two officers")
    adopt.add_argument("--from", dest="day", required=True, metavar="DAY", help="in force from, such as 2031-12-31")
    adopt.add_argument("--against", type=Path, metavar="FOLDER", help="the set in force, to compare and replay with")
    adopt.add_argument("--looser", default="", metavar="REASON", help="why what comes out milder may")
    withdraw = _signed(acts, "withdraw", "withdraw a set at once; prints the jobs it touches, to telephone")
    withdraw.add_argument("--reason", required=True)
    call = _signed(acts, "call-review", "ask for a review: an incident, a change, a rule that did not fit")
    call.add_argument("--reason", required=True)
    reviewed = _signed(acts, "reviewed", "say that the set was reviewed and stays, until the next review")
    reviewed.add_argument("--next", required=True, metavar="DAY", help="day of the next review")


def _signed(acts: Acts, name: str, words: str) -> argparse.ArgumentParser:
    parser = acts.add_parser(name, help=words, epilog=SECRETS)
    parser.add_argument("--local", required=True, metavar="CODE", help="local code of the set")
    parser.add_argument("--as", dest="name", required=True, metavar="NAME", help="who signs")
    parser.add_argument("--in-role", default="safety officer", metavar="ROLE", help="safety officer (usual)")
    return parser
