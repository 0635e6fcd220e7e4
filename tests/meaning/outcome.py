"""The program's assessment in the plain form of the reference, and the order from mild to grave."""

from __future__ import annotations

from typing import Any

from riskhelper.assessment import assess as program
from riskhelper.assessment.result import Assessment, Rating, Reason
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.terms import Truth
from tests.meaning.generate import NOW, RATING_STOPS, RuleText, Sample

TRUTHS = {Truth.YES: "yes", Truth.NO: "no", Truth.CANNOT_TELL: "cannot tell"}
BANDS = ("low", "medium", "high", "very_high")


def loaded(text: RuleText, code: str = "none") -> RuleSet:
    """The program's own form of a generated set, whose guards hold by construction."""
    return load_rules(text.files, code, prove_guards=False)


def assessed(sample: Sample, milestone: str | None = None) -> Assessment:
    """What the program says about a sample."""
    rules = loaded(sample.text, sample.job.local_code)
    return program.assess(rules, sample.job, milestone or sample.milestone, NOW)


def rejudged(rules: RuleSet, job: Job, milestone: str) -> Assessment:
    """What the program says about a job under a set already loaded."""
    return program.assess(rules, job, milestone, NOW)


def figures(rating: Rating) -> tuple[int, int, str]:
    """A rating in the reference's form."""
    return rating.likelihood, rating.severity, rating.band


def _reasons(reasons: tuple[Reason, ...]) -> list[tuple[str, str]]:
    return sorted((r.because, "holds" if r.holds else "cannot be ruled out") for r in reasons)


def plain(assessment: Assessment) -> dict[str, Any]:
    """An assessment as the reference would say it."""
    return {
        "verdict": assessment.verdict.words,
        "stops": {stop.id: "holds" if stop.holds else "cannot be ruled out" for stop in assessment.stops},
        "ruled": {c.ids[0] for c in assessment.conditions if c.kind == "ruling"},
        "later_stops": {stop.id for stop in assessment.later_stops},
        "statuses": {name: status.value for name, status in assessment.statuses.items()},
        "hazards": {
            hazard.id: {
                "applies": TRUTHS[hazard.applies],
                "as_found": figures(hazard.as_found),
                "as_planned": figures(hazard.as_planned),
                "as_proved": figures(hazard.as_proved),
                "likelihood": _reasons(hazard.likelihood_reasons),
                "severity": _reasons(hazard.severity_reasons),
            }
            for hazard in assessment.hazards
        },
    }


def graver_points(before: Assessment, after: Assessment) -> list[str]:
    """In what `after` is graver than `before`; empty if in nothing."""
    found = []
    if after.verdict > before.verdict:
        found.append(f"verdict {before.verdict.words} became {after.verdict.words}")
    old = {stop.id for stop in before.stops}
    # A rating that falls from unacceptable may leave a milder stop of the same family behind.
    if RATING_STOPS["unacceptable_as_planned"] in old:
        old.add(RATING_STOPS["serious_without_control"])
    found += [f"new stop {stop.id}" for stop in after.stops if stop.id not in old]
    hazards = {hazard.id: hazard for hazard in before.hazards}
    for hazard in after.hazards:
        if hazard.id not in hazards:
            found.append(f"new hazard {hazard.id}")
            continue
        for way in ("as_found", "as_planned", "as_proved"):
            one, other = getattr(hazards[hazard.id], way), getattr(hazard, way)
            worse = (
                other.likelihood > one.likelihood,
                other.severity > one.severity,
                BANDS.index(other.band) > BANDS.index(one.band),
            )
            if any(worse):
                found.append(f"{hazard.id} {way}: {figures(one)} became {figures(other)}")
    return found
