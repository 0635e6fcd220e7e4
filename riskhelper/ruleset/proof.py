"""Tries the few answers a guard mentions, to find any under which a question is read though it is not asked."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from typing import Any

from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import CANNOT_TELL, NOT_ASKED, YES, Test, marked, tested, undecided_names
from riskhelper.ruleset.mentioned import Mentioned, is_open, least_step, open_value, pieces
from riskhelper.ruleset.model import Derived, RuleSet
from riskhelper.ruleset.valuation import WHOLE, Memo, Valuation

_MOST_TRIES = 4000


class _Supposed(Valuation):
    """Some answers supposed, all others open; one question supposed not asked."""

    def __init__(self, rules: RuleSet, marks: Memo[Test], supposed: Mapping[str, Any], not_asked: str) -> None:
        super().__init__(rules)
        self._not_asked = not_asked
        self._marks = marks
        self.update(supposed)

    def question_value(self, name: str) -> Any:
        return open_value(self.rules.questions[name])

    def asked(self, name: str) -> int:
        return NOT_ASKED if name == self._not_asked else YES

    def _marked(self, name: str) -> int:
        return self._marks[name](self)

    def fact_value(self, name: str, derived: Derived) -> Any:
        # What a calculation gives does not matter here, only whether it may be read.
        return WHOLE if derived.calculation is not None else super().fact_value(name, derived)


class Proof:
    """Proves that a condition never reads a question where it is not asked."""

    def __init__(self, rules: RuleSet) -> None:
        self._rules = rules
        self._marks = Memo(lambda name: marked(self._condition_of(name), mark_beats_doubt=True))
        self._asked: Memo[tree.Condition] = Memo(self._asked_when)

    def _condition_of(self, fact: str) -> tree.Condition:
        check = self._rules.derived[fact].check
        assert check is not None
        return check.node

    def counterexample(self, condition: tree.Condition, question: str) -> str | None:
        """Answers under which `condition` reads `question` though it is not asked; `None` if there are none."""
        ask = self._asked[question]
        if ask == tree.Constant(True):
            return None
        poisoned, asks = marked(condition, mark_beats_doubt=True), tested(ask)
        mentioned = Mentioned(self._rules, (condition, ask))
        tries = 0
        stack: list[dict[str, Any]] = [{}]
        while stack:
            tries += 1
            supposed = stack.pop()
            reading = _Supposed(self._rules, self._marks, supposed, question)
            truth = asks(reading)
            if truth == YES or poisoned(reading) != NOT_ASKED:
                continue
            if truth != CANNOT_TELL:
                return f"for instance when {_told(supposed)}" if supposed else "always"
            split = self._to_split(ask, reading)
            values = list(self._values(split, reading[split], mentioned)) if split is not None else []
            if split is None or values == [reading[split]] or tries > _MOST_TRIES:
                return "as far as can be told: there are too many answers to try, so write a plainer guard"
            stack.extend({**supposed, split: value} for value in values)
        return None

    def _asked_when(self, question: str) -> tree.Condition:
        """When a question is asked, in plain logic: its `ask_if` holds and rests only on questions that are asked."""
        return self._surely(self._rules.ask_checks[question].node, True)

    def _surely(self, node: tree.Condition, wanted: bool) -> tree.Condition:
        """When a condition is surely `wanted`, with no mark of a question not asked upon it."""
        match node:
            case tree.Not(part):
                return self._surely(part, not wanted)
            case tree.All(parts) | tree.Any(parts):
                inner = [self._surely(part, wanted) for part in parts]
                if isinstance(node, tree.All) == wanted:
                    return functools.reduce(tree.both, inner)
                return tree.Any(tuple(inner))
            case tree.Holds(name):
                return self._surely(self._condition_of(name), wanted)
            case _:
                asked = [self._asked[name] for name in sorted(self._rules.support_of(node))]
                return functools.reduce(tree.both, asked, node if wanted else _negated(node))

    def _to_split(self, node: tree.Condition, reading: _Supposed) -> str | None:
        for name in sorted(undecided_names(node, reading)):
            if name in self._rules.questions:
                return name
            derived = self._rules.derived.get(name)
            if derived is None:
                continue
            if derived.check is not None:
                found = self._to_split(derived.check.node, reading)
            else:
                found = next((q for q in sorted(self._rules.supports[name]) if is_open(reading[q])), None)
            if found is not None:
                return found
        return None

    def _values(self, name: str, now: Any, mentioned: Mentioned) -> Iterator[Any]:
        question = self._rules.questions[name]
        if question.type == "number":
            yield from pieces(now, mentioned.cuts.get(name, []), least_step(question))
        elif question.type == "several":
            must, may = now
            option = min((may - must) & mentioned.options.get(name, set()) or may - must)
            yield (must | {option}, may)
            yield (must, may - {option})
        else:
            yield from (frozenset({option}) for option in sorted(now))


def _negated(node: tree.Condition) -> tree.Condition:
    return tree.Constant(not node.value) if isinstance(node, tree.Constant) else tree.Not(node)


def _told(supposed: Mapping[str, Any]) -> str:
    words = []
    for name, value in supposed.items():
        if isinstance(value, frozenset):
            words.append(f"{name} is {' or '.join(sorted(value))}")
        elif isinstance(value[0], frozenset):
            words.append(f"{name} has {', '.join(sorted(value[0])) or 'none of the options mentioned'}")
        else:
            low, high = value
            words.append(f"{name} is {low:g}" + (f" to {high:g}" if f"{low:g}" != f"{high:g}" else ""))
    return ", ".join(words)
