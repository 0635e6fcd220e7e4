"""Which way a changed figure or table goes: the way of what rests on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from riskhelper.office.difference import Difference
from riskhelper.office.direction import Direction
from riskhelper.office.pair_search import Sides
from riskhelper.office.table_rows import facts_reading
from riskhelper.ruleset import tree
from riskhelper.ruleset.model import RuleSet

RESTING = ("hazard", "stop", "control", "question")


def with_effects(sides: Sides, found: Sequence[Difference]) -> Iterator[Difference]:
    """The differences, those of facts and tables with the way of the hazards, stops and controls that read them."""
    effects = _Effects(sides, found)
    for one in found:
        if one.kind in ("fact", "table") and one.settled:
            yield effects.told(one)
        else:
            yield one


class _Effects:
    def __init__(self, sides: Sides, found: Sequence[Difference]) -> None:
        self._sides = sides
        self._found = [one for one in found if one.kind in RESTING]

    def told(self, one: Difference) -> Difference:
        names = (
            {one.name}
            if one.kind == "fact"
            else {fact for rules in (self._sides.old, self._sides.new) for fact in facts_reading(rules, one.name)}
        )
        if one.kind == "table" and not names:
            return one
        resting = [each for each in self._found if self._rests(each, names)]
        titles = dict.fromkeys(each.title.rstrip(".?:") for each in resting)
        if not titles:
            nothing = f"{one.words}; no hazard, stop, control or question comes out otherwise, what is printed can"
            return replace(one, words=nothing)
        way = Direction.joined(each.direction for each in resting if each.settled)
        example = next((each.example for each in resting if each.example is not None), None)
        return replace(one, words=f"{one.words}; it shows at: {'; '.join(titles)}", direction=way, example=example)

    def _rests(self, one: Difference, names: set[str]) -> bool:
        read = frozenset().union(
            *(reads[f"{one.kind} {one.name}"] for reads in self._reads if f"{one.kind} {one.name}" in reads)
        )
        return not names.isdisjoint(read)

    @cached_property
    def _reads(self) -> tuple[dict[str, frozenset[str]], ...]:
        return tuple(dict(_read_by(rules)) for rules in (self._sides.old, self._sides.new))


def _read_by(rules: RuleSet) -> Iterator[tuple[str, frozenset[str]]]:
    """For each hazard, stop, control and question every name it reads, through facts."""
    for name, rule in rules.hazard_rules.items():
        checks = (rule.applies, *(one.check for one in (*rule.likelihood, *rule.severity)))
        yield f"hazard {name}", _closed(rules, *(check.node for check in checks))
    for name, stop in rules.stop_rules.items():
        checks = (*([stop.check] if stop.check else []), *stop.named_by.values())
        yield f"stop {name}", _closed(rules, *(check.node for check in checks))
    for kind, those in (("control", rules.control_checks), ("question", rules.ask_checks)):
        for name, check in those.items():
            yield f"{kind} {name}", _closed(rules, check.node)


def _closed(rules: RuleSet, *nodes: tree.Node) -> frozenset[str]:
    found: set[str] = set()
    waiting = [name for node in nodes for name in tree.names_in(node)]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            if name in rules.derived:
                waiting.extend(rules.derived[name].inputs)
            elif name in rules.questions:
                question = rules.questions[name]
                waiting.extend(one for one in (question.error, question.expect_as) if isinstance(one, str) and one)
    return frozenset(found)
