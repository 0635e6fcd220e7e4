"""The isolation register: points planned, secured, proved, earthed, locked and released, each act signed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from riskhelper.acts.context import MOST_NAME, MOST_WORDS, Context, checked_words
from riskhelper.acts.record.holding import check_held
from riskhelper.acts.register.signing import Signing, append_signed, moment, read_in, site
from riskhelper.permit.guards import Asked
from riskhelper.permit.point_course import POINT_ROWS, needed_by, point_lacks
from riskhelper.permit.points import Point
from riskhelper.record.canonical import Content
from riskhelper.record.entries import POINT
from riskhelper.record.holding import things_of_point
from riskhelper.ruleset.faults import nearest_name


@dataclass(frozen=True, slots=True)
class PointLine:
    """One point of the register, with the permits that need it."""

    point: Point
    needed_by: tuple[str, ...]


def act(signing: Signing, name: str, what: str, details: Mapping[str, str]) -> Point:
    """Does an act on a point, or refuses it with what or who would satisfy it."""
    context, seen, found = signing.context, signing.context.store.size(), site(signing.context)
    named = checked_words("The point", name, MOST_NAME)
    if what not in POINT_ROWS or not named:
        hint = nearest_name(what, POINT_ROWS)
        known = f" Did you mean `{hint}`?" if hint else f" Known are {', '.join(POINT_ROWS)}"
        raise context.refused("point", "act", f"No act `{what}` on a point.{known}" if named else "Name the point")
    told = {key: checked_words(key, text, MOST_WORDS) for key, text in details.items()}
    for key, unit in (("voltage_v", "volts"), ("tester_for_v", "volts"), ("recheck_min", "minutes")):
        if told.get(key) and not told[key].isdigit():
            raise context.refused(POINT + what, key, f"`{key}` is a whole number of {unit}; you wrote `{told[key]}`")
    plant = found.points[named].plant if named in found.points else told.get("plant", "")
    check_held(context, found, what, things_of_point(named, plant))
    asked = Asked(what, signing.person, signing.role, moment(context, found), told)
    lacks = point_lacks(found.points, named, asked, found.permits.values(), found.procedures)
    if lacks:
        lines = [f"`{what}` is refused; nothing changed.", *(f"{lack.words}. Needed: {lack.by}" for lack in lacks)]
        raise context.refused(POINT + what, lacks[0].guard, "\n".join(lines))
    content: dict[str, Content] = {"point": named, "details": {**told}}
    if words := read_in(context):
        content["words"] = words
    append_signed(context, signing.hand, "", signing.role, POINT + what, content, seen)
    return site(context).points[named]


def register(context: Context) -> tuple[PointLine, ...]:
    """Every point, with the permits that need it."""
    found = site(context)
    now = moment(context, found)
    return tuple(
        PointLine(point, needed_by(name, found.permits.values(), now)) for name, point in sorted(found.points.items())
    )
