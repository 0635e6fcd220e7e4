"""Check values of the electrical calculations; what lies beyond them is in the test files by subject."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from riskhelper.calc import arc, table_rows
from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Table
from tests.numbers.reading_cases import Case, cases, check, resolved, told

CATALOGUE = complete_catalogue()
CASES = cases("electrical")
CHECK_VALUES = 87  # first steps of three of them are cases of their own, named with a letter
SUBJECTS = ("approach", "arc", "cable", "capacitor", "disconnection", "fault_current", "shock")
CHECKED_ELSEWHERE = {
    "approach.outer_distance": "test_approach.py",
    "arc.energy_2002": "test_arc.py",
    "cable.current_limit_a": "test_shock_and_supply.py",
    "cable.volt_drop_pct": "test_shock_and_supply.py",
    "capacitor.voltage_left": "test_shock_and_supply.py",
    "fault_current.rated": "test_shock_and_supply.py",
    "shock.surface_factor": "test_shock_and_supply.py",
}


def published_row(table: Table, key: str, row: str, column: str) -> dict[str, Any]:
    """One cell of a published table."""
    return {"value": table_rows.number(table, table_rows.row_named(table, key, row), column)}


def constant(**names: str) -> dict[str, Any]:
    """Constants of the module on arcs, by their names."""
    return {key: getattr(arc, name.removeprefix("arc.")) for key, name in names.items()}


PLAIN: Mapping[str, Callable[..., dict[str, Any]]] = {"published_row": published_row, "constant": constant}


def outcome_of(case: Case) -> dict[str, Any]:
    """The case worked; a list among the inputs gives lists of results."""
    inputs = {name: resolved(given) for name, given in case.inputs.items()}
    lists = {name: given for name, given in inputs.items() if isinstance(given, list)}
    count = {len(given) for given in lists.values()} or {1}
    assert len(count) == 1, f"{case.id}: lists of different length"
    one = PLAIN.get(case.calculation) or (lambda **given: told(CATALOGUE[case.calculation].at(**given)))
    each = [
        one(**{name: lists[name][index] if name in lists else given for name, given in inputs.items()})
        for index in range(count.pop())
    ]
    return {key: [got[key] for got in each] for key in each[0]} if lists else each[0]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_a_published_figure_comes_out(case: Case) -> None:
    check(case, outcome_of(case))


def test_every_check_value_is_here() -> None:
    assert len({case.id.rstrip("abc") for case in CASES}) == CHECK_VALUES


def test_every_electrical_calculation_is_checked() -> None:
    ours = {name for name in CATALOGUE if name.partition(".")[0] in SUBJECTS}

    assert ours == {case.calculation for case in CASES} - set(PLAIN) | set(CHECKED_ELSEWHERE)
