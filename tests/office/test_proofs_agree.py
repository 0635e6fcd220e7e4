"""The solver's reading of a job is that of the slow reference: every truth, level, stop and verdict."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import z3  # type: ignore[import-untyped]
from hypothesis import given, settings

from riskhelper.evidence import Job
from riskhelper.office.proofs.answers import any_job
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.jobs import holds, supposing
from riskhelper.office.proofs.logic import Ladder
from riskhelper.office.proofs.outcome import Outcome, RatingTerms
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Verdict
from tests.meaning import generate, oracle
from tests.meaning.outcome import loaded
from tests.thoroughness import examples


def plain(job: Job, rules: RuleSet) -> Job:
    """The job without what the solver leaves out: ages, rulings, and which entry a proof rests on."""
    answers = {}
    for name, answer in job.answers.items():
        life = rules.questions[name].life_min
        stale = life is not None and answer.at is not None and (generate.NOW - answer.at).total_seconds() > life * 60
        if not stale:
            answers[name] = replace(answer, at=None)
    proved = {name: replace(proof, entry=None) for name, proof in job.proved.items()}
    return replace(job, answers=answers, proved=proved, rulings={})


def level_of(model: Any, ladder: Ladder) -> int:
    return max(n for n, rung in enumerate(ladder) if holds(model, rung))


def rating_of(model: Any, rules: RuleSet, rating: RatingTerms) -> tuple[int, int, str]:
    band = max(n for n, reached in enumerate(rating.bands) if holds(model, reached))
    return (level_of(model, rating.likelihood), level_of(model, rating.severity), rules.matrix.bands[band].id)


def supposed(rules: RuleSet, job: Job, milestone: str) -> tuple[Any, Outcome]:
    """The one thing the solver can suppose about a job."""
    figures, terms = Figures(), any_job(rules, milestone)
    outcome = Outcome.of(rules, terms, figures)
    read = read_by_solver(outcome)
    solver = z3.Solver()
    solver.add(*supposing(rules, terms, job), *(fact for fact in (*terms.facts, *figures.facts) if fact is not True))
    assert solver.check() == z3.sat
    del read
    return solver.model(), outcome


def read_by_solver(outcome: Outcome) -> list[Any]:
    """Everything an outcome says, so that all terms exist before the solver starts."""
    rules = outcome.rules
    parts: list[Any] = [outcome.verdict(verdict) for verdict in Verdict]
    for hazard in rules.hazards:
        parts += [outcome.as_found(hazard), outcome.as_planned(hazard), outcome.as_proved(hazard)]
    return parts


def told(model: Any, outcome: Outcome) -> dict[str, Any]:
    rules = outcome.rules
    names = {Verdict.STOP: "STOP", Verdict.CONDITIONS: "CONDITIONS", Verdict.NO_STOP_FOUND: "NO STOP FOUND"}
    applying = [h for h in rules.hazards if holds(model, outcome.applies(h))]
    return {
        "verdict": [words for verdict, words in names.items() if holds(model, outcome.verdict(verdict))],
        "stops": {stop for stop in rules.stops if holds(model, outcome.stop(stop))},
        "not known": {q for q in rules.questions if holds(model, outcome.present.not_known(q))},
        "pending": {q for q in rules.questions if holds(model, outcome.present.pending(q))},
        "not asked": {q for q in rules.questions if holds(model, outcome.present.absent(q))},
        "hazards": {
            h: {
                "as_found": rating_of(model, rules, outcome.as_found(h)),
                "as_planned": rating_of(model, rules, outcome.as_planned(h)),
                "as_proved": rating_of(model, rules, outcome.as_proved(h)),
            }
            for h in applying
        },
    }


def referred(rules: oracle.Rules, job: Job, milestone: str) -> dict[str, Any]:
    outcome = oracle.assess(rules, job, milestone, generate.NOW)
    by_status = {
        s: {q for q, t in outcome["statuses"].items() if t == s} for s in ("not known", "pending", "not asked")
    }
    ways = ("as_found", "as_planned", "as_proved")
    return {
        "verdict": [outcome["verdict"]],
        "stops": set(outcome["stops"]),
        **by_status,
        "hazards": {h: {way: found[way] for way in ways} for h, found in outcome["hazards"].items()},
    }


@given(generate.samples())
@settings(max_examples=examples(60), deadline=None)
def test_the_solver_reads_generated_rules_and_jobs_as_the_reference_does(sample: generate.Sample) -> None:
    rules = loaded(sample.text, sample.job.local_code)
    job = plain(sample.job, rules)

    model, outcome = supposed(rules, job, sample.milestone)

    assert told(model, outcome) == referred(oracle.gathered(sample.text.files), job, sample.milestone)
