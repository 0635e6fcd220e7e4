"""Which acts are possible on a point now by somebody here, and for the others what stands in their way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.permit.possible_now import Offer
from riskhelper.acts.register.signing import moment, site
from riskhelper.acts.register.who_signs import Candidate, candidates
from riskhelper.permit.guards import Asked
from riskhelper.permit.persons import Person
from riskhelper.permit.point_course import (
    ALLOW_UNLOCK,
    EXPLAIN_LIVE,
    FOUND_LIVE,
    OPEN_EARTHED,
    PLAN,
    POINT_COURSE,
    UNEARTH,
    UNLOCK_ABSENT,
    PointRow,
    point_lacks,
)
from riskhelper.permit.points import Point
from riskhelper.permit.proof import is_high
from riskhelper.permit.refusal import Lack
from riskhelper.permit.switching import carried_by
from riskhelper.permit.wanted import FieldKind, Wanted, wanted_on_point
from riskhelper.record.site import Site

NOT_BY_TYPING = frozenset(
    {"state", "role", "earth_needed", "own_lock", "lock_cover", "by_applier", "two_signatures", "other_permits"}
    | {"personal_locks_on", "earths_on", "earth_on", "inspected_by_another"}
)
"""What no words typed with the act can mend."""


def offers_on(context: Context, name: str) -> tuple[Offer, ...]:
    """The acts of the state of a point, in the order of its course; with no such point, that it may be planned."""
    found = site(context)
    point, now = found.points.get(name), moment(context, found)
    rows = [row for row in POINT_COURSE if (row.act == PLAN if point is None else point.state in row.states)]
    return tuple(_offer(context, found, name, row, now) for row in rows if _fits(point, row))


def fields_on(context: Context, name: str, act: str) -> tuple[Wanted, ...]:
    """The fields of an act on a point, with the choices there are now: earths on it, owners of its locks."""
    point = site(context).points.get(name)
    return tuple(_with_choices(field, act, point) for field in wanted_on_point(act) if _is_asked(field, point))


def able_on(
    context: Context, name: str, offer: Offer, details: Mapping[str, str]
) -> tuple[tuple[Candidate, ...], tuple[Lack, ...]]:
    """Those of an offer whom nothing refuses once this is typed; where nobody is left, what refuses the first."""
    found = site(context)
    now = moment(context, found)
    tried: list[tuple[Candidate, list[Lack]]] = []
    for each in offer.who:
        asked = Asked(offer.act, found.register.people[each.name], each.role, now, details)
        tried.append((each, point_lacks(found.points, name, asked, found.permits.values(), found.procedures)))
    who = tuple(each for each, left in tried if not left)
    least = min((left for _, left in tried), key=len)
    return who, () if who else tuple(least)


def _is_asked(field: Wanted, point: Point | None) -> bool:
    """A field that has no object here is not asked: nobody to be told, no high voltage, no readings."""
    if point is None:
        return True
    if field.key == "told_of_removal":
        return bool(point.to_tell)
    if field.key == "tester_for_v":
        return point.asks_readings and is_high(point.voltage_v, point.current)
    return field.key != "readings" or point.asks_readings


def _fits(point: Point | None, row: PointRow) -> bool:
    """Whether there is anything to do the act on."""
    if row.act == UNEARTH:
        return point is not None and bool(point.earths)
    if row.act == OPEN_EARTHED:
        return point is not None and bool(carried_by(point.earths))
    if row.act == FOUND_LIVE:
        return point is not None and point.asks_readings
    if row.act == EXPLAIN_LIVE:
        return point is not None and point.live is not None
    if row.act in (ALLOW_UNLOCK, UNLOCK_ABSENT):
        return point is not None and bool(point.personal_locks)
    return True


def _offer(context: Context, found: Site, name: str, row: PointRow, now: datetime) -> Offer:
    point = found.points.get(name)
    plant, voltage_v = (point.plant, point.voltage_v) if point is not None else ("", 0)
    able = [each for each in candidates(context, row.roles, plant, voltage_v) if not each.lack]
    tried = [(each, _standing(found, name, row, each, now)) for each in able]
    who = tuple(each for each, left in tried if left is None)
    nobody = Lack("role", "nobody with a key on this machine may", " or ".join(row.roles))
    left = next((left for _, left in tried if left is not None), nobody)
    return Offer(row.act, who, () if who else (left,))


def _standing(found: Site, name: str, row: PointRow, who: Candidate, now: datetime) -> Lack | None:
    """What refuses the act whatever is typed; it is tried for each lock, earth or device that is there."""
    person: Person = found.register.people[who.name]
    point = found.points.get(name)
    tries = _tries(row.act, point) if point is not None else [{}]
    left: Lack | None = None
    for details in tries:
        asked = Asked(row.act, person, who.role, now, details)
        lacks = point_lacks(found.points, name, asked, found.permits.values(), found.procedures)
        left = next((lack for lack in lacks if lack.guard in NOT_BY_TYPING), None)
        if left is None:
            return None
    return left


def _tries(act: str, point: Point) -> list[Mapping[str, str]]:
    match act:
        case "allow unlocking" | "unlock for absent":
            return [{"member": owner} for owner in point.personal_locks]
        case "take earth off":
            return [{"earth": each.number} for each in point.earths]
        case "open earthed device":
            return [{"opened_device": device} for device in carried_by(point.earths)]
    return [{}]


def _with_choices(field: Wanted, act: str, point: Point | None) -> Wanted:
    if point is None:
        return field
    if field.key == "member":
        return replace(field, choices={owner: f"The lock of {owner}." for owner in point.personal_locks})
    if field.key == "earth" and act == UNEARTH:
        earths = {each.number: f"Earth {each.words}." for each in point.earths}
        return replace(field, kind=FieldKind.ONE_OF, choices=earths)
    if field.key == "opened_device":
        return replace(field, choices={device: f"{device}." for device in carried_by(point.earths)})
    return field
