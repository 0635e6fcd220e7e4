"""What rests on a question: directly, through facts, or because another question is asked for its sake."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from riskhelper.ruleset import tree
from riskhelper.ruleset.model import RuleSet


class Dependence:
    """The names that change when an answer changes."""

    def __init__(self, rules: RuleSet) -> None:
        self._rules = rules

    @cached_property
    def rests_on(self) -> Mapping[str, frozenset[str]]:
        """For each question, fact and limit, the questions whose answers can change its value."""
        rules = self._rules
        found: dict[str, frozenset[str]] = {name: frozenset() for name in rules.limits}

        def rests(name: str) -> frozenset[str]:
            if name not in found:
                below: set[str] = set()
                question = rules.questions.get(name)
                if question is None:
                    reads = set(rules.derived[name].inputs)
                else:
                    below.add(name)
                    reads = set(tree.names_in(rules.ask_checks[name].node))
                    reads |= {question.error} if isinstance(question.error, str) else set()
                    reads |= {question.expect_as} if question.expect_as else set()
                found[name] = frozenset(below).union(*(rests(one) for one in reads))
            return found[name]

        for name in (*rules.questions, *rules.derived):
            rests(name)
        return found

    @cached_property
    def affected_by(self) -> Mapping[str, frozenset[str]]:
        """For each question, the names whose value its answer can change."""
        found: dict[str, set[str]] = {name: set() for name in self._rules.questions}
        for name, questions in self.rests_on.items():
            for question in questions:
                found[question].add(name)
        return {question: frozenset(names) for question, names in found.items()}

    def questions_of(self, node: tree.Node) -> frozenset[str]:
        """The questions whose answers can change a condition."""
        return frozenset().union(*(self.rests_on[name] for name in tree.names_in(node)))
