"""All proofs of the shipped set, against the same questions put naively: two whole copies of everything.

Both are measured in seconds of the processor, so that other work on the machine does not count. The naive side asks
each question of each analysis as one writes it down first: two jobs with nothing shared, in which every answer of the
second is as grave as in the first or graver (or some are no longer known), all facts about all answers and figures,
entry by entry; one job where one is enough. It has the solver as one gets it; what it would take with the solver that
we choose is printed beside it. Naive figures are not put right, so what it finds possible counts as settled. It is
stopped at 240 seconds in a thorough run (THOROUGH set), at 60 otherwise.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import Any

import z3  # type: ignore[import-untyped]

from riskhelper.office.proofs.answers import AnswerTerms, JobTerms, any_job, fresh_answer, legal
from riskhelper.office.proofs.asking import asked_condition
from riskhelper.office.proofs.bench import Bench, milder
from riskhelper.office.proofs.entries_alone import cleared_alone, cleared_beside_strong
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.logic import Plain, conjoined, disjoined, implied, negated, same
from riskhelper.office.proofs.outcome import Outcome
from riskhelper.office.proofs.outcome_names import OutcomeWorld
from riskhelper.office.proofs.prove import prove
from riskhelper.office.proofs.proving import Patience
from riskhelper.office.proofs.spans import equal, exactly, less_or_equal
from riskhelper.ruleset import tree
from riskhelper.ruleset.model import RuleSet
from tests.content.shipped import rules
from tests.thoroughness import VARIABLE

MOST_S = 240.0 if os.environ.get(VARIABLE) else 60.0
AIM = 50


def graver_copy(rule_set: RuleSet, first: JobTerms) -> tuple[JobTerms, list[Plain]]:
    """A second job in which every answer that is given is as grave or graver, and the same are left open."""
    answers: dict[str, AnswerTerms] = {}
    facts: list[Plain] = []
    for name, question in rule_set.questions.items():
        mild, grave = first.answers[name], fresh_answer(name, question, " copy")
        answers[name] = replace(grave, given=mild.given, said_not_known=mild.said_not_known)
        facts += legal(question, grave)
        if isinstance(question.graver, str):
            ends = (mild.number, grave.number) if question.graver == "up" else (grave.number, mild.number)
            facts.append(less_or_equal(*ends))
        elif question.graver:
            order = question.graver
            for place, option in enumerate(order):
                facts.append(implied(mild.options[option], disjoined(grave.options[o] for o in order[place:])))
        else:
            facts += _alike(mild, grave)
    return replace(first, answers=answers, facts=()), facts


def unknown_copy(rule_set: RuleSet, first: JobTerms) -> tuple[JobTerms, list[Plain]]:
    """A second job with the same answers, of which any number are not known any more."""
    answers: dict[str, AnswerTerms] = {}
    facts: list[Plain] = []
    for name, question in rule_set.questions.items():
        known, copy, lost = first.answers[name], fresh_answer(name, question, " copy"), z3.Bool(f"lost {name}")
        answers[name] = replace(
            copy,
            given=conjoined((known.given, negated(lost))),
            said_not_known=disjoined((known.said_not_known, lost)),
        )
        facts += [*legal(question, copy), *_alike(known, copy), implied(lost, known.given)]
        facts.append(implied(lost, first.reached[rule_set.due_positions[name]]))
        if question.if_not_known is not None:
            spans = [question.if_not_known.range, *([question.usual] if question.usual else [])]
            inside = (
                conjoined((less_or_equal(exactly(low), known.number), less_or_equal(known.number, exactly(high))))
                for low, high in spans
            )
            facts.append(implied(lost, disjoined(inside)))
    return replace(first, answers=answers, facts=()), facts


def _alike(one: AnswerTerms, other: AnswerTerms) -> list[Plain]:
    truths = [(one.options[o], other.options[o]) for o in one.options]
    truths += [(one.open_lines[o], other.open_lines[o]) for o in one.open_lines]
    return [same(*pair) for pair in truths] + [equal(one.number, other.number)]


def naive(rule_set: RuleSet, solver_of: Callable[[], Any], most_s: float) -> Iterator[bool]:
    """Whether each question of each analysis was settled, until the time is up."""
    stop = time.process_time() + most_s

    def settled(given: list[Plain], goals: Iterable[Plain]) -> Iterator[bool]:
        for goal in goals:
            left_s = stop - time.process_time()
            solver = solver_of()
            solver.set("timeout", max(1, int(left_s * 1000)))
            solver.add(*(fact for fact in given if fact is not True), goal)
            yield left_s > 0 and bool(solver.check() != z3.unknown)

    for copy in (graver_copy, unknown_copy):
        figures, first = Figures(), any_job(rule_set)
        second, facts = copy(rule_set, first)
        one, other = (Outcome.of(rule_set, job, figures) for job in (first, second))
        goals = milder(one, other, list(rule_set.hazards), list(rule_set.stops))
        yield from settled([*first.facts, *facts, *figures.facts], goals.values())
    bench = Bench.of(rule_set, Patience(time.process_time, stop))
    alone = list(of_one_job(bench))
    yield from settled([*bench.job.facts, *bench.figures.facts], alone)


def of_one_job(bench: Bench) -> Iterator[Plain]:
    """What the analyses that look at one job ask: ways through, figures, weak controls, claims."""
    outcome, rules, held = bench.outcome, bench.rules, bench.outcome.held
    through = [
        *bench.job.reached,
        *bench.job.proved.values(),
        negated(outcome.causes["unacceptable_as_planned"]),
        *(negated(outcome.condition_stop(stop)) for stop in rules.stops),
    ]
    met = [held.asked(name).yes for name in rules.questions]
    met += [held.test(rule.applies.node).surely for rule in rules.hazard_rules.values()]
    yield from (conjoined((one, *through)) for one in met)
    for causes in bench.causes_by_entry.values():
        for cause in causes:
            if any(rules.figures_read.get(name) for name in tree.names_in(cause.node)):
                yield held.test(cause.node).surely
    for hazard in rules.hazards:
        yield from (cleared_alone(bench, hazard), cleared_beside_strong(bench, hazard))
    world = OutcomeWorld(outcome, bench.figures)
    for claim in rules.claims.values():
        yield conjoined(world.test(asked_condition(rules, text)).may for text in (claim.when, claim.never))


def main() -> None:
    """Prints the ratios, and what was left unsettled on either side."""
    rule_set = rules()
    start = time.process_time()
    proofs = prove(rule_set, Patience(time.process_time, start + MOST_S))
    ours_s = time.process_time() - start
    print(
        f"proofs: all of the shipped set take {ours_s:.1f} s of the processor; findings: {len(proofs.findings)},"
        f" unsettled: {len(proofs.unsettled)}"
    )
    sides = (
        ("naive", z3.Solver, f" (aim: at most 1/{AIM})"),
        ("naive, with the solver we choose", z3.SimpleSolver, ""),
    )
    for name, solver_of, aim in sides:
        start = time.process_time()
        settled = list(naive(rule_set, solver_of, MOST_S))
        naive_s = time.process_time() - start
        print(
            f"proofs: 1/{naive_s / ours_s:.0f} of {name}{aim}; {settled.count(False)} of {len(settled)} unsettled,"
            f" stopped at {MOST_S:.0f} s"
        )


if __name__ == "__main__":
    main()
