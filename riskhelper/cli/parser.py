"""All commands, their options and their words."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from riskhelper import __version__
from riskhelper.cli.exits import EXIT_WORDS

if TYPE_CHECKING:
    from pathlib import Path


def _path(text: str) -> Path:
    from pathlib import Path  # `compute` does without it

    return Path(text)


def read_words(words: Sequence[str]) -> argparse.Namespace:
    """The command line as typed; what is written with an act, `name=words`, may stand before or after the options."""
    made = parser(words)
    given, left = made.parse_known_args(words)
    if "details" in given:
        given.details = [*given.details, *(word for word in left if _is_written(word))]
        left = [word for word in left if not _is_written(word)]
    if left:
        made.error(f"unrecognized arguments: {' '.join(left)}")
    return given


def _is_written(word: str) -> bool:
    return "=" in word and not word.startswith("-")


def parser(words: Sequence[str] | None = None) -> argparse.ArgumentParser:
    """The parser of the command line; `command` names what was asked for, empty for the interface.

    `words` are those typed. The interface and `compute` must answer at once: where nothing was typed, or `compute`
    first, the other commands are left out.
    """
    codes = "\n".join(f"  {int(code)}  {words}" for code, words in EXIT_WORDS.items())
    top = argparse.ArgumentParser(
        prog="riskhelper",
        description="Risk assessment, method statement and permit helper for work on oil-filled transformer valves. "
        "An aid to thinking; never a permission to start. Without a command it opens the interface.",
        epilog=f"exit codes:\n{codes}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"riskhelper {__version__}")
    top.add_argument("--rules", type=_path, metavar="FOLDER", help="rule files instead of those shipped")
    top.add_argument("--store", type=_path, metavar="FILE", help="store file instead of the usual one")
    top.add_argument("--language", default="", metavar="NAME", help="read the rules in it, such as `de`")
    top.add_argument("--rehearsal", action="store_true", help="practise: a store apart, every output marked")
    _add_interview_options(top)
    commands = top.add_subparsers(dest="command", title="commands", metavar="COMMAND")
    _add_compute(commands.add_parser("compute", help="run one calculation"))
    if words is not None and (not words or words[0] == "compute"):
        return top
    interview = commands.add_parser("interview", help="ask the questions in plain lines; answers are saved at once")
    _add_interview_options(interview, argparse.SUPPRESS)
    _add_browser(commands.add_parser("open-in-browser", help="offer the interface to a browser"))
    waiting = commands.add_parser("waiting", help="the plans that wait at the gate: read one, decide on it")
    waiting.add_argument("--job", default=argparse.SUPPRESS, metavar="NUMBER", help="this plan first")
    _add_assess(commands.add_parser("assess", help="assess the answers of a file"))
    questions = commands.add_parser("questions", help="print the questions, or those asked for given answers")
    questions.add_argument("--for", dest="answers", type=_path, metavar="ANSWERS.toml", help="only those then asked")
    questions.add_argument("--local", default="", metavar="CODE", help="local code")
    questions.add_argument("--milestone", default="", help="milestone instead of the file's")
    questions.add_argument("--json", action="store_true", help="print them as JSON")
    _add_papers(commands.add_parser("papers", help="write the papers of a job: method statement, summary, sheets"))
    demo = commands.add_parser("demo", help="the whole path on a job that comes with the program")
    demo.add_argument("--out", type=_path, default="riskhelper-demo", metavar="FOLDER", help="where papers go")
    demo.add_argument("--open", action="store_true", help="then open the interface on it, as a rehearsal")
    where = commands.add_parser("where", help="print where store, configuration, rules and log lie")
    where.add_argument("--json", action="store_true", help="print it as JSON")
    _add_plants(commands.add_parser("plants", help="what is known of plants from earlier visits"))
    from riskhelper.cli.rule_options import add_rule_commands  # these two are not needed by `compute`
    from riskhelper.cli.signed_options import add_signed_commands

    add_rule_commands(commands.add_parser("rules", help="examine, compare, replay and adopt the rules themselves"))
    add_signed_commands(commands)
    return top


def _add_interview_options(parser: argparse.ArgumentParser, default: str = "") -> None:
    """Options of the interview; given before or after the word `interview` they mean the same."""
    usual: dict[str, Any] = {"default": default}
    parser.add_argument("--job", metavar="NUMBER", help="job to take up, or number for a new one", **usual)
    parser.add_argument("--local", metavar="CODE", help="local code of a new job", **usual)
    parser.add_argument("--milestone", help="office, gate (usual), approval or a hold point", **usual)
    parser.add_argument("--who", metavar="NAME", help="name written into each entry", **usual)
    parser.add_argument("--role", help="role written into each entry", **usual)
    parser.add_argument("--paper", metavar="SIZE", help="A4 or Letter", **usual)
    parser.add_argument("--papers", metavar="FOLDER", help="where the papers go", **usual)


def _add_browser(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--address", default="127.0.0.1", metavar="IP", help="address of this machine (usual: itself)"
    )
    parser.add_argument("--port", type=int, default=8340, metavar="NUMBER", help="port (usual: 8340)")
    parser.add_argument("--certificate", type=_path, metavar="FILE", help="certificate, needed beyond this machine")
    parser.add_argument("--key", type=_path, metavar="FILE", help="key of the certificate")


def _add_assess(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("answers", type=_path, metavar="ANSWERS.toml")
    parser.add_argument("--json", action="store_true", help="print the whole assessment as JSON")
    parser.add_argument("--pdf", type=_path, metavar="FILE", help="write the method statement as PDF")
    parser.add_argument("--text", type=_path, metavar="FILE", help="write the method statement as plain text")
    parser.add_argument("--local", default="", metavar="CODE", help="local code, where the file names none")
    parser.add_argument("--milestone", default="", help="milestone instead of the file's")
    parser.add_argument("--paper", default="", metavar="SIZE", help="A4 or Letter")


def _add_plants(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(dest="what", required=True, metavar="ACT")
    acts.add_parser("list", help="print the plants, and what is known of each")
    keep = acts.add_parser("keep", help="write what stays true of the plant of a job into its file")
    keep.add_argument("--job", required=True, metavar="NUMBER")


def _add_papers(parser: argparse.ArgumentParser) -> None:
    source = parser.add_mutually_exclusive_group(required=True)
    source.add_argument("answers", nargs="?", type=_path, metavar="ANSWERS.toml", help="answers of the job")
    source.add_argument("--job", default=argparse.SUPPRESS, metavar="NUMBER", help="or a job in the store")
    parser.add_argument("--kind", action="append", default=[], metavar="PAPER", help="only this one; may be repeated")
    parser.add_argument("--out", type=_path, metavar="FOLDER", help="where they go")
    parser.add_argument("--local", default="", metavar="CODE", help="local code, where the file names none")
    parser.add_argument("--milestone", default="", help="office, gate (usual), approval or a hold point")
    parser.add_argument("--paper", default="", metavar="SIZE", help="A4 or Letter")


def _add_compute(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", nargs="?", default="", metavar="NAME", help="such as oil.density")
    parser.add_argument("inputs", nargs="*", metavar="key=value", help="inputs by name; a table by its id")
    parser.add_argument("--list", action="store_true", help="name every calculation with its inputs")
    parser.add_argument("--json", action="store_true", help="print the outcome as JSON")
