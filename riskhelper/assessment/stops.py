"""Stops: what must not start or go on, why, and who alone may lift it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from riskhelper.assessment.hazards import RatedHazard, is_overdue
from riskhelper.assessment.result import Reason, StopFinding
from riskhelper.assessment.telling import stop_reasons
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.ruleset.meaning import NO
from riskhelper.ruleset.model import RuleSet, StopRule
from riskhelper.terms import Status, StopKind


def found_stop(name: str, rule: StopRule, reading: Reading) -> StopFinding | None:
    """The stop, if its condition holds or cannot be ruled out, or a question that names it is not known."""
    reasons: list[Reason] = []
    if rule.check is not None and rule.check.test(reading) != NO:
        reasons.extend(stop_reasons(rule.check, reading))
    told = {q for reason in reasons for q in reason.rests_on}
    for question, only_if in rule.named_by.items():
        if question not in told and reading.status(question) is Status.NOT_KNOWN and only_if.test(reading) != NO:
            asked = reading.rules.questions[question]
            reasons.append(
                Reason(f"Not known: {asked.ask}", f"not known: {question}", False, rests_on=(question,), decides=True)
            )
    return stop_finding(name, rule, tuple(reasons)) if reasons else None


def stop_finding(name: str, rule: StopRule, reasons: tuple[Reason, ...]) -> StopFinding:
    """A stop with its reasons."""
    entry = rule.entry
    return StopFinding(
        id=name,
        title=entry.title,
        kind=StopKind.DECISION if entry.ruled_by else StopKind.LIMIT,
        who=entry.ruled_by or entry.lifted_by,
        because=entry.because,
        act=entry.act,
        holds=any(reason.holds for reason in reasons),
        reasons=reasons,
        source=entry.source,
    )


def rating_stops(rules: RuleSet, job: Job, position: int, hazards: Iterable[RatedHazard]) -> Iterable[StopFinding]:
    """Stops that fire on ratings, on overdue promises, or on a job opened without a local code.

    A rating that rests on what is not known makes a stop that cannot be ruled out, not one that holds.
    """
    verdicts = {band.id: band.verdict for band in rules.matrix.bands}
    causes: dict[str, list[Reason]] = {}
    for hazard in hazards:
        rating, finding = hazard.counted, hazard.finding
        words = f"{finding.title}: {rating.likelihood} x {rating.severity} as planned"
        relied_on = any(c.usable and (c.planned or c.proved) for c in finding.controls)
        if verdicts[rating.band] == "stop":
            holds = hazard.surely is not None and verdicts[hazard.surely.band] == "stop"
            causes.setdefault("unacceptable_as_planned", []).append(_rated(words, hazard, holds=holds))
        elif verdicts[rating.band] == "conditions" and not relied_on:
            holds = hazard.surely is not None and verdicts[hazard.surely.band] in ("stop", "conditions")
            reason = _rated(f"{words}, nothing planned", hazard, holds=holds and hazard.surely_bare)
            causes.setdefault("serious_without_control", []).append(reason)
    for name, control in rules.controls.items():
        if is_overdue(rules, job, name, position):
            causes.setdefault("control_overdue", []).append(_plain(f"{control.do}: no evidence recorded", name))
    if not rules.local_code:
        causes["no_local_code"] = [_plain("The job was opened without a local code", "local code")]
    for name, rule in rules.stop_rules.items():
        if rule.entry.fires_on in causes:
            reasons = sorted(causes[rule.entry.fires_on], key=lambda reason: not reason.holds)
            yield stop_finding(name, rule, tuple(reasons))


def _rated(because: str, hazard: RatedHazard, *, holds: bool) -> Reason:
    """A reason that rests on a rating, with the calculated figures that raised it and the answers it rests on."""
    finding = hazard.finding
    raised = (*finding.likelihood_reasons, *finding.severity_reasons)
    figures = dict.fromkeys(figure for reason in raised if reason.decides or reason.by for figure in reason.facts)
    rests_on = () if holds else hazard.open_answers
    return Reason(because, finding.id, holds, rests_on=rests_on, facts=tuple(figures), decides=True)


def _plain(because: str, what: str) -> Reason:
    return Reason(because, what, True, decides=True)


def ruling_on(stop: StopFinding, job: Job, now: datetime) -> str:
    """The signed ruling in words, if one stands for this stop and has not run out."""
    ruling = job.rulings.get(stop.id)
    if stop.kind is not StopKind.DECISION or ruling is None or ruling.until <= now or ruling.by_role != stop.who:
        return ""
    return f"{ruling.who} ({ruling.by_role}): {ruling.reason}; {ruling.scope}; until {ruling.until:%Y-%m-%d %H:%M}"
