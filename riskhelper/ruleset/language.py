"""The condition language: a small part of Python's expression grammar, read into a typed tree.

Names, comparisons, `and or not in`, sums, differences, `min`, `max` of one unit and scaling by a plain
number. Any other product, ratio or conversion belongs into a named calculation.
"""

from __future__ import annotations

import ast
from collections.abc import Callable

from riskhelper.ruleset import tree
from riskhelper.ruleset.faults import ConditionFault, nearest_name

Lookup = Callable[[str], tree.ValueType]

_COMPARISONS: dict[type[ast.cmpop], tree.Comparison] = {
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
    ast.Eq: "==",
    ast.NotEq: "!=",
}
_LONGEST = 4000
_DEEPEST = 60
_LARGEST = 1e12


def read_condition(text: str, lookup: Lookup) -> tree.Condition:
    """The tree of a condition; raises `ConditionFault` with what was expected."""
    return _Reader(lookup).condition(_parsed(text))


def read_expression(text: str, lookup: Lookup) -> tuple[tree.Node, tree.ValueType]:
    """The tree and type of a fact's `is`: a condition or a number."""
    reader, node = _Reader(lookup), _parsed(text)
    if reader.is_numeric(node):
        expression, unit = reader.number(node)
        return expression, tree.NumberType(unit or "", None)
    return reader.condition(node), tree.BoolType()


def _parsed(text: str) -> ast.expr:
    if len(text) > _LONGEST:
        raise ConditionFault(f"the condition has {len(text)} characters; at most {_LONGEST} can be read")
    if "#" in text:
        raise ConditionFault(
            "holds a `#`; a remark inside a condition would hide what follows it, so none is allowed"
        )
    try:
        node = ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        detail = getattr(error, "msg", "") or "too deeply nested"
        raise ConditionFault(f"cannot be read as a condition (`{text[:60]}`): {detail}") from None
    _check_size(node)
    return node


def _check_size(node: ast.expr) -> None:
    """Refuse what is nested too deeply to be walked, and numbers too large to be meant."""
    level: list[ast.AST] = [node]
    for _ in range(_DEEPEST):
        for one in level:
            if isinstance(one, ast.Constant) and isinstance(one.value, (int, float)) and abs(one.value) > _LARGEST:
                raise ConditionFault("a number in a condition is at most 1000000000000")
        level = [below for one in level for below in ast.iter_child_nodes(one)]
        if not level:
            return
    raise ConditionFault(f"is nested more than {_DEEPEST} deep; name a part of it as a fact")


def _comparable(name: str, kind: tree.ValueType) -> str:
    """How a name of that type is written in a condition."""
    match kind:
        case tree.NumberType():
            return f"compare it with a number, as in `{name} >= 1`"
        case tree.ChoiceType(options):
            return f"compare it with an option, as in `{name} == '{min(options)}'`"
        case tree.SeveralType(options):
            return f"ask what it holds, as in `'{min(options)}' in {name}`"
        case _:
            return f"use it bare: `{name}` or `not {name}`"


class _Reader:
    def __init__(self, lookup: Lookup) -> None:
        self._lookup = lookup

    def condition(self, node: ast.expr) -> tree.Condition:
        match node:
            case ast.Constant(value=bool(value)):
                return tree.Constant(value)
            case ast.BoolOp(op=op, values=values):
                parts = tuple(self.condition(value) for value in values)
                return tree.All(parts) if isinstance(op, ast.And) else tree.Any(parts)
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                return tree.Not(self.condition(operand))
            case ast.Compare(left=left, ops=ops, comparators=comparators):
                if len(ops) != 1:
                    raise ConditionFault("compare two things at a time and join them with `and`")
                return self._comparison(left, ops[0], comparators[0])
            case ast.Name() | ast.Attribute():
                name = self._name(node)
                kind = self._lookup(name)
                if not isinstance(kind, tree.BoolType):
                    raise ConditionFault(f"`{name}` is not a yes-or-no fact; {_comparable(name, kind)}")
                return tree.Holds(name)
            case _:
                raise ConditionFault(f"`{ast.unparse(node)}` is not a condition")

    def is_numeric(self, node: ast.expr) -> bool:
        """Whether a node can only be a number."""
        match node:
            case ast.BinOp() | ast.Call():
                return True
            case ast.UnaryOp(op=ast.USub() | ast.UAdd()):
                return True
            case ast.Constant(value=value):
                return isinstance(value, (int, float)) and not isinstance(value, bool)
            case ast.Name() | ast.Attribute():
                return isinstance(self._lookup(self._name(node)), tree.NumberType)
            case _:
                return False

    def number(self, node: ast.expr) -> tuple[tree.Expression, str | None]:
        """The expression and its unit; `None` for a plain number, which takes any unit."""
        match node:
            case ast.Constant(value=bool()):
                raise ConditionFault("a number was expected, not True or False")
            case ast.Constant(value=int(value) | float(value)):
                return tree.PlainNumber(float(value)), None
            case ast.UnaryOp(op=ast.USub(), operand=ast.Constant(value=int(value) | float(value))):
                return tree.PlainNumber(-float(value)), None
            case ast.Name() | ast.Attribute():
                name = self._name(node)
                kind = self._lookup(name)
                if not isinstance(kind, tree.NumberType):
                    raise ConditionFault(f"`{name}` is not a number; {_comparable(name, kind)}")
                return tree.Value(name), kind.unit
            case ast.BinOp(left=left, op=ast.Add() | ast.Sub() as op, right=right):
                return self._sum(left, right, 1.0 if isinstance(op, ast.Add) else -1.0)
            case ast.BinOp(left=left, op=ast.Mult(), right=right):
                return self._scaled(left, right)
            case ast.Call(func=ast.Name(id="min" | "max" as which), args=args, keywords=[]) if len(args) > 1:
                parts = [self.number(arg) for arg in args]
                unit = self._same_unit([u for _, u in parts], which)
                return tree.Extreme("min" if which == "min" else "max", tuple(e for e, _ in parts)), unit
            case _:
                raise ConditionFault(
                    f"`{ast.unparse(node)}` is not allowed: only sums, differences, `min`, `max` and scaling by a"
                    " plain number; anything else belongs into a named calculation"
                )

    def _sum(self, left: ast.expr, right: ast.expr, sign: float) -> tuple[tree.Expression, str | None]:
        first, first_unit = self.number(left)
        second, second_unit = self.number(right)
        unit = self._same_unit([first_unit, second_unit], "a sum")
        return tree.Sum(((1.0, first), (sign, second))), unit

    def _scaled(self, left: ast.expr, right: ast.expr) -> tuple[tree.Expression, str | None]:
        first, first_unit = self.number(left)
        second, second_unit = self.number(right)
        if isinstance(first, tree.PlainNumber):
            return tree.Sum(((first.value, second),)), second_unit
        if isinstance(second, tree.PlainNumber):
            return tree.Sum(((second.value, first),)), first_unit
        raise ConditionFault("a product of two quantities belongs into a named calculation")

    def _comparison(self, left: ast.expr, op: ast.cmpop, right: ast.expr) -> tree.Condition:
        if isinstance(op, (ast.In, ast.NotIn)):
            inside = self._membership(left, right)
            return tree.Not(inside) if isinstance(op, ast.NotIn) else inside
        sign = _COMPARISONS.get(type(op))
        if sign is None:
            raise ConditionFault("`is` is not part of the language; use `==`")
        for side, other in ((left, right), (right, left)):
            if isinstance(other, ast.Constant) and isinstance(other.value, bool):
                said = ast.unparse(side)
                raise ConditionFault(f"a yes-or-no fact is used bare: write `{said}` or `not {said}`")
            if isinstance(other, ast.Constant) and isinstance(other.value, str):
                if sign not in ("==", "!="):
                    raise ConditionFault("words can only be compared with `==`, `!=` or `in`")
                same = self._one_of(side, (other.value,))
                return tree.Not(same) if sign == "!=" else same
        return self._number_comparison(left, sign, right)

    def _number_comparison(self, left: ast.expr, sign: tree.Comparison, right: ast.expr) -> tree.Condition:
        first, first_unit = self.number(left)
        second, second_unit = self.number(right)
        self._same_unit([first_unit, second_unit], "a comparison")
        if sign in ("==", "!=") and not (self._is_count(first) and self._is_count(second)):
            raise ConditionFault(f"`{sign}` on numbers is only for counts; use `<=` or `>=`")
        for one, other in ((first, second), (second, first)):
            self._check_grid(one, other)
        return tree.Compare(first, sign, second)

    def _check_grid(self, one: tree.Expression, other: tree.Expression) -> None:
        if not isinstance(one, tree.Value):
            return
        kind = self._lookup(one.name)
        assert isinstance(kind, tree.NumberType)
        if kind.resolution is None:
            raise ConditionFault(f"`{one.name}` is compared here and therefore needs a `resolution`")
        if isinstance(other, tree.PlainNumber) and kind.resolution:
            steps = other.value / kind.resolution
            if abs(steps - round(steps)) > 1e-6:
                raise ConditionFault(
                    f"{other.value:g} is no multiple of the resolution {kind.resolution:g} of `{one.name}`"
                )

    def _is_count(self, expression: tree.Expression) -> bool:
        if isinstance(expression, tree.PlainNumber):
            return expression.value == int(expression.value)
        if isinstance(expression, tree.Value):
            kind = self._lookup(expression.name)
            return isinstance(kind, tree.NumberType) and kind.count
        return False

    def _membership(self, left: ast.expr, right: ast.expr) -> tree.Condition:
        if isinstance(left, ast.Constant) and isinstance(left.value, str):
            name = self._name(right)
            kind = self._lookup(name)
            if not isinstance(kind, tree.SeveralType):
                raise ConditionFault(f"`{name}` is not a question with several answers")
            self._check_options(name, (left.value,), kind.options)
            return tree.Contains(name, left.value)
        match right:
            case ast.Tuple(elts=elements) | ast.List(elts=elements) | ast.Set(elts=elements):
                words = [e.value for e in elements if isinstance(e, ast.Constant) and isinstance(e.value, str)]
                if len(words) != len(elements) or not words:
                    raise ConditionFault("the list after `in` must hold words in quotes")
                return self._one_of(left, tuple(words))
            case _:
                raise ConditionFault("write `answer in ('a', 'b')` or `'a' in answer`")

    def _one_of(self, node: ast.expr, words: tuple[str, ...]) -> tree.OneOf:
        name = self._name(node)
        kind = self._lookup(name)
        if not isinstance(kind, tree.ChoiceType):
            raise ConditionFault(f"`{name}` is not a choice; {_comparable(name, kind)}")
        self._check_options(name, words, kind.options)
        return tree.OneOf(name, frozenset(words))

    @staticmethod
    def _check_options(name: str, words: tuple[str, ...], options: frozenset[str]) -> None:
        for word in words:
            if word not in options:
                raise ConditionFault(
                    f"`{word}` is no option of `{name}`; its options are {', '.join(sorted(options))}",
                    nearest_name(word, options),
                )

    @staticmethod
    def _same_unit(units: list[str | None], where: str) -> str | None:
        named = {unit for unit in units if unit is not None}
        if len(named) > 1:
            raise ConditionFault(f"{where} mixes units: {', '.join(sorted(u or 'a plain count' for u in named))}")
        return next(iter(named), None)

    @staticmethod
    def _name(node: ast.expr) -> str:
        parts: list[str] = []
        while isinstance(node, ast.Attribute):
            parts.append(node.attr)
            node = node.value
        if not isinstance(node, ast.Name):
            raise ConditionFault(f"`{ast.unparse(node)}` is not a name")
        return ".".join([node.id, *reversed(parts)])
