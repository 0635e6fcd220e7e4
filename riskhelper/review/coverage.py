"""Gaps and overlaps between the ranges a hazard rates by one number, and answers that touch no rule."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from riskhelper.review.finding import Finding
from riskhelper.review.possible import Supposition, step_of
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import YES, Span
from riskhelper.ruleset.mentioned import Mentioned, pieces
from riskhelper.ruleset.model import Raise, RuleSet
from riskhelper.ruleset.valuation import WHOLE


@dataclass(frozen=True)
class _Range:
    """One entry that rests on a single number, and the pieces of the number line on which it holds."""

    raised: Raise
    holds: frozenset[int]


def uncovered(rules: RuleSet) -> Iterator[Finding]:
    """Every gap, every overlap and every choice with several answers that touch no rule."""
    for name, hazard in rules.hazard_rules.items():
        for raises in (hazard.likelihood, hazard.severity):
            ladders: dict[str, list[Raise]] = {}
            for one in raises:
                number = next(iter(names), None) if len(names := _read(rules, one.check.node)) == 1 else None
                if one.level and number is not None:
                    ladders.setdefault(number, []).append(one)
            for number, ladder in ladders.items():
                if len(ladder) > 1:
                    yield from _ladder(rules, f"hazard {name}", number, ladder)
    yield from _uncovered_answers(rules)


def _read(rules: RuleSet, node: tree.Node) -> frozenset[str | None]:
    """Names a condition rests on, through yes-or-no facts; anything but a number counts as `None`."""
    found: set[str | None] = set()
    for name in tree.names_in(node) - set(rules.limits):
        derived = rules.derived.get(name)
        if derived is not None and derived.check is not None:
            found |= _read(rules, derived.check.node)
        else:
            found.add(name if isinstance(rules.types[name], tree.NumberType) else None)
    return frozenset(found)


def _ladder(rules: RuleSet, entry: str, number: str, ladder: list[Raise]) -> Iterator[Finding]:
    question = rules.questions.get(number)
    accepted = question.range if question is not None and question.range is not None else WHOLE
    cuts = Mentioned(rules, tuple(one.check.node for one in ladder)).cuts.get(number, [])
    line = list(pieces((float(accepted[0]), float(accepted[1])), cuts, step_of(rules, number)))
    readings = [Supposition(rules, {number: piece}) for piece in line]
    ranges = [
        _Range(one, frozenset(n for n, reading in enumerate(readings) if one.check.test(reading) == YES))
        for one in ladder
    ]
    rated = frozenset().union(*(one.holds for one in ranges))
    kind = rules.types[number]
    unit = kind.unit if isinstance(kind, tree.NumberType) else ""
    for first, last in _runs(sorted(set(range(min(rated, default=0), max(rated, default=0))) - rated)):
        words = (
            f"`{number}` from {_told(line[first], line[last], unit)} is rated by no entry, but both sides of it are"
        )
        yield Finding(entry, "gap", ladder[0].at, words)
    for one, other in itertools.combinations(ranges, 2):
        shared = one.holds & other.holds
        if shared and not (one.holds <= other.holds or other.holds <= one.holds):
            words = (
                f"`{number}` from {_told(line[min(shared)], line[max(shared)], unit)} belongs to two ranges:"
                f" `{one.raised.because}` and `{other.raised.because}`"
            )
            yield Finding(entry, "overlap", other.raised.at, words)


def _runs(places: list[int]) -> Iterator[tuple[int, int]]:
    for _, group in itertools.groupby(enumerate(places), key=lambda pair: pair[1] - pair[0]):
        run = [place for _, place in group]
        yield run[0], run[-1]


def _told(first: Span, last: Span, unit: str) -> str:
    return f"{first[0]:g} to {last[1]:g} {unit}".rstrip()


def _uncovered_answers(rules: RuleSet) -> Iterator[Finding]:
    covered: dict[str, set[str]] = {}
    for check in every_check(rules, facts=False):
        for name, options in _singled_out(rules, check, True):
            covered.setdefault(name, set()).update(options)
    for derived in rules.derived.values():
        for name in derived.inputs if derived.check is None else ():
            if isinstance(rules.types.get(name), tree.ChoiceType):
                covered.setdefault(name, set()).update(rules.questions[name].options)
    for name, touched in covered.items():
        left = [option for option in rules.questions[name].options if option not in touched]
        if len(left) > 1:
            words = f"no rule is touched by {', '.join(f'`{option}`' for option in left)}; one mild answer is usual"
            yield Finding(f"question {name}", "uncovered_answers", "options", words)


def _singled_out(rules: RuleSet, node: tree.Node, positive: bool) -> Iterator[tuple[str, frozenset[str]]]:
    """Options of choices that help a condition to hold."""
    match node:
        case tree.Not(part):
            yield from _singled_out(rules, part, not positive)
        case tree.OneOf(name, options):
            yield name, options if positive else frozenset(rules.questions[name].options) - options
        case tree.Holds(name):
            check = rules.derived[name].check
            if check is not None:
                yield from _singled_out(rules, check.node, positive)
        case _:
            for below in tree.parts_of(node):
                yield from _singled_out(rules, below, positive)


def every_check(rules: RuleSet, *, facts: bool = True) -> Iterator[tree.Condition]:
    """Every condition of a set; without those of `facts` only what questions, rules and steps say themselves."""
    yield from (check.node for check in rules.ask_checks.values())
    if facts:
        yield from (derived.check.node for derived in rules.derived.values() if derived.check is not None)
    for hazard in rules.hazard_rules.values():
        yield hazard.applies.node
        yield from (one.check.node for one in (*hazard.likelihood, *hazard.severity))
        if hazard.no_ppe_credit is not None:
            yield hazard.no_ppe_credit.node
    for stop in rules.stop_rules.values():
        if stop.check is not None:
            yield stop.check.node
        yield from (check.node for check in stop.named_by.values())
    yield from (check.node for check in rules.control_checks.values())
    yield from (check.node for check in rules.other_checks.values())
    yield rules.in_service.node
