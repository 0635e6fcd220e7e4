"""What single entries, and entries against each other, come to over every job: idle, contradictory, too mild."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator

from riskhelper.office.proofs.bench import Bench
from riskhelper.office.proofs.finding import Example, ProofFinding, Result, Unsettled
from riskhelper.office.proofs.jobs import Trial
from riskhelper.office.proofs.logic import Plain, conjoined, disjoined, negated
from riskhelper.office.proofs.outcome import RatingTerms
from riskhelper.office.proofs.proving import Found, Proved
from riskhelper.review.possible import is_possible
from riskhelper.ruleset import tree
from riskhelper.terms import ControlKind

WEAK = (ControlKind.ADMINISTRATIVE, ControlKind.PPE)
_MOST_S = 2.0
_ALONE = "briefings and PPE alone bring it below the band that stops or demands controls"
_BESIDE = "strong controls leave it where the job stops, and briefings and PPE bring it to where nothing is demanded"


def idle_with_figures(bench: Bench) -> Iterator[Result]:
    """Entries that no job fulfils because of what calculated figures can come to; the review finds all others."""
    for entry, causes in bench.causes_by_entry.items():
        for cause in causes:
            reads_figure = any(bench.rules.figures_read.get(name) for name in tree.names_in(cause.node))
            if not reads_figure or not is_possible(bench.rules, cause.node):
                continue
            fulfilled = bench.outcome.held.test(cause.node).surely
            if bench.prover.is_impossible(fulfilled, _MOST_S):
                words = "no answers at all bring the figures to what this asks for"
                yield ProofFinding("never_with_figures", entry.partition(",")[0], words)


def contradictions(bench: Bench) -> Iterator[Result]:
    """Questions and hazards that come only with a stop: between them the entries leave no way through.

    Looked for at the end of the work with everything answered, every control in place and nothing ruled.
    """
    outcome, rules = bench.outcome, bench.rules
    stops = {f"stop {name}": negated(outcome.condition_stop(name)) for name in rules.stops}
    stops["the band of a hazard"] = negated(outcome.causes["unacceptable_as_planned"])
    at_end: list[Plain] = [*bench.job.reached, *bench.job.proved.values()]
    wanted: dict[str, Plain] = {f"question {name}": outcome.held.asked(name).yes for name in rules.questions}
    wanted |= {
        f"hazard {name}": outcome.held.test(rule.applies.node).surely for name, rule in rules.hazard_rules.items()
    }
    for entry, goal, reached in bench.prover.each_reached(wanted, [*at_end, *stops.values()]):
        if reached is None:
            yield Unsettled("contradiction", entry, "whether it can be met without a stop")
        elif not reached and not bench.prover.is_impossible(goal, _MOST_S):
            between = bench.prover.core(goal, at_end, stops, _MOST_S)
            if between:
                words = f"whatever is answered, the job stops where it is met: {', '.join(between)}"
                yield ProofFinding("contradiction", entry, words)


def weak_controls(bench: Bench) -> Iterator[Result]:
    """Hazards that briefings and PPE bring below the band that stops or demands controls, where they must not.

    On their own they clear nothing; beside strong controls they do not bring what those leave in a band that stops
    down to one that demands nothing.
    """
    for name, hazard in bench.rules.hazards.items():
        kinds = {bench.rules.controls[c].kind for c in bench.rules.controls_of.get(name, ())}
        if kinds.isdisjoint(WEAK) or hazard.administrative_accepted:
            continue
        for goal, words in ((cleared_alone(bench, name), _ALONE), (cleared_beside_strong(bench, name), _BESIDE)):

            def shows(trial: Trial, hazard_id: str = name) -> Example | None:
                return _shows_cleared(bench, trial, hazard_id)

            settled = bench.prover.settle(goal, (bench.outcome,), shows)
            if isinstance(settled, Found):
                yield ProofFinding("weak_controls_clear", f"hazard {name}", words, settled.example)
                break
            if not isinstance(settled, Proved):
                yield Unsettled("weak_controls_clear", f"hazard {name}", settled.words)


def cleared_alone(bench: Bench, hazard: str) -> Plain:
    """Whether a hazard is brought below a band that stops or demands controls by weak controls alone."""
    outcome = bench.outcome
    without = [negated(_counted(bench, c)) for c in _strong(bench, hazard)]
    left, found = outcome.as_planned(hazard), outcome.as_found(hazard)
    cleared = disjoined(_falls_below(bench, found, left, verdict) for verdict in ("stop", "conditions"))
    return conjoined((outcome.applies(hazard), *without, cleared))


def cleared_beside_strong(bench: Bench, hazard: str) -> Plain:
    """Whether weak controls bring what strong ones leave in a band that stops to one that demands nothing."""
    outcome, bands = bench.outcome, bench.rules.matrix.bands
    firsts = [next((n for n, band in enumerate(bands) if band.verdict == v), None) for v in ("stop", "conditions")]
    if None in firsts:
        return False
    stops, demands = (int(first or 0) for first in firsts)
    by_strong = outcome.rating(hazard, {c: _counted(bench, c) for c in _strong(bench, hazard)})
    cleared = (by_strong.bands[stops], negated(outcome.as_planned(hazard).bands[demands]))
    return conjoined((outcome.applies(hazard), *cleared))


def _strong(bench: Bench, hazard: str) -> list[str]:
    return [c for c in bench.rules.controls_of.get(hazard, ()) if bench.rules.controls[c].kind not in WEAK]


def _counted(bench: Bench, control: str) -> Plain:
    return disjoined((bench.job.planned[control], bench.job.proved[control]))


def _falls_below(bench: Bench, found: RatingTerms, left: RatingTerms, verdict: str) -> Plain:
    """Whether a rating reaches a band of that verdict as found and none of it, or worse, with the controls."""
    bands = bench.rules.matrix.bands
    first = next((n for n, band in enumerate(bands) if band.verdict == verdict), None)
    return False if first is None else conjoined((found.bands[first], negated(left.bands[first])))


def _shows_cleared(bench: Bench, trial: Trial, name: str) -> Example | None:
    [job] = trial.jobs
    verdicts = {band.id: ("none", "conditions", "stop").index(band.verdict) for band in bench.rules.matrix.bands}
    for hazard in bench.assessed(job, trial.milestone).hazards:
        before, after = hazard.as_found, hazard.as_planned
        if hazard.id == name and verdicts[after.band] < verdicts[before.band]:
            words = (
                f"as found {before.likelihood} x {before.severity}, {before.band};"
                f" as planned {after.likelihood} x {after.severity}, {after.band}"
            )
            return Example(trial.milestone, trial.jobs, (words,))
    return None


def credited_twice(bench: Bench) -> Iterator[Result]:
    """Controls of one hazard that say the same under two names, or rest on the same evidence of the same person."""
    rules = bench.rules
    for hazard, names in rules.controls_of.items():
        for one, other in itertools.combinations(names, 2):
            first, second = rules.controls[one], rules.controls[other]
            alike = _words(first.do) == _words(second.do) and first.kind is second.kind
            if alike:
                words = f"says the same as `{one}`, and both lower `{hazard}`"
                yield ProofFinding("credited_twice", f"control {other}", words)


def _words(text: str) -> Counter[str]:
    kept = "".join(c if c.isalnum() else " " for c in text.lower())
    return Counter(kept.split())
