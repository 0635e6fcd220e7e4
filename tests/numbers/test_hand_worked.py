"""Calculations picked at random, and a few more, worked by hand from the published relation."""

from __future__ import annotations

import pytest

from riskhelper.calc.all_subjects import complete_catalogue
from tests.numbers.reading_cases import Case, cases, check, resolved, told

CATALOGUE = complete_catalogue()
CASES = cases("hand_worked")
PICKED = 25 + 3  # at random, and where a changed figure had gone unnoticed
STANDINGS = {"published", "derived from a published rule", "to be confirmed"}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_the_hand_worked_figure_comes_out(case: Case) -> None:
    outcome = CATALOGUE[case.calculation].at(**{name: resolved(given) for name, given in case.inputs.items()})

    check(case, told(outcome))


def test_each_calculation_picked_is_worked_and_says_from_what() -> None:
    assert len({case.calculation for case in CASES}) == PICKED
    assert [case.id for case in CASES if not case.source or case.standing not in STANDINGS] == []
