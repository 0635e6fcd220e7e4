"""Where the tables and keys of a TOML text stand: line numbers for messages to an officer."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from riskhelper.ruleset.faults import Fault

_HEADER = re.compile(r"^\s*(\[{1,2})\s*([^\[\]]+?)\s*\]{1,2}\s*(?:#.*)?$")
_KEY = re.compile(r"^\s*([A-Za-z0-9_.\"'-]+)\s*=")
_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)|\(at end of document\)")
MOST_BYTES = 2_000_000


@dataclass(frozen=True)
class Parsed:
    """One rule file: its data and the line of each table and key."""

    file: str
    data: Mapping[str, Any]
    lines: Mapping[tuple[str, str], int] = field(default_factory=dict)

    def line(self, table: str, key: str = "") -> int:
        """Line of a key, or of its table, or 0. A dotted key falls back to its longest written beginning."""
        while key:
            if (table, key) in self.lines:
                return self.lines[table, key]
            key = key.rpartition(".")[0]
        return self.lines.get((table, ""), 0)


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
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        found = _AT_LINE.search(str(error))
        line = int(found[1]) if found and found[1] else text.count("\n") + 1
        what = _AT_LINE.sub("", str(error)).strip()
        return Fault(file, line, "", "", f"is not valid TOML: {what}; mend this line and load again")
    return Parsed(file, data, _places(text))


def _places(text: str) -> dict[tuple[str, str], int]:
    places: dict[tuple[str, str], int] = {}
    counts: dict[str, int] = {}
    table = ""
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.match(line):
            table = header[2].replace('"', "").replace("'", "").replace(" ", "")
            if header[1] == "[[":
                counts[table] = counts.get(table, 0) + 1
                table = f"{table} {counts[table]}"
            places.setdefault((table, ""), number)
        elif key := _KEY.match(line):
            places.setdefault((table, key[1].replace('"', "").replace("'", "")), number)
    return places
