"""Faults of rule files: where, what, what was expected, and the nearest name."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a rule file. `line` is 0 where the fault has no single line."""

    file: str
    line: int
    table: str
    key: str
    message: str
    nearest: str = ""

    def __str__(self) -> str:
        where = self.file + (f", line {self.line}" if self.line else "")
        entry = f", `{self.table}`" if self.table else ""
        key = f", key `{self.key}`" if self.key else ""
        hint = f"; did you mean `{self.nearest}`?" if self.nearest else ""
        return f"{where}{entry}{key}: {self.message}{hint}"


class RuleFaults(Exception):
    """All faults found in one pass over a rule set."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda f: (f.file, f.line, f.table, f.key, f.message)))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class ConditionFault(ValueError):
    """A condition or expression that cannot be read; the place is added by the reader of the file."""

    def __init__(self, message: str, nearest: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.nearest = nearest


class AlreadyTold(ConditionFault):
    """A condition that reads an entry with a fault of its own, which is told there and need not be told again."""

    def __init__(self) -> None:
        super().__init__("")


def nearest_name(name: str, known: Iterable[str]) -> str:
    """The known name closest in spelling, or nothing."""
    matches = difflib.get_close_matches(name, list(known), n=1, cutoff=0.6)
    return matches[0] if matches else ""
