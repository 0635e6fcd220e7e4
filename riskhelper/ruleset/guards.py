"""Proof that no rule reads a question where it is not asked."""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.ruleset import tree
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.entries import HEAD_CONDITIONS
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.proof import Proof


def check_guards(rules: RuleSet, found: Collected) -> None:
    """Note every rule that may read a question that is not asked."""
    proof = Proof(rules)
    told: set[tuple[str, str, str]] = set()
    for kind, name, key, condition in _conditions(rules):
        for question in sorted(rules.support_of(condition)):
            if rules.questions[question].not_asked is not None or (kind, name, question) in told:
                continue
            example = proof.counterexample(condition, question)
            if example is not None:
                told.add((kind, name, question))
                guard = rules.ask_checks[question].text
                message = f"reads `{question}` where it is not asked, {example}; guard it with its `ask_if`: {guard}"
                found.fault(kind, name, key, message)


def _conditions(rules: RuleSet) -> Iterator[tuple[str, str, str, tree.Condition]]:
    for name, hazard in rules.hazard_rules.items():
        yield "hazard", name, "applies_if", hazard.applies.node
        for one in (*hazard.likelihood, *hazard.severity):
            yield "hazard", name, one.at, tree.both(hazard.applies.node, one.check.node)
        if hazard.no_ppe_credit is not None:
            yield "hazard", name, "no_ppe_credit", tree.both(hazard.applies.node, hazard.no_ppe_credit.node)
    for name, stop in rules.stop_rules.items():
        if stop.check is not None:
            yield "stop", name, "stops_unless" if stop.entry.stops_if is None else "stops_if", stop.check.node
        for question, check in stop.named_by.items():
            yield "question", question, "not_known_stops_if", check.node
    for name, check in rules.control_checks.items():
        lowers = [h for h in rules.controls[name].lowers if h in rules.hazard_rules]
        lowered = tuple(rules.hazard_rules[h].applies.node for h in lowers)
        yield "control", name, "if", tree.both(tree.Any(lowered), check.node) if lowered else check.node
    conditional: dict[str, list[str | None]] = {
        "step": [step.if_ if step else None for step in rules.steps],
        "isolation_row": [row.if_ if row else None for row in rules.isolation_rows],
        "kit": [thing.if_ if thing else None for thing in rules.kit],
    }
    for kind, texts in conditional.items():
        for number, text in enumerate(texts, start=1):
            if text is not None and text in rules.other_checks:
                yield kind, str(number), "if", rules.other_checks[text].node
    for name, derived in rules.derived.items():
        if derived.shown_if is not None and derived.check is None:
            yield "fact", name, "shown_if", tree.both(derived.shown_if.node, _reading_of(rules, name))
    for number, point in enumerate(rules.head.hold_points):
        if point.if_ is not None and point.if_ in rules.other_checks:
            yield "ruleset", "", f"hold_points.{number}.if", rules.other_checks[point.if_].node
    for name, asked in rules.questions.items():
        for key, other in (("error", asked.error), ("expect_as", asked.expect_as)):
            if isinstance(other, str) and other in rules.supports:
                yield "question", name, key, tree.both(rules.ask_checks[name].node, _reading_of(rules, other))
    yield "ruleset", "", "plant_in_service", rules.in_service.node
    for key in HEAD_CONDITIONS:
        text = getattr(rules.head, key)
        if text is not None and text in rules.other_checks:
            yield "ruleset", "", key, rules.other_checks[text].node


def _reading_of(rules: RuleSet, name: str) -> tree.Condition:
    """A condition that does nothing but read a name."""
    match rules.types[name]:
        case tree.NumberType():
            return tree.Compare(tree.Value(name), "<=", tree.PlainNumber(0.0))
        case tree.ChoiceType(options):
            return tree.OneOf(name, options)
        case tree.SeveralType(options):
            return tree.Contains(name, min(options))
        case _:
            return tree.Holds(name)
