"""An assessment in plain lines: verdict first, then what stops, what is not known, what is worst."""

from __future__ import annotations

from riskhelper.assessment.result import Assessment, Condition, HazardFinding, Rating, Reason, StopFinding
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Verdict, spoken

CAUTION = (
    "This is an aid to thinking, not a permission to start. Local law, site rules and the licensed or authorised "
    "person win. Anyone may stop the job."
)
_VERDICT_WORDS = {
    Verdict.STOP: "Work must not start, or must stop.",
    Verdict.CONDITIONS: "Work may be planned only under the conditions below.",
    Verdict.NO_STOP_FOUND: "The rules found no stop. They know only what was answered.",
}


def brief_lines(rules: RuleSet, assessment: Assessment) -> list[str]:
    """The findings so far, short enough to listen to: verdict, stops, unknowns, the three worst hazards."""
    lines = verdict_lines(assessment)
    lines += _titled("Stops", [line for stop in assessment.stops for line in _stop(rules, stop)])
    lines += _titled("Not known, counted at the worst", [rules.questions[q].ask for q in assessment.unknowns])
    lines += _titled("Worst hazards", [line for hazard in assessment.worst for line in _hazard(rules, hazard)])
    return lines


def full_lines(rules: RuleSet, assessment: Assessment) -> list[str]:
    """Everything the assessment says, the caution first and last."""
    lines = [CAUTION, "", *verdict_lines(assessment)]
    lines += _titled("Stops", [line for stop in assessment.stops for line in _stop(rules, stop)])
    lines += _titled(
        "Faults of the rule set, each a stop", [f"{defect.entry}: {defect.words}" for defect in assessment.defects]
    )
    lines += _titled("Conditions", [_condition(rules, condition) for condition in assessment.conditions])
    lines += _titled(
        "Not known, counted at the worst",
        [f"{rules.questions[q].ask} To do: {rules.questions[q].if_unknown}" for q in assessment.unknowns],
    )
    lines += _titled("Answers that have aged: ask again", [rules.questions[q].ask for q in assessment.stale])
    lines += _titled("Hazards", [line for hazard in assessment.hazards for line in _hazard(rules, hazard)])
    lines += _titled("Numbers", [shown.working for shown in assessment.quantities])
    return [*lines, "", CAUTION]


def verdict_lines(assessment: Assessment) -> list[str]:
    """The verdict in one or two lines."""
    return [
        f"Verdict at {spoken(assessment.milestone)}: {assessment.verdict.words}",
        _VERDICT_WORDS[assessment.verdict],
    ]


def rating_words(rules: RuleSet, rating: Rating) -> str:
    """A rating said in words, with the band's own."""
    band = next((band.words for band in rules.matrix.bands if band.id == rating.band), rating.band)
    held = f" ({rating.held})" if rating.held else ""
    return (
        f"likelihood {rating.likelihood} ({rules.matrix.likelihood[rating.likelihood - 1]}), "
        f"severity {rating.severity} ({rules.matrix.severity[rating.severity - 1]}): {band}{held}"
    )


def reason_words(rules: RuleSet, reason: Reason) -> str:
    """A reason with its standing: holds, too close to call, or cannot be ruled out and by which answer."""
    if reason.holds:
        return reason.because
    asks = "; ".join(rules.questions[q].ask for q in reason.rests_on if q in rules.questions)
    if reason.too_close:
        return f"{reason.because}: too close to call; measure better" + (f" ({asks})" if asks else "")
    return f"{reason.because}: cannot be ruled out" + (f" until this is answered: {asks}" if asks else "")


def _titled(title: str, lines: list[str]) -> list[str]:
    if not lines:
        return ["", f"{title}: none."]
    return ["", f"{title}:", *(line if line.startswith("  ") else f"- {line}" for line in lines)]


def _stop(rules: RuleSet, stop: StopFinding) -> list[str]:
    lines = [f"{stop.title}. {stop.because}", f"  What to do: {stop.act}", f"  Who can lift it: {stop.who}"]
    lines += [f"  Why: {reason_words(rules, reason)}" for reason in stop.reasons]
    return lines


def _condition(rules: RuleSet, condition: Condition) -> str:
    if condition.hold_point in rules.hold_points:
        return f"Before {rules.hold_points[condition.hold_point].words}: {condition.words}"
    return condition.words


def _hazard(rules: RuleSet, hazard: HazardFinding) -> list[str]:
    lines = [
        f"{hazard.title}. Who: {hazard.who}. Harm: {hazard.harm}",
        f"  As found: {rating_words(rules, hazard.as_found)}",
        f"  As planned: {rating_words(rules, hazard.as_planned)}",
    ]
    decisive = [r for r in (*hazard.likelihood_reasons, *hazard.severity_reasons) if r.decides or r.by]
    return lines + [f"  Because: {reason_words(rules, reason)}" for reason in decisive]
