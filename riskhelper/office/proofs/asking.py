"""A question of the officer's own: can there be a job in which this holds and that as well?

Both are conditions of the rule language, which may also speak of the outcome (`outcome_names`). As everywhere, what
cannot be ruled out counts as held.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.office.proofs.bench import Bench
from riskhelper.office.proofs.finding import Example
from riskhelper.office.proofs.jobs import MOMENT, Trial
from riskhelper.office.proofs.logic import conjoined, negated
from riskhelper.office.proofs.near_cases import asked_trials, edge_trials
from riskhelper.office.proofs.outcome_names import OutcomeReading, OutcomeWorld, outcome_names, outcome_type
from riskhelper.office.proofs.proving import Found, NotSettled, Proved
from riskhelper.ruleset import tree
from riskhelper.ruleset.faults import ConditionFault, nearest_name
from riskhelper.ruleset.language import read_condition
from riskhelper.ruleset.meaning import NO, tested
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Verdict

_MOST_S_AT_FIRST, _MOST_S_FOR_STOPS = 1.5, 5.0
_MOST_TRIALS = 200


def asked_condition(rules: RuleSet, text: str) -> tree.Condition:
    """The tree of a condition that may also speak of the outcome; raises `ConditionFault`."""

    def lookup(name: str) -> tree.ValueType:
        kind = outcome_type(rules, name) or rules.types.get(name)
        if kind is None:
            raise ConditionFault(f"unknown name `{name}`", nearest_name(name, [*rules.types, *outcome_names(rules)]))
        if isinstance(kind, tree.TextType):
            raise ConditionFault(f"`{name}` is free text; nothing can be asked of it")
        return kind

    return read_condition(text, lookup)


@dataclass(frozen=True)
class Asked:
    """What was asked, read."""

    condition: tree.Condition
    never: tree.Condition


def ask(bench: Bench, asked: Asked, most_s: float = math.inf) -> Proved | Found[Example] | NotSettled:
    """Whether there is a job in which both hold or cannot be ruled out."""
    if _stops_say_so(bench, asked, _MOST_S_AT_FIRST):
        return Proved()
    world = OutcomeWorld(bench.outcome, bench.figures)
    goal = conjoined((world.test(asked.condition).may, world.test(asked.never).may))
    if bench.prover.is_impossible(goal, _MOST_S_AT_FIRST):
        return Proved()

    def shows(trial: Trial) -> Example | None:
        [job] = trial.jobs
        assessment = bench.assessed(job, trial.milestone)
        if not holds_in(bench.rules, job, assessment, asked):
            return None
        stops = ", ".join(stop.id for stop in assessment.stops) or "none"
        words = [f"the verdict is {assessment.verdict.words}; stops: {stops}"]
        reading = Reading(bench.rules, job, trial.milestone, MOMENT, if_held=True)
        words += [
            f"`{name}` is not asked in this job, so it counts as anything it could be"
            for name in sorted(tree.names_in(tree.both(asked.condition, asked.never)) & set(bench.rules.types))
            if reading.absent(name)
        ]
        return Example(trial.milestone, trial.jobs, tuple(words))

    def condition_holds(trial: Trial) -> bool:
        if _speaks_of_outcome(bench.rules, asked.condition):
            return True  # that takes an assessment, which is made anyway to show it
        reading = Reading(bench.rules, trial.jobs[0], trial.milestone, MOMENT, if_held=True)
        return tested(asked.condition)(reading) != NO

    trials = itertools.chain(
        asked_trials(bench.rules, tree.both(asked.condition, asked.never), condition_holds, bench.milestone),
        edge_trials(bench.rules, asked.condition, condition_holds),
    )
    here = (trial for trial in trials if bench.milestone in (None, trial.milestone))
    near = (example for trial in itertools.islice(here, _MOST_TRIALS) if (example := shows(trial)) is not None)
    found = next(near, None)
    if found is not None:
        return Found(found)
    if _stops_say_so(bench, asked, _MOST_S_FOR_STOPS):
        return Proved()
    return bench.prover.settle(goal, (bench.outcome,), shows, most_s)


def says_nothing(bench: Bench, asked: Asked) -> bool:
    """Whether no job meets the condition at all, so that nothing is said by what never holds in it."""
    meets = OutcomeWorld(bench.outcome, bench.figures).test(asked.condition).may
    return bench.prover.is_impossible(meets, _MOST_S_AT_FIRST)


def _stops_say_so(bench: Bench, asked: Asked, most_s: float) -> bool:
    """Whether stops that read what the condition reads fire whenever it holds: then the verdict is STOP already."""
    if not _leaves_no_stop(asked.never) or _speaks_of_outcome(bench.rules, asked.condition):
        return False
    reads_numbers = any(isinstance(bench.rules.types[n], tree.NumberType) for n in tree.names_in(asked.condition))
    outcome = bench.outcome
    holds = outcome.held.test(asked.condition).may
    until_s = bench.prover.patience.clock() + most_s
    for stops in _related_stops(bench, asked.condition):
        goal = conjoined((holds, *(negated(outcome.condition_stop(name)) for name in stops)))
        left_s = until_s - bench.prover.patience.clock()
        if bench.prover.is_impossible(goal, left_s, with_figures=reads_numbers):
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
    return any(outcome_type(rules, name) is not None for name in tree.names_in(node))


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
