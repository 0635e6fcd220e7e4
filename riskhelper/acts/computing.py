"""Run one calculation by name on typed inputs. Imports no more than the calculation needs: it answers at once."""

from __future__ import annotations

import inspect
import math
import typing
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import UnionType
from typing import TYPE_CHECKING

from riskhelper.calc.all_subjects import calculation_named, complete_catalogue
from riskhelper.calc.calculation import Calculation, Computed, InputFault, NotApplicable, OutsideLimits, Table
from riskhelper.interval import Interval

if TYPE_CHECKING:
    from pathlib import Path


class TablesFault(Exception):
    """The folder of published tables, or a table in it, cannot be read; the message says where and why."""


Typed = float | str | Table | Interval
_FEW = 100
RANGE_SIGNS = ("+/-", "\N{PLUS-MINUS SIGN}")


@dataclass(frozen=True, slots=True)
class Worked:
    """A calculation that was run: its inputs as read, and the outcome or, over ranges, the enclosing range."""

    calculation: Calculation
    inputs: Mapping[str, Typed]
    outcome: Computed | NotApplicable | OutsideLimits
    range: Interval | None = None


def calculations() -> Mapping[str, Calculation]:
    """Every calculation by name."""
    return complete_catalogue()


def compute(name: str, typed: Sequence[str], rules: Path | None) -> Worked:
    """The outcome for inputs typed as `key=value`; `3.1 +/- 0.3` is a hard bound; a table is named by its id.

    `rules` is the folder of the rule files, `None` for those shipped. Raises `InputFault` for an unknown name or
    input, with the nearest one, and `TablesFault` where the tables cannot be read.
    """
    calculation = calculation_named(name)
    if calculation is None:
        raise InputFault(_unknown("calculation", name, complete_catalogue()))
    inputs = _inputs(calculation, typed, rules)
    if not any(isinstance(value, Interval) for value in inputs.values()):
        exact = {key: value for key, value in inputs.items() if not isinstance(value, Interval)}
        return Worked(calculation, inputs, calculation.at(**exact))
    enclosure = calculation.over(inputs)
    if enclosure.outside:
        return Worked(calculation, inputs, OutsideLimits(enclosure.outside))
    if enclosure.not_applicable:
        return Worked(calculation, inputs, NotApplicable(enclosure.not_applicable))
    middle = (enclosure.range.low + enclosure.range.high) / 2
    return Worked(calculation, inputs, Computed(middle, calculation.unit), enclosure.range)


def _inputs(calculation: Calculation, typed: Sequence[str], rules: Path | None) -> dict[str, Typed]:
    hints = typing.get_type_hints(calculation.function)
    inputs: dict[str, Typed] = {}
    for word in typed:
        key, equals, value = word.partition("=")
        if not equals:
            raise InputFault(f"`{word}` should be written as name=value, such as {_example(calculation)}")
        if key not in calculation.parameters:
            raise InputFault(f"`{calculation.name}`: {_unknown('input', key, calculation.parameters)}")
        if key in inputs:
            raise InputFault(f"`{key}` is given twice. Give it once")
        inputs[key] = _value(key, value, hints[key], rules)
    signature = inspect.signature(calculation.function).parameters
    missing = [name for name, given in signature.items() if given.default is given.empty and name not in inputs]
    if missing:
        raise InputFault(f"`{calculation.name}` also needs {', '.join(missing)}. Write each as name=value")
    return inputs


def _value(key: str, value: str, hint: object, rules: Path | None) -> Typed:
    kinds = set(typing.get_args(hint)) if isinstance(hint, UnionType) else {hint}
    if Table in kinds:
        return _table(value, rules)
    if not kinds & {float, int}:
        return value
    for sign in RANGE_SIGNS:
        middle, found, margin = value.partition(sign)
        if found:
            centre, half = _number(key, middle), _number(key, margin)
            if half < 0:
                raise InputFault(f"`{key}`: the margin after {sign} must not be negative")
            return Interval(centre - half, centre + half)
    number = _number(key, value)
    return int(number) if float not in kinds and number.is_integer() else number


def _number(key: str, text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        raise InputFault(
            f"`{key}` must be a number, such as 3.1 or 3.1 +/- 0.3; you entered `{text.strip()}`"
        ) from None
    if not math.isfinite(number):
        raise InputFault(f"`{key}` must be a finite number; you entered `{text.strip()}`")
    return number


def _table(name: str, rules: Path | None) -> Table:
    # Reading tables needs much that other calculations do without.
    from riskhelper.ruleset.faults import RuleFaults
    from riskhelper.ruleset.tables import table_of
    from riskhelper.store.rule_files import NoRules, shipped_rules

    try:
        folder = (rules or shipped_rules()) / "tables"
        known = sorted(path.stem for path in folder.glob("*.toml"))
        if name in known:
            return table_of(name, (folder / f"{name}.toml").read_bytes())
    except (NoRules, RuleFaults) as fault:
        raise TablesFault(str(fault)) from fault
    raise InputFault(_unknown("table", name, known))


def _unknown(what: str, name: str, known: typing.Iterable[str]) -> str:
    from riskhelper.ruleset.faults import nearest_name  # only needed to help with a slip of the pen

    names = sorted(known)
    hint = nearest_name(name, names)
    listed = f"known are {', '.join(names)}" if len(names) <= _FEW else "`riskhelper compute --list` names them all"
    return f"there is no {what} `{name}`; " + (f"did you mean `{hint}`?" if hint else listed)


def _example(calculation: Calculation) -> str:
    return f"{calculation.parameters[0]}=1" if calculation.parameters else "name=1"
