"""Run one calculation by name on typed inputs."""

from __future__ import annotations

import inspect
import math
import typing
from collections.abc import Callable, Mapping, Sequence
from types import UnionType

from riskhelper.acts.context import Refused
from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Calculation, Computed, Input, InputFault, NotApplicable, OutsideLimits, Table
from riskhelper.ruleset.faults import nearest_name


def calculations() -> Mapping[str, Calculation]:
    """Every calculation by name."""
    return complete_catalogue()


def calculation_named(name: str) -> Calculation:
    """The calculation of that name."""
    known = complete_catalogue()
    if name in known:
        return known[name]
    hint = nearest_name(name, known)
    raise Refused(
        f"No calculation `{name}`."
        + (f" Did you mean `{hint}`?" if hint else " `riskhelper compute --list` names them")
    )


def compute(
    calculation: Calculation, typed: Sequence[str], tables: Callable[[str], Table]
) -> Computed | NotApplicable | OutsideLimits:
    """The outcome for inputs typed as `key=value`; a table is named by its id."""
    try:
        return calculation.at(**_inputs(calculation, typed, tables))
    except InputFault as fault:
        raise Refused(str(fault)) from fault


def _inputs(calculation: Calculation, typed: Sequence[str], tables: Callable[[str], Table]) -> dict[str, Input]:
    hints = typing.get_type_hints(calculation.function)
    inputs: dict[str, Input] = {}
    for word in typed:
        key, equals, value = word.partition("=")
        if not equals:
            raise Refused(f"`{word}` should be written as name=value, such as {_example(calculation)}")
        if key not in calculation.parameters:
            hint = nearest_name(key, calculation.parameters)
            known = ", ".join(calculation.parameters)
            raise Refused(
                f"`{calculation.name}` takes no `{key}`; "
                + (f"did you mean `{hint}`?" if hint else f"it takes {known}")
            )
        if key in inputs:
            raise Refused(f"`{key}` is given twice. Give it once")
        inputs[key] = _value(key, value, hints[key], tables)
    signature = inspect.signature(calculation.function).parameters
    missing = [name for name, given in signature.items() if given.default is given.empty and name not in inputs]
    if missing:
        raise Refused(f"`{calculation.name}` also needs {', '.join(missing)}. Write each as name=value")
    return inputs


def _value(key: str, value: str, hint: object, tables: Callable[[str], Table]) -> Input:
    kinds = set(typing.get_args(hint)) if isinstance(hint, UnionType) else {hint}
    if Table in kinds:
        return tables(value)
    if kinds & {float, int}:
        try:
            number = float(value)
        except ValueError as fault:
            raise Refused(f"`{key}` must be a number; you entered `{value}`") from fault
        if not math.isfinite(number):
            raise Refused(f"`{key}` must be a finite number; you entered `{value}`")
        return int(number) if float not in kinds and number.is_integer() else number
    return value


def _example(calculation: Calculation) -> str:
    return f"{calculation.parameters[0]}=1" if calculation.parameters else "name=1"
