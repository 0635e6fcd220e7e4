"""What is looked at when two rule sets are shown on one job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial

from riskhelper.assessment.hazards import level
from riskhelper.assessment.result import Assessment
from riskhelper.assessment.stops import found_stop
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.office.deciding import Subject
from riskhelper.ruleset.meaning import NO, NOT_ASKED, YES
from riskhelper.ruleset.model import RuleSet

MOMENT = datetime(2000, 1, 1, tzinfo=UTC)  # no answer of an example carries a moment, so none can age
Ranks = tuple[float, ...]
Quick = Callable[[RuleSet, Job, str], Ranks]
SAID = {
    "control": ("it is of no use", "it is of use"),
    "ppe": ("PPE counts", "PPE does not count"),
    "question": ("it is not asked", "it is asked"),
    "service": ("the plant does not count as in service", "the plant counts as in service"),
}


@dataclass(frozen=True, slots=True)
class Look:
    """Ranks of an assessment, where more is graver, and the words for them.

    `quick` gives the ranks of a job without the whole assessment, where there is a shorter way.
    """

    ranks: Callable[[Assessment], Ranks]
    words: Callable[[Assessment], str]
    quick: Quick | None = None

    def tell(self, rules: RuleSet, job: Job, milestone: str, shown: Assessment) -> tuple[Ranks, str]:
        """Ranks of a job with their words."""
        del rules, job, milestone
        return self.ranks(shown), self.words(shown)


@dataclass(frozen=True, slots=True)
class ReadingLook:
    """Ranks that a reading of the job alone gives, and what is said of them: the assessment does not show them."""

    quick: Quick
    said: Callable[[Ranks], str]

    def tell(self, rules: RuleSet, job: Job, milestone: str, shown: Assessment) -> tuple[Ranks, str]:
        """Ranks of a job with their words."""
        del shown
        found = self.quick(rules, job, milestone)
        return found, self.said(found)


def reading_of(rules: RuleSet, job: Job, milestone: str, *, now: bool = False) -> Reading:
    """The reading a look takes: IF HELD, or NOW."""
    return Reading(rules, job, milestone, MOMENT, if_held=not now)


def look_of(subject: Subject) -> Look:
    """The look at a hazard or a stop, NOW or IF HELD."""
    name = subject.name
    if subject.kind == "hazard":
        return hazard_look_now(name) if subject.now else hazard_look(name)
    return stop_look_now(name) if subject.now else stop_look(name)


def reading_look_of(subject: Subject) -> ReadingLook:
    """The look at what only a reading of the job shows."""
    return ReadingLook(ranks_of(subject), partial(_said, subject.kind))


def _said(kind: str, found: Ranks) -> str:
    if kind in SAID:
        return SAID[kind][int(found[0])]
    words = dict.fromkeys(one if isinstance(one, str) else f"{one:g}" for one in found)
    return " to ".join(words)


def ranks_of(subject: Subject) -> Quick:
    """How what is looked at ranks in a job, as the reading of the job alone tells it."""
    if subject.kind in ("hazard", "stop"):
        quick = look_of(subject).quick
        assert quick is not None
        return quick
    return lambda rules, job, milestone: _ranks(subject, rules, reading_of(rules, job, milestone))


def _ranks(subject: Subject, rules: RuleSet, reading: Reading) -> Ranks:
    name = subject.name
    match subject.kind:
        case "control":
            return (int(rules.control_checks[name].test(reading) == YES),)
        case "ppe":
            barred = rules.hazard_rules[name].no_ppe_credit
            return (int(barred is not None and barred.test(reading) != NO),)
        case "question":
            return (int(reading.asked(name) not in (NO, NOT_ASKED)),)
        case "service":
            return (int(rules.in_service.test(reading) != NO),)
        case "fact":
            value = reading[name]
            return tuple(value) if isinstance(value, tuple) else (value,)
        case _:
            raise KeyError(subject.kind)


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

    return Look(ranks, words, partial(_levels, name, now=False))


def hazard_look_now(name: str) -> Look:
    """Likelihood and severity of a hazard with what is pending counted as not known, and nothing proved."""

    def ranks(shown: Assessment) -> Ranks:
        for hazard in shown.hazards:
            if hazard.id == name:
                return (1, hazard.as_proved.likelihood, hazard.as_proved.severity)
        return (0, 0, 0)

    def words(shown: Assessment) -> str:
        in_play, likelihood, severity = ranks(shown)
        return f"as proved likelihood {likelihood}, severity {severity}" if in_play else "does not apply"

    return Look(ranks, words, partial(_levels, name, now=True))


def _levels(name: str, rules: RuleSet, job: Job, milestone: str, *, now: bool) -> Ranks:
    rule = rules.hazard_rules.get(name)
    held = reading_of(rules, job, milestone)
    if rule is None or rule.applies.test(held) == NO:
        return (0, 0, 0)
    reading = reading_of(rules, job, milestone, now=True) if now else held
    likelihood, _ = level(rule.entry.likelihood.least, rule.likelihood, reading)
    severity, _ = level(rule.entry.severity.least, rule.severity, reading)
    return (1, likelihood, severity)


def stop_look(name: str) -> Look:
    """Whether a stop fires."""

    def ranks(shown: Assessment) -> Ranks:
        return (int(any(stop.id == name for stop in shown.stops)),)

    def words(shown: Assessment) -> str:
        return "the stop fires" if ranks(shown)[0] else "the stop does not fire"

    return Look(ranks, words, partial(_fires, name, now=False))


def stop_look_now(name: str) -> Look:
    """Whether a stop fires, or can still become one at a hold point ahead."""

    def ranks(shown: Assessment) -> Ranks:
        return (int(any(stop.id == name for stop in (*shown.stops, *shown.later_stops))),)

    def words(shown: Assessment) -> str:
        return "it can still become a stop" if ranks(shown)[0] else "it can no longer become a stop"

    return Look(ranks, words, partial(_fires, name, now=True))


def _fires(name: str, rules: RuleSet, job: Job, milestone: str, *, now: bool) -> Ranks:
    rule = rules.stop_rules.get(name)
    if rule is None:
        return (0,)
    return (int(found_stop(name, rule, reading_of(rules, job, milestone, now=now)) is not None),)


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
