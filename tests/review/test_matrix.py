"""A matrix that could not be loaded is still examined: the review says what is wrong with it (SCO-02, SCO-05)."""

from __future__ import annotations

from dataclasses import replace

from riskhelper.review.matrix import matrix
from riskhelper.ruleset.reading import load_rules
from tests.ruleset.test_bad_files import GOOD

RULES = load_rules(GOOD, "dale")
LOW, MIDDLE, HIGH = RULES.matrix.bands


def kinds(*bands: object) -> list[str]:
    changed = replace(RULES, matrix=RULES.matrix.model_copy(update={"bands": bands}))
    return [finding.kind for finding in matrix(changed)]


def test_products_without_a_band_are_named() -> None:
    changed = replace(RULES, matrix=RULES.matrix.model_copy(update={"bands": (LOW, MIDDLE)}))

    assert [finding.words for finding in matrix(changed)] == ["no band holds the products 15, 16, 20, 25"]


def test_a_milder_verdict_in_a_higher_band_is_found() -> None:
    assert "matrix_not_monotone" in kinds(LOW, MIDDLE, HIGH.model_copy(update={"verdict": "none"}))
    assert "matrix_not_monotone" not in kinds(LOW, MIDDLE, HIGH)
