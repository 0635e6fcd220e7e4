"""What stands alone: questions nobody reads, controls on no step, hazards without a control or a worked case."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from riskhelper.review.cases import case_readings
from riskhelper.review.coverage import every_check
from riskhelper.review.finding import Finding
from riskhelper.review.possible import is_possible
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import NO, YES
from riskhelper.ruleset.model import RuleSet


def lonely_entries(rules: RuleSet) -> Iterator[Finding]:
    """Every entry without what it needs, or without anybody who needs it."""
    read = _questions_read(rules)
    for name, question in rules.questions.items():
        if question.type != "text" and name not in read and not question.not_known_stops:
            yield Finding(f"question {name}", "unread_question", "", "no hazard, stop, figure or step reads it")
    on_steps = {control for step in rules.steps for control in step.controls}
    for name in rules.controls:
        if name not in on_steps:
            yield Finding(f"control {name}", "idle_control", "", "stands on no step, so nobody is told when to do it")
    for name in rules.hazards:
        if name not in rules.controls_of:
            yield Finding(f"hazard {name}", "no_control", "", "no control lowers it")


def gaps_in_the_isolation_plan(rules: RuleSet) -> Iterator[Finding]:
    """Every part that a row of the isolation plan leaves out."""
    for number, row in enumerate(rules.isolation_rows, start=1):
        for words in row.gaps:
            yield Finding(f"isolation row {number}", "isolation_gap", "", f"{row.point}: does not say {words}")


def unsaid_clashes(rules: RuleSet) -> Iterator[Finding]:
    """A set without a word on which kinds of work may meet."""
    if not rules.clashes:
        words = "no [clash.KIND.KIND] is written, so no two permits may stand near one another"
        yield Finding("clash", "no_clashes", "", words)


def _questions_read(rules: RuleSet) -> frozenset[str]:
    read = frozenset().union(*(rules.support_of(check) for check in every_check(rules)))
    titled = [rules.supports[name] for name, fact in rules.facts.items() if fact.title]
    others = [
        rules.supports[other]
        for question in rules.questions.values()
        for other in (question.error, question.expect_as)
        if isinstance(other, str) and other
    ]
    return read.union(*titled, *others)


def unproved_hazards(codes: Mapping[str, RuleSet]) -> Iterator[Finding]:
    """Hazards that apply, or stay silent, in no worked case under any local code."""
    readings = list(case_readings(codes))
    rules = next(iter(codes.values()))
    for name, hazard in rules.hazard_rules.items():
        found = {reading.rules.hazard_rules[name].applies.test(reading) for reading in readings}
        if YES not in found:
            yield Finding(f"hazard {name}", "no_case_applies", "applies_if", "applies in no worked case")
        if NO not in found and is_possible(rules, tree.Not(hazard.applies.node)):
            yield Finding(f"hazard {name}", "no_case_silent", "applies_if", "stays silent in no worked case")


def unturned_stops(rules: RuleSet) -> Iterator[Finding]:
    """Stops that rest on answers and that no turn shows on both sides; each turn tries not knowing too."""
    turned = {turn.stop for turn in rules.turns if turn.silent and (turn.fires or turn.not_known == "fires")}
    for name, stop in rules.stop_rules.items():
        if (stop.check is not None or stop.named_by) and name not in turned:
            yield Finding(f"stop {name}", "unturned_stop", "", "no worked turn shows both its sides")


def control_answers(rules: RuleSet) -> tuple[str, ...]:
    """Questions whose answer describes a control: each lowers a level without credit, at a hold point only."""
    return tuple(name for name, question in rules.questions.items() if question.is_control)
