"""The typed tree of a condition or expression: what was written, checked, with every name resolved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

Comparison = Literal["<", "<=", ">", ">=", "==", "!="]


@dataclass(frozen=True, slots=True)
class BoolType:
    """Yes, no or cannot tell."""


@dataclass(frozen=True, slots=True)
class NumberType:
    """A number with a unit; `resolution` is the grid on which rules compare it (`None`: not yet comparable)."""

    unit: str
    resolution: float | None
    count: bool = False


@dataclass(frozen=True, slots=True)
class ChoiceType:
    """One of the options."""

    options: frozenset[str]


@dataclass(frozen=True, slots=True)
class SeveralType:
    """Any of the options."""

    options: frozenset[str]


@dataclass(frozen=True, slots=True)
class TextType:
    """Free text: no rule may read it."""


ValueType = BoolType | NumberType | ChoiceType | SeveralType | TextType


@dataclass(frozen=True, slots=True)
class Constant:
    """True or False."""

    value: bool


@dataclass(frozen=True, slots=True)
class Holds:
    """A fact that is yes, no or cannot tell, used bare."""

    name: str


@dataclass(frozen=True, slots=True)
class OneOf:
    """A choice is one of the options (`==` has one option)."""

    name: str
    options: frozenset[str]


@dataclass(frozen=True, slots=True)
class Contains:
    """A several-answer contains the option."""

    name: str
    option: str


@dataclass(frozen=True, slots=True)
class Compare:
    """Two numbers compared."""

    left: Expression
    op: Comparison
    right: Expression


@dataclass(frozen=True, slots=True)
class Not:
    """Negation."""

    part: Condition


@dataclass(frozen=True, slots=True)
class All:
    """Every part holds."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Any:
    """At least one part holds."""

    parts: tuple[Condition, ...]


Condition = Constant | Holds | OneOf | Contains | Compare | Not | All | Any


@dataclass(frozen=True, slots=True)
class PlainNumber:
    """A plain number."""

    value: float


@dataclass(frozen=True, slots=True)
class Value:
    """A number read from a question, fact or limit."""

    name: str


@dataclass(frozen=True, slots=True)
class Sum:
    """Terms added, each times its factor."""

    terms: tuple[tuple[float, Expression], ...]


@dataclass(frozen=True, slots=True)
class Extreme:
    """The least or the greatest of several numbers of one unit."""

    which: Literal["min", "max"]
    parts: tuple[Expression, ...]


Expression = PlainNumber | Value | Sum | Extreme
Node = Condition | Expression


def parts_of(node: Node) -> tuple[Node, ...]:
    """The nodes directly below a node."""
    match node:
        case Not(part):
            return (part,)
        case All(parts) | Any(parts) | Extreme(_, parts):
            return parts
        case Compare(left, _, right):
            return (left, right)
        case Sum(terms):
            return tuple(term for _, term in terms)
        case _:
            return ()


def walk(node: Node) -> Iterator[Node]:
    """A node and everything below it."""
    yield node
    for part in parts_of(node):
        yield from walk(part)


@lru_cache(maxsize=4096)
def names_in(node: Node) -> frozenset[str]:
    """Questions, facts and limits a tree reads."""
    return frozenset(n.name for n in walk(node) if isinstance(n, (Holds, OneOf, Contains, Value)))


def both(first: Condition, second: Condition) -> Condition:
    """Conjunction without needless nesting."""
    parts = [p for c in (first, second) for p in (c.parts if isinstance(c, All) else (c,)) if p != Constant(True)]
    return All(tuple(parts)) if len(parts) > 1 else (parts[0] if parts else Constant(True))


def canonical(node: Node) -> str:
    """The same text for conditions that say the same in another order."""
    match node:
        case All(parts) | Any(parts) | Extreme(_, parts):
            head = node.which if isinstance(node, Extreme) else type(node).__name__
            return f"{head}({','.join(sorted(canonical(p) for p in parts))})"
        case Sum(terms):
            return f"Sum({','.join(sorted(f'{factor!r}*{canonical(term)}' for factor, term in terms))})"
        case Not(part):
            return f"Not({canonical(part)})"
        case Compare(left, op, right):
            if op in (">", ">="):
                left, right, op = right, left, "<" if op == ">" else "<="
            sides = [canonical(left), canonical(right)]
            if op in ("==", "!="):
                sides.sort()
            return f"({sides[0]}{op}{sides[1]})"
        case OneOf(name, options):
            return f"{name} in {sorted(options)}"
        case _:
            return repr(node)
