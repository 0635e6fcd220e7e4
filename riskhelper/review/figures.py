"""Where figures come from, which are only remembered, and which limits no worked case proves."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from riskhelper.facts import Reading
from riskhelper.review.cases import case_readings
from riskhelper.review.coverage import every_check
from riskhelper.review.finding import Finding
from riskhelper.ruleset import tree
from riskhelper.ruleset.entries import FactEntry
from riskhelper.ruleset.meaning import Span, measured
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.tightening import milder_uses
from riskhelper.terms import Standing


def figures(rules: RuleSet) -> Iterator[Finding]:
    """Every finding about a figure."""
    yield from _without_source(rules)
    yield from _to_be_confirmed(rules)
    for name in rules.limits:
        if uses := sorted({f"{kind} `{entry}`" for kind, entry in milder_uses(rules, name)}):
            words = f"a stricter figure would make {', '.join(uses)} milder"
            yield Finding(f"limit {name}", "one_way_limit", "worse", words)


def _without_source(rules: RuleSet) -> Iterator[Finding]:
    for name, limit in rules.limits.items():
        if not limit.source:
            yield Finding(f"limit {name}", "no_source", "source", f"the figure {limit.is_:g} names no source")
    for name, fact in rules.facts.items():
        if not fact.source and _holds_figure(rules, name, fact):
            key = "table" if fact.table is not None else "is" if fact.is_ is not None else "from"
            yield Finding(f"fact {name}", "no_source", key, "holds a figure and names no source")


def _holds_figure(rules: RuleSet, name: str, fact: FactEntry) -> bool:
    if fact.table is not None:
        return True
    if fact.calc is not None:
        return any(isinstance(given, float) for given in fact.from_.values())
    expression = rules.derived[name].expression
    return expression is not None and any(_is_figure(node) for node in tree.walk(expression))


def _is_figure(node: tree.Node) -> bool:
    """A number written into an expression; a power of ten only turns one unit into another."""
    if isinstance(node, tree.PlainNumber):
        return node.value != 0
    factors = [abs(factor) for factor, _ in node.terms] if isinstance(node, tree.Sum) else []
    return any(not math.log10(factor).is_integer() for factor in factors if factor)


def _to_be_confirmed(rules: RuleSet) -> Iterator[Finding]:
    words = "is from memory and in use; read it in the document, or say why it may be used"
    for name, limit in rules.limits.items():
        if limit.standing is Standing.MEMORY:
            yield Finding(f"limit {name}", "to_be_confirmed", "standing", words)
    cited = {part.strip() for entry in _citing(rules) for part in entry.split(",")}
    for name, source in rules.sources.items():
        if source.standing is Standing.MEMORY and name in cited:
            yield Finding(f"source {name}", "to_be_confirmed", "standing", words)
    for name in sorted(_tables_in_use(rules)):
        if rules.table_entries[name].standing is Standing.MEMORY:
            yield Finding(f"table {name}", "to_be_confirmed", "standing", words)
    for name, derived in rules.derived.items():
        if derived.calculation is not None and derived.calculation.standing is Standing.MEMORY:
            yield Finding(f"fact {name}", "to_be_confirmed", "calc", f"`{derived.calculation.name}` {words}")


def _citing(rules: RuleSet) -> Iterator[str]:
    for entries in (rules.questions, rules.facts, rules.limits, rules.hazards, rules.controls, rules.stops):
        yield from (entry.source for entry in entries.values())
    yield from (entry.source for entry in rules.clashes.values())


def _tables_in_use(rules: RuleSet) -> frozenset[str]:
    roles = {
        given.removeprefix("table:")
        for fact in rules.facts.values()
        for given in fact.from_.values()
        if isinstance(given, str) and given.startswith("table:")
    }
    return frozenset(rules.tables[role].id for role in roles if role in rules.tables)


def unproved_limits(codes: Mapping[str, RuleSet]) -> Iterator[Finding]:
    """Limits without a worked case at them, below them or above them, under any local code."""
    rules = next(iter(codes.values()))
    comparisons = [
        node for check in every_check(rules) for node in tree.walk(check) if isinstance(node, tree.Compare)
    ]
    compared = {limit: [node for node in comparisons if limit in _rests_on(rules, node)] for limit in rules.limits}
    sides: dict[str, set[str]] = {name: set() for name in rules.limits}
    for reading in case_readings(codes):
        for limit, nodes in compared.items():
            for node in nodes:
                if not _is_unasked(reading, node):
                    sides[limit] |= _sides(
                        measured(node.left)(reading), measured(node.right)(reading), _step(rules, node)
                    )
    for limit, found in sides.items():
        if missing := [side for side in ("below", "at", "above") if side not in found]:
            words = f"no worked case lies {', '.join(missing)} this limit"
            yield Finding(f"limit {limit}", "unproved_limit", "is", words)


def _is_unasked(reading: Reading, node: tree.Compare) -> bool:
    """Whether a comparison rests on a question that is not asked and has no value for that."""
    questions = reading.rules.questions
    return any(reading.absent(q) and questions[q].not_asked is None for q in reading.rules.support_of(node))


def _rests_on(rules: RuleSet, node: tree.Node) -> frozenset[str]:
    """Names a comparison rests on, through sums and extremes that are facts of their own."""
    found = set(tree.names_in(node))
    for name in tuple(found):
        derived = rules.derived.get(name)
        if derived is not None and derived.expression is not None:
            found |= _rests_on(rules, derived.expression)
    return frozenset(found)


def _step(rules: RuleSet, node: tree.Compare) -> float:
    """The coarsest step on which one of the two sides lies."""
    steps = [1e-6]
    for name in tree.names_in(node) - set(rules.limits):
        kind, question = rules.types[name], rules.questions.get(name)
        resolution = kind.resolution if isinstance(kind, tree.NumberType) else None
        steps.append((question.step if question is not None else resolution) or 0.0)
    return max(steps)


def _sides(left: Span, right: Span, step: float) -> set[str]:
    """On which side of one another two values lie; at one another lie those that an error or one step may swap."""
    low, high = left[0] - right[1], left[1] - right[0]
    if low - step < 0 < high + step:
        return {"at"} if high - low <= max(step, 0.2 * max(abs(left[0]), abs(right[0]))) else set()
    return {"below"} if high < 0 else {"above"}
