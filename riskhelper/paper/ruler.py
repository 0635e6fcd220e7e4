"""The rating ruler: one lane each for as found, as planned and as proved, told apart by mark and word."""

from __future__ import annotations

import math
from collections.abc import Sequence

from riskhelper.paper.pages import FOOT_PT, TABLE_PT, Pages, Shape, Stroke, Words, baseline_mm, line_mm
from riskhelper.paper.typeface import fitted, typefaces, wrapped
from riskhelper.statement.document import BandMark, RatingRuler, Reading

_WORDS_MM = 88.0
_LANE_MM = 5.2
_HEAD_MM = 5.0
_HALF_MM = 1.5
_SHORT_LANE_MM = 3.2
_LARGEST = 25
_WEIGHTS = (0.2, 0.4, 0.8, 1.2)


def lay_ruler(pages: Pages, block: RatingRuler) -> None:
    """Bands as upright lines that grow heavier; three lanes with their words, or one line behind a title."""
    if block.title:
        _lay_short(pages, block)
        return
    height_mm = _HEAD_MM + 3 * _LANE_MM
    pages.need(height_mm + 2.0)
    scale = _Scale(pages, pages.y_mm, height_mm)
    scale.lay_bands(block.bands, _HEAD_MM)
    for lane, reading in enumerate((block.found, block.planned, block.proved)):
        y_mm = pages.y_mm + _HEAD_MM + (lane + 0.5) * _LANE_MM
        pages.put(Stroke(scale.start_mm, y_mm, scale.end_mm, y_mm, 0.1))
        _lay_words(pages, reading, y_mm)
        if lane and block.found.product != reading.product:
            dash_mm = 1.2 if lane == 1 else 0.0
            pages.put(Stroke(scale.at(block.found.product), y_mm, scale.at(reading.product), y_mm, 0.5, dash_mm))
        pages.put(_mark(lane, scale.at(reading.product), y_mm))
    pages.y_mm += height_mm + 2.0


def _lay_short(pages: Pages, block: RatingRuler) -> None:
    readings = (block.found, block.planned, block.proved)
    title = wrapped(block.title, _WORDS_MM - 3.0, TABLE_PT, bold=True)
    numbers = ", ".join(f"{reading.label} {reading.product}" for reading in readings)
    height_mm = max((len(title) + 1) * line_mm(TABLE_PT), 2 * _SHORT_LANE_MM + 3.0)
    pages.need(height_mm + 8.0)
    scale = _Scale(pages, pages.y_mm, height_mm)
    scale.lay_bands(block.bands, 0.0)
    for place, line in enumerate((*title, numbers)):
        y_mm = baseline_mm(pages.y_mm + place * line_mm(TABLE_PT), TABLE_PT)
        words = fitted(line, _WORDS_MM - 3.0, TABLE_PT, bold=place < len(title))
        pages.put(Words(pages.left_mm, y_mm, words, TABLE_PT, bold=place < len(title)))
    middle_mm = pages.y_mm + height_mm / 2
    pages.put(Stroke(scale.start_mm, middle_mm, scale.end_mm, middle_mm, 0.1))
    for lane, reading in enumerate(readings):
        y_mm = middle_mm + (lane - 1) * _SHORT_LANE_MM
        pages.put(_mark(lane, scale.at(reading.product), y_mm))
    pages.y_mm += height_mm + 1.0


class _Scale:
    """Where the products 1 to 25 stand across the page."""

    def __init__(self, pages: Pages, top_mm: float, height_mm: float) -> None:
        self.start_mm = pages.left_mm + _WORDS_MM
        self.end_mm = pages.left_mm + pages.width_mm - 3.0
        self._pages, self._top_mm, self._height_mm = pages, top_mm, height_mm
        self._step_mm = (self.end_mm - self.start_mm) / _LARGEST

    def at(self, product: int) -> float:
        """Middle of a product's place."""
        return self.start_mm + (product - 0.5) * self._step_mm

    def lay_bands(self, bands: Sequence[BandMark], head_mm: float) -> None:
        """Upright lines between the bands; with a head also their numbers."""
        low, bottom_mm = 0, self._top_mm + self._height_mm
        for place, band in enumerate(bands):
            left_mm = self.start_mm + low * self._step_mm
            right_mm = self.start_mm + band.up_to * self._step_mm
            weight_mm = _WEIGHTS[min(place, len(_WEIGHTS) - 1)]
            if head_mm:
                label = f"{low + 1}–{band.up_to}"
                middle_mm = (left_mm + right_mm - typefaces()[False].width_mm(label, FOOT_PT)) / 2
                self._pages.put(Words(middle_mm, baseline_mm(self._top_mm, FOOT_PT), label, FOOT_PT))
                self._pages.put(Stroke(left_mm, self._top_mm + head_mm, right_mm, self._top_mm + head_mm, weight_mm))
            if place:
                self._pages.put(Stroke(left_mm, self._top_mm + 1.0, left_mm, bottom_mm, weight_mm))
            low = band.up_to
        for edge_mm in (self.start_mm, self.end_mm):
            self._pages.put(Stroke(edge_mm, self._top_mm + 1.0, edge_mm, bottom_mm))


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
