"""Ruled tables, label and value rows, and blank boxes to sign in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from riskhelper.paper.pages import BODY_PT, FOOT_PT, TABLE_PT, Pages, Stroke, Words, baseline_mm, line_mm
from riskhelper.paper.typeface import fitted, wrapped
from riskhelper.statement.document import Facts, Grid, SignatureBox, SignatureBoxes

_PAD_MM = 0.8
_ROOMY_MM = 8.0
_LABEL_SHARE = 0.33
_FIELD_MM = 9.0
_GAP_MM = 3.0
_SIDE_PAD_MM = 1.2


@dataclass(frozen=True)
class _Ruled:
    """The columns of a grid on the page, and the size of its letters."""

    widths: tuple[float, ...]
    strong: tuple[bool, ...]
    size_pt: float

    def cells(self, row: Sequence[str], strong: Sequence[bool]) -> list[tuple[str, ...]]:
        """Each cell as lines that fit its column."""
        return [
            wrapped(words, width - 2 * _SIDE_PAD_MM, self.size_pt, bold)
            for words, width, bold in zip(row, self.widths, strong, strict=True)
        ]

    def height_mm(self, cells: list[tuple[str, ...]], at_least_mm: float = 0.0) -> float:
        """Height of a row."""
        return max(max(len(cell) for cell in cells) * line_mm(self.size_pt) + 2 * _PAD_MM, at_least_mm)

    def lay(
        self,
        pages: Pages,
        cells: list[tuple[str, ...]],
        strong: Sequence[bool],
        at_least_mm: float = 0.0,
        weight_mm: float = 0.2,
    ) -> None:
        """One row with its rules."""
        height_mm = self.height_mm(cells, at_least_mm)
        top_mm, x_mm = pages.y_mm, pages.left_mm
        for cell, width_mm, bold in zip(cells, self.widths, strong, strict=True):
            for place, line in enumerate(cell):
                y_mm = baseline_mm(top_mm + _PAD_MM + place * line_mm(self.size_pt), self.size_pt)
                pages.put(Words(x_mm + _SIDE_PAD_MM, y_mm, line, self.size_pt, bold))
            pages.put(Stroke(x_mm, top_mm, x_mm, top_mm + height_mm))
            x_mm += width_mm
        pages.put(Stroke(x_mm, top_mm, x_mm, top_mm + height_mm))
        pages.put(Stroke(pages.left_mm, top_mm, x_mm, top_mm, weight_mm))
        pages.put(Stroke(pages.left_mm, top_mm + height_mm, x_mm, top_mm + height_mm, weight_mm))
        pages.y_mm += height_mm


def lay_grid(pages: Pages, block: Grid) -> None:
    """A table; its head is repeated on each page and a row higher than the page is split by lines."""
    block = _side_by_side(block)
    shares = sum(column.share for column in block.columns)
    widths = tuple(pages.width_mm * column.share / shares for column in block.columns)
    ruled = _Ruled(widths, tuple(column.strong for column in block.columns), FOOT_PT if block.small else TABLE_PT)
    bold = (True,) * len(widths)
    head = ruled.cells([column.title for column in block.columns], bold)
    row_mm = _ROOMY_MM if block.roomy else 0.0
    pages.need(ruled.height_mm(head) + max(row_mm, line_mm(ruled.size_pt)) + 2 * _PAD_MM)
    ruled.lay(pages, head, bold, weight_mm=0.5)
    for row in block.rows:
        cells = ruled.cells(row, ruled.strong)
        needs_mm = ruled.height_mm(cells, row_mm)
        if pages.room_mm < needs_mm < 0.45 * pages.full_mm:
            pages.turn()
            ruled.lay(pages, head, bold, weight_mm=0.5)
        while pages.room_mm < needs_mm:
            fits = int((pages.room_mm - 2 * _PAD_MM) / line_mm(ruled.size_pt))
            if fits > 0:
                ruled.lay(pages, [cell[:fits] for cell in cells], ruled.strong)
                cells = [cell[fits:] for cell in cells]
            pages.turn()
            ruled.lay(pages, head, bold, weight_mm=0.5)
            needs_mm = ruled.height_mm(cells)
        ruled.lay(pages, cells, ruled.strong, row_mm)
    while block.fills_page and pages.room_mm >= _ROOMY_MM:
        ruled.lay(pages, [("",)] * len(widths), ruled.strong, _ROOMY_MM)
    pages.y_mm += 2.0


def _side_by_side(block: Grid) -> Grid:
    """The same rows, as many in a line as the table has panes; read from left to right."""
    if block.panes == 1:
        return block
    blank = ("",) * len(block.columns)
    padded = [*block.rows, *([blank] * (-len(block.rows) % block.panes))]
    lines = [padded[first : first + block.panes] for first in range(0, len(padded), block.panes)]
    rows = tuple(tuple(cell for row in line for cell in row) for line in lines)
    return replace(block, columns=block.columns * block.panes, rows=rows, panes=1)


def lay_facts(pages: Pages, block: Facts) -> None:
    """Label left, value right; an empty value is a ruled line to write on."""
    pane_mm = (pages.width_mm - (block.panes - 1) * _GAP_MM) / block.panes
    for first in range(0, len(block.rows), block.panes):
        cells = [_fact_cell(row, pane_mm) for row in block.rows[first : first + block.panes]]
        count = max(max(len(labels), len(values)) for labels, values in cells)
        pages.need(min(count, 4) * line_mm(BODY_PT) + 1.0)
        if any(values == ("",) for _, values in cells):
            pages.y_mm += 2.0
        top_mm = pages.y_mm
        for place in range(count):
            if pages.room_mm < line_mm(BODY_PT):
                pages.turn()
                top_mm = pages.y_mm
            for pane, (labels, values) in enumerate(cells):
                x_mm = pages.left_mm + pane * (pane_mm + _GAP_MM)
                _lay_fact_line(pages, x_mm, pane_mm, labels[place : place + 1], values[place : place + 1])
            pages.y_mm += line_mm(BODY_PT)
        for pane, (_, values) in enumerate(cells):
            if values == ("",):
                x_mm, y_mm = pages.left_mm + pane * (pane_mm + _GAP_MM), top_mm + line_mm(BODY_PT)
                pages.put(Stroke(x_mm + pane_mm * _LABEL_SHARE, y_mm, x_mm + pane_mm, y_mm))
        pages.y_mm += 0.6
    pages.y_mm += 1.0


def _fact_cell(row: tuple[str, str], pane_mm: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
    label, value = row
    label_mm = pane_mm * _LABEL_SHARE
    values = wrapped(value, pane_mm - label_mm, BODY_PT) if value.strip() else ("",)
    return wrapped(label, label_mm - 2.0, BODY_PT, bold=True), values


def _lay_fact_line(pages: Pages, x_mm: float, pane_mm: float, label: Sequence[str], value: Sequence[str]) -> None:
    y_mm = baseline_mm(pages.y_mm, BODY_PT)
    for words in label:
        pages.put(Words(x_mm, y_mm, words, BODY_PT, bold=True))
    for words in value:
        if words:
            pages.put(Words(x_mm + pane_mm * _LABEL_SHARE, y_mm, words, BODY_PT))


def lay_signatures(pages: Pages, block: SignatureBoxes) -> None:
    """Two boxes side by side; a pair is never split by a page."""
    width_mm = (pages.width_mm - _GAP_MM) / 2
    for first in range(0, len(block.boxes), 2):
        pair = block.boxes[first : first + 2]
        titles = [wrapped(box.title, width_mm - 2 * _SIDE_PAD_MM, TABLE_PT, bold=True) for box in pair]
        title_mm = max(len(lines) for lines in titles) * line_mm(TABLE_PT)
        height_mm = title_mm + max(len(box.fields) for box in pair) * _FIELD_MM + 2 * _PAD_MM
        pages.need(height_mm + _GAP_MM)
        for place, (box, lines) in enumerate(zip(pair, titles, strict=True)):
            x_mm = pages.left_mm + place * (width_mm + _GAP_MM)
            _lay_box(pages, box, lines, x_mm, width_mm, title_mm, height_mm)
        pages.y_mm += height_mm + _GAP_MM


def _lay_box(
    pages: Pages,
    box: SignatureBox,
    title: tuple[str, ...],
    x_mm: float,
    width_mm: float,
    title_mm: float,
    height_mm: float,
) -> None:
    top_mm = pages.y_mm
    for y_mm in (top_mm, top_mm + height_mm):
        pages.put(Stroke(x_mm, y_mm, x_mm + width_mm, y_mm, 0.5))
    for edge_mm in (x_mm, x_mm + width_mm):
        pages.put(Stroke(edge_mm, top_mm, edge_mm, top_mm + height_mm, 0.5))
    for place, line in enumerate(title):
        y_mm = baseline_mm(top_mm + _PAD_MM + place * line_mm(TABLE_PT), TABLE_PT)
        pages.put(Words(x_mm + _PAD_MM, y_mm, line, TABLE_PT, bold=True))
    for place, name in enumerate(box.fields):
        y_mm = top_mm + _PAD_MM + title_mm + (place + 1) * _FIELD_MM - 1.5
        pages.put(Words(x_mm + _PAD_MM, y_mm, fitted(name, 26.0, FOOT_PT), FOOT_PT))
        pages.put(Stroke(x_mm + 30.0, y_mm + 0.6, x_mm + width_mm - 2.0, y_mm + 0.6))
