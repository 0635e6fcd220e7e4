"""Ruled tables, label and value rows, and blank boxes to sign in."""

from __future__ import annotations

from riskhelper.paper.pages import BODY_PT, FOOT_PT, TABLE_PT, Pages, Stroke, Words, baseline_mm, line_mm
from riskhelper.paper.typeface import fitted, wrapped
from riskhelper.statement.document import Column, Facts, Grid, SignatureBox, SignatureBoxes

_PAD_MM = 1.3
_ROOMY_MM = 9.5
_LABEL_SHARE = 0.32
_FIELD_MM = 9.0
_GAP_MM = 4.0


def lay_grid(pages: Pages, block: Grid) -> None:
    """A table; its head is repeated on each page and a row higher than the page is split by lines."""
    shares = sum(column.share for column in block.columns)
    widths = [pages.width_mm * column.share / shares for column in block.columns]
    head = [
        wrapped(column.title, width - 2 * _PAD_MM, TABLE_PT, bold=True)
        for column, width in zip(block.columns, widths, strict=True)
    ]
    row_mm = _ROOMY_MM if block.roomy else 0.0
    pages.need(_height_mm(head, 0.0) + max(row_mm, line_mm(TABLE_PT)) + 2 * _PAD_MM)
    _lay_cells(pages, head, widths, (True,) * len(widths), 0.0, weight_mm=0.5)
    bold = tuple(column.strong for column in block.columns)
    for row in block.rows:
        cells = _cells(row, block.columns, widths)
        needs_mm = _height_mm(cells, row_mm)
        if pages.room_mm < needs_mm < 0.45 * pages.full_mm:
            pages.turn()
            _lay_cells(pages, head, widths, (True,) * len(widths), 0.0, weight_mm=0.5)
        while pages.room_mm < needs_mm:
            fits = int((pages.room_mm - 2 * _PAD_MM) / line_mm(TABLE_PT))
            if fits > 0:
                _lay_cells(pages, [cell[:fits] for cell in cells], widths, bold, 0.0)
                cells = [cell[fits:] for cell in cells]
            pages.turn()
            _lay_cells(pages, head, widths, (True,) * len(widths), 0.0, weight_mm=0.5)
            needs_mm = _height_mm(cells, 0.0)
        _lay_cells(pages, cells, widths, bold, row_mm)
    while block.fills_page and pages.room_mm >= _ROOMY_MM:
        _lay_cells(pages, [("",)] * len(widths), widths, bold, _ROOMY_MM)
    pages.y_mm += 3.0


def _cells(row: tuple[str, ...], columns: tuple[Column, ...], widths: list[float]) -> list[tuple[str, ...]]:
    return [
        wrapped(words, width - 2 * _PAD_MM, TABLE_PT, column.strong)
        for words, column, width in zip(row, columns, widths, strict=True)
    ]


def _height_mm(cells: list[tuple[str, ...]], at_least_mm: float) -> float:
    return max(max(len(cell) for cell in cells) * line_mm(TABLE_PT) + 2 * _PAD_MM, at_least_mm)


def _lay_cells(
    pages: Pages,
    cells: list[tuple[str, ...]],
    widths: list[float],
    bold: tuple[bool, ...],
    at_least_mm: float,
    weight_mm: float = 0.2,
) -> None:
    height_mm = _height_mm(cells, at_least_mm)
    top_mm, x_mm = pages.y_mm, pages.left_mm
    for cell, width_mm, strong in zip(cells, widths, bold, strict=True):
        for place, line in enumerate(cell):
            y_mm = baseline_mm(top_mm + _PAD_MM + place * line_mm(TABLE_PT), TABLE_PT)
            pages.put(Words(x_mm + _PAD_MM, y_mm, line, TABLE_PT, strong))
        pages.put(Stroke(x_mm, top_mm, x_mm, top_mm + height_mm))
        x_mm += width_mm
    pages.put(Stroke(x_mm, top_mm, x_mm, top_mm + height_mm))
    pages.put(Stroke(pages.left_mm, top_mm, x_mm, top_mm, weight_mm))
    pages.put(Stroke(pages.left_mm, top_mm + height_mm, x_mm, top_mm + height_mm, weight_mm))
    pages.y_mm += height_mm


def lay_facts(pages: Pages, block: Facts) -> None:
    """Label left, value right; an empty value is a ruled line to write on."""
    label_mm = pages.width_mm * _LABEL_SHARE
    for label, value in block.rows:
        labels = wrapped(label, label_mm - 3.0, BODY_PT, bold=True)
        values = wrapped(value, pages.width_mm - label_mm, BODY_PT) if value.strip() else ("",)
        pages.need(min(max(len(labels), len(values)), 4) * line_mm(BODY_PT) + 1.0)
        if not value.strip():
            pages.y_mm += 2.0
            line_y_mm = pages.y_mm + line_mm(BODY_PT)
            pages.put(Stroke(pages.left_mm + label_mm, line_y_mm, pages.left_mm + pages.width_mm, line_y_mm))
        for place in range(max(len(labels), len(values))):
            if pages.room_mm < line_mm(BODY_PT):
                pages.turn()
            y_mm = baseline_mm(pages.y_mm, BODY_PT)
            if place < len(labels):
                pages.put(Words(pages.left_mm, y_mm, labels[place], BODY_PT, bold=True))
            if place < len(values) and values[place]:
                pages.put(Words(pages.left_mm + label_mm, y_mm, values[place], BODY_PT))
            pages.y_mm += line_mm(BODY_PT)
        pages.y_mm += 0.8
    pages.y_mm += 1.5


def lay_signatures(pages: Pages, block: SignatureBoxes) -> None:
    """Two boxes side by side; a pair is never split by a page."""
    width_mm = (pages.width_mm - _GAP_MM) / 2
    for first in range(0, len(block.boxes), 2):
        pair = block.boxes[first : first + 2]
        titles = [wrapped(box.title, width_mm - 2 * _PAD_MM, TABLE_PT, bold=True) for box in pair]
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
