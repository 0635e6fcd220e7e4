"""What the way a condition is written proves by itself: how it moves as one answer gets graver, or less known."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from riskhelper.office.proofs.dependence import Dependence
from riskhelper.ruleset import tree
from riskhelper.ruleset.model import Derived, RuleSet

BOTH = (1, -1)


@dataclass(frozen=True)
class Senses:
    """How trees move with one question. An answer that decides what else is asked moves that in no known way."""

    rules: RuleSet
    dependence: Dependence
    question: str

    def widens_only(self, node: tree.Node) -> bool:
        """Whether leaving the question open can only widen what a condition allows, never narrow it."""
        asked = self.rules.questions[self.question]
        if asked.if_not_known is not None and asked.usual is not None:
            (low, high), (least, most) = asked.if_not_known.range, asked.usual
            if least < low or high < most:
                return not self._reads_question(node)
        affected = self.dependence.affected_by[self.question]
        stack, seen = list(tree.names_in(node)), set[str]()
        while stack:
            name = stack.pop()
            if name in seen or name not in affected or name == self.question:
                continue
            if name in self.rules.questions:
                return False
            seen.add(name)
            stack.extend(self.rules.derived[name].inputs)
        return True

    def _reads_question(self, node: tree.Node) -> bool:
        return not self.dependence.affected_by[self.question].isdisjoint(tree.names_in(node))

    def truer_only(self, node: tree.Condition) -> bool:
        """Whether a condition can only get truer as the answer gets graver."""
        return set(self._senses(node)) <= {1}

    def _senses(self, node: tree.Node) -> Iterator[int]:
        """For each place where a tree reads the question: 1 if it gets truer or larger as the answer gets graver."""
        match node:
            case tree.Not(part):
                yield from (-sense for sense in self._senses(part))
            case tree.All() | tree.Any() | tree.Extreme():
                for below in tree.parts_of(node):
                    yield from self._senses(below)
            case tree.Sum(terms):
                for factor, inner in terms:
                    yield from (sense if factor > 0 else -sense for sense in self._senses(inner))
            case tree.Compare(left, op, right):
                sides = [*self._senses(left), *(-sense for sense in self._senses(right))]
                if op in ("==", "!="):
                    yield from BOTH if sides else ()
                else:
                    yield from (sense if op in (">", ">=") else -sense for sense in sides)
            case tree.OneOf(name, options) if name == self.question:
                yield from self._of_options([option in options for option in self._order()])
            case tree.Value(name) | tree.Holds(name) | tree.OneOf(name, _) | tree.Contains(name, _):
                yield from self._of_name(name)

    def _order(self) -> tuple[str, ...]:
        graver = self.rules.questions[self.question].graver
        return graver if isinstance(graver, tuple) else ()

    @staticmethod
    def _of_options(values: list[bool] | list[float]) -> Iterator[int]:
        steps = {(one < other) - (one > other) for one, other in itertools.pairwise(values)}
        yield from steps - {0}

    def _of_name(self, name: str) -> Iterator[int]:
        if name not in self.dependence.affected_by[self.question]:
            return
        if name == self.question:
            yield {"up": 1, "down": -1}[str(self.rules.questions[name].graver)]
        elif name in self.rules.derived:
            yield from self._of_fact(self.rules.derived[name])
        else:
            yield from BOTH

    def _of_fact(self, derived: Derived) -> Iterator[int]:
        if derived.check is not None:
            yield from self._senses(derived.check.node)
        elif derived.expression is not None:
            yield from self._senses(derived.expression)
        elif derived.entry.table is not None:
            table = derived.entry.table
            if table["of"] != self.question:
                yield from BOTH
                return
            cells = [table[option] for option in self._order()]
            for at in (0, 1):
                yield from self._of_options([float(c[at] if isinstance(c, tuple) else c) for c in cells])
        elif derived.calculation is not None:
            for parameter, given in derived.entry.from_.items():
                if isinstance(given, str) and ":" not in given and (inner := set(self._of_name_as_input(given))):
                    ways = {"up": (1,), "down": (-1,)}.get(str(derived.calculation.directions.get(parameter)), BOTH)
                    yield from (sense * way for sense in inner for way in ways)

    def _of_name_as_input(self, name: str) -> Iterator[int]:
        if name in self.rules.questions and self.rules.questions[name].type != "number":
            yield from BOTH if name in self.dependence.affected_by[self.question] else ()
        else:
            yield from self._of_name(name)
