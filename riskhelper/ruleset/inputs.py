"""Whether what a fact hands to a calculation fits: names, units, words and tables."""

from __future__ import annotations

import typing
from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Any

from riskhelper.calc.calculation import Calculation
from riskhelper.ruleset import tree
from riskhelper.ruleset.faults import AlreadyTold, ConditionFault, nearest_name
from riskhelper.ruleset.references import suffix_unit
from riskhelper.ruleset.wording import Problem

_FORMS = "write a name, a number, `table:ROLE` or `text:WORD`"


def check_inputs(
    calculation: Calculation,
    given: Mapping[str, Any],
    lookup: Callable[[str], tree.ValueType],
    tables: Collection[str],
) -> Iterator[Problem]:
    """Every fault of a `from`. `tables` holds the ids of tables and the roles that local codes give them."""
    known = calculation.parameters
    kinds = typing.get_type_hints(calculation.function)
    for parameter, value in given.items():
        if parameter not in known:
            message = f"`{calculation.name}` has no such input; it has {', '.join(known)}"
            yield Problem(parameter, message, nearest_name(parameter, known))
            continue
        try:
            message = _misfit(parameter, kinds[parameter], value, lookup, tables)
        except AlreadyTold:
            raise
        except ConditionFault as fault:
            yield Problem(parameter, fault.message, fault.nearest)
            continue
        if message:
            role = str(value).removeprefix("table:")
            yield Problem(parameter, message, nearest_name(role, tables) if "table:" in str(value) else "")
    if missing := [name for name in calculation.required if name not in given]:
        yield Problem("", f"`{calculation.name}` also needs {', '.join(missing)}")


def _misfit(
    parameter: str, kind: Any, value: Any, lookup: Callable[[str], tree.ValueType], tables: Collection[str]
) -> str:
    takes_number = kind is float or float in typing.get_args(kind)
    takes_word = kind is str or str in typing.get_args(kind)
    if not isinstance(value, str):
        return "" if takes_number else f"is a number, but this input is none; {_FORMS}"
    form, colon, rest = value.partition(":")
    if colon and form not in ("table", "text"):
        return _FORMS
    if form == "table" and colon:
        if takes_number or takes_word:
            return f"is a table, but this input is a {'number' if takes_number else 'word'}"
        return (
            "" if rest in tables else f"there is no table `{rest}`, neither in tables/ nor as a role of a local code"
        )
    if colon:
        return "" if takes_word else "is a word, but this input is none"
    found = lookup(value)
    if takes_word:
        return "" if isinstance(found, tree.ChoiceType) else f"must be a choice; `{value}` is none"
    if not takes_number or not isinstance(found, tree.NumberType):
        return f"must be a {'number' if takes_number else 'table'}; `{value}` is none"
    wanted = suffix_unit(parameter)
    if wanted is not None and found.unit != wanted:
        return f"takes `{wanted}`, but `{value}` is in `{found.unit or 'plain counts'}`"
    return ""
