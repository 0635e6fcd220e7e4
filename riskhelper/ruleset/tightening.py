"""Whether a limit that moves to its stricter side can make anything milder."""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.ruleset import tree
from riskhelper.ruleset.entries import HEAD_CONDITIONS
from riskhelper.ruleset.model import Check, Derived, RuleSet


def milder_uses(rules: RuleSet, limit: str) -> Iterator[tuple[str, str]]:
    """Entries (kind and id) in which a stricter figure of this limit can make an outcome milder.

    A stricter figure must make dangers truer and controls less surely usable, wherever the limit is read.
    """
    upward = 1 if rules.limits[limit].worse == "up" else -1
    for kind, name, check, wanted in _checks(rules):
        if not set(_senses(rules, check.node, limit)) <= {upward * wanted}:
            yield kind, name
    for name, question in rules.questions.items():
        if isinstance(question.error, str) and set(_of_name(rules, question.error, limit)) - {upward}:
            yield "question", name


def _checks(rules: RuleSet) -> Iterator[tuple[str, str, Check, int]]:
    for name, hazard in rules.hazard_rules.items():
        yield "hazard", name, hazard.applies, 1
        yield from (("hazard", name, one.check, 1) for one in (*hazard.likelihood, *hazard.severity))
        if hazard.no_ppe_credit is not None:
            yield "hazard", name, hazard.no_ppe_credit, 1
    for name, stop in rules.stop_rules.items():
        if stop.check is not None:
            yield "stop", name, stop.check, 1
        yield from (("stop", name, check, 1) for check in stop.named_by.values())
    # A question no longer asked is no longer open, so a stricter figure may only ask more.
    yield from (("question", name, check, 1) for name, check in rules.ask_checks.items())
    yield from (("control", name, check, -1) for name, check in rules.control_checks.items())
    yield "ruleset", "plant_in_service", rules.in_service, 1
    for key in HEAD_CONDITIONS:
        text = getattr(rules.head, key)
        if text is not None:
            yield "ruleset", key, rules.other_checks[text], 1


def _senses(rules: RuleSet, node: tree.Node, limit: str) -> Iterator[int]:
    """For each place where a tree reads the limit: 1 if its growth makes the tree truer or larger, -1 if not.

    A place where it can do either gives both.
    """
    match node:
        case tree.Not(part):
            yield from (-sense for sense in _senses(rules, part, limit))
        case tree.All() | tree.Any() | tree.Extreme():
            for below in tree.parts_of(node):
                yield from _senses(rules, below, limit)
        case tree.Sum(terms):
            for factor, term in terms:
                yield from (sense if factor > 0 else -sense for sense in _senses(rules, term, limit))
        case tree.Compare(left, op, right):
            sides = [*_senses(rules, left, limit), *(-sense for sense in _senses(rules, right, limit))]
            if op in ("==", "!="):
                yield from (way for _ in sides for way in (1, -1))
            else:
                yield from (sense if op in (">", ">=") else -sense for sense in sides)
        case tree.Value(name) | tree.Holds(name) | tree.OneOf(name, _) | tree.Contains(name, _):
            yield from _of_name(rules, name, limit)


def _of_name(rules: RuleSet, name: str, limit: str) -> Iterator[int]:
    if name == limit:
        yield 1
    elif name in rules.derived:
        yield from _of_fact(rules, rules.derived[name], limit)
    elif name in rules.questions:
        question = rules.questions[name]
        if question.not_asked is not None and set(_senses(rules, rules.ask_checks[name].node, limit)):
            yield from (1, -1)


def _of_fact(rules: RuleSet, derived: Derived, limit: str) -> Iterator[int]:
    if derived.check is not None:
        yield from _senses(rules, derived.check.node, limit)
    elif derived.expression is not None:
        yield from _senses(rules, derived.expression, limit)
    elif derived.calculation is not None:
        for parameter, given in derived.entry.from_.items():
            if isinstance(given, str) and ":" not in given and (inner := set(_of_name(rules, given, limit))):
                direction = derived.calculation.directions.get(parameter)
                ways = {"up": (1,), "down": (-1,)}.get(str(direction), (1, -1))
                yield from (sense * way for sense in inner for way in ways)
