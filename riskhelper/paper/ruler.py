"""A hazard beside its ruler: one lane each for as found, as planned and as proved, told apart by mark and word."""

from __future__ import annotations

import math
from collections.abc import Sequence

from riskhelper.paper.pages import BODY_PT, DETAIL_PT, FOOT_PT, Pages, Shape, Stroke, Words, baseline_mm, line_mm
from riskhelper.paper.typeface import fitted, typefaces, wrapped
from riskhelper.statement.document import BandMark, RatingRuler, Reading

_SCALE_MM = 36.0
_READING_MM = 65.5
_LABEL_MM = 17.2
_GAP_MM = 3.0
_LANE_MM = 4.4
_HEAD_MM = 4.0
_HALF_MM = 1.2
_PAD_MM = 1.0
_LARGEST = 25
_WEIGHTS = (0.2, 0.4, 0.8, 1.2)


def lay_ruler(pages: Pages, block: RatingRuler) -> None:
    """Words on the left, readings and ruler on the right, a thin rule above; kept on one page where it fits."""
    left_mm = pages.width_mm - _SCALE_MM - _READING_MM - _GAP_MM
    rows = [(line, BODY_PT, True) for line in wrapped(block.title, left_mm, BODY_PT, bold=True)]
    ruler_mm = _HEAD_MM + 3 * _LANE_MM
    beside = max(0, math.ceil((ruler_mm - len(rows) * line_mm(BODY_PT)) / line_mm(DETAIL_PT)))
    rows += [(line, DETAIL_PT, False) for line in _flowing(block.words, left_mm, pages.width_mm, beside)]
    words_mm = sum(line_mm(size_pt) for _, size_pt, _ in rows)
    pages.need(max(words_mm, ruler_mm) + 2 * _PAD_MM)
    top_mm = pages.y_mm
    pages.put(Stroke(pages.left_mm, top_mm, pages.left_mm + pages.width_mm, top_mm, 0.1))
    pages.y_mm += _PAD_MM
    _lay_readings(pages, block, ruler_mm)
    least_mm = pages.y_mm + ruler_mm
    for line, size_pt, bold in rows:
        if pages.room_mm < line_mm(size_pt):
            pages.turn()
            least_mm = 0.0
        pages.write(pages.left_mm, line, size_pt, bold)
    pages.y_mm = max(pages.y_mm, least_mm) + _PAD_MM


def _flowing(words: Sequence[str], narrow_mm: float, wide_mm: float, beside: int) -> list[str]:
    """Lines of the narrow width as long as they stand beside the ruler, then over the whole width."""
    lines: list[str] = []
    for sentence in words:
        narrow = wrapped(sentence, narrow_mm, DETAIL_PT)
        fits = max(0, beside - len(lines))
        lines += narrow[:fits]
        if narrow[fits:]:
            lines += wrapped(" ".join(narrow[fits:]), wide_mm, DETAIL_PT)
    return lines


def _lay_readings(pages: Pages, block: RatingRuler, height_mm: float) -> None:
    scale = _Scale(pages, pages.y_mm, height_mm)
    scale.lay_bands(block.bands)
    for lane, reading in enumerate((block.found, block.planned, block.proved)):
        y_mm = pages.y_mm + _HEAD_MM + (lane + 0.5) * _LANE_MM
        pages.put(Stroke(scale.start_mm, y_mm, scale.end_mm, y_mm, 0.1))
        _lay_words(pages, reading, scale.start_mm - _READING_MM, y_mm)
        if lane and block.found.product != reading.product:
            dash_mm = 1.2 if lane == 1 else 0.0
            pages.put(Stroke(scale.at(block.found.product), y_mm, scale.at(reading.product), y_mm, 0.5, dash_mm))
        pages.put(_mark(lane, scale.at(reading.product), y_mm))


class _Scale:
    """Where the products 1 to 25 stand across the page."""

    def __init__(self, pages: Pages, top_mm: float, height_mm: float) -> None:
        self.end_mm = pages.left_mm + pages.width_mm - 1.0
        self.start_mm = self.end_mm - _SCALE_MM + 1.0
        self._pages, self._top_mm, self._height_mm = pages, top_mm, height_mm
        self._step_mm = (self.end_mm - self.start_mm) / _LARGEST

    def at(self, product: int) -> float:
        """Middle of a product's place."""
        return self.start_mm + (product - 0.5) * self._step_mm

    def lay_bands(self, bands: Sequence[BandMark]) -> None:
        """Upright lines between the bands, heavier upward, each with its highest number."""
        low, bottom_mm = 0, self._top_mm + self._height_mm
        for place, band in enumerate(bands):
            left_mm = self.start_mm + low * self._step_mm
            right_mm = self.start_mm + band.up_to * self._step_mm
            weight_mm = _WEIGHTS[min(place, len(_WEIGHTS) - 1)]
            label = str(band.up_to)
            label_mm = right_mm - typefaces()[False].width_mm(label, FOOT_PT) - 0.9
            self._pages.put(Words(label_mm, baseline_mm(self._top_mm, FOOT_PT) - 0.2, label, FOOT_PT))
            self._pages.put(Stroke(left_mm, self._top_mm + _HEAD_MM, right_mm, self._top_mm + _HEAD_MM, weight_mm))
            if place:
                self._pages.put(Stroke(left_mm, self._top_mm + 1.0, left_mm, bottom_mm, weight_mm))
            low = band.up_to
        for edge_mm in (self.start_mm, self.end_mm):
            self._pages.put(Stroke(edge_mm, self._top_mm + 1.0, edge_mm, bottom_mm))


def _lay_words(pages: Pages, reading: Reading, x_mm: float, y_mm: float) -> None:
    base_mm = y_mm + 1.1
    pages.put(Words(x_mm, base_mm, fitted(reading.label, _LABEL_MM, FOOT_PT, bold=True), FOOT_PT, bold=True))
    words = fitted(reading.words, _READING_MM - _LABEL_MM - 1.5, FOOT_PT)
    pages.put(Words(x_mm + _LABEL_MM + 0.5, base_mm, words, FOOT_PT))


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
