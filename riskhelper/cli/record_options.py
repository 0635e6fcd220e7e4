"""Options of the commands that carry, keep and bring back a record."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

SECRETS = "Passphrases are asked for on the terminal, or read from standard input, one a line, in the order named."


def add_record_commands(commands: Commands) -> None:
    """Adds them to the command line."""
    _add_carry(commands.add_parser("carry", help="carry jobs, vouched keys and entries to another store and back"))
    _add_holding(commands.add_parser("holding", help="which store holds which plant", epilog=SECRETS))
    backup = commands.add_parser("backup", help="make a verified copy of the store, while it is in use")
    backup.add_argument("file", type=Path, metavar="FILE", help="where the copy goes; its keys go into FILE.keys")
    restore = commands.add_parser("restore", help="bring a copy back, never behind what was seen here")
    restore.add_argument("file", type=Path, metavar="FILE", help="the copy")
    _add_texts(commands.add_parser("texts", help="personal text past its keeping period", epilog=SECRETS))
    _add_incident(commands.add_parser("incident", help="incidents: while one is open nothing is destroyed"))


def add_signer(parser: argparse.ArgumentParser, *, late: bool = False) -> None:
    """Who signs, in which role; with `late` also when it was true."""
    parser.add_argument("--as", dest="name", required=True, metavar="NAME", help="who signs")
    parser.add_argument("--in-role", required=True, metavar="ROLE", help="in which role")
    if late:
        parser.add_argument(
            "--true-at", default="", metavar="MOMENT", help="when it was true, where it is entered later from paper"
        )


def _add_carry(parser: argparse.ArgumentParser) -> None:
    ways = parser.add_subparsers(dest="what", required=True, metavar="WAY")
    out = ways.add_parser("out", help="write everything this store holds into a file")
    out.add_argument("file", type=Path, metavar="FILE")
    out.add_argument("--key", action="append", default=[], metavar="NAME", help="take along this person's sealed key")
    into = ways.add_parser("in", help="take in what a file brings, once all of it holds")
    into.add_argument("file", type=Path, metavar="FILE")
    into.add_argument("--register", default="", metavar="WORDS", help="words of the register as printed at set-up")


def _add_holding(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(dest="what", required=True, metavar="ACT")
    acts.add_parser("list", help="print this store's name, and who holds what")
    pass_on = acts.add_parser("pass", help="pass plants with their points to another store", epilog=SECRETS)
    pass_on.add_argument("plant", nargs="+", metavar="PLANT")
    pass_on.add_argument("--to", required=True, metavar="STORE", help="its four words, such as fox-oak-hill-rain")
    add_signer(pass_on)
    add_signer(acts.add_parser("take", help="take what was passed to this store", epilog=SECRETS))
    claim = acts.add_parser("claim", help="claim plants from a store that is lost", epilog=SECRETS)
    claim.add_argument("plant", nargs="+", metavar="PLANT")
    claim.add_argument("--reason", required=True)
    claim.add_argument("--by", action="append", required=True, metavar="KEEPER", help="the two who claim")


def _add_texts(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(dest="what", required=True, metavar="ACT")
    for name, words in (
        ("list", "which jobs hold personal text, and why it stays"),
        ("destroy", "destroy what is due"),
    ):
        act = acts.add_parser(name, help=words, epilog=SECRETS)
        act.add_argument("--kept-days", type=int, required=True, metavar="DAYS", help="the site's own keeping period")
        act.add_argument(
            "--over",
            action="append",
            default=[],
            metavar="JOB",
            help="a job whose work is over though no permit of it was closed here",
        )
        if name == "destroy":
            add_signer(act)


def _add_incident(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(dest="what", required=True, metavar="ACT")
    report = acts.add_parser("report", help="say that something happened at a job; anybody may")
    report.add_argument("job", metavar="JOB")
    report.add_argument("words", metavar="WORDS", help="what happened, in a sentence")
    close = acts.add_parser("close", help="close the inquiry into what happened", epilog=SECRETS)
    close.add_argument("job", metavar="JOB")
    close.add_argument("words", metavar="WORDS", help="its outcome")
    add_signer(close)
