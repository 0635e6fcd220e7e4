"""Numbers, ranges and moments as printed: rounding never hides a limit."""

from __future__ import annotations

import math
from datetime import datetime, timedelta, timezone

import pytest

from riskhelper.interval import WHOLE_LINE, Interval
from riskhelper.statement.figures import clause, figure, moment, number, sentence


@pytest.mark.parametrize(
    ("value", "resolution", "printed"),
    [
        (2.5, 0.01, "2.50"),
        (0.3, 0.1, "0.3"),
        (37.0, 1.0, "37"),
        (12345.678, None, "12350"),
        (0.000123456, None, "0.0001235"),
        (-1.5, 0.5, "-1.5"),
        (math.inf, None, "without limit"),
    ],
)
def test_a_number_is_printed_on_its_grid(value: float, resolution: float | None, printed: str) -> None:
    assert number(value, resolution) == printed


@pytest.mark.parametrize(
    ("span", "unit", "printed"),
    [
        (Interval(2.5, 2.5), "m", "2.50 m"),
        (Interval(78.7, 85.5), "kPa", "78.70 to 85.50 kPa"),
        (Interval(14.0, 14.0), "degC", "14.00 °C"),
        (Interval(-math.inf, 3.0), "m", "3.00 m or less"),
        (Interval(3.0, math.inf), "m", "3.00 m or more"),
        (WHOLE_LINE, "m", "cannot be told"),
        (Interval(0.57, 0.57), "", "0.57"),
    ],
)
def test_a_figure_shows_its_whole_range_with_the_unit(span: Interval, unit: str, printed: str) -> None:
    assert figure(span, unit, 0.01) == printed


def test_a_moment_carries_its_offset_and_a_missing_one_stays_blank() -> None:
    at = datetime(2026, 3, 1, 7, 5, tzinfo=timezone(timedelta(hours=-3, minutes=-30)))

    assert moment(at) == "2026-03-01 07:05 UTC-03:30"
    assert moment(None) == ""


def test_sentences_end_once_and_clauses_not_at_all() -> None:
    assert [sentence(words) for words in ("Wait.", "Is it dry?", "Wait")] == ["Wait.", "Is it dry?", "Wait."]
    assert clause("Wait.") == "Wait"
