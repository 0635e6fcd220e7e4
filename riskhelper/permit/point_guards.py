"""Guards about points of isolation: named, secured, proved, earthed, witnessed, locked."""

from __future__ import annotations

from collections.abc import Mapping

from riskhelper.permit.clashes import is_same
from riskhelper.permit.document import Permit
from riskhelper.permit.guards import Around, Asked, guard
from riskhelper.permit.lock_numbers import number_lack, taken
from riskhelper.permit.points import Point, PointState
from riskhelper.permit.procedures import Procedure
from riskhelper.permit.switching import SIDES, left_without


def _points(permit: Permit, around: Around) -> list[Point]:
    return [around.points[each] for each in permit.points if each in around.points]


@guard("choose them from the isolation register; the isolator plans there what is missing")
def points_chosen(_permit: Permit, asked: Asked, around: Around) -> str:
    """Every point that is named stands in the register."""
    chosen = asked.told("points").split()
    known = {mark_of_point(name) for name in around.points}
    unknown = [mark for mark in chosen if mark not in known]
    if not chosen:
        return "no point is chosen"
    return f"not in the register: {', '.join(unknown)}" if unknown else ""


def mark_of_point(name: str) -> str:
    """A point as it is typed among others: without blanks.

    >>> mark_of_point("S 12")
    'S_12'
    """
    return "_".join(name.split())


@guard("name every point of the plan in the register, and on the permit the highest voltage of them all")
def points_named(permit: Permit, _asked: Asked, around: Around) -> str:
    """Every point is in the register."""
    if not permit.points:
        return "the permit names no point: `name points` chooses them"
    missing = [each for each in permit.points if each not in around.points]
    higher = [f"{p.id} ({p.voltage_v} V)" for p in _points(permit, around) if p.voltage_v > permit.voltage_v]
    if missing:
        return f"not in the register: {', '.join(missing)}"
    return f"the permit names {permit.voltage_v} V; above it lie {', '.join(higher)}" if higher else ""


@guard("somebody who does not use it inspects the procedure first: inspect procedure, at a point of that plant")
def procedure_inspected(permit: Permit, asked: Asked, around: Around) -> str:
    """Nobody begins to isolate by a procedure that was not inspected for more than a year."""
    found = procedures_of(permit, around.points, around.procedures)
    return "; ".join(lack for each in found if (lack := each.overdue(asked.now)))


def procedures_of(
    permit: Permit, points: Mapping[str, Point], procedures: Mapping[str, Procedure]
) -> tuple[Procedure, ...]:
    """The isolation procedures of the plant and of each point of a permit."""
    plants = {permit.plant, *(points[name].plant for name in permit.points if name in points)}
    return tuple(each for each in procedures.values() if any(is_same(each.plant, plant) for plant in plants))


@guard("the isolator secures each point with lock and tag")
def points_secured(permit: Permit, asked: Asked, around: Around) -> str:
    """Every point is secured."""
    ready = (PointState.SECURED, PointState.PROVED)
    missing = [point.id for point in _points(permit, around) if point.state not in ready]
    return points_named(permit, asked, around) or (f"not secured: {', '.join(missing)}" if missing else "")


@guard("the isolator proves each point: source, points, source")
def tested_dead(permit: Permit, _asked: Asked, around: Around) -> str:
    """Every point was proved after whatever voided an older proof."""
    since = permit.proof_needed_since
    missing = [
        point.id
        for point in _points(permit, around)
        if point.proof is None or (since is not None and point.proof.at < since)
    ]
    return f"not proved, or not proved again: {', '.join(missing)}" if missing else ""


@guard("the isolator earths and short-circuits every side of the work that high voltage or a winding can feed")
def earthed(permit: Permit, _asked: Asked, around: Around) -> str:
    """Every side of the work point that takes an earth has one that reaches it."""
    missing = [
        f"{point.id} ({SIDES[point.side]})" if point.side in SIDES else point.id
        for point in _points(permit, around)
        if point.needs_earth and not left_without(point.earths)
    ]
    return f"no earth on {', '.join(missing)}" if missing else ""


@guard("isolator and witness secure, prove and earth again")
def measures_in_place(permit: Permit, asked: Asked, around: Around) -> str:
    """Points are secured, proved and earthed now."""
    return (
        points_secured(permit, asked, around) or tested_dead(permit, asked, around) or earthed(permit, asked, around)
    )


@guard("every point proved first; then the witness signs")
def seen_by_the_witness(permit: Permit, asked: Asked, around: Around) -> str:
    """There is something to witness, and it was not proved by the witness."""
    if lack := measures_in_place(permit, asked, around):
        return lack
    own = [p.id for p in _points(permit, around) if p.proof is not None and p.proof.by == asked.person.name]
    return f"{asked.person.name} proved {', '.join(own)} and cannot witness it" if own else ""


@guard("a second person with the role witness signs")
def witnessed_by_another(permit: Permit, asked: Asked, _around: Around) -> str:
    """Somebody else witnessed the proving."""
    witness = permit.signed.get("witness", "")
    if not witness:
        return "nobody witnessed the proving"
    return "isolator and witness are one person" if witness == asked.person.name else ""


@guard("your own lock on every electrical point; or on the group lock, its number in own_lock=...")
def lock_of_their_own(permit: Permit, asked: Asked, around: Around) -> str:
    """Whoever joins the crew has a lock of their own on, or on the lock that holds the keys of the points."""
    number = asked.told("own_lock")
    if not number:
        return own_lock_on(permit, asked, around)
    return number_lack("lock", number) or taken("lock", number, around.points, (permit, *around.others))


@guard("put your own lock on every electrical point")
def own_lock_on(permit: Permit, asked: Asked, around: Around) -> str:
    """The own lock is on each electrical point, before another's comes off."""
    missing = [p.id for p in _points(permit, around) if p.electrical and asked.person.name not in p.personal_locks]
    return f"no lock of {asked.person.name} on {', '.join(missing)}" if missing else ""
