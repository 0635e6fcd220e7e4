"""Reads the check values of this folder and the published tables, and compares an outcome with a case.

A case names one of our calculations, the inputs, what is expected key by key, and absolute tolerances.
Words, truth values and lists compare element by element; numbers without a tolerance must agree exactly.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from riskhelper.calc.calculation import Computed, NotApplicable, Outcome, OutsideLimits, Table
from riskhelper.ruleset.tables import table_of

HERE = Path(__file__).parent
TABLES = HERE.parent.parent / "rules" / "tables"

Expected = float | bool | str | list[Any]


@dataclass(frozen=True)
class Case:
    """One check value. `not_met` says why the program does not reproduce it; it must then stay so."""

    id: str
    calculation: str
    source: str
    standing: str
    inputs: Mapping[str, Any] = field(default_factory=dict)
    expected: Mapping[str, Expected] = field(default_factory=dict)
    tolerance: Mapping[str, float] = field(default_factory=dict)
    note: str = ""
    not_met: str = ""


def cases(name: str) -> list[Case]:
    """All cases of `tests/numbers/NAME.toml`; a key nobody knows, or an id used twice, is an error."""
    entries = tomllib.loads((HERE / f"{name}.toml").read_text(encoding="utf-8"))["case"]
    found = [Case(**entry) for entry in entries]
    assert len({case.id for case in found}) == len(found), f"{name}.toml uses an id twice"
    for case in found:
        assert case.expected, f"{case.id} expects nothing"
        loose = set(case.tolerance) - set(case.expected)
        assert not loose, f"{case.id} has a tolerance for what it does not expect: {loose}"
    return found


def table(table_id: str) -> Table:
    """A published table of the rule set."""
    return table_of(table_id, (TABLES / f"{table_id}.toml").read_bytes())


def resolved(given: Any) -> Any:
    """The input with every `table:ID` replaced by that table."""
    if isinstance(given, str) and given.startswith("table:"):
        return table(given.removeprefix("table:"))
    if isinstance(given, list):
        return [resolved(each) for each in given]
    return given


def told(outcome: Outcome, value_as: str = "value") -> dict[str, Any]:
    """An outcome as a mapping: the value under the name given, further results, or which limit it broke."""
    match outcome:
        case Computed():
            return {value_as: outcome.value, "unit": outcome.unit, **outcome.extra}
        case OutsideLimits():
            return {"outside": outcome.limit}
        case NotApplicable():
            return {"not_applicable": outcome.reason}


def disagreements(case: Case, got: Mapping[str, Any]) -> list[str]:
    """What the mapping does not reproduce, in words; every expected key is compared."""
    return [
        f"{case.id} {key}: expected {wanted!r}, got {got.get(key, 'nothing')!r}"
        for key, wanted in case.expected.items()
        if key not in got or not _agree(wanted, got[key], case.tolerance.get(key, 0.0))
    ]


def check(case: Case, got: Mapping[str, Any]) -> None:
    """Every expected key agrees; a case marked `not_met` must still disagree."""
    wrong = disagreements(case, got)
    if case.not_met:
        assert wrong, f"{case.id} is met now: remove `not_met` ({case.not_met})"
    else:
        assert not wrong, "\n".join(wrong)


def _agree(wanted: Any, got: Any, tolerance: float) -> bool:
    if isinstance(wanted, list):
        return (
            isinstance(got, (list, tuple))
            and len(wanted) == len(got)
            and all(_agree(a, b, tolerance) for a, b in zip(wanted, got, strict=True))
        )
    if isinstance(wanted, (bool, str)) or isinstance(got, (bool, str)):
        return type(wanted) is type(got) and wanted == got
    return abs(float(wanted) - float(got)) <= tolerance
