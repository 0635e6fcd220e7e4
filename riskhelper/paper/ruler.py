"""The rating ruler: one lane each for as found, as planned and as proved, told apart by mark and word."""

from __future__ import annotations

import math

from riskhelper.paper.pages import FOOT_PT, TABLE_PT, Pages, Shape, Stroke, Words, baseline_mm
from riskhelper.paper.typeface import fitted, typefaces
from riskhelper.statement.document import RatingRuler, Reading

_WORDS_MM = 88.0
_LANE_MM = 5.2
_HEAD_MM = 5.0
_HALF_MM = 1.5
_LARGEST = 25
_WEIGHTS = (0.2, 0.4, 0.8, 1.2)


def lay_ruler(pages: Pages, block: RatingRuler) -> None:
    """Bands as upright lines that grow heavier, marks in three lanes, the words of each mark beside it."""
    height_mm = _HEAD_MM + 3 * _LANE_MM
    pages.need(height_mm + 2.0)
    top_mm = pages.y_mm
    start_mm = pages.left_mm + _WORDS_MM
    end_mm = pages.left_mm + pages.width_mm - 3.0
    step_mm = (end_mm - start_mm) / _LARGEST

    def at(product: float) -> float:
        return start_mm + (product - 0.5) * step_mm

    low = 0
    for place, band in enumerate(block.bands):
        left_mm, right_mm = start_mm + low * step_mm, start_mm + band.up_to * step_mm
        label = f"{low + 1}–{band.up_to}"
        middle_mm = (left_mm + right_mm - typefaces()[False].width_mm(label, FOOT_PT)) / 2
        pages.put(Words(middle_mm, baseline_mm(top_mm, FOOT_PT), label, FOOT_PT))
        weight_mm = _WEIGHTS[min(place, len(_WEIGHTS) - 1)]
        pages.put(Stroke(left_mm, top_mm + _HEAD_MM, right_mm, top_mm + _HEAD_MM, weight_mm))
        if place:
            pages.put(Stroke(left_mm, top_mm + 1.0, left_mm, top_mm + height_mm, weight_mm))
        low = band.up_to
    for edge_mm in (start_mm, end_mm):
        pages.put(Stroke(edge_mm, top_mm + 1.0, edge_mm, top_mm + height_mm))
    readings = (block.found, block.planned, block.proved)
    for lane, reading in enumerate(readings):
        y_mm = top_mm + _HEAD_MM + (lane + 0.5) * _LANE_MM
        pages.put(Stroke(start_mm, y_mm, end_mm, y_mm, 0.1))
        _lay_words(pages, reading, y_mm)
        if reading.product is None:
            continue
        if lane and block.found.product is not None and block.found.product != reading.product:
            dash_mm = 1.2 if lane == 1 else 0.0
            pages.put(Stroke(at(block.found.product), y_mm, at(reading.product), y_mm, 0.5, dash_mm))
        pages.put(_mark(lane, at(reading.product), y_mm))
    pages.y_mm += height_mm + 2.0


def _lay_words(pages: Pages, reading: Reading, y_mm: float) -> None:
    base_mm = y_mm + 1.3
    pages.put(Words(pages.left_mm, base_mm, fitted(reading.label, 21.0, TABLE_PT, bold=True), TABLE_PT, bold=True))
    words = fitted(reading.words, _WORDS_MM - 24.0, TABLE_PT)
    pages.put(Words(pages.left_mm + 22.0, base_mm, words, TABLE_PT))


def _mark(lane: int, x_mm: float, y_mm: float) -> Shape:
    """A full disc, an open diamond, a full square."""
    if lane == 0:
        points = [
            (x_mm + _HALF_MM * math.cos(turn * math.pi / 8), y_mm + _HALF_MM * math.sin(turn * math.pi / 8))
            for turn in range(16)
        ]
        return Shape(tuple(points), filled=True)
    if lane == 1:
        far_mm = _HALF_MM * 1.25
        diamond = ((x_mm, y_mm - far_mm), (x_mm + far_mm, y_mm), (x_mm, y_mm + far_mm), (x_mm - far_mm, y_mm))
        return Shape(diamond, filled=False)
    near_mm = _HALF_MM * 0.9
    square = (
        (x_mm - near_mm, y_mm - near_mm),
        (x_mm + near_mm, y_mm - near_mm),
        (x_mm + near_mm, y_mm + near_mm),
        (x_mm - near_mm, y_mm + near_mm),
    )
    return Shape(square, filled=True)
