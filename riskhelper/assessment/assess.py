"""The verdict of a job at a milestone: a pure function of rule set, job, milestone and moment."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from riskhelper.assessment.conditions import conditions
from riskhelper.assessment.hazards import HazardRater, RatedHazard
from riskhelper.assessment.quantities import shown_quantity
from riskhelper.assessment.result import Assessment, Defect, QuantityShown, Reason, StopFinding
from riskhelper.assessment.stops import found_stop, rating_stops, ruling_on
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.interview.order import stale
from riskhelper.ruleset.meaning import CANNOT_TELL
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Status, StopKind, Truth, Verdict


def assess(rules: RuleSet, job: Job, milestone: str, now: datetime) -> Assessment:
    """Findings, stops, conditions, figures and verdict of a job.

    `milestone` is `office`, `gate`, `approval` or a hold point of the set (`KeyError` otherwise); at a hold point
    its own questions are due. A rule that cannot be evaluated becomes a stop and a defect, never an exception.
    """
    present = Reading(rules, job, milestone, now, if_held=False)
    position = rules.positions[milestone]
    defects: list[Defect] = []
    statuses = _statuses(rules, present, defects)
    # With nothing pending there is nothing to expect: both readings are one.
    pending = Status.PENDING in statuses.values()
    held = Reading(rules, job, milestone, now, if_held=True) if pending else present
    hazards = _hazards(rules, HazardRater(rules, job, position, held, present), defects)
    stops, later = _stops(rules, held, present, defects)
    stops.extend(rating_stops(rules, job, position, hazards))
    in_service = _in_service(rules, held, defects)
    quantities = _quantities(rules, held, defects)
    stops.extend(_unevaluated(defects))
    open_stops, ruled = _ruled(stops, job, now)
    listed = tuple(conditions(rules, job, statuses, hazards, later, ruled, in_service))
    bands = {band.id: band.verdict for band in rules.matrix.bands}
    verdict = Verdict.NO_STOP_FOUND
    if listed:
        verdict = Verdict.CONDITIONS
    if open_stops or any(bands[hazard.counted.band] == "stop" for hazard in hazards):
        verdict = Verdict.STOP
    return Assessment(
        milestone=milestone,
        verdict=verdict,
        in_service=Truth(in_service),
        stops=tuple(open_stops),
        later_stops=tuple(later),
        conditions=listed,
        hazards=tuple(hazard.finding for hazard in hazards),
        quantities=quantities,
        statuses=statuses,
        stale=stale(rules, job, now),
        defects=tuple(defects),
        ruled=tuple(ruled),
        aged=tuple(_aged(rules, job, present, _evaluated(statuses, defects), now)),
    )


def _evaluated(statuses: Mapping[str, Status], defects: Sequence[Defect]) -> Mapping[str, Status]:
    """The statuses without those of questions that could not be evaluated: each of them is a stop of its own."""
    broken = {defect.entry for defect in defects}
    return {name: status for name, status in statuses.items() if name not in broken}


def _aged(rules: RuleSet, job: Job, present: Reading, statuses: Mapping[str, Status], now: datetime) -> Iterator[str]:
    """Questions asked now with an answer too old, and those without an answer that may be asked because of them."""
    found: set[str] = set(stale(rules, job, now))
    if not found:
        return
    for name, status in statuses.items():
        if status is not Status.NOT_KNOWN:
            continue
        if name not in found and name not in job.answers and present.asked(name) == CANNOT_TELL:
            check = rules.ask_checks.get(name)
            if check is not None and not found.isdisjoint(rules.support_of(check.node)):
                found.add(name)
        if name in found:
            yield name


def _statuses(rules: RuleSet, present: Reading, defects: list[Defect]) -> dict[str, Status]:
    found: dict[str, Status] = {}
    for name in rules.questions:
        try:
            found[name] = present.status(name)
        except Exception as error:
            defects.append(_defect(name, error))
            found[name] = Status.NOT_KNOWN
    return found


def _hazards(rules: RuleSet, rater: HazardRater, defects: list[Defect]) -> list[RatedHazard]:
    found: list[RatedHazard] = []
    for name, rule in rules.hazard_rules.items():
        try:
            hazard = rater.rate(name, rule)
        except Exception as error:
            defects.append(_defect(name, error))
        else:
            if hazard is not None:
                found.append(hazard)
    found.sort(key=lambda h: (-h.finding.as_found.product, -h.finding.as_found.severity, h.finding.id))
    return found


def _stops(
    rules: RuleSet, held: Reading, present: Reading, defects: list[Defect]
) -> tuple[list[StopFinding], list[StopFinding]]:
    stops: list[StopFinding] = []
    later: list[StopFinding] = []
    for name, rule in rules.stop_rules.items():
        try:
            stop = found_stop(name, rule, held)
            if stop is not None:
                stops.append(stop)
            elif present is not held and (now_only := found_stop(name, rule, present)) is not None:
                later.append(now_only)
        except Exception as error:
            defects.append(_defect(name, error))
    return stops, later


def _in_service(rules: RuleSet, held: Reading, defects: list[Defect]) -> int:
    try:
        return rules.in_service.test(held)
    except Exception as error:
        defects.append(_defect("plant_in_service", error))
        return CANNOT_TELL


def _quantities(rules: RuleSet, held: Reading, defects: list[Defect]) -> tuple[QuantityShown, ...]:
    found: list[QuantityShown] = []
    for name in rules.figures:
        derived = rules.derived[name]
        try:
            quantity = shown_quantity(name, derived, rules, held)
        except Exception as error:
            defects.append(_defect(name, error))
        else:
            if quantity is not None:
                found.append(quantity)
    return tuple(found)


def _defect(entry: str, error: Exception) -> Defect:
    return Defect(entry, f"`{entry}` cannot be evaluated: {error}")


def _unevaluated(defects: list[Defect]) -> list[StopFinding]:
    return [
        StopFinding(
            id=defect.entry,
            title="A rule could not be evaluated",
            kind=StopKind.LIMIT,
            who="safety officer, after the rule set is mended",
            because="A rule that cannot be evaluated counts as a stop.",
            act="Do not start. Send this page to the safety officer.",
            holds=True,
            reasons=(Reason(defect.words, defect.entry, True, decides=True),),
            source="ours",
        )
        for defect in defects
    ]


def _ruled(stops: list[StopFinding], job: Job, now: datetime) -> tuple[list[StopFinding], list[StopFinding]]:
    open_stops: list[StopFinding] = []
    ruled: list[StopFinding] = []
    for stop in stops:
        words = ruling_on(stop, job, now)
        if words:
            ruled.append(_with_ruling(stop, words))
        else:
            open_stops.append(stop)
    return open_stops, ruled


def _with_ruling(stop: StopFinding, words: str) -> StopFinding:
    return StopFinding(
        stop.id, stop.title, stop.kind, stop.who, stop.because, stop.act, stop.holds, stop.reasons, stop.source, words
    )
