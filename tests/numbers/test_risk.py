"""Check values of published ways to score a risk: matrices cell for cell (SCO-03), ratings, axioms (SCO-05)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

import pytest

from riskhelper.calc import matrix_axioms, risk_scales, table_rows
from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import Computed, InputFault, OutsideLimits, Table
from tests.numbers.reading_cases import Case, cases, check, resolved, table, told

CATALOGUE = complete_catalogue()
CASES = cases("risk")
CHECK_VALUES = 82


def softer_and_harder(table: Table, altered: list[str]) -> dict[str, Any]:
    """Cells of a remembered copy that differ, each written `B3=Medium`."""
    softer, harder = risk_scales.softer_and_harder(table, dict(cell.split("=") for cell in altered))
    return {"softer": softer, "harder": harder}


def may_count_as_eliminated(hazard_still_present: bool, controls: list[str]) -> dict[str, Any]:
    """The controls are listed because they do not matter."""
    assert controls
    return {"allowed": risk_scales.may_count_as_eliminated(hazard_still_present)}


def band_numbers(score: float, bands: list[Table]) -> dict[str, Any]:
    """Number of the band in each set, or `gap`."""
    numbers = (risk_scales.band_number(each, score) or "gap" for each in bands)
    return {f"class_{letter}": number for letter, number in zip("ab", numbers, strict=False)}


def band_words(score: float, bands: Table) -> dict[str, Any]:
    """Words of the band."""
    number = risk_scales.band_number(bands, score)
    assert number is not None
    return {"band": table_rows.words(bands, bands.rows[number - 1], "band")}


def off_scale(scale: Table, factors: dict[str, float]) -> dict[str, Any]:
    """Factors whose value is not on the scale."""
    return {"off": list(risk_scales.off_scale(scale, factors))}


def check_axioms(rows: list[str]) -> dict[str, Any]:
    """What a matrix breaks, by name."""
    return asdict(matrix_axioms.check_axioms(rows))


PLAIN: Mapping[str, Callable[..., dict[str, Any]]] = {
    "softer_and_harder": softer_and_harder,
    "may_count_as_eliminated": may_count_as_eliminated,
    "band_numbers": band_numbers,
    "band_words": band_words,
    "off_scale": off_scale,
    "check_axioms": check_axioms,
}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_a_published_figure_comes_out(case: Case) -> None:
    inputs = {name: resolved(given) for name, given in case.inputs.items()}
    plain = PLAIN.get(case.calculation)

    check(case, plain(**inputs) if plain else told(CATALOGUE[case.calculation].at(**inputs)))


def test_every_check_value_is_here() -> None:
    assert len(CASES) == CHECK_VALUES


def test_every_calculation_of_scales_is_checked() -> None:
    subjects = ("risk_scales", "risk_graph", "matrix_axioms")
    ours = {name for name in CATALOGUE if name.partition(".")[0] in subjects}

    assert ours == {case.calculation for case in CASES} - set(PLAIN)


def test_level_f_needs_the_hazard_gone() -> None:
    """MIL-STD-882E Table II, note on level F."""
    assert risk_scales.may_count_as_eliminated(hazard_still_present=False)


@pytest.mark.parametrize("cell", [f"{row}{column}" for row in "ABCDE" for column in "1234"])
def test_no_cell_of_the_matrix_can_be_softened_unseen(cell: str) -> None:
    """MIL-STD-882E Table III: every cell set to the mildest level but the true one is found."""
    matrix = table("mil_std_882e")
    softer, harder = risk_scales.softer_and_harder(matrix, {cell: "Eliminated"})

    assert (softer, harder) == ([cell], [])


def test_the_colours_of_the_matrix_follow_its_levels() -> None:
    """MIL-STD-882E Table III with High as R, Low as G and the two between as Y, severity rising to the right."""
    matrix = table("mil_std_882e")
    colour = {"High": "R", "Serious": "Y", "Medium": "Y", "Low": "G"}
    rows = ["".join(colour[str(row[column])] for column in (5, 4, 3, 2)) for row in matrix.rows[:5]]

    assert rows == ["YYRR", "YYRR", "GYYR", "GYYY", "GYYY"]


def test_a_value_between_two_of_the_scale_is_refused() -> None:
    outcome = CATALOGUE["risk_scales.kinney_score"].at(
        scale=table("kinney_scale"), bands=table("kinney_bands"), effect=10.0, exposure=3.0, probability=1.0
    )

    assert isinstance(outcome, OutsideLimits)
    assert outcome.limit.startswith("effect one of 100, 40, 15, 7, 3, 1")


def test_an_end_of_the_risk_graph_nobody_read_is_refused() -> None:
    outcome = CATALOGUE["risk_graph.index"].at(
        table=table("risk_graph_14121"), severity="S2", exposure="F2", occurrence="O3", avoidance="A1"
    )

    assert isinstance(outcome, OutsideLimits)
    assert outcome.limit.endswith("the end S2 F2 O3 A1 was not read")


@pytest.mark.parametrize(
    ("times", "minutes", "expected"), [(2.0, 15.0, "F1"), (2.1, 0.0, "F2"), (0.0, 15.1, "F2"), (0.0, 0.0, "F1")]
)
def test_exposure_changes_just_above_its_limits(times: float, minutes: float, expected: str) -> None:
    """Risk graph of ISO/TR 14121-2:2012, from memory."""
    outcome = CATALOGUE["risk_graph.exposure_class"].at(times_per_shift=times, minutes_per_shift=minutes)

    assert isinstance(outcome, Computed)
    assert outcome.extra["exposure"] == expected


@pytest.mark.parametrize("rows", [("GY", "G"), ("GX", "GY"), ("", "")])
def test_what_is_no_matrix_is_refused(rows: tuple[str, ...]) -> None:
    with pytest.raises(InputFault, match="rows of equal length made of the letters G, Y and R"):
        matrix_axioms.check_axioms(rows)


def test_a_matrix_that_falls_is_not_monotone() -> None:
    assert not matrix_axioms.check_axioms(("GYG", "GYY", "GGG")).is_monotone
