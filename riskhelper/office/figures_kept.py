"""Calculated figures over many jobs: each different set of inputs is worked out once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from riskhelper.calc.calculation import Calculation
from riskhelper.interval import Interval
from riskhelper.ruleset.entries import QuestionEntry

MOST_KEPT = 50_000
Ends = tuple[Any, Any]


class KeptFigures:
    """What calculations of one rule set gave for inputs seen before, within a bound on memory.

    `broken` marks rows in which a calculation could not be carried out: they are left to the ordinary assessment.
    """

    def __init__(self) -> None:
        self._kept: dict[str, dict[tuple[Any, ...], tuple[float, float] | None]] = {}
        self.broken: NDArray[np.bool_] | np.bool_ = np.False_

    def over(
        self,
        name: str,
        calculation: Calculation,
        fixed: Mapping[str, Any],
        varying: Mapping[str, tuple[Any, Any]],
    ) -> Ends:
        """Low and high ends of a figure. `varying` holds two ends of a number, or bits with their question."""
        kept = self._kept.setdefault(name, {})
        columns: list[Any] = []
        for first, second in varying.values():
            columns.append(first)
            if not isinstance(second, QuestionEntry):
                columns.append(second)
        rows = max((column.size for column in columns if isinstance(column, np.ndarray)), default=0)
        lists = [c.tolist() if isinstance(c, np.ndarray) else [c.item()] * max(rows, 1) for c in columns]
        keys = list(zip(*lists, strict=True)) if lists else [()]
        if len(kept) > MOST_KEPT:
            kept.clear()
        for key in set(keys):
            if key not in kept:
                kept[key] = _worked_out(calculation, fixed, varying, key)
        found = [kept[key] for key in keys]
        if None in found:
            self.broken = self.broken | np.array([ends is None for ends in found], dtype=np.bool_)
        whole = (-np.inf, np.inf)
        low = np.array([(ends or whole)[0] for ends in found], dtype=np.float64)
        high = np.array([(ends or whole)[1] for ends in found], dtype=np.float64)
        return (low, high) if rows else (low[0], high[0])


def _worked_out(
    calculation: Calculation, fixed: Mapping[str, Any], varying: Mapping[str, tuple[Any, Any]], key: tuple[Any, ...]
) -> tuple[float, float] | None:
    inputs: dict[str, Any] = dict(fixed)
    cells = iter(key)
    for parameter, (_, second) in varying.items():
        if isinstance(second, QuestionEntry):
            bits = next(cells)
            inputs[parameter] = frozenset(o for place, o in enumerate(second.options) if bits >> place & 1)
        else:
            inputs[parameter] = Interval(next(cells), next(cells))
    try:
        enclosure = calculation.over(inputs)
    except Exception:  # the ordinary assessment turns it into a stop and a defect with its words
        return None
    return enclosure.range.low, enclosure.range.high
