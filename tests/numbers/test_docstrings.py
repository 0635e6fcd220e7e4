"""The docstring of every calculation says what the officer needs: inputs with units, validity, source, an example."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re

import pytest

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Calculation

CATALOGUE = complete_catalogue()
MODULES = sorted({calculation.function.__module__ for calculation in CATALOGUE.values()})
SECTIONS = ("Parameters", "Returns", "Validity", "Source")
UNIT_OF_SUFFIX = {  # longest suffix wins
    "_kg_per_m3": "[kg/m3]",
    "_mm2_per_s": "[mm2/s]",
    "_m3_per_s": "[m3/s]",
    "_mg_per_kg": "[mg/kg]",
    "_l_per_min": "[L/min]",
    "_per_min": "[1/min]",
    "_pa_s": "[Pa s]",
    "_l_per_s": "[L/s]",
    "_m_per_s": "[m/s]",
    "_ohm_m": "[ohm m]",
    "per_metre_ohm": "[ohm/m]",
    "_kpa": "[kPa]",
    "_pa": "[Pa]",
    "_kv": "[kV]",
    "_kva": "[kVA]",
    "_mva": "[MVA]",
    "_mm2": "[mm2]",
    "_mm": "[mm]",
    "_ohm": "[ohm]",
    "_kg": "[kg]",
    "_min": "[min]",
    "_pct": "[%]",
    "_deg": "[deg]",
    "_h": "[h]",
    "_m": "[m]",
    "_c": "[degC]",
    "_s": "[s]",
    "_a": "[A]",
    "_f": "[F]",
    "_l": "[L]",
    "_v": "[V]",
}
NO_UNIT = {"lv_c", "hv_c", "c_min"}  # voltage factors


def _section(calculation: Calculation, title: str) -> str:
    """The text below an underlined title of the docstring, up to the next title or the example."""
    text = inspect.getdoc(calculation.function) or ""
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w[\w ]*\n-+$|^>>>|\Z)", text, re.MULTILINE | re.DOTALL)
    return found[1] if found else ""


def _parameters(calculation: Calculation) -> dict[str, str]:
    """Name of each documented parameter with its text."""
    pieces = re.split(r"^(\w+) : .*$", _section(calculation, "Parameters"), flags=re.MULTILINE)
    return dict(zip(pieces[1::2], pieces[2::2], strict=True))


@pytest.mark.parametrize("name", CATALOGUE)
def test_the_parameters_are_those_of_the_signature(name: str) -> None:
    assert tuple(_parameters(CATALOGUE[name])) == CATALOGUE[name].parameters


@pytest.mark.parametrize("name", CATALOGUE)
def test_every_section_says_something(name: str) -> None:
    assert [title for title in SECTIONS if not _section(CATALOGUE[name], title).strip()] == []


@pytest.mark.parametrize("name", CATALOGUE)
def test_an_input_with_a_unit_in_its_name_names_the_unit(name: str) -> None:
    missing = []
    for parameter, text in _parameters(CATALOGUE[name]).items():
        suffix = next((s for s in sorted(UNIT_OF_SUFFIX, key=len, reverse=True) if parameter.endswith(s)), "")
        if suffix and parameter not in NO_UNIT and UNIT_OF_SUFFIX[suffix] not in text:
            missing.append(f"{parameter} {UNIT_OF_SUFFIX[suffix]}")

    assert missing == []


@pytest.mark.parametrize("name", CATALOGUE)
def test_the_first_line_is_one_sentence(name: str) -> None:
    purpose = CATALOGUE[name].purpose

    assert purpose.endswith((".", "?"))


@pytest.mark.parametrize("name", CATALOGUE)
def test_relation_source_and_validity_stand_in_the_catalogue(name: str) -> None:
    entry = CATALOGUE[name]

    assert entry.relation.strip()
    assert entry.source.strip()
    assert entry.validity.strip()


@pytest.mark.parametrize("name", CATALOGUE)
def test_directions_are_given_for_inputs_that_exist(name: str) -> None:
    entry = CATALOGUE[name]

    assert set(entry.directions) <= set(entry.parameters)
    assert set(entry.turning_points) == {n for n, d in entry.directions.items() if d == "turns"}


@pytest.mark.parametrize("name", CATALOGUE)
def test_every_calculation_has_an_example(name: str) -> None:
    assert ">>> " in (inspect.getdoc(CATALOGUE[name].function) or "")


@pytest.mark.parametrize("module", MODULES)
def test_the_examples_come_out(module: str) -> None:
    result = doctest.testmod(importlib.import_module(module))

    assert result.attempted > 0
    assert result.failed == 0
