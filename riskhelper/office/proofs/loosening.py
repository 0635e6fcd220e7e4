"""A set with supplements against the set without: does anything come out milder?"""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.assessment.assess import assess
from riskhelper.office.proofs.bench import Bench, milder, read_everything, seen_milder
from riskhelper.office.proofs.finding import Example, ProofFinding, Result, Unsettled
from riskhelper.office.proofs.jobs import MOMENT, Trial
from riskhelper.office.proofs.logic import Plain, conjoined, negated, outranks
from riskhelper.office.proofs.outcome import Outcome, RatingTerms
from riskhelper.office.proofs.proving import Found, Proved
from riskhelper.ruleset.model import RuleSet


def loosened(with_supplement: Bench, base: RuleSet) -> Iterator[Result]:
    """Every hazard and stop of the base set that a job with the same answers meets more mildly with supplements.

    Both sets must stand under the same local code. Promises and proofs are those of the base set's own controls:
    a supplement gives no credit.
    """
    bench = with_supplement
    before = Outcome.of(base, bench.job, bench.figures)
    after = bench.outcome
    read_everything(before)
    looser: dict[str, Plain] = milder(before, after, list(base.hazards), list(base.stops))
    for hazard in base.hazards:
        for way in ("as_planned", "as_proved"):
            entry = f"hazard {hazard}, {way.replace('_', ' ')}"
            ratings: list[RatingTerms] = [getattr(outcome, way)(hazard) for outcome in (before, after)]
            falls = outranks(ratings[0].bands, ratings[1].bands)
            looser[entry] = conjoined((before.applies(hazard), after.applies(hazard), falls))
    for stop in base.stops:
        now = [outcome.condition_stop(stop, now=True) for outcome in (before, after)]
        looser[f"later stop {stop}"] = conjoined((now[0], negated(now[1])))
    for entry, goal in looser.items():

        def shows(trial: Trial, wanted: str = entry) -> Example | None:
            return _shows(bench, base, trial, wanted)

        settled = bench.prover.settle(goal, (before, after), shows)
        if isinstance(settled, Found):
            words = "comes out milder with the supplement than without it"
            yield ProofFinding("supplement_loosens", entry, words, settled.example)
        elif not isinstance(settled, Proved):
            yield Unsettled("supplement_loosens", entry, settled.words)


def _shows(bench: Bench, base: RuleSet, trial: Trial, entry: str) -> Example | None:
    before = assess(base, trial.jobs[0], trial.milestone, MOMENT)
    after = bench.assessed(trial.jobs[1], trial.milestone)
    seen = dict(seen_milder(before, after))
    bands = [band.id for band in base.matrix.bands]
    left = {hazard.id: hazard for hazard in after.hazards}
    for hazard in before.hazards:
        for way in ("as_planned", "as_proved"):
            if hazard.id in left:
                old, new = getattr(hazard, way).band, getattr(left[hazard.id], way).band
                if bands.index(new) < bands.index(old):
                    seen[f"hazard {hazard.id}, {way.replace('_', ' ')}"] = f"{old} becomes {new}"
    still = {stop.id for stop in (*after.stops, *after.later_stops)}
    for stop in (*before.stops, *before.later_stops):
        if stop.id not in still:
            seen[f"later stop {stop.id}"] = "it can no longer become a stop"
    return Example(trial.milestone, trial.jobs, (f"{entry}: {seen[entry]}",)) if entry in seen else None
