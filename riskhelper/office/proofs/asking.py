"""A question of the officer's own: can there be a job in which this holds and that as well?

Both are conditions of the rule language, with four kinds of name more: `verdict` (a choice of the three printed
verdicts), `stops` (holds the ids of the stops shown), `likelihood.SUBJECT.NAME` and `severity.SUBJECT.NAME` (levels
of a hazard as found, 0 where it does not apply). As everywhere, what cannot be ruled out counts as held.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.office.proofs.bench import SCALES, Bench
from riskhelper.office.proofs.finding import Example
from riskhelper.office.proofs.jobs import MOMENT, Trial
from riskhelper.office.proofs.logic import Ladder, conjoined, negated
from riskhelper.office.proofs.near_cases import asked_trials
from riskhelper.office.proofs.outcome import Outcome
from riskhelper.office.proofs.proving import Found, NotSettled, Proved
from riskhelper.office.proofs.spans import Span, chosen
from riskhelper.office.proofs.world import World
from riskhelper.ruleset import tree
from riskhelper.ruleset.faults import ConditionFault, nearest_name
from riskhelper.ruleset.language import read_condition
from riskhelper.ruleset.meaning import NO, tested
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Verdict

_MOST_S_FOR_STOPS = 10.0
VERDICTS = {verdict.words: verdict for verdict in reversed(Verdict)}


def asked_condition(rules: RuleSet, text: str) -> tree.Condition:
    """The tree of a condition that may also speak of the outcome; raises `ConditionFault`."""

    def lookup(name: str) -> tree.ValueType:
        kind = _outcome_type(rules, name) or rules.types.get(name)
        if kind is None:
            scales = [f"{scale}.{hazard}" for scale in SCALES for hazard in rules.hazards]
            raise ConditionFault(
                f"unknown name `{name}`", nearest_name(name, [*rules.types, *scales, "verdict", "stops"])
            )
        if isinstance(kind, tree.TextType):
            raise ConditionFault(f"`{name}` is free text; nothing can be asked of it")
        return kind

    return read_condition(text, lookup)


def _outcome_type(rules: RuleSet, name: str) -> tree.ValueType | None:
    if name == "verdict":
        return tree.ChoiceType(frozenset(VERDICTS))
    if name == "stops":
        return tree.SeveralType(frozenset(rules.stops))
    scale, _, hazard = name.partition(".")
    if scale in SCALES and hazard in rules.hazards:
        return tree.NumberType("", 0.0, count=True)
    return None


class _OutcomeWorld(World):
    """The values of a job IF HELD, with what comes out of it."""

    def __init__(self, outcome: Outcome, bench: Bench) -> None:
        super().__init__(outcome.rules, outcome.job, bench.figures, if_held=True, base=outcome.held)
        self._outcome = outcome

    def value(self, name: str) -> Any:
        if _outcome_type(self.rules, name) is None:
            return super().value(name)
        if name == "verdict":
            return {words: self._outcome.verdict(verdict) for words, verdict in VERDICTS.items()}
        if name == "stops":
            fires = {stop: self._outcome.stop(stop) for stop in self.rules.stops}
            return {stop: (truth, truth) for stop, truth in fires.items()}
        scale, _, hazard = name.partition(".")
        number = _as_number(self._outcome.shown_level(hazard, scale))
        return Span(number, number)

    def grid(self, name: str) -> Span:
        return self.value(name) if _outcome_type(self.rules, name) else super().grid(name)

    def test(self, node: tree.Condition) -> Any:
        outcome_names = [name for name in tree.names_in(node) if _outcome_type(self.rules, name)]
        return self._tested(node) if outcome_names else super().test(node)


def _as_number(ladder: Ladder) -> Any:
    number: Any = Fraction(0)
    for level in range(1, len(ladder)):
        number = chosen(ladder[level], Fraction(level), number)
    return number


class OutcomeReading(Reading):
    """The reading IF HELD of a job that has been assessed, with what came out of it."""

    def __init__(self, rules: RuleSet, job: Job, assessment: Assessment) -> None:
        super().__init__(rules, job, assessment.milestone, MOMENT, if_held=True)
        self._assessment = assessment

    @cached_property
    def _outcome(self) -> Mapping[str, Any]:
        stops = frozenset(stop.id for stop in self._assessment.stops)
        found: dict[str, Any] = {"verdict": frozenset({self._assessment.verdict.words}), "stops": (stops, stops)}
        levels = {h.id: h.as_found for h in self._assessment.hazards}
        for hazard in self.rules.hazards:
            for scale in SCALES:
                level = float(getattr(levels[hazard], scale)) if hazard in levels else 0.0
                found[f"{scale}.{hazard}"] = (level, level)
        return found

    def __missing__(self, name: str) -> Any:
        return self._outcome[name] if name in self._outcome else super().__missing__(name)

    def _on_grid(self, name: str) -> Any:
        return self._outcome[name] if name in self._outcome else super()._on_grid(name)


@dataclass(frozen=True)
class Asked:
    """What was asked, read."""

    condition: tree.Condition
    never: tree.Condition


def ask(bench: Bench, asked: Asked, most_s: float = math.inf) -> Proved | Found[Example] | NotSettled:
    """Whether there is a job in which both hold or cannot be ruled out."""
    if _stops_say_so(bench, asked):
        return Proved()
    world = _OutcomeWorld(bench.outcome, bench)
    goal = conjoined((world.test(asked.condition).may, world.test(asked.never).may))

    def shows(trial: Trial) -> Example | None:
        [job] = trial.jobs
        assessment = bench.assessed(job, trial.milestone)
        if not holds_in(bench.rules, job, assessment, asked):
            return None
        stops = ", ".join(stop.id for stop in assessment.stops) or "none"
        words = f"the verdict is {assessment.verdict.words}; stops: {stops}"
        return Example(trial.milestone, trial.jobs, (words,))

    def condition_holds(trial: Trial) -> bool:
        reading = Reading(bench.rules, trial.jobs[0], trial.milestone, MOMENT, if_held=True)
        return tested(asked.condition)(reading) != NO

    if not _speaks_of_outcome(bench.rules, asked.condition):
        trials = asked_trials(bench.rules, asked.condition, condition_holds)
        here = (trial for trial in trials if bench.milestone in (None, trial.milestone))
        near = next((example for trial in here if (example := shows(trial)) is not None), None)
        if near is not None:
            return Found(near)
    return bench.prover.settle(goal, (bench.outcome,), shows, most_s)


def _stops_say_so(bench: Bench, asked: Asked) -> bool:
    """Whether stops that read what the condition reads fire whenever it holds: then the verdict is STOP already."""
    if not _leaves_no_stop(asked.never) or _speaks_of_outcome(bench.rules, asked.condition):
        return False
    reads_numbers = any(isinstance(bench.rules.types[n], tree.NumberType) for n in tree.names_in(asked.condition))
    outcome = bench.outcome
    holds = outcome.held.test(asked.condition).may
    for stops in _related_stops(bench, asked.condition):
        goal = conjoined((holds, *(negated(outcome.condition_stop(name)) for name in stops)))
        if bench.prover.is_impossible(goal, _MOST_S_FOR_STOPS, with_figures=reads_numbers):
            return True
    return False


def _related_stops(bench: Bench, condition: tree.Condition) -> Iterator[list[str]]:
    """Stops that read what few others read of the condition, then all that rest on the same questions."""
    readers: dict[str, list[str]] = {name: [] for name in tree.names_in(condition)}
    for stop, rule in bench.rules.stop_rules.items():
        for name in tree.names_in(rule.check.node) & set(readers) if rule.check is not None else ():
            readers[name].append(stop)
    few = min((stops for stops in readers.values() if stops), key=len, default=[])
    yield list(dict.fromkeys(stop for stops in readers.values() if len(stops) <= len(few) + 2 for stop in stops))
    questions = bench.dependence.questions_of(condition)
    yield [
        stop
        for stop, rule in bench.rules.stop_rules.items()
        if rule.check is not None and not questions.isdisjoint(bench.rules.support_of(rule.check.node))
    ]


def _speaks_of_outcome(rules: RuleSet, node: tree.Condition) -> bool:
    return any(_outcome_type(rules, name) is not None for name in tree.names_in(node))


def _leaves_no_stop(node: tree.Condition) -> bool:
    stop = Verdict.STOP.words
    match node:
        case tree.OneOf("verdict", options):
            return stop not in options
        case tree.Not(tree.OneOf("verdict", options)):
            return stop in options
        case _:
            return False


def holds_in(rules: RuleSet, job: Job, assessment: Assessment, asked: Asked) -> bool:
    """Whether both hold, or cannot be ruled out, in a job that has been assessed."""
    reading = OutcomeReading(rules, job, assessment)
    return tested(asked.condition)(reading) != NO and tested(asked.never)(reading) != NO
