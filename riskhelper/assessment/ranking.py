"""What comes first where ten seconds must do: what is certain, then what was never known, then what has only aged.

Within each what kills comes first. Nothing is left out, and no verdict rests on it.
"""

from __future__ import annotations

from collections.abc import Iterable

from riskhelper.assessment.result import Assessment, HazardFinding, Reason, StopFinding

MOST_WORST = 3


def rests_on_aged(found: Assessment, reasons: Iterable[Reason]) -> bool:
    """Whether reasons only cannot be ruled out, and every answer they rest on was there and has aged."""
    given, aged = tuple(reasons), frozenset(found.aged)
    return bool(given) and all(not r.holds and r.rests_on and aged.issuperset(r.rests_on) for r in given)


def stops_in_order(found: Assessment) -> tuple[StopFinding, ...]:
    """Certain stops, then those that cannot be ruled out, then those that only wait for aged answers."""

    def key(stop: StopFinding) -> tuple[bool, bool, int]:
        return (not stop.holds, rests_on_aged(found, stop.reasons), -how_grave(found, stop))

    return tuple(sorted(found.stops, key=key))


def waiting_for_aged(found: Assessment) -> tuple[StopFinding, ...]:
    """Stops that the aged answers alone keep open."""
    return tuple(stop for stop in stops_in_order(found) if rests_on_aged(found, stop.reasons))


def how_grave(found: Assessment, stop: StopFinding) -> int:
    """Severity of the worst hazard behind a stop: those that name it or are its reason, else those of its subject."""
    because = {reason.condition for reason in stop.reasons}
    behind = [h for h in found.hazards if stop.id in h.stops or h.id in because]
    subject = stop.id.partition(".")[0]
    near = behind or [h for h in found.hazards if h.id.partition(".")[0] == subject]
    return max((hazard.as_found.severity for hazard in near), default=0)


def grave_answers(found: Assessment) -> dict[str, int]:
    """For each answer that keeps a stop open, the severity of the worst hazard behind such a stop."""
    severities = {hazard.id: hazard.as_found.severity for hazard in found.hazards}
    graves: dict[str, int] = {}
    for stop in found.stops:
        whole = how_grave(found, stop)
        for reason in stop.reasons:
            for question in reason.rests_on:
                graves[question] = max(graves.get(question, 0), severities.get(reason.condition, whole))
    return graves


def worst_in_order(found: Assessment) -> tuple[HazardFinding, ...]:
    """The three worst hazards; what only aged answers raise counts here by what is known, as they are read again."""

    def key(hazard: HazardFinding) -> tuple[int, int]:
        aged_only = raised_by_aged(found, hazard)
        return (-(hazard.known_product if aged_only else hazard.as_found.product), -hazard.as_found.severity)

    return tuple(sorted(found.hazards, key=key)[:MOST_WORST])


def raised_by_aged(found: Assessment, hazard: HazardFinding) -> bool:
    """Whether a hazard is worse than is known, and only because of answers that have aged."""
    open_ones = [r for r in (*hazard.likelihood_reasons, *hazard.severity_reasons) if not r.holds]
    return hazard.known_product < hazard.as_found.product and rests_on_aged(found, open_ones)
