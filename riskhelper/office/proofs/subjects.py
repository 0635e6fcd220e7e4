"""What terms speak of: the answers, figures and grids in them, as bits, so that asking costs next to nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import z3  # type: ignore[import-untyped]

from riskhelper.office.proofs.logic import place_of

_REF = z3.main_ctx().ref()


class Subjects:
    """Bits for the unknowns of one search; the ends of one figure share a bit."""

    def __init__(self) -> None:
        self._bits: dict[str, int] = {}
        self._told: dict[int, int] = {}  # by the place of a term
        self._kept: list[tuple[Any, int]] = []  # terms, so that their places stay theirs, and what was told before
        self.grids, self.figures, self.reached = 0, 0, 0

    def mark(self) -> int:
        """How many terms are known: `forget` goes back to it."""
        return len(self._kept)

    def forget(self, mark: int) -> None:
        """Drops the terms told since a mark."""
        if mark < len(self._kept):
            for _ in range(len(self._told) - self._kept[mark][1]):
                self._told.popitem()
            del self._kept[mark:]

    def of(self, *terms: Any) -> int:
        """The bits of what some terms speak of."""
        found = 0
        for term in terms:
            if isinstance(term, z3.ExprRef):
                told = self._told.get(place_of(term))
                if told is None:
                    self._kept.append((term, len(self._told)))
                    told = self._of(term.ast)
                found |= told
        return found

    def _of(self, term: Any) -> int:
        # The plain functions of the solver: terms are many, and a wrapper round each takes most of the time.
        told = self._told.get(term.value)
        if told is not None:
            return told
        found = 0
        if z3.Z3_get_ast_kind(_REF, term) == z3.Z3_APP_AST:
            parts = z3.Z3_get_app_num_args(_REF, term)
            for place in range(parts):
                found |= self._of(z3.Z3_get_app_arg(_REF, term, place))
            if not parts:
                declared = z3.Z3_get_app_decl(_REF, term)
                if z3.Z3_get_decl_kind(_REF, declared) == z3.Z3_OP_UNINTERPRETED:
                    found = self._bit(z3.Z3_get_symbol_string(_REF, z3.Z3_get_decl_name(_REF, declared)))
        self._told[term.value] = found
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
