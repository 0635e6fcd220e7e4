"""An assessment in plain lines: verdict first, then what stops, what is not known, what is worst."""

from __future__ import annotations

from riskhelper.assessment.result import Assessment, HazardFinding, QuantityShown, Rating, Reason, StopFinding
from riskhelper.evidence import Job
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


def brief_lines(rules: RuleSet, job: Job, assessment: Assessment) -> list[str]:
    """The findings so far, short enough to listen to."""
    certain = certain_stops(assessment)
    open_stops = len(assessment.stops) - len(certain)
    said = [question for question in assessment.unknowns if question in job.answers]
    unanswered = len(assessment.unknowns) - len(said)
    lines = verdict_lines(assessment)
    lines += _titled("Stops that are certain", [line for stop in certain for line in _stop(rules, stop)])
    if open_stops:
        lines.append(f"Stops that cannot be ruled out yet: {open_stops}.")
    if unanswered:
        lines.append(f"Questions still to be answered: {unanswered}. Until then each counts at its worst.")
    lines += _titled("Said to be not known", [rules.questions[q].ask for q in said])
    return lines + _titled("Worst hazards", [_hazard_line(rules, hazard) for hazard in assessment.worst])


def certain_stops(assessment: Assessment) -> list[StopFinding]:
    """Stops that no further answer can rule out."""
    return [stop for stop in assessment.stops if stop.holds]


def full_lines(rules: RuleSet, assessment: Assessment) -> list[str]:
    """Everything the assessment says, the caution first and last."""
    unknown = [f"{rules.questions[q].ask} To do: {rules.questions[q].if_unknown}" for q in assessment.unknowns]
    defects = [f"{defect.entry}: {defect.words}" for defect in assessment.defects]
    hazards = [line for hazard in assessment.hazards for line in _hazard(rules, hazard)]
    lines = [CAUTION, "", *verdict_lines(assessment)]
    lines += _titled("Stops", [line for stop in assessment.stops for line in _stop(rules, stop)], or_none=True)
    lines += _titled("Faults of the rule set, each a stop", defects)
    lines += _conditions(rules, assessment)
    lines += _titled("Not known, counted at the worst", unknown)
    lines += _titled("To be asked again, as the answer has aged", [rules.questions[q].ask for q in assessment.stale])
    lines += _titled("Hazards, the worst first", hazards, or_none=True)
    lines += _titled("Numbers", [line for shown in assessment.quantities for line in _number(rules, shown)])
    return [*lines, *_level_lines(rules), "", CAUTION]


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
    return f"likelihood {rating.likelihood}, severity {rating.severity}: {band}{held}"


def reason_words(rules: RuleSet, reason: Reason) -> str:
    """A reason with its standing: holds, too close to call, or cannot be ruled out and by which answer."""
    if reason.holds:
        return reason.because
    asks = "; ".join(rules.questions[q].ask for q in reason.rests_on if q in rules.questions)
    if reason.too_close:
        return f"{reason.because}: too close to call; measure better" + (f" ({asks})" if asks else "")
    return f"{reason.because}: cannot be ruled out" + (f" until this is answered: {asks}" if asks else "")


def _titled(title: str, lines: list[str], *, or_none: bool = False) -> list[str]:
    if not lines:
        return ["", f"{title}: none."] if or_none else []
    return ["", f"{title}:", *(line if line.startswith("  ") else f"- {line}" for line in lines)]


def _conditions(rules: RuleSet, assessment: Assessment) -> list[str]:
    """Conditions by the hold point before which they must come true."""
    lines: list[str] = []
    for point in rules.head.hold_points:
        due = [condition.words for condition in assessment.conditions if condition.hold_point == point.id]
        lines += _titled(f"Conditions before {point.words}", due)
    others = [c.words for c in assessment.conditions if c.hold_point not in rules.hold_points]
    return lines + _titled("Conditions at any time", others)


def _level_lines(rules: RuleSet) -> list[str]:
    """What the levels of likelihood and severity mean."""
    lines = []
    for title, words in (("Likelihood", rules.matrix.likelihood), ("Severity", rules.matrix.severity)):
        lines += _titled(f"{title} means", [f"{level}: {meaning}" for level, meaning in enumerate(words, start=1)])
    return lines


def _stop(rules: RuleSet, stop: StopFinding) -> list[str]:
    lines = [f"{stop.title}. {stop.because}", f"  What to do: {stop.act}", f"  Who can lift it: {stop.who}"]
    lines += [f"  Why: {reason_words(rules, reason)}" for reason in stop.reasons]
    return lines


def _number(rules: RuleSet, shown: QuantityShown) -> list[str]:
    """A figure with its working, the documents behind it and their standing, and what was assumed."""
    documents = [cited(rules, part.strip()) for part in shown.source.split(",")] if shown.source else ["ours"]
    lines = [f"{shown.title}: {shown.working}", f"  Source: {', '.join(documents)} ({shown.standing.value})"]
    if shown.assumed:
        lines.append(f"  Not known, counted at the worst: {' '.join(rules.questions[q].ask for q in shown.assumed)}")
    if shown.outside:
        lines.append(f"  Outside its limits, counted at the worst: {shown.outside}")
    return lines


def cited(rules: RuleSet, source: str) -> str:
    """A listed source by title, edition and clause; any other words as they stand."""
    entry = rules.sources.get(source)
    return ", ".join(part for part in (entry.title, entry.edition, entry.clause) if part) if entry else source


def _hazard_line(rules: RuleSet, hazard: HazardFinding) -> str:
    return f"{hazard.title}: as found {rating_words(rules, hazard.as_found)}"


def _hazard(rules: RuleSet, hazard: HazardFinding) -> list[str]:
    lines = [
        f"{hazard.title}. Who: {hazard.who}. Harm: {hazard.harm}",
        f"  As found: {rating_words(rules, hazard.as_found)}",
        f"  As planned: {rating_words(rules, hazard.as_planned)}",
    ]
    decisive = [r for r in (*hazard.likelihood_reasons, *hazard.severity_reasons) if r.decides or r.by]
    return lines + [f"  Because: {reason_words(rules, reason)}" for reason in decisive]
