"""Closed ranges of possible values: the ground on which calculations meet what is not known exactly."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Interval:
    """Closed range of possible values, `low <= high`; an end may be infinite, never NaN."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if math.isnan(self.low) or math.isnan(self.high) or self.low > self.high:
            raise ValueError(f"an interval needs low <= high, got `{self.low}` to `{self.high}`")

    @classmethod
    def exactly(cls, value: float) -> Interval:
        """The interval that holds one value."""
        return cls(value, value)

    @property
    def is_exact(self) -> bool:
        """Whether both ends agree."""
        return self.low == self.high

    def joined(self, other: Interval) -> Interval:
        """The smallest interval that holds both."""
        return Interval(min(self.low, other.low), max(self.high, other.high))


WHOLE_LINE = Interval(-math.inf, math.inf)
