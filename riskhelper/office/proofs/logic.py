"""Truth in solver terms: doubt as a pair of plain truths, and levels as ladders of plain truths.

A plain truth is `True`, `False` or a term of the solver; what is known beforehand never reaches the solver.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import z3  # type: ignore[import-untyped]

Plain = Any  # True, False or a Boolean term: the solver brings no types

_CONTEXT = z3.main_ctx()
_REF = _CONTEXT.ref()

# Terms are made by the plain functions of the solver: its operators look up sorts first, and take most of the time.


def truth(made: Any) -> Plain:
    """A plain truth from what the solver made."""
    return z3.BoolRef(made, _CONTEXT)


def place_of(term: Any) -> int:
    """Where the solver keeps a term: the same for all that are written alike, as long as one of them is kept."""
    return int(term.ast.value)


def negated(one: Plain) -> Plain:
    """Not."""
    return (not one) if isinstance(one, bool) else truth(z3.Z3_mk_not(_REF, one.ast))


def is_same(one: Plain, other: Plain) -> bool:
    """Whether two truths are written alike."""
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    return place_of(one) == place_of(other)


def conjoined(parts: Iterable[Plain]) -> Plain:
    """And, with what is known beforehand left out."""
    kept: dict[int, Plain] = {}
    for part in parts:
        if part is False:
            return False
        if part is not True:
            kept[part.ast.value] = part
    return _joined(list(kept.values()), z3.Z3_mk_and, True)


def disjoined(parts: Iterable[Plain]) -> Plain:
    """Or, with what is known beforehand left out."""
    kept: dict[int, Plain] = {}
    for part in parts:
        if part is True:
            return True
        if part is not False:
            kept[part.ast.value] = part
    return _joined(list(kept.values()), z3.Z3_mk_or, False)


def _joined(parts: list[Plain], make: Any, empty: bool) -> Plain:
    if len(parts) < 2:
        return parts[0] if parts else empty
    terms = (z3.Ast * len(parts))(*[part.ast for part in parts])
    return truth(make(_REF, len(parts), terms))


def implied(first: Plain, then: Plain) -> Plain:
    """If the first, then the other."""
    return disjoined((negated(first), then))


def same(one: Plain, other: Plain) -> Plain:
    """Both or neither."""
    return conjoined((implied(one, other), implied(other, one)))


@dataclass(frozen=True, slots=True)
class Doubtful:
    """Yes, no or cannot tell: `may` is false for no alone, `surely` true for yes alone."""

    may: Plain
    surely: Plain


SURE, NEVER = Doubtful(True, True), Doubtful(False, False)


def doubt_not(one: Doubtful) -> Doubtful:
    """Negation: doubt stays doubt."""
    return Doubtful(negated(one.surely), negated(one.may))


def doubt_all(parts: Sequence[Doubtful]) -> Doubtful:
    """Every part holds: no wins over doubt."""
    return Doubtful(conjoined(p.may for p in parts), conjoined(p.surely for p in parts))


def doubt_any(parts: Sequence[Doubtful]) -> Doubtful:
    """At least one part holds: yes wins over doubt."""
    return Doubtful(disjoined(p.may for p in parts), disjoined(p.surely for p in parts))


@dataclass(frozen=True, slots=True)
class Marked:
    """Yes, no, cannot tell, or the mark of a question not asked: exactly one of the four is true."""

    no: Plain
    mark: Plain
    doubt: Plain
    yes: Plain


def marked_not(one: Marked) -> Marked:
    """Negation: mark and doubt stay."""
    return Marked(one.yes, one.mark, one.doubt, one.no)


def marked_all(parts: Sequence[Marked]) -> Marked:
    """Every part holds: no wins, then the mark, then doubt."""
    no = disjoined(p.no for p in parts)
    mark = conjoined((negated(no), disjoined(p.mark for p in parts)))
    yes = conjoined(p.yes for p in parts)
    return Marked(no, mark, conjoined((negated(no), negated(mark), negated(yes))), yes)


def marked_any(parts: Sequence[Marked]) -> Marked:
    """At least one part holds: yes wins, then doubt, then the mark."""
    yes = disjoined(p.yes for p in parts)
    doubt = conjoined((negated(yes), disjoined(p.doubt for p in parts)))
    no = conjoined(p.no for p in parts)
    return Marked(no, conjoined((negated(yes), negated(doubt), negated(no))), doubt, yes)


Ladder = tuple[Plain, ...]  # at place n: the level is at least n; place 0 is always true


def constant_ladder(level: int, top: int) -> Ladder:
    """A level that is known."""
    return tuple(rung <= level for rung in range(top + 1))


def at_least(ladder: Ladder, level: int) -> Plain:
    """Whether the level reaches `level`; beyond the top it never does."""
    if level <= 0:
        return True
    return ladder[level] if level < len(ladder) else False


def raised_by(ladder: Ladder, by: int, when: Plain) -> Ladder:
    """The level with `by` added where `when` holds, up to the top."""
    return tuple(
        disjoined((at_least(ladder, rung), conjoined((when, at_least(ladder, rung - by)))))
        for rung in range(len(ladder))
    )


def lowered_by(ladder: Ladder, other: Ladder) -> Ladder:
    """The level less another one; below 1 it counts as 1."""
    return tuple(
        rung <= 1
        or conjoined(implied(at_least(other, less), at_least(ladder, rung + less)) for less in range(len(other)))
        for rung in range(len(ladder))
    )


def product_at_least(one: Ladder, other: Ladder, product: int) -> Plain:
    """Whether the product of two levels of 1 to 5 reaches `product`."""
    return disjoined(
        conjoined((at_least(one, level), at_least(other, -(-product // level)))) for level in range(1, len(one))
    )


def outranks(one: Ladder, other: Ladder) -> Plain:
    """Whether the first level is higher than the other."""
    return disjoined(conjoined((a, negated(b))) for a, b in zip(one, other, strict=True) if not is_same(a, b))
