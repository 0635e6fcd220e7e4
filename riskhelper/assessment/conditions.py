"""What must come true before or while the work goes on: the conditions of a verdict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from riskhelper.assessment.hazards import RatedHazard, is_proved
from riskhelper.assessment.result import Condition, StopFinding
from riskhelper.evidence import Job
from riskhelper.ruleset.meaning import NO
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Status


def conditions(
    rules: RuleSet,
    job: Job,
    statuses: Mapping[str, Status],
    hazards: Iterable[RatedHazard],
    later: Iterable[StopFinding],
    ruled: Iterable[StopFinding],
    in_service: int,
) -> Iterator[Condition]:
    """Every condition, in the order of the work."""
    yield from _pending(rules, statuses)
    hazards = list(hazards)
    yield from _controls(rules, job, hazards)
    yield from _not_known(rules, job, statuses)
    for stop in later:
        yield Condition("stop_later", "", f"Can still become a stop: {stop.title}", (stop.id,))
    verdicts = {band.id: band for band in rules.matrix.bands}
    for hazard in hazards:
        band = verdicts[hazard.counted.band]
        if band.verdict == "conditions":
            yield Condition("band", "", f"{hazard.finding.title}: {band.demands}", (hazard.finding.id,))
    for stop in ruled:
        yield Condition("ruling", "", f"{stop.title}, ruled: {stop.ruling}", (stop.id,))
    if in_service != NO:
        yield Condition("in_service", "", "The plant is or may be in service: never better than conditions")


def _pending(rules: RuleSet, statuses: Mapping[str, Status]) -> Iterator[Condition]:
    for point in rules.milestones:
        due = tuple(
            name
            for name, status in statuses.items()
            if status is Status.PENDING and rules.questions[name].asked_at == point
        )
        if due:
            words = rules.hold_points[point].words if point in rules.hold_points else point
            checks = "1 check" if len(due) == 1 else f"{len(due)} checks"
            yield Condition("pending", point, f"{checks} due at {words}", due)


def _controls(rules: RuleSet, job: Job, hazards: Iterable[RatedHazard]) -> Iterator[Condition]:
    """Every promise without evidence yet, with the hazards it is of use for: each becomes a stop once overdue."""
    useful: dict[str, list[str]] = {}
    for hazard in hazards:
        for control in hazard.finding.controls:
            if control.usable:
                useful.setdefault(control.id, []).append(hazard.finding.id)
    for name, promise in rules.controls.items():
        if name in job.planned and not is_proved(promise, job.proved.get(name)):
            yield Condition("control", promise.hold_point, promise.do, (name, *useful.get(name, ())))


def _not_known(rules: RuleSet, job: Job, statuses: Mapping[str, Status]) -> Iterator[Condition]:
    for name, status in statuses.items():
        if status is Status.NOT_KNOWN:
            yield Condition("not_known", "", f"Not known: {rules.questions[name].ask}", (name,))
        elif status is Status.GIVEN:
            lines = job.answers[name].open_lines
            if lines:
                said = ", ".join(rules.questions[name].options.get(line, line) for line in lines)
                yield Condition("not_known", "", f"Not known in part: {rules.questions[name].ask} {said}", (name,))
