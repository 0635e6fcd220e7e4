"""The matrix examined: complete, monotone, and the conditions after Cox under which a matrix can rank at all."""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.calc.matrix_axioms import check_axioms
from riskhelper.review.finding import Finding
from riskhelper.ruleset.model import RuleSet

_LEVELS = range(1, 6)


def matrix(rules: RuleSet) -> Iterator[Finding]:
    """Every departure of the matrix; its waivers stand in the matrix itself."""
    bands = rules.matrix.bands
    covered = [next((n for n, band in enumerate(bands) if product <= band.up_to), None) for product in range(26)]
    cells = {(low, sev): covered[low * sev] for low in _LEVELS for sev in _LEVELS}
    missing = sorted({low * sev for (low, sev), band in cells.items() if band is None})
    if missing:
        words = f"no band holds the products {', '.join(map(str, missing))}"
        yield Finding("matrix", "matrix_incomplete", "bands", words)
        return
    letters = {0: "G", len(bands) - 1: "R"}
    rows = tuple("".join(letters.get(cells[low, sev] or 0, "Y") for sev in _LEVELS) for low in reversed(_LEVELS))
    found = check_axioms(rows)
    verdicts = [("none", "conditions", "stop").index(band.verdict) for band in bands]
    if not found.is_monotone or verdicts != sorted(verdicts):
        yield Finding("matrix", "matrix_not_monotone", "bands", "a worse cell stands in a milder band")
    if found.red_green_shared_edges or found.betweenness_violations:
        where = ", ".join(found.betweenness_violations) or f"{found.red_green_shared_edges} shared edges"
        yield Finding("matrix", "highest_touches_lowest", "bands", f"the highest band touches the lowest: {where}")
    if found.red_in_lowest_row_or_column:
        where = ", ".join(found.red_in_lowest_row_or_column)
        yield Finding("matrix", "highest_in_lowest_row_or_column", "bands", f"the highest band holds {where}")
    if not found.border_is_green:
        words = "not every cell of the lowest row and column stands in the lowest band"
        yield Finding("matrix", "lowest_row_and_column_in_lowest_band", "bands", words)
    if not found.second_line_is_not_red:
        words = "a cell of the second row or column stands in the highest band"
        yield Finding("matrix", "second_row_or_column_in_highest_band", "bands", words)
    if len(bands) > 3:
        words = f"{len(bands)} bands by product: equal products share a band although the risks may differ"
        yield Finding("matrix", "four_bands_equal_products_equal_band", "bands", words)
