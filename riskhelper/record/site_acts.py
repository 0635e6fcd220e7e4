"""Signed acts on permits and points taken into a site: what counts, and why the rest does not."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from riskhelper.permit import course, point_course
from riskhelper.permit.clashes import clashes
from riskhelper.permit.document import Permit, State
from riskhelper.permit.effects import after, checked_again, suspended_by
from riskhelper.permit.guards import Asked
from riskhelper.permit.persons import REQUESTER, WORKER
from riskhelper.permit.rechecks import POINT_CHECK
from riskhelper.permit.refusal import not_of_the_course
from riskhelper.record.contents import text_of
from riskhelper.record.entries import PERMIT, POINT, Entry, log_name
from riskhelper.record.holding import things_of_permit, things_of_point
from riskhelper.record.site_contents import permit_read, told_in
from riskhelper.record.standing import Site

HELD_ONLY = "held only"
"""Stands for any act on a plant that takes its holding."""
AT_WORK = frozenset({State.IN_FORCE, State.UNDER_TEST})
UNREADABLE = (ValueError, TypeError, OverflowError)
"""What comes of words that stand for a moment or a number and are none."""


def take_permit(site: Site, entry: Entry, entered: datetime) -> None:
    """An act on a permit; drawing it up is one."""
    act, number, role = entry.draft.act.removeprefix(PERMIT), text_of(entry, "permit"), entry.draft.role
    if act == course.DRAFT:
        _drawn_up(site, entry, entered)
        return
    asked = Asked(act, site.register.people[entry.draft.who], role, entered, told_in(entry))
    permit = site.permits.get(number)
    if permit is None:
        _not_counting(site, entry, number, "no permit of that number was drawn up before it")
        return
    if _is_apart(site, entry, act, things_of_permit(permit, site.points)):
        return
    try:
        lack = _of_another(site, entry, permit) or not_of_the_course(permit, asked, site.points)
        moved = permit if lack else after(permit, asked)
        moved.at(entered)
    except UNREADABLE as fault:
        moved, lack = permit, f"what is written with it cannot be read ({fault})"
    if lack:
        _not_counting(site, entry, number, lack)
        return
    site.permits[number] = moved
    if isinstance(rules := entry.draft.content.get("rules"), str):
        site.rules_of[number] = rules
    if act == course.REQUEST:
        site.requested[number] = entry.order
    if act in (course.START, course.RESUME) and (lack := _may_not_go_on(site, moved, entered)):
        site.permits[number] = suspended_by(moved, lack, entered)
        site.apart.append(f"entry {entry.number} (permit {act} {number}) counts, and it is suspended: {lack}")


def take_point(site: Site, entry: Entry, entered: datetime) -> None:
    """An act on a point of isolation."""
    act, name, told = entry.draft.act.removeprefix(POINT), text_of(entry, "point"), told_in(entry)
    asked = Asked(act, site.register.people[entry.draft.who], entry.draft.role, entered, told)
    plant = site.points[name].plant if name in site.points else told.get("plant", "")
    if _is_apart(site, entry, act, things_of_point(name, plant)):
        return
    points, is_plan = dict(site.points), act == point_course.PLAN
    is_holder = not site.holding.lacking(entry.log, HELD_ONLY, things_of_point(name, told.get("plant", "")))
    if is_plan and is_holder and name in site.planned_elsewhere:
        del points[name]  # the holder's own plan takes the place of one made where the plant is not held
    try:
        lacks = point_course.not_of_point_course(points, name, asked)
        moved = None if lacks else point_course.point_after(points, name, asked)
        lack = lacks[0].words if lacks else ""
    except UNREADABLE as fault:
        moved, lack = None, f"what is written with it cannot be read ({fault})"
    if moved is None:
        _not_counting(site, entry, name, lack)
        return
    site.points[name] = moved
    site.procedures = point_course.procedures_after(site.procedures, moved.plant, asked)
    site.planned_elsewhere.discard(name)
    if is_plan and not is_holder:
        site.planned_elsewhere.add(name)
    if act in (point_course.PROVE, point_course.RECHECK):
        for number, permit in site.permits.items():
            if name in permit.points:  # stored energy looked at again
                site.permits[number] = checked_again(permit, POINT_CHECK + name, entered, entered)
    elif act == point_course.FOUND_LIVE:
        for number, permit in site.permits.items():
            if name in permit.points:
                site.permits[number] = suspended_by(permit, f"point {name} was found live", entered)


def _not_counting(site: Site, entry: Entry, what: str, lack: str) -> None:
    site.apart.append(f"entry {entry.number} ({entry.draft.act} {what}) does not count: {lack}")
    site.uncounted.add(entry.id)


def _drawn_up(site: Site, entry: Entry, entered: datetime) -> None:
    """A permit drawn up; a number stands for one permit, whichever store gave it."""
    permit = permit_read(entry)
    who, role = site.register.people[entry.draft.who], entry.draft.role
    if permit.number in site.permits:
        lack = "a permit of that number was drawn up before; what was signed for the other counts for neither"
    elif role not in (WORKER, REQUESTER):
        lack = f"no permit is drawn up in the role {role}"
    else:
        lack = who.lack(role, permit.plant, permit.voltage_v, entered, permit.road.value)
    if lack:
        _not_counting(site, entry, permit.number, lack)
        return
    site.permits[permit.number] = permit
    site.drawn_up[permit.number] = entry.digest


def _of_another(site: Site, entry: Entry, permit: Permit) -> str:
    """Why an act was signed for another permit of that number, or another revision of it; empty where it was not."""
    content, drawn_up = entry.draft.content, site.drawn_up[permit.number]
    if content.get("drawn_up", drawn_up) != drawn_up:
        return "it was signed for another permit of that number"
    if content.get("revision") != permit.revision:
        return f"it was signed for revision {content.get('revision')}, and the permit is at {permit.revision}"
    return ""


def _may_not_go_on(site: Site, permit: Permit, now: datetime) -> str:
    """Why work under a permit just put in force may not go on: what the store that did it did not know, or passed
    over. People may be at work, so the act counts, and suspends."""
    others = [other for other in site.permits.values() if other.at(now) in AT_WORK]
    if found := clashes(permit, others, None, now):
        return f"permit {', '.join(found)} is in force too and overlaps in plant or place, time and energy"
    if lapsed := site.lapsed(permit, now):
        return f"no longer in date: {'; '.join(lapsed)}"
    if site.register.rehearsal is False and not site.adopted(site.rules_of.get(permit.number, ""), now):
        return "the rule set it was signed under is not in force on this site"
    return ""


def _is_apart(site: Site, entry: Entry, act: str, things: Mapping[str, str]) -> bool:
    """Whether the store that wrote an entry did not hold what it is about; then it is named and does not count."""
    lacking = site.holding.lacking(entry.log, act, things)
    if lacking:
        site.uncounted.add(entry.id)
        site.apart.append(
            f"entry {entry.number} of {log_name(entry.log)} ({act}) does not count: {'; '.join(lacking)}"
        )
    return bool(lacking)
