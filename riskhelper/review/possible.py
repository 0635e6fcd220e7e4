"""Whether any answers at all make a condition hold, by trying the few answers it mentions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from typing import Any

from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import CANNOT_TELL, NO, YES, tested, undecided_names
from riskhelper.ruleset.mentioned import Mentioned, least_step, open_value, pieces
from riskhelper.ruleset.model import Derived, RuleSet
from riskhelper.ruleset.valuation import WHOLE, Valuation

MOST_TRIES = 20_000


class Supposition(Valuation):
    """Some answers and calculated figures supposed, all others open; every question counts as asked."""

    def __init__(self, rules: RuleSet, supposed: Mapping[str, Any]) -> None:
        super().__init__(rules)
        self.update(supposed)

    def question_value(self, name: str) -> Any:
        return open_value(self.rules.questions[name])

    def asked(self, name: str) -> int:
        del name
        return YES

    def fact_value(self, name: str, derived: Derived) -> Any:
        # A calculated figure counts as free: what is impossible even then is impossible.
        return WHOLE if derived.calculation is not None else super().fact_value(name, derived)


def is_possible(rules: RuleSet, condition: tree.Condition) -> bool:
    """Whether some answers make a condition hold. What cannot be decided by its own limits counts as possible."""
    mentioned = Mentioned(rules, (condition,))
    test = tested(condition)
    stack: list[dict[str, Any]] = [{}]
    for _ in range(MOST_TRIES):
        if not stack:
            return False
        supposed = stack.pop()
        reading = Supposition(rules, supposed)
        truth = test(reading)
        if truth == YES:
            return True
        if truth == NO:
            continue
        split = _to_split(rules, condition, reading, mentioned)
        if split is None:
            return True
        name, values = split
        stack.extend({**supposed, name: value} for value in values)
    return True


def step_of(rules: RuleSet, name: str) -> float:
    """The least distance between two values of a number as rules compare it."""
    if name in rules.questions:
        return least_step(rules.questions[name])
    kind = rules.types[name]
    return (kind.resolution if isinstance(kind, tree.NumberType) else None) or 1e-6


def _to_split(
    rules: RuleSet, condition: tree.Condition, reading: Supposition, mentioned: Mentioned
) -> tuple[str, list[Any]] | None:
    waiting = sorted(undecided_names(condition, reading))
    for name in waiting:
        derived = rules.derived.get(name)
        if derived is not None and derived.check is not None:
            if tested(derived.check.node)(reading) == CANNOT_TELL:
                waiting.extend(sorted(undecided_names(derived.check.node, reading)))
            continue
        if derived is not None and derived.calculation is None:
            waiting.extend(sorted(derived.inputs))
            continue
        if name in rules.limits:
            continue
        values = list(parts(rules, name, reading[name], mentioned.cuts, mentioned.options))
        if len(values) > 1:
            return name, values
    return None


def parts(
    rules: RuleSet, name: str, now: Any, cuts: Mapping[str, list[float]], options: Mapping[str, AbstractSet[str]]
) -> Iterator[Any]:
    """The parts into which an answer or figure is split: numbers at their cuts, lines one by one, choices singly."""
    question = rules.questions.get(name)
    if question is None or question.type == "number":
        yield from pieces(now, cuts.get(name, []), step_of(rules, name))
    elif question.type == "several":
        must, may = now
        open_options = (may - must) & options.get(name, set())
        if open_options:
            option = min(open_options)
            barred = may - {option} if option in question.alone else frozenset(question.alone)
            yield (must, may - {option})
            if not must & barred:
                yield (must | {option}, may - barred)
    else:
        yield from (frozenset({option}) for option in sorted(now))
