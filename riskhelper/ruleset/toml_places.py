"""Where the tables and keys of a TOML text stand: line numbers for messages to an officer."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from riskhelper.ruleset.faults import Fault

MOST_BYTES = 2_000_000
_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)|\(at end of document\)")
_UNPLACED = {True: "it is nested too deeply", False: "a number in it has thousands of digits"}
_NAME = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_DOTTED = rf"{_NAME}(?:[ \t]*\.[ \t]*{_NAME})*"
_HEADER = re.compile(rf"(\[{{1,2}})[ \t]*({_DOTTED})[ \t]*\]{{1,2}}")
_KEY = re.compile(rf"({_DOTTED})[ \t]*=")
_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"""'
    r"|'''.*?'''"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*"
    r"""|\n|[\[\]{},]|[^\s"'#\[\]{},]+|.""",
    re.DOTALL,
)


@dataclass(frozen=True)
class Parsed:
    """One rule file: its text and its data."""

    file: str
    data: Mapping[str, Any]
    text: str = ""

    @cached_property
    def lines(self) -> Mapping[str, int]:
        """Line of each table, key and item of a list, by dotted path (`hazard.oil.x.likelihood.at_least.0`)."""
        return _places(self.text)

    def line(self, *path: str) -> int:
        """Line of a path, or of its longest written beginning, or 0."""
        dotted = ".".join(part for part in path if part)
        while dotted:
            if dotted in self.lines:
                return self.lines[dotted]
            below = next((line for path, line in self.lines.items() if path.startswith(f"{dotted}.")), 0)
            if below:
                return below
            dotted = dotted.rpartition(".")[0]
        return 0


def parsed(file: str, content: bytes) -> Parsed | Fault:
    """The data of a file, or the fault that keeps it from being read."""
    if len(content) > MOST_BYTES:
        return Fault(
            file,
            0,
            "",
            "",
            f"has {len(content)} bytes; a rule file has at most {MOST_BYTES}; split it by subject",
        )
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        return Fault(file, line, "", "", "is not UTF-8 text; save it as UTF-8")
    if text.startswith("\N{BYTE ORDER MARK}"):
        return Fault(file, 1, "", "", "begins with a byte order mark; save it as UTF-8 without one")
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # a number of thousands of digits is a plain ValueError
        found = _AT_LINE.search(str(error))
        line = int(found[1]) if found and found[1] else 0
        if found and not line:
            line = text.count("\n") + 1
        deep = isinstance(error, RecursionError)
        what = _AT_LINE.sub("", str(error)).strip() if found else _UNPLACED[deep]
        where = "this line" if line else "it"
        return Fault(file, line, "", "", f"is not valid TOML: {what}; mend {where} and load again")
    return Parsed(file, data, text)


def _places(text: str) -> dict[str, int]:
    places: dict[str, int] = {}
    counts: dict[str, int] = {}
    table = path = ""
    line, depth, item, skip_to = 1, 0, -1, 0
    starts_line, item_due = True, False
    for token in _TOKEN.finditer(text):
        word = token[0]
        if token.start() < skip_to or word.isspace() or word.startswith("#"):
            line += word.count("\n")
            starts_line = starts_line or "\n" in word
            continue
        if depth == 0 and starts_line:
            if header := _HEADER.match(text, token.start()):
                table = _plain(header[2])
                if header[1] == "[[":
                    counts[table] = counts.get(table, -1) + 1
                    places.setdefault(table, line)
                    table = f"{table}.{counts[table]}"
                places.setdefault(table, line)
                skip_to = header.end()
            elif key := _KEY.match(text, token.start()):
                path = f"{table}.{_plain(key[1])}" if table else _plain(key[1])
                places.setdefault(path, line)
                skip_to = key.end()
            starts_line = False
            continue
        if depth == 1 and item_due and word not in ("]", ","):
            item += 1
            places.setdefault(f"{path}.{item}", line)
            item_due = False
        if word in ("[", "{"):
            depth += 1
            if depth == 1:
                item, item_due = -1, word == "["
        elif word in ("]", "}"):
            depth -= 1
        elif word == "," and depth == 1:
            item_due = item_due or item >= 0
        line += word.count("\n")
    return places


def _plain(dotted: str) -> str:
    return ".".join(part.strip().strip("\"'") for part in re.findall(_NAME, dotted))
