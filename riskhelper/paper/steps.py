"""Numbered steps with room for initials, and hold points in heavy boxes with room for a signature."""

from __future__ import annotations

from riskhelper.paper.pages import BODY_PT, FOOT_PT, TABLE_PT, Pages, Stroke, Words, baseline_mm, line_mm
from riskhelper.paper.step_words import hold_lines, hold_title, step_lines
from riskhelper.paper.typeface import wrapped
from riskhelper.statement.document import HoldBox, Step, Steps

_NUMBER_MM = 11.0
_INITIALS_MM = 26.0
_PAD_MM = 1.6
_SIGN_MM = 10.0


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
                pages.skip(1.5)
                pages.write(pages.left_mm, f"At the place: {place}", BODY_PT, bold=True)
                pages.y_mm += 0.8
            _lay_step(pages, item)


def _lay_step(pages: Pages, step: Step) -> None:
    width_mm = pages.width_mm - _NUMBER_MM - _INITIALS_MM - 2 * _PAD_MM
    rows = [
        (line, strong)
        for words, strong in step_lines(step)
        for line in wrapped(words, width_mm, BODY_PT if strong else TABLE_PT, strong)
    ]
    pages.need(sum(line_mm(BODY_PT if strong else TABLE_PT) for _, strong in rows) + 2 * _PAD_MM)
    number = str(step.number)
    while rows:
        top_mm = pages.y_mm
        pages.y_mm += _PAD_MM
        pages.put(Words(pages.left_mm + _PAD_MM, baseline_mm(pages.y_mm, BODY_PT), number, BODY_PT, bold=True))
        while rows and pages.room_mm >= line_mm(BODY_PT) + _PAD_MM:
            line, strong = rows.pop(0)
            pages.write(pages.left_mm + _NUMBER_MM + _PAD_MM, line, BODY_PT if strong else TABLE_PT, strong)
        pages.y_mm = max(pages.y_mm + _PAD_MM, top_mm + 9.0)
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
    inside_mm = pages.width_mm - 10.0
    rows = [(line, True) for line in wrapped(hold_title(box), inside_mm, BODY_PT, bold=True)]
    for words in hold_lines(box):
        hang = "   " if words.startswith("– ") else ""
        lines = wrapped(words, inside_mm - len(hang), TABLE_PT)
        rows += [((hang if place else "") + line, False) for place, line in enumerate(lines)]
    needs_mm = sum(line_mm(BODY_PT if strong else TABLE_PT) for _, strong in rows) + _SIGN_MM + 8.0
    pages.skip(1.5)
    pages.need(needs_mm)
    while rows:
        top_mm = pages.y_mm
        pages.y_mm += 3.0
        while rows and pages.room_mm >= line_mm(BODY_PT) + 4.0 + (_SIGN_MM if len(rows) == 1 else 0.0):
            line, strong = rows.pop(0)
            pages.write(pages.left_mm + 5.0, line, BODY_PT if strong else TABLE_PT, strong)
        if not rows:
            _lay_signing(pages)
        pages.y_mm += 3.0
        pages.frame(top_mm, pages.y_mm, 1.0)
        pages.frame(top_mm, pages.y_mm, 0.4, inset_mm=1.5)
        if rows:
            pages.turn()
    pages.y_mm += 2.0


def _lay_signing(pages: Pages) -> None:
    pages.y_mm += _SIGN_MM
    width_mm = (pages.width_mm - 10.0) / 4
    for place, name in enumerate(("Name", "Signature", "Time", "Reading, lock nos.")):
        x_mm = pages.left_mm + 5.0 + place * width_mm
        pages.put(Stroke(x_mm, pages.y_mm - 3.6, x_mm + width_mm - 3.0, pages.y_mm - 3.6))
        pages.put(Words(x_mm, pages.y_mm, name, FOOT_PT))
