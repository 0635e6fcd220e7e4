"""Numbered steps with room for initials, and hold points in heavy boxes with room for a signature."""

from __future__ import annotations

from riskhelper.paper.pages import (
    BODY_PT,
    DETAIL_PT,
    FOOT_PT,
    TABLE_PT,
    Pages,
    Shape,
    Stroke,
    Words,
    baseline_mm,
    line_mm,
)
from riskhelper.paper.step_words import hold_head, hold_title, released_words, step_lines
from riskhelper.paper.typeface import wrapped
from riskhelper.statement.document import HoldBox, Step, Steps

_NUMBER_MM = 8.0
_INITIALS_MM = 18.0
_PAD_MM = 0.7
_EDGE_MM = 3.0
_SIGN_MM = 9.2
_TICK_MM = 4.0
_LEAST_STEP_MM = 8.5
_LEAST_BOX_MM = 15.0

CheckRow = tuple[tuple[str, ...], tuple[str, ...]]


def lay_steps(pages: Pages, block: Steps) -> None:
    """Steps and hold points in order."""
    place = ""
    for item in block.items:
        if isinstance(item, HoldBox):
            _lay_hold(pages, item)
        else:
            if item.place != place:
                place = item.place
                pages.need(25.0)
                pages.skip(1.2)
                pages.write(pages.left_mm, f"At the place: {place}", BODY_PT, bold=True)
                pages.y_mm += 0.5
            _lay_step(pages, item)


def _lay_step(pages: Pages, step: Step) -> None:
    width_mm = pages.width_mm - _NUMBER_MM - _INITIALS_MM - 2.4
    rows = [
        (line, strong)
        for words, strong in step_lines(step)
        for line in wrapped(words, width_mm, BODY_PT if strong else DETAIL_PT, strong)
    ]
    pages.need(sum(line_mm(BODY_PT if strong else DETAIL_PT) for _, strong in rows) + 2 * _PAD_MM)
    number = str(step.number)
    while rows:
        top_mm = pages.y_mm
        pages.y_mm += _PAD_MM
        pages.put(Words(pages.left_mm + 1.2, baseline_mm(pages.y_mm, BODY_PT), number, BODY_PT, bold=True))
        while rows and pages.room_mm >= line_mm(BODY_PT) + _PAD_MM:
            line, strong = rows.pop(0)
            pages.write(pages.left_mm + _NUMBER_MM + 1.2, line, BODY_PT if strong else DETAIL_PT, strong)
        pages.y_mm = max(pages.y_mm + _PAD_MM, top_mm + _LEAST_STEP_MM)
        _rule(pages, top_mm)
        if rows:
            pages.turn()


def _rule(pages: Pages, top_mm: float) -> None:
    right_mm = pages.left_mm + pages.width_mm
    pages.frame(top_mm, pages.y_mm, 0.2)
    for x_mm in (pages.left_mm + _NUMBER_MM, right_mm - _INITIALS_MM):
        pages.put(Stroke(x_mm, top_mm, x_mm, pages.y_mm))
    base_mm = baseline_mm(top_mm + 0.6, FOOT_PT)
    pages.put(Words(right_mm - _INITIALS_MM + 1.0, base_mm, "done, time", FOOT_PT))


def _lay_hold(pages: Pages, box: HoldBox) -> None:
    """Title and criterion, checks in two columns, release and signature; a break comes only between checks."""
    inside_mm = pages.width_mm - 2 * _EDGE_MM
    head = [(line, True) for line in wrapped(hold_title(box), inside_mm, BODY_PT, bold=True)]
    head += [(line, False) for words in hold_head(box) for line in wrapped(words, inside_mm, TABLE_PT)]
    checks = _check_rows(box.due, inside_mm / 2 - _TICK_MM - 1.0)
    released = wrapped(released_words(box), inside_mm, TABLE_PT, bold=True)
    tail_mm = len(released) * line_mm(TABLE_PT) + _SIGN_MM + _EDGE_MM
    head_mm = sum(line_mm(BODY_PT if strong else TABLE_PT) for _, strong in head) + _EDGE_MM
    whole_mm = head_mm + sum(map(_row_mm, checks)) + tail_mm
    pages.skip(1.2)
    if pages.room_mm < whole_mm and pages.room_mm < head_mm + _LEAST_BOX_MM:
        pages.need(whole_mm)
    top_mm = pages.y_mm
    pages.y_mm += _EDGE_MM - 0.8
    for line, strong in head:
        if pages.room_mm < line_mm(BODY_PT) + _EDGE_MM:
            top_mm = _broken(pages, top_mm, box.words)
        pages.write(pages.left_mm + _EDGE_MM, line, BODY_PT if strong else TABLE_PT, strong)
    for place, row in enumerate(checks):
        last = place == len(checks) - 1
        if pages.room_mm < _row_mm(row) + (tail_mm if last else _EDGE_MM):
            top_mm = _broken(pages, top_mm, box.words)
        _lay_checks(pages, row, inside_mm)
    if pages.room_mm < tail_mm:
        top_mm = _broken(pages, top_mm, box.words)
    for line in released:
        pages.write(pages.left_mm + _EDGE_MM, line, TABLE_PT, bold=True)
    _lay_signing(pages)
    _close(pages, top_mm)
    pages.y_mm += 1.5


def _check_rows(due: tuple[str, ...], width_mm: float) -> list[CheckRow]:
    cells = [wrapped(words, width_mm, DETAIL_PT) for words in due]
    return [(cells[n], cells[n + 1] if n + 1 < len(cells) else ()) for n in range(0, len(cells), 2)]


def _row_mm(row: CheckRow) -> float:
    return max(map(len, row)) * line_mm(DETAIL_PT) + 0.6


def _lay_checks(pages: Pages, row: CheckRow, inside_mm: float) -> None:
    for place, lines in enumerate(row):
        if lines:
            x_mm = pages.left_mm + _EDGE_MM + place * inside_mm / 2
            y_mm = baseline_mm(pages.y_mm, DETAIL_PT)
            side_mm = 2.4
            square = ((x_mm, y_mm), (x_mm + side_mm, y_mm), (x_mm + side_mm, y_mm - side_mm), (x_mm, y_mm - side_mm))
            pages.put(Shape(square, filled=False, weight_mm=0.3))
        for count, line in enumerate(lines):
            y_mm = baseline_mm(pages.y_mm + count * line_mm(DETAIL_PT), DETAIL_PT)
            pages.put(Words(x_mm + _TICK_MM, y_mm, line, DETAIL_PT))
    pages.y_mm += _row_mm(row)


def _broken(pages: Pages, top_mm: float, words: str) -> float:
    """Closes the frame on this page and goes on in a new one; where that starts."""
    _close(pages, top_mm)
    pages.turn()
    top_mm = pages.y_mm
    pages.y_mm += _EDGE_MM - 0.8
    pages.write(pages.left_mm + _EDGE_MM, f"HOLD POINT {words}, continued", BODY_PT, bold=True)
    return top_mm


def _close(pages: Pages, top_mm: float) -> None:
    pages.y_mm += _EDGE_MM - 1.0
    pages.frame(top_mm, pages.y_mm, 0.9)
    pages.frame(top_mm, pages.y_mm, 0.3, inset_mm=1.3)


def _lay_signing(pages: Pages) -> None:
    pages.y_mm += _SIGN_MM
    width_mm = (pages.width_mm - 2 * _EDGE_MM) / 4
    for place, name in enumerate(("Name", "Signature", "Time", "Reading, lock nos.")):
        x_mm = pages.left_mm + _EDGE_MM + place * width_mm
        pages.put(Stroke(x_mm, pages.y_mm - 3.4, x_mm + width_mm - 3.0, pages.y_mm - 3.4))
        pages.put(Words(x_mm, pages.y_mm - 0.6, name, FOOT_PT))
