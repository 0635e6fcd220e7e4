"""Says which named limit of validity an input breaks, in words fit for the person who typed it."""

from __future__ import annotations

import math
from collections.abc import Iterable

from riskhelper.calc.calculation import InputFault, OutsideLimits

Bound = tuple[str, float, float, float, str]
YES_NO = ("yes", "no")


def outside(*bounds: Bound) -> OutsideLimits | None:
    """The first bound `(words, value, low, high, unit)` whose value lies outside its ends.

    >>> outside(("oil temperature", 140.0, -50.0, 130.0, "degC"))
    OutsideLimits(limit='oil temperature -50 to 130 degC, got 140')
    >>> outside(("oil temperature", 20.0, -50.0, 130.0, "degC")) is None
    True
    """
    for words, value, low, high, unit in bounds:
        if not low <= value <= high:
            return OutsideLimits(f"{words} {low:g} to {high:g} {unit}".rstrip() + f", got {value:g}")
    return None


def ratio(part: float, whole: float) -> float:
    """Part over whole, without end where there is no whole: outside every limit.

    >>> ratio(1.0, 4.0), ratio(1.0, 0.0)
    (0.25, inf)
    """
    return part / whole if whole else math.inf


def option(words: str, given: str, known: Iterable[str]) -> None:
    """Raise `InputFault` unless the option is a known one."""
    names = sorted(known)
    if given not in names:
        raise InputFault(f"{words} `{given}` is not known; choose one of {', '.join(names)}")
