"""A calculation is found by its subject alone, without importing every module."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.calc.all_subjects import SUBJECTS, calculation_named, complete_catalogue

CALC = Path(__file__).parents[2] / "riskhelper" / "calc"


@pytest.mark.parametrize("name", complete_catalogue())
def test_a_calculation_stands_in_a_module_of_its_subject(name: str) -> None:
    module = complete_catalogue()[name].function.__module__.rpartition(".")[2]

    assert module in SUBJECTS[name.partition(".")[0]]
    assert calculation_named(name) is complete_catalogue()[name]


def test_every_module_that_defines_calculations_is_listed() -> None:
    listed = {module for modules in SUBJECTS.values() for module in modules}
    defining = {path.stem for path in CALC.glob("*.py") if "\n@calculation(" in path.read_text(encoding="utf-8")}

    assert defining == listed


def test_an_unknown_name_gives_nothing() -> None:
    assert calculation_named("oil.no_such_thing") is None
    assert calculation_named("nowhere") is None
