"""Entries that can never matter: conditions nothing fulfils, levels always outranked, sums that cannot be."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from riskhelper.review.finding import Finding
from riskhelper.review.possible import is_possible
from riskhelper.ruleset import tree
from riskhelper.ruleset.model import HazardRule, Raise, RuleSet

_ALWAYS = tree.Constant(True)


def idle_entries(rules: RuleSet) -> Iterator[Finding]:
    """Every entry that can never matter."""
    for entry, key, condition in _conditions(rules):
        if not is_possible(rules, condition):
            yield Finding(entry, "never", key, "no answers at all fulfil this condition")
    for name, hazard in rules.hazard_rules.items():
        for scale, raises, least in (
            ("likelihood", hazard.likelihood, hazard.entry.likelihood.least),
            ("severity", hazard.severity, hazard.entry.severity.least),
        ):
            yield from _outranked(rules, f"hazard {name}", hazard, scale, raises, least)
            yield from _exclusive(rules, f"hazard {name}", hazard, raises)


def _conditions(rules: RuleSet) -> Iterator[tuple[str, str, tree.Condition]]:
    for name, check in rules.ask_checks.items():
        yield f"question {name}", "ask_if", check.node
    for name, derived in rules.derived.items():
        if derived.check is not None:
            yield f"fact {name}", "is", derived.check.node
        if derived.shown_if is not None:
            yield f"fact {name}", "shown_if", derived.shown_if.node
    for name, hazard in rules.hazard_rules.items():
        yield f"hazard {name}", "applies_if", hazard.applies.node
        for one in (*hazard.likelihood, *hazard.severity):
            yield f"hazard {name}", one.at, tree.both(hazard.applies.node, one.check.node)
        if hazard.no_ppe_credit is not None:
            yield f"hazard {name}", "no_ppe_credit", tree.both(hazard.applies.node, hazard.no_ppe_credit.node)
    for name, stop in rules.stop_rules.items():
        if stop.check is not None:
            yield f"stop {name}", "stops_if" if stop.entry.stops_if is not None else "stops_unless", stop.check.node
        for question, check in stop.named_by.items():
            asked = rules.ask_checks[question].node
            yield f"question {question}", "not_known_stops_if", tree.both(asked, check.node)
    for name, check in rules.control_checks.items():
        lowered = tuple(rules.hazard_rules[h].applies.node for h in rules.controls[name].lowers)
        yield f"control {name}", "if", tree.both(tree.Any(lowered) if lowered else _ALWAYS, check.node)
    listed: dict[str, list[str | None]] = {
        "step": [step.if_ for step in rules.steps],
        "isolation row": [row.if_ for row in rules.isolation_rows],
        "kit": [thing.if_ for thing in rules.kit],
        "hold point": [point.if_ for point in rules.head.hold_points],
    }
    for kind, texts in listed.items():
        for number, text in enumerate(texts, start=1):
            if text:
                yield f"{kind} {number}", "if", rules.other_checks[text].node


def _outranked(
    rules: RuleSet, entry: str, hazard: HazardRule, scale: str, raises: tuple[Raise, ...], least: int
) -> Iterator[Finding]:
    ladder = [one for one in raises if one.level]
    for place, one in enumerate(ladder):
        if one.level <= least:
            yield Finding(entry, "outranked", one.at, f"level {one.level} is no more than the least {scale}, {least}")
            continue
        for other_place, other in enumerate(ladder):
            if other is one or other.level < one.level or (other.level == one.level and other_place > place):
                continue
            alone = tree.both(tree.both(hazard.applies.node, one.check.node), tree.Not(other.check.node))
            if not is_possible(rules, alone):
                words = f"whenever it holds, level {other.level} holds too: {other.because}"
                yield Finding(entry, "outranked", one.at, words)
                break


def _exclusive(rules: RuleSet, entry: str, hazard: HazardRule, raises: tuple[Raise, ...]) -> Iterator[Finding]:
    for one, other in itertools.combinations([r for r in raises if r.by], 2):
        together = tree.both(tree.both(hazard.applies.node, one.check.node), other.check.node)
        if not is_possible(rules, together):
            words = f"can never hold together with `{other.because}`; write both as `at_least`"
            yield Finding(entry, "exclusive_adds", one.at, words)
