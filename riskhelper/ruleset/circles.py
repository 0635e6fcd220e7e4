"""Questions that wait for one another: whether a question is asked, or what it holds, may not rest on itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from riskhelper.ruleset import tree
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.model import RuleSet


def check_circles(rules: RuleSet, found: Collected) -> bool:
    """Note every circle through `ask_if`, `error` and `expect_as`; whether there was none."""
    reads = {name: _reads(rules, name) for name in rules.questions}
    clean = True
    told: set[str] = set()
    for name in rules.questions:
        circle = _circle_from(name, reads)
        if circle and not told.intersection(circle):
            told.update(circle)
            clean = False
            found.fault(
                "question", name, "ask_if", f"the questions wait for one another: {' -> '.join([*circle, name])}"
            )
    return clean


def _reads(rules: RuleSet, name: str) -> frozenset[str]:
    question = rules.questions[name]
    direct = set(tree.names_in(rules.ask_checks[name].node))
    direct.update(other for other in (question.error, question.expect_as) if isinstance(other, str) and other)
    return frozenset().union(*(rules.supports.get(other, frozenset()) for other in direct))


def _circle_from(start: str, reads: Mapping[str, frozenset[str]]) -> list[str]:
    """A shortest way from a question back to itself, or nothing."""
    came_from = dict.fromkeys(sorted(reads[start]), start)
    waiting = list(came_from)
    for name in waiting:
        if name == start:
            return list(_back(start, came_from))
        for other in sorted(reads[name]):
            if other not in came_from:
                came_from[other] = name
                waiting.append(other)
    return []


def _back(start: str, came_from: Mapping[str, str]) -> Iterator[str]:
    path = [came_from[start]]
    while path[-1] != start:
        path.append(came_from[path[-1]])
    yield from reversed(path)
