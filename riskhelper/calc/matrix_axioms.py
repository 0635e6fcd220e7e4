"""Checks whether a risk matrix can rank risks at all, after Cox (2008), and shows where one misleads."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from riskhelper.calc.calculation import Computed, InputFault, Outcome, calculation
from riskhelper.calc.validity import outside

COLOURS = "GYR"  # green, yellow, red: mildest first
_STEPS = ((0, 1), (1, 0), (1, 1))  # one severity up, one likelihood up, both
_SOURCE = "L. A. Cox, What's Wrong with Risk Matrices?, Risk Analysis 28(2):497-512, 2008"


@dataclass(frozen=True, slots=True)
class AxiomCheck:
    """What a matrix breaks. Cells are named L (likelihood from the bottom) S (severity from the left)."""

    red_green_shared_edges: int
    red_in_lowest_row_or_column: tuple[str, ...]
    betweenness_violations: tuple[str, ...]
    border_is_green: bool
    second_line_is_not_red: bool
    is_monotone: bool


def check_axioms(rows_top_is_most_likely: Sequence[str]) -> AxiomCheck:
    """The necessary conditions of weak consistency and betweenness, from memory of the paper.

    Rows are words of G, Y and R, severity rising to the right, the most likely row first.

    >>> check_axioms(("GYR", "GYY", "GGG")).betweenness_violations
    ()
    """
    rows = _ranks(rows_top_is_most_likely)
    height, width = len(rows), len(rows[0])
    pairs = [
        ((low, sev), (low + up, sev + right))
        for low in range(height)
        for sev in range(width)
        for up, right in _STEPS
        if low + up < height and sev + right < width
    ]
    jumps = [(a, b) for a, b in pairs if (rows[a[0]][a[1]], rows[b[0]][b[1]]) == (0, 2)]
    edges = [(a, b) for a, b in pairs if a[0] == b[0] or a[1] == b[1]]
    touching = [(a, b) for a, b in edges if {rows[a[0]][a[1]], rows[b[0]][b[1]]} == {0, 2}]
    border = [(low, sev) for low in range(height) for sev in range(width) if low == 0 or sev == 0]
    second = [(low, sev) for low in range(height) for sev in range(width) if low == 1 or sev == 1]
    return AxiomCheck(
        red_green_shared_edges=len(touching),
        red_in_lowest_row_or_column=tuple(_named(cell) for cell in border if rows[cell[0]][cell[1]] == 2),
        betweenness_violations=tuple(sorted(f"{_named(a)}>{_named(b)}" for a, b in jumps)),
        border_is_green=all(rows[low][sev] == 0 for low, sev in border),
        second_line_is_not_red=all(rows[low][sev] != 2 for low, sev in second),
        is_monotone=all(rows[a[0]][a[1]] <= rows[b[0]][b[1]] for a, b in edges),
    )


@calculation(
    "matrix_axioms.rank_comparison",
    unit="",
    relation="ratio = p2 c2 / (p1 c1); scores are products of cell numbers, equal intervals, upper edge inclusive",
    source=_SOURCE,
    validity="probability and consequence above 0 to 1; matrix of 2 to 10 equal steps",
    directions={
        "size": "fixed",
        "probability_1": "down",
        "consequence_1": "down",
        "probability_2": "up",
        "consequence_2": "up",
    },
)
def rank_comparison(
    size: float, probability_1: float, consequence_1: float, probability_2: float, consequence_2: float
) -> Outcome:
    """How two risks compare in truth and in the score of a square matrix.

    risk = probability * consequence; score = cell of probability * cell of consequence

    Parameters
    ----------
    size : float
        Steps of either scale, 2 to 10.
    probability_1 : float
        Probability of the first risk, above 0 to 1.
    consequence_1 : float
        Consequence of the first risk, above 0 to 1.
    probability_2 : float
        Probability of the second risk, above 0 to 1.
    consequence_2 : float
        Consequence of the second risk, above 0 to 1.

    Returns
    -------
    Computed
        Ratio of the second risk to the first; extra names risks, scores and whether the order is reversed.

    Validity
    --------
    Risk taken as probability times consequence; equal intervals, the upper edge belongs to its cell.

    Source
    ------
    L. A. Cox, What's Wrong with Risk Matrices?, Risk Analysis 28(2):497-512, 2008 (the rule; examples ours).

    >>> rank_comparison(3, 0.34, 0.34, 0.33, 1.0).extra["order_reversed"]
    'yes'
    """
    least = 1e-6
    broken = outside(
        ("size", size, 2, 10, ""),
        ("probability", probability_1, least, 1, ""),
        ("consequence", consequence_1, least, 1, ""),
        ("probability", probability_2, least, 1, ""),
        ("consequence", consequence_2, least, 1, ""),
    )
    if broken:
        return broken
    risk_1, risk_2 = probability_1 * consequence_1, probability_2 * consequence_2
    score_1 = _cell(probability_1, size) * _cell(consequence_1, size)
    score_2 = _cell(probability_2, size) * _cell(consequence_2, size)
    reversed_order = (risk_1 - risk_2) * (score_1 - score_2) < 0
    return Computed(
        risk_2 / risk_1,
        "",
        {
            "risk_1": risk_1,
            "risk_2": risk_2,
            "score_1": float(score_1),
            "score_2": float(score_2),
            "order_reversed": "yes" if reversed_order else "no",
        },
    )


def _ranks(rows_top_is_most_likely: Sequence[str]) -> list[list[int]]:
    """Colour ranks with the least likely row first."""
    lengths = {len(row) for row in rows_top_is_most_likely}
    if len(lengths) != 1 or 0 in lengths or set("".join(rows_top_is_most_likely)) - set(COLOURS):
        raise InputFault("a matrix needs rows of equal length made of the letters G, Y and R")
    return [[COLOURS.index(cell) for cell in row] for row in reversed(rows_top_is_most_likely)]


def _named(cell: tuple[int, int]) -> str:
    return f"L{cell[0] + 1}S{cell[1] + 1}"


def _cell(share: float, size: float) -> int:
    return max(1, math.ceil(round(share * size, 9)))
