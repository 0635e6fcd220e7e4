"""A square code drawn as black cells, with what it holds in words beside it."""

from __future__ import annotations

from itertools import groupby

import segno

from riskhelper.paper.pages import FOOT_PT, Pages, Shape, line_mm
from riskhelper.paper.typeface import wrapped
from riskhelper.statement.document import Code

_CELL_MM = 0.66
_QUIET_CELLS = 4
"""White cells around the code, ISO/IEC 18004."""


def lay_code(pages: Pages, block: Code) -> None:
    """The code at the left, its words at the right; both stay on one page."""
    rows = [list(row) for row in segno.make_qr(block.holds, error="m").matrix]
    side_mm = len(rows) * _CELL_MM
    quiet_mm = _QUIET_CELLS * _CELL_MM
    words_mm = pages.left_mm + side_mm + 2 * quiet_mm
    width_mm = pages.left_mm + pages.width_mm - words_mm
    lines = [line for words in block.lines for line in wrapped(words, width_mm, FOOT_PT)]
    pages.need(max(side_mm + 2 * quiet_mm, len(lines) * line_mm(FOOT_PT)))
    top_mm = pages.y_mm + quiet_mm
    for place, row in enumerate(rows):
        _lay_row(pages, row, pages.left_mm + quiet_mm, top_mm + place * _CELL_MM)
    start_mm = pages.y_mm
    pages.y_mm = top_mm
    for line in lines:
        pages.write(words_mm, line, FOOT_PT)
    pages.y_mm = max(pages.y_mm, start_mm + side_mm + 2 * quiet_mm)


def _lay_row(pages: Pages, row: list[int], x_mm: float, y_mm: float) -> None:
    """One shape for each run of black cells, so that no white line shows between them."""
    for is_black, run in groupby(row):
        width_mm = len(list(run)) * _CELL_MM
        if is_black:
            corners = (
                (x_mm, y_mm),
                (x_mm + width_mm, y_mm),
                (x_mm + width_mm, y_mm + _CELL_MM),
                (x_mm, y_mm + _CELL_MM),
            )
            pages.put(Shape(corners, filled=True, weight_mm=0.0))
        x_mm += width_mm
