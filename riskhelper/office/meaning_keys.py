"""The same text for what means the same through every fact, limit and table it reads."""

from __future__ import annotations

import hashlib

from riskhelper.ruleset import tree
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import Check, Derived, RuleSet
from riskhelper.ruleset.valuation import Memo


class MeaningKeys:
    """Keys of conditions, expressions and names of one rule set.

    With `answers_too` they also tell how an answer counts that is uncertain, not known, expected or not asked.
    Without it, what is the same is the same for answers that are given exactly.
    """

    def __init__(self, rules: RuleSet, *, answers_too: bool = False) -> None:
        self._rules = rules
        self._answers_too = answers_too
        self._names: Memo[str] = Memo(self._of_name)

    def of_check(self, check: Check | None) -> str:
        """The key of a condition; empty where there is none."""
        return "" if check is None else self.of_node(check.node)

    def of_node(self, node: tree.Node) -> str:
        """The key of a tree: its canonical text, and the key of every name it reads."""
        below = ";".join(self._names[name] for name in sorted(tree.names_in(node)))
        return f"{tree.canonical(node)} where {_short(below)}"

    def of_name(self, name: str) -> str:
        """The key of a question, fact or limit."""
        return self._names[name]

    def _of_name(self, name: str) -> str:
        rules = self._rules
        if name in rules.limits:
            return f"{name}={rules.limits[name].is_!r}"
        if name in rules.derived:
            return f"{name}={_short(self._of_fact(rules.derived[name]))}"
        question = rules.questions[name]
        plain = f"{name}:{question.type}:{question.unit}"
        return f"{plain}:{_short(self._of_question(name, question))}" if self._answers_too else plain

    def _of_question(self, name: str, question: QuestionEntry) -> str:
        reads = [one for one in (question.error, question.expect_as) if isinstance(one, str) and one]
        below = [self._names[one] for one in reads]
        counts = (
            question.range,
            sorted(question.options),
            question.alone,
            question.asked_at,
            question.early,
            question.expect,
            question.error,
            question.life_min,
            question.not_asked,
            question.if_not_known.range if question.if_not_known else None,
            question.step,
        )
        return f"{counts!r} {below} {self.of_node(self._rules.ask_checks[name].node)}"

    def _of_fact(self, derived: Derived) -> str:
        grid = f"@{derived.type.resolution!r}" if isinstance(derived.type, tree.NumberType) else ""
        if derived.check is not None:
            return self.of_node(derived.check.node)
        if derived.expression is not None:
            return self.of_node(derived.expression) + grid
        if derived.entry.table is not None:
            return f"{sorted(derived.entry.table.items(), key=str)!r}{grid}"
        read = ";".join(self._names[name] for name in sorted(derived.inputs))
        tables = [repr(self._rules.tables.get(role)) for role in _roles(derived)]
        return f"{derived.entry.calc} {sorted(derived.entry.from_.items(), key=str)!r} {read} {tables}{grid}"


def _roles(derived: Derived) -> list[str]:
    given = (str(value) for value in derived.entry.from_.values())
    return [value.removeprefix("table:") for value in given if value.startswith("table:")]


def _short(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:20]
