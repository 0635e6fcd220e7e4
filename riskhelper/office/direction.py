"""Which way a change goes."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum


class Direction(Enum):
    """Stricter, looser, or neither of the two alone."""

    STRICTER = "stricter"
    LOOSER = "looser"
    DIFFERENT = "different"

    @classmethod
    def of(cls, before: float, after: float) -> Direction:
        """The way from one rank to another, where more is graver."""
        return cls.STRICTER if after > before else cls.LOOSER if after < before else cls.DIFFERENT

    @classmethod
    def joined(cls, ways: Iterable[Direction]) -> Direction:
        """The way of several changes taken together: one way only if all go that way; of none, neither."""
        found = set(ways)
        return found.pop() if len(found) == 1 else cls.DIFFERENT
