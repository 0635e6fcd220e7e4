"""Ranges of numbers in solver terms, exact: fractions where they are known, real terms where they are not."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, Literal

import z3  # type: ignore[import-untyped]

from riskhelper.office.proofs.logic import Doubtful, Plain, conjoined, disjoined, negated, truth

Number = Any  # a Fraction or a real term
ENDLESS = Fraction(10) ** 15  # stands for an end without bound; literals of the language stay below 10 ** 12


@dataclass(frozen=True, slots=True)
class Span:
    """The ends of a range."""

    low: Number
    high: Number


_CONTEXT = z3.main_ctx()
_REF = _CONTEXT.ref()
WHOLE_LINE = Span(-ENDLESS, ENDLESS)


def exactly(value: float) -> Fraction:
    """A number as it was written: 0.1 is a tenth; an endless one is `ENDLESS`."""
    if math.isinf(value):
        return ENDLESS if value > 0 else -ENDLESS
    return Fraction(repr(float(value)))


@lru_cache(maxsize=4096)
def _known(number: Fraction) -> Any:
    return z3.RealVal(str(number))


def term(number: Number) -> Any:
    """A number as a term."""
    return _known(number) if isinstance(number, Fraction) else number


def _number(made: Any) -> Any:
    return z3.ArithRef(made, _CONTEXT)


def _pair(one: Number, other: Number) -> Any:
    return (z3.Ast * 2)(term(one).ast, term(other).ast)


def is_known(*numbers: Number) -> bool:
    """Whether all are fractions."""
    return all(isinstance(number, Fraction) for number in numbers)


def plus(one: Number, other: Number) -> Number:
    """A sum."""
    if isinstance(one, Fraction) and one == 0:
        return other
    if isinstance(other, Fraction) and other == 0:
        return one
    return one + other if is_known(one, other) else _number(z3.Z3_mk_add(_REF, 2, _pair(one, other)))


def times(factor: Fraction, number: Number) -> Number:
    """A multiple."""
    if factor == 1:
        return number
    return factor * number if is_known(number) else _number(z3.Z3_mk_mul(_REF, 2, _pair(factor, number)))


def less(one: Number, other: Number) -> Plain:
    """`one < other`."""
    return one < other if is_known(one, other) else truth(z3.Z3_mk_lt(_REF, term(one).ast, term(other).ast))


def less_or_equal(one: Number, other: Number) -> Plain:
    """`one <= other`."""
    return one <= other if is_known(one, other) else truth(z3.Z3_mk_le(_REF, term(one).ast, term(other).ast))


def equal(one: Number, other: Number) -> Plain:
    """`one == other`."""
    return one == other if is_known(one, other) else truth(z3.Z3_mk_eq(_REF, term(one).ast, term(other).ast))


def chosen(when: Plain, one: Number, other: Number) -> Number:
    """`one` where `when` holds, else `other`."""
    if isinstance(when, bool):
        return one if when else other
    if is_known(one, other) and one == other:
        return one
    return _number(z3.Z3_mk_ite(_REF, when.ast, term(one).ast, term(other).ast))


def span_if(when: Plain, one: Span, other: Span) -> Span:
    """One range or another."""
    return Span(chosen(when, one.low, other.low), chosen(when, one.high, other.high))


def extreme(which: Literal["min", "max"], numbers: Sequence[Number]) -> Number:
    """The least or the greatest."""
    best = numbers[0]
    for number in numbers[1:]:
        if is_known(best, number):
            best = min(best, number) if which == "min" else max(best, number)
        else:
            best = chosen(
                less_or_equal(best, number) if which == "min" else less_or_equal(number, best), best, number
            )
    return best


def compared(low: Span, high: Span, *, or_equal: bool) -> Doubtful:
    """Truth of `low < high`, or of `low <= high`."""
    test = less_or_equal if or_equal else less
    return Doubtful(test(low.low, high.high), test(low.high, high.low))


def equalled(one: Span, other: Span) -> Doubtful:
    """Truth of `one == other`."""
    apart = disjoined((less(one.high, other.low), less(other.high, one.low)))
    single = conjoined((equal(one.low, one.high), equal(other.low, other.high), equal(one.low, other.low)))
    return Doubtful(negated(apart), single)
