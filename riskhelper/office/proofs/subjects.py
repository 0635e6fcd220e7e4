"""What terms speak of: the answers, figures and grids in them, as bits, so that asking costs next to nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import z3  # type: ignore[import-untyped]


class Subjects:
    """Bits for the unknowns of one search; the ends of one figure share a bit."""

    def __init__(self) -> None:
        self._bits: dict[str, int] = {}
        self._told: dict[int, tuple[Any, int]] = {}  # by term, which is kept so that its id stays its own
        self.grids, self.figures, self.reached = 0, 0, 0

    def mark(self) -> int:
        """How many terms are known: `forget` goes back to it."""
        return len(self._told)

    def forget(self, mark: int) -> None:
        """Drops the terms told since a mark."""
        for _ in range(len(self._told) - mark):
            self._told.popitem()

    def of(self, *terms: Any) -> int:
        """The bits of what some terms speak of."""
        found = 0
        for term in terms:
            if isinstance(term, z3.ExprRef):
                found |= self._of(term)
        return found

    def _of(self, term: Any) -> int:
        told = self._told.get(term.get_id())
        if told is not None:
            return told[1]
        below = term.children()
        if below:
            found = 0
            for part in below:
                found |= self._of(part)
        elif term.decl().kind() == z3.Z3_OP_UNINTERPRETED:
            found = self._bit(term.decl().name())
        else:
            found = 0
        self._told[term.get_id()] = (term, found)
        return found

    def _bit(self, name: str) -> int:
        kind = name.partition(" ")[0]
        subject = name.rpartition(" ")[0] if kind == "figure" else name
        bit = self._bits.setdefault(subject, 1 << len(self._bits))
        if kind == "figure":
            self.figures |= bit
        elif kind == "grid":
            self.grids |= bit
        elif kind == "reached":
            self.reached |= bit
        return bit


def bits_in(mask: int) -> Iterator[int]:
    """The single bits of a mask."""
    while mask:
        lowest = mask & -mask
        yield lowest
        mask ^= lowest
