"""Options of the commands that sign or check: people, permit, isolation, verify."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from riskhelper.cli.record_options import SECRETS, add_record_commands, add_signer
from riskhelper.terms import WORK_KINDS

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]


def add_signed_commands(commands: Commands) -> None:
    """Adds them to the command line."""
    add_record_commands(commands)
    _add_people(commands.add_parser("people", help="register of people: who may sign what", epilog=SECRETS))
    _add_permit(commands.add_parser("permit", help="permits: draw up, take along their course, list", epilog=SECRETS))
    _add_isolation(commands.add_parser("isolation", help="isolation register: points and locks", epilog=SECRETS))
    verify = commands.add_parser("verify", help="check a record: what holds, by whose keys, from where it does not")
    verify.add_argument(
        "file", nargs="?", type=Path, metavar="FILE", help="store, carried file or paper (usual: the store in use)"
    )
    verify.add_argument("--head", default="", metavar="SIZE-ROOT", help="tree head as printed on a paper")
    verify.add_argument("--register", default="", metavar="WORDS", help="words of the register as printed at set-up")


def _add_people(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(dest="what", required=True, metavar="ACT")
    set_up = acts.add_parser("set-up", help="make the site register, kept by two people or more", epilog=SECRETS)
    set_up.add_argument("--keeper", action="append", required=True, metavar="NAME", help="give it for each keeper")
    add = acts.add_parser("add", help="vouch for a person, or for new roles and limits", epilog=SECRETS)
    add.add_argument("name", metavar="NAME")
    add.add_argument("--employer", required=True)
    add.add_argument("--role", action="append", required=True, help="give it for each role")
    add.add_argument("--until", required=True, metavar="DATE", help="last day, such as 2031-12-31")
    add.add_argument("--limit-v", type=int, default=0, metavar="VOLTS", help="highest voltage")
    add.add_argument("--plant", default="", help="only plant whose name begins so")
    add.add_argument("--type", default="", metavar="ROAD", help="only permit-to-work, or only `limitation of access`")
    add.add_argument("--new-key", action="store_true", help="make a new key; an older one goes out of use")
    add.add_argument("--by", action="append", required=True, metavar="KEEPER", help="the two who vouch")
    revoke = acts.add_parser("revoke", help="take a person's key out of use", epilog=SECRETS)
    revoke.add_argument("name", metavar="NAME")
    revoke.add_argument("--reason", required=True)
    revoke.add_argument("--by", action="append", required=True, metavar="KEEPER", help="the two who revoke")
    acts.add_parser("practise", help="in a rehearsal: make a crew of invented people in one step")
    missing = acts.add_parser("missing", help="roles that nobody present can fill")
    missing.add_argument("--present", action="append", default=[], metavar="NAME", help="give it for each person")
    missing.add_argument("--plant", default="")
    missing.add_argument("--voltage-v", type=int, default=0, metavar="VOLTS")
    acts.add_parser("list", help="print the register")


def _add_permit(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(dest="what", required=True, metavar="ACT")
    draft = acts.add_parser("draft", help="draw up a permit for a job", epilog=SECRETS)
    draft.add_argument("job", metavar="JOB")
    add_signer(draft, late=True)
    draft.add_argument("--road", default="permit-to-work", help="permit-to-work (usual) or `limitation of access`")
    draft.add_argument("--plant", required=True)
    draft.add_argument("--apparatus", required=True)
    draft.add_argument("--zone", required=True)
    draft.add_argument("--voltage-v", type=int, required=True, metavar="VOLTS", help="highest voltage there")
    draft.add_argument(
        "--energy", action="append", default=[], help=f"once for each kind of work: {', '.join(WORK_KINDS)}"
    )
    draft.add_argument("--point", action="append", default=[], help="give it for each point of isolation")
    do = acts.add_parser("do", help="do one act of the course", epilog=SECRETS)
    do.add_argument("number", metavar="PERMIT")
    do.add_argument("act", metavar="ACT", help="such as `request` or `hand back`")
    do.add_argument("details", nargs="*", metavar="name=words", help="what is written with the act")
    add_signer(do, late=True)
    show = acts.add_parser(
        "show", help="one permit in words: state, window, signatures, points, crew, what is possible"
    )
    show.add_argument("number", metavar="PERMIT")
    wanted = acts.add_parser("wanted", help="what is written with an act, and which choices there are")
    wanted.add_argument("number", metavar="PERMIT")
    wanted.add_argument("act", metavar="ACT")
    paper = acts.add_parser("print", help="draw a paper of a permit with its record attached", epilog=SECRETS)
    paper.add_argument("number", metavar="PERMIT")
    paper.add_argument("--kind", default="permit", help="permit (usual), points, test or hand-back")
    paper.add_argument("--folder", type=Path, default=Path(), help="where to write it")
    paper.add_argument("--paper", default="A4", help="A4 (usual) or Letter")
    paper.add_argument("--revision", type=int, default=0, help="an older revision, marked superseded")
    paper.add_argument("--as", dest="name", default="", metavar="NAME", help="who draws a numbered copy")
    paper.add_argument("--in-role", default="", metavar="ROLE", help="in which role")
    paper.add_argument("--for", dest="drawn_for", default="", metavar="WHOM", help="for whom the numbered copy is")
    paper.set_defaults(true_at="")
    exceptions = acts.add_parser(
        "exceptions", help="every exception made: locks of people gone, rulings, two roles, keys, late entries"
    )
    exceptions.add_argument("--permit", default="", metavar="PERMIT", help="only of this permit and its points")
    emergency = acts.add_parser("emergency", help="suspend every permit of a zone at once; nobody signs")
    emergency.add_argument("zone", metavar="ZONE")
    audit = acts.add_parser("audit", help="share of live permits visited on site, findings, actions overdue")
    audit.add_argument("--from", dest="starts", default="", metavar="DAY", help="usual: twelve months before the end")
    audit.add_argument("--to", dest="ends", default="", metavar="DAY", help="usual: now")
    audit.add_argument("--json", action="store_true", help="print it as JSON")
    acts.add_parser("list", help="print the sheet of permits, suspended ones first")


def _add_isolation(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(dest="what", required=True, metavar="ACT")
    do = acts.add_parser("do", help="do one act on a point", epilog=SECRETS)
    do.add_argument("point", metavar="POINT")
    do.add_argument("act", metavar="ACT", help="such as `plan`, `secure`, `prove`, `release`")
    do.add_argument("details", nargs="*", metavar="name=words", help="what is written with the act")
    add_signer(do, late=True)
    acts.add_parser("list", help="print the isolation register")
