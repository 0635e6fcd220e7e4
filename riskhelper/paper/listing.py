"""A long list in two columns, read downward; it fills the page first and is balanced where it ends."""

from __future__ import annotations

from dataclasses import dataclass

from riskhelper.paper.pages import FOOT_PT, TABLE_PT, Pages, Shape, Stroke, Words, baseline_mm, line_mm
from riskhelper.paper.typeface import typefaces, wrapped
from riskhelper.statement.document import Listing

_GAP_MM = 5.0
_HANG_MM = 3.0
_TICK_MM = 4.5
_SQUARE_MM = 2.5
_ROOM_TO_WRITE_MM = 14.0
_LEAST_LINES = 4


@dataclass(frozen=True, slots=True)
class _Piece:
    """Words of one weight, and how far they stand from the edge of the column."""

    x_mm: float
    words: str
    bold: bool = False


_Lines = list[tuple[_Piece, ...]]


@dataclass(frozen=True, slots=True)
class _Form:
    """Measures of one listing."""

    width_mm: float
    size_pt: float
    between_mm: float
    start_mm: float
    ticked: bool

    def lines(self, words: str, more: str) -> _Lines:
        """Lines of an item, the later ones hanging; what belongs to it in bold, on the last line where it fits."""
        plain, bold = typefaces()
        inside_mm = self.width_mm - self.start_mm - _HANG_MM
        first = wrapped(words, inside_mm, self.size_pt)
        hang_mm = self.start_mm if self.ticked else _HANG_MM
        lines: _Lines = [(_Piece(self.start_mm if n == 0 else hang_mm, line),) for n, line in enumerate(first)]
        if more:
            end_mm = lines[-1][0].x_mm + plain.width_mm(first[-1] + "  ", self.size_pt)
            behind = wrapped(more, inside_mm, self.size_pt, bold=True)
            if len(behind) == 1 and end_mm + bold.width_mm(behind[0], self.size_pt) <= self.width_mm:
                lines[-1] = (*lines[-1], _Piece(end_mm, behind[0], bold=True))
            else:
                lines += [(_Piece(hang_mm, line, bold=True),) for line in behind]
        return lines

    def height_mm(self, lines: _Lines) -> float:
        """Height of an item with the space below it."""
        return len(lines) * line_mm(self.size_pt) + self.between_mm


def lay_listing(pages: Pages, block: Listing) -> None:
    """Items in small letters, or ticked ones in table letters with a line to write on."""
    width_mm = (pages.width_mm - _GAP_MM) / 2
    form = (
        _Form(width_mm, TABLE_PT, 1.1, _TICK_MM, ticked=True)
        if block.ticked
        else _Form(width_mm, FOOT_PT, 0.45, 0.0, ticked=False)
    )
    items = [form.lines(words, more) for words, more in block.items]
    while items:
        if pages.room_mm < line_mm(form.size_pt) * _LEAST_LINES and not pages.at_top:
            pages.turn()
        top_mm, column_mm = pages.y_mm, min(pages.room_mm, _half_mm(form, items))
        bottom_mm = top_mm
        for column in range(2):
            y_mm = top_mm
            while items and (y_mm == top_mm or y_mm + form.height_mm(items[0]) <= top_mm + column_mm):
                y_mm = _lay_item(pages, form, items, pages.left_mm + column * (width_mm + _GAP_MM), y_mm)
            bottom_mm = max(bottom_mm, y_mm)
        pages.y_mm = bottom_mm
        if items:
            pages.turn()
    pages.y_mm += 1.0


def _half_mm(form: _Form, items: list[_Lines]) -> float:
    """Half the height of all items, so that the first column is never the shorter one."""
    whole_mm, half_mm = sum(map(form.height_mm, items)), 0.0
    for item in items:
        if half_mm >= whole_mm / 2:
            break
        half_mm += form.height_mm(item)
    return half_mm + 1e-6


def _lay_item(pages: Pages, form: _Form, items: list[_Lines], x_mm: float, y_mm: float) -> float:
    """The first item, or as many of its lines as fit on the page; where the next begins."""
    lines = items[0]
    if form.ticked:
        _lay_tick(pages, x_mm, baseline_mm(y_mm, form.size_pt))
    while lines and y_mm + line_mm(form.size_pt) <= pages.bottom_mm:
        end_mm = 0.0
        for piece in lines.pop(0):
            base_mm = baseline_mm(y_mm, form.size_pt)
            pages.put(Words(x_mm + piece.x_mm, base_mm, piece.words, form.size_pt, piece.bold))
            end_mm = piece.x_mm + typefaces()[piece.bold].width_mm(piece.words, form.size_pt)
        if form.ticked and not lines and end_mm + _ROOM_TO_WRITE_MM < form.width_mm:
            pages.put(Stroke(x_mm + end_mm + 2.0, base_mm + 0.4, x_mm + form.width_mm, base_mm + 0.4, 0.15))
        y_mm += line_mm(form.size_pt)
    if lines:
        return pages.bottom_mm + 1.0
    items.pop(0)
    return y_mm + form.between_mm


def _lay_tick(pages: Pages, x_mm: float, y_mm: float) -> None:
    corners = (
        (x_mm, y_mm),
        (x_mm + _SQUARE_MM, y_mm),
        (x_mm + _SQUARE_MM, y_mm - _SQUARE_MM),
        (x_mm, y_mm - _SQUARE_MM),
    )
    pages.put(Shape(corners, filled=False, weight_mm=0.3))
