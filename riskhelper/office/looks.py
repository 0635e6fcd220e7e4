"""What is looked at when two rule sets are shown on one job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

from riskhelper.assessment.hazards import level
from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.ruleset.meaning import NO
from riskhelper.ruleset.model import RuleSet

MOMENT = datetime(2000, 1, 1, tzinfo=UTC)  # no answer of an example carries a moment, so none can age
Ranks = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """Ranks of an assessment, where more is graver, and the words for them.

    `quick` gives the ranks of a job without the whole assessment, where there is a shorter way.
    """

    ranks: Callable[[Assessment], Ranks]
    words: Callable[[Assessment], str]
    quick: Callable[[RuleSet, Job, str], Ranks] | None = None


def hazard_look(name: str) -> Look:
    """Likelihood and severity of a hazard as found."""

    def ranks(shown: Assessment) -> Ranks:
        for hazard in shown.hazards:
            if hazard.id == name:
                return (1, hazard.as_found.likelihood, hazard.as_found.severity)
        return (0, 0, 0)

    def words(shown: Assessment) -> str:
        in_play, likelihood, severity = ranks(shown)
        return f"likelihood {likelihood}, severity {severity}" if in_play else "does not apply"

    def quick(rules: RuleSet, job: Job, milestone: str) -> Ranks:
        rule = rules.hazard_rules.get(name)
        reading = Reading(rules, job, milestone, MOMENT, if_held=True)
        if rule is None or rule.applies.test(reading) == NO:
            return (0, 0, 0)
        likelihood, _ = level(rule.entry.likelihood.least, rule.likelihood, reading)
        severity, _ = level(rule.entry.severity.least, rule.severity, reading)
        return (1, likelihood, severity)

    return Look(ranks, words, quick)


def stop_look(name: str) -> Look:
    """Whether a stop fires."""

    def ranks(shown: Assessment) -> Ranks:
        return (int(any(stop.id == name for stop in shown.stops)),)

    def words(shown: Assessment) -> str:
        return "the stop fires" if ranks(shown)[0] else "the stop does not fire"

    def quick(rules: RuleSet, job: Job, milestone: str) -> Ranks:
        rule = rules.stop_rules.get(name)
        if rule is None or rule.check is None:
            return (0,)
        return (int(rule.check.test(Reading(rules, job, milestone, MOMENT, if_held=True)) != NO),)

    return Look(ranks, words, quick)


def whole_look(old: RuleSet, new: RuleSet) -> Look:
    """Verdict, stops and bands as planned, of everything both sets know."""
    stops = [name for name in old.stops if name in new.stops]
    hazards = [name for name in old.hazards if name in new.hazards]
    bands = {band.id: place for place, band in enumerate(new.matrix.bands)}

    def ranks(shown: Assessment) -> Ranks:
        fired = {stop.id for stop in shown.stops}
        rated = {hazard.id: bands.get(hazard.as_planned.band, 0) for hazard in shown.hazards}
        return (int(shown.verdict), *(int(n in fired) for n in stops), *(rated.get(n, -1) for n in hazards))

    def words(shown: Assessment) -> str:
        counts = Counter(hazard.as_planned.band for hazard in shown.hazards)
        names = {band.id: band.words for band in (*old.matrix.bands, *new.matrix.bands)}
        rated = ", ".join(f"{counts[band]} {words}" for band, words in names.items() if counts[band])
        stopped = "1 stop" if len(shown.stops) == 1 else f"{len(shown.stops)} stops"
        return f"{stopped}; hazards as planned {rated or 'none'}"

    return Look(ranks, words)
