"""Pictures of the numbers in black and white: full bars, open bars and hatched bands over one axis."""

from __future__ import annotations

from riskhelper.paper.pages import FOOT_PT, TABLE_PT, Pages, Shape, Stroke, Words, baseline_mm, line_mm
from riskhelper.paper.typeface import fitted, typefaces, wrapped
from riskhelper.statement.document import Ink, Lane, Picture

_LABEL_MM = 36.0
_WORDS_MM = 34.0
_LANE_MM = 4.4
_BAR_MM = 3.0
_HATCH_MM = 1.0
_THIN_MM = 0.6
_FRAME_MM = 1.5


def lay_picture(pages: Pages, block: Picture) -> None:
    """Title, one lane a bar, uprights with their words below, and the sentence that says the same."""
    told = wrapped(block.told, pages.width_mm - 2 * _FRAME_MM, TABLE_PT, bold=True)
    head_mm = line_mm(TABLE_PT) + 1.0
    lanes_mm = len(block.lanes) * _LANE_MM
    foot_mm = len(block.uprights) * line_mm(FOOT_PT) + len(told) * line_mm(TABLE_PT) + 1.0
    pages.need(head_mm + lanes_mm + foot_mm + 2 * _FRAME_MM + 2.0)
    top_mm = pages.y_mm
    pages.y_mm += _FRAME_MM
    pages.write(pages.left_mm + _FRAME_MM, f"{block.title} ({block.unit})", TABLE_PT, bold=True)
    pages.y_mm += 1.0
    axis = _Axis(pages, block)
    for place, lane in enumerate(block.lanes):
        _lay_lane(pages, lane, axis, pages.y_mm + place * _LANE_MM)
    axis.lay_uprights(pages, pages.y_mm, lanes_mm)
    pages.y_mm += lanes_mm + len(block.uprights) * line_mm(FOOT_PT) + 1.0
    for line in told:
        pages.write(pages.left_mm + _FRAME_MM, line, TABLE_PT, bold=True)
    pages.y_mm += _FRAME_MM
    pages.frame(top_mm, pages.y_mm, 0.2)
    pages.y_mm += 2.0


class _Axis:
    """Where values stand across the page."""

    def __init__(self, pages: Pages, block: Picture) -> None:
        self._block = block
        self._start_mm = pages.left_mm + _FRAME_MM + _LABEL_MM
        self._end_mm = pages.left_mm + pages.width_mm - _FRAME_MM - _WORDS_MM

    def at(self, value: float) -> float:
        """The place of a value."""
        low, high = self._block.low, self._block.high
        return self._start_mm + (value - low) / (high - low) * (self._end_mm - self._start_mm)

    def lay_uprights(self, pages: Pages, top_mm: float, height_mm: float) -> None:
        """Heavy lines across the lanes, each a little longer than the one before, so that no words meet."""
        for place, upright in enumerate(self._block.uprights):
            x_mm, end_mm = self.at(upright.at), top_mm + height_mm + place * line_mm(FOOT_PT)
            words = f"{upright.words}, {upright.at:.2f}".removesuffix(".00")
            width_mm = typefaces()[False].width_mm(words, FOOT_PT)
            start_mm = min(x_mm + 1.0, self._end_mm + _WORDS_MM - width_mm)
            pages.put(Stroke(x_mm, top_mm - 0.5, x_mm, end_mm + 2.0, 0.6))
            pages.put(Words(start_mm, baseline_mm(end_mm, FOOT_PT) + 0.2, words, FOOT_PT))


def _lay_lane(pages: Pages, lane: Lane, axis: _Axis, top_mm: float) -> None:
    middle_mm = top_mm + _LANE_MM / 2
    left_mm, right_mm = axis.at(lane.low), axis.at(lane.high)
    label = fitted(lane.label, _LABEL_MM - 2.0, TABLE_PT)
    pages.put(Words(pages.left_mm + _FRAME_MM, middle_mm + 1.1, label, TABLE_PT))
    words_mm = pages.left_mm + pages.width_mm - _FRAME_MM - _WORDS_MM + 2.0
    pages.put(
        Words(words_mm, middle_mm + 1.1, fitted(lane.words, _WORDS_MM - 2.0, TABLE_PT, bold=True), TABLE_PT, True)
    )
    if lane.high <= lane.low:
        return
    right_mm = max(right_mm, left_mm + _THIN_MM)
    y1_mm, y2_mm = middle_mm - _BAR_MM / 2, middle_mm + _BAR_MM / 2
    corners = ((left_mm, y1_mm), (right_mm, y1_mm), (right_mm, y2_mm), (left_mm, y2_mm))
    pages.put(Shape(corners, filled=lane.ink is Ink.FULL, weight_mm=0.3))
    if lane.ink is Ink.HATCHED:
        x_mm = left_mm + _HATCH_MM
        while x_mm < right_mm:
            pages.put(Stroke(x_mm, y1_mm, x_mm, y2_mm, 0.25))
            x_mm += _HATCH_MM
