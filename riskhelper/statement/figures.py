"""Numbers and moments as printed."""

from __future__ import annotations

import math
from datetime import datetime

from riskhelper.interval import Interval
from riskhelper.units import with_unit


def number(value: float, resolution: float | None) -> str:
    """A number on its grid, or in four figures where it has none.

    >>> number(2.5, 0.01), number(12345.678, None), number(float("inf"), None)
    ('2.50', '12350', 'without limit')
    """
    if math.isinf(value):
        return "without limit" if value > 0 else "without lower limit"
    if resolution is None:
        shown = float(f"{value:.4g}")
        return f"{shown:.0f}" if abs(shown) >= 1000 else f"{shown:g}"
    decimals = max(0, -math.floor(math.log10(resolution) + 1e-9)) if resolution < 1 else 0
    return f"{value:.{decimals}f}"


def figure(span: Interval, unit: str, resolution: float | None = None) -> str:
    """A value or the range it lies in, with its unit.

    >>> figure(Interval(2.5, 2.5), "m", 0.01), figure(Interval(78.7, 85.5), "kPa", 0.1)
    ('2.50 m', '78.7 to 85.5 kPa')
    """
    if math.isinf(span.low) and math.isinf(span.high):
        return "cannot be told"
    if span.is_exact:
        return with_unit(number(span.low, resolution), unit)
    if math.isinf(span.high):
        return f"{with_unit(number(span.low, resolution), unit)} or more"
    if math.isinf(span.low):
        return f"{with_unit(number(span.high, resolution), unit)} or less"
    return with_unit(f"{number(span.low, resolution)} to {number(span.high, resolution)}", unit)


def sentence(words: str) -> str:
    """Words with one full stop at their end.

    >>> sentence("Wait for oil."), sentence("Is it dry?"), sentence("Wait")
    ('Wait for oil.', 'Is it dry?', 'Wait.')
    """
    words = words.rstrip()
    return words if words.endswith((".", "?", "!")) else f"{words}."


def clause(words: str) -> str:
    """Words without a full stop, to stand inside a sentence or a list."""
    return words.rstrip().removesuffix(".")


def counted(many: int, one: str, several: str) -> str:
    """A count with its word.

    >>> counted(1, "stop", "stops"), counted(0, "stop", "stops")
    ('1 stop', 'no stops')
    """
    return f"{many or 'no'} {one if many == 1 else several}"


def moment(at: datetime | None) -> str:
    """Date and time with the offset, on the 24-hour clock; blank where none is given."""
    if at is None:
        return ""
    offset = at.strftime("%z")
    return at.strftime("%Y-%m-%d %H:%M") + (f" UTC{offset[:3]}:{offset[3:5]}" if offset else "")
