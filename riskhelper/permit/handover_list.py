"""The list that is gone through at a handover, generated from what stands; nobody can edit it down.

Each line has a mark made from its words: whoever takes over writes the marks of the lines they have read. A line that
changes meanwhile has another mark and is read again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.permit.clashes import is_same
from riskhelper.permit.document import Permit, Road
from riskhelper.permit.points import Point, PointState
from riskhelper.permit.rulings import complete
from riskhelper.permit.side_by_side import mark_of


@dataclass(frozen=True)
class Standing:
    """What the job adds to the permit and its points: checks open at each hold point, stops, readings, aged answers;
    `stop_titles` words the stops that were ruled on."""

    open_at: Mapping[str, tuple[str, ...]]
    hold_points: Mapping[str, str]
    stops: tuple[str, ...]
    stop_titles: Mapping[str, str]
    readings: tuple[str, ...]
    aged: tuple[str, ...]


def handover_list(
    permit: Permit, points: Mapping[str, Point], others: Iterable[Permit], standing: Standing, now: datetime
) -> dict[str, str]:
    """Every line in words by its mark."""
    lines = (
        *_permit(permit, now),
        *(line for name in permit.points if name in points for line in _point(points[name], permit.road)),
        *_crew(permit),
        *_job(permit, standing),
        *_others(permit, others, now),
        *_other_points(permit, points),
    )
    return {mark_of(line): line for line in lines}


def _permit(permit: Permit, now: datetime) -> Iterator[str]:
    until = f", until {permit.ends:%Y-%m-%d %H:%M %z}" if permit.ends is not None else ""
    yield f"{_where(permit)}: {permit.words(now)}{until}; revision {permit.revision}"
    if permit.state_left:
        yield f"The plant is left so: {permit.state_left}"
    if permit.test is not None:
        yield f"Sanction to test {permit.test.number} is out: {permit.test.scope}"
    for agreed in permit.safeguards:
        yield f"Beside permit {agreed.other}: {agreed.words}"
    for visit in permit.visits:
        if visit.is_open:
            yield f"Finding {visit.number} of {visit.by}: {visit.finding}; to do: {visit.to_do}"
    for check in permit.rechecks.values():
        yield f"Check again before {check.due:%H:%M}, every {check.every_min} min: {check.words}"


def _point(point: Point, road: Road) -> Iterator[str]:
    device = f"{point.device.replace('_', ' ')} {point.position}"
    held = f"lock {point.lock}, tag {point.tag}, key {point.key}" if point.lock else "no lock"
    yield f"Point {point.id}, {device}: {point.state.value}; {held}; secured by {point.secured_by or 'nobody'}"
    if point.proof is not None:
        shown = "proved" if road is Road.ACCESS else "proved dead" if point.electrical else "proved empty"
        yield f"Point {point.id} {shown} by {point.proof.by} at {point.proof.at:%Y-%m-%d %H:%M}, {point.proof.tester}"
    yield f"Point {point.id}, locks of people: {', '.join(point.personal_locks) or 'none'}"
    yield f"Point {point.id}, earths: {', '.join(each.words for each in point.earths) or 'none'}"
    for owner in sorted(point.to_tell):
        yield f"Point {point.id}: the lock of {owner} was taken off in their absence; {owner} must be told first"


def _crew(permit: Permit) -> Iterator[str]:
    for member in permit.roster.on:
        lock = f", lock {member.lock}" if member.lock else ""
        yield f"Signed on: {member.name}, since {member.on:%H:%M}, at {member.works_at or permit.apparatus}{lock}"
    if not permit.roster.on:
        yield "Nobody is signed on"


def _job(permit: Permit, standing: Standing) -> Iterator[str]:
    for name, checks in standing.open_at.items():
        words = standing.hold_points[name]
        if name in permit.passed:
            yield f"Hold point {words}: passed"
        else:
            yield f"Hold point {words}: open" + (f", missing {', '.join(checks)}" if checks else ", may be released")
    yield from (f"Stop: {title}" for title in standing.stops)
    for stop in dict.fromkeys(ruled.stop for ruled in permit.rulings):
        title = standing.stop_titles.get(stop, stop)
        signed = complete(permit.rulings, stop)
        by = ", ".join(f"{ruled.who} as {ruled.role}, until {ruled.until:%Y-%m-%d %H:%M}" for ruled in signed)
        yield f"Lifted by ruling: {title}; {by}" if signed else f"Ruling begun, not complete: {title}"
    yield from (f"Read: {words}" for words in standing.readings)
    yield from (f"Too old, ask again: {words}" for words in standing.aged)


def _others(permit: Permit, others: Iterable[Permit], now: datetime) -> Iterator[str]:
    """Every other open permit of the plant, the place or a point; those suspended first."""
    near = [
        other
        for other in others
        if not other.closed
        and (
            is_same(other.plant, permit.plant)
            or is_same(other.zone, permit.zone)
            or set(other.points) & set(permit.points)
        )
    ]
    for other in sorted(near, key=lambda each: (not each.words(now).startswith("suspended"), each.number)):
        yield f"Also open here: {_where(other)}: {other.words(now)}"


def _other_points(permit: Permit, points: Mapping[str, Point]) -> Iterator[str]:
    """Points of the plant that are held for somebody else."""
    held = (PointState.SECURED, PointState.PROVED)
    for name, point in points.items():
        if name not in permit.points and is_same(point.plant, permit.plant) and point.state in held:
            yield f"Also held on {point.plant}: point {name}, {point.device.replace('_', ' ')} {point.position}"


def _where(permit: Permit) -> str:
    return f"{permit.number}, {permit.road.value}, {permit.plant}, {permit.apparatus}, {permit.zone}"
