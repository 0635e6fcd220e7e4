"""The few answers that conditions mention: limits of numbers, options; and the ranges on which nothing changes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from riskhelper.ruleset import entries, tree
from riskhelper.ruleset.model import RuleSet
from riskhelper.units import alternatives

_TINY = 1e-6


def open_value(question: entries.QuestionEntry) -> Any:
    """Every value a question can take."""
    if question.type == "number":
        assert question.range is not None
        return (float(question.range[0]), float(question.range[1]))
    options = frozenset(question.options)
    return (frozenset(), options) if question.type == "several" else options


def is_open(value: Any) -> bool:
    """Whether more than one value is possible."""
    if isinstance(value, frozenset):
        return len(value) > 1
    return bool(value[0] != value[1])


def least_step(question: entries.QuestionEntry) -> float:
    """The least distance between two values of a number."""
    on_steps = question.error is None and len(alternatives(question.unit)) == 1
    # With an error, or where another unit can be typed, a value can lie anywhere.
    return question.step or 1.0 if on_steps else _TINY


def pieces(span: tuple[float, float], cuts: list[float], step: float) -> Iterator[tuple[float, float]]:
    """Ranges on which no comparison changes. `step` is the least distance between two values."""
    low, high = span
    inner = sorted({c for c in cuts if low <= c <= high})
    edge = low
    for cut in inner:
        if cut - step >= edge:
            yield (edge, cut - step)
        yield (cut, cut)
        edge = cut + step
    if edge <= high:
        yield (edge, high)


class Mentioned:
    """Limits that numbers are compared with, and options asked for, in conditions and the facts they read."""

    def __init__(self, rules: RuleSet, nodes: tuple[tree.Node, ...]) -> None:
        self.cuts: dict[str, list[float]] = {}
        self.options: dict[str, set[str]] = {}
        queue, seen = list(nodes), set[str]()
        while queue:
            for node in tree.walk(queue.pop()):
                if isinstance(node, tree.Compare):
                    self._cut(rules, node.left, node.right)
                    self._cut(rules, node.right, node.left)
                elif isinstance(node, tree.Contains):
                    self.options.setdefault(node.name, set()).add(node.option)
                for name in tree.names_in(node) - seen:
                    seen.add(name)
                    derived = rules.derived.get(name)
                    if derived is not None and derived.check is not None:
                        queue.append(derived.check.node)

    def _cut(self, rules: RuleSet, one: tree.Expression, other: tree.Expression) -> None:
        if not isinstance(one, tree.Value):
            return
        if isinstance(other, tree.PlainNumber):
            self.cuts.setdefault(one.name, []).append(other.value)
        elif isinstance(other, tree.Value) and other.name in rules.limits:
            self.cuts.setdefault(one.name, []).append(rules.limits[other.name].is_)
