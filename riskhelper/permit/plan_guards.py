"""Guards about the plan: stops, rulings, change, window, hold points, what is found and left on site."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from riskhelper.permit.document import Permit, Road, State
from riskhelper.permit.guards import Around, Asked, guard
from riskhelper.permit.named_roles import SECOND_PERSON, roles_named, still_to_sign
from riskhelper.permit.people_guards import not_of_the_crew
from riskhelper.permit.persons import ISSUER
from riskhelper.permit.rechecks import overdue

LAST_POINTS = ("back_in_force", "standing_done")
WORKING_DAY = timedelta(hours=12)
"""The longest a permit lasts without words on how each shift ends: the longest usual shift (common practice)."""
LONGEST = timedelta(days=7)
"""The longest a permit lasts at all: it is looked at anew within a week (common practice)."""
READY_POINT = {Road.WORK: "dead_and_earthed", Road.ACCESS: "bounded"}


def _open(hold_point: str, around: Around) -> str:
    checks = around.open_at.get(hold_point, ())
    return f"hold point {hold_point.replace('_', ' ').upper()}: {', '.join(checks)}" if checks else ""


@guard("every stop lifted by what it names, or ruled by the role it names")
def no_stop(_permit: Permit, _asked: Asked, around: Around) -> str:
    """The assessment finds no stop."""
    return f"the assessment says stop: {'; '.join(around.stops)}" if around.stops else ""


@guard("a new revision of the permit: change, then request again")
def plan_unchanged(_permit: Permit, _asked: Asked, around: Around) -> str:
    """The plan is the one that was signed."""
    return f"the plan changed since it was signed: {'; '.join(around.plan_changed)}" if around.plan_changed else ""


@guard("two officers adopt the rule set; a rehearsal needs no adoption")
def adopted_rules(_permit: Permit, _asked: Asked, around: Around) -> str:
    """The rule set was adopted by this site."""
    return "" if around.adopted or around.rehearsal else "the rule set was not adopted by this site"


@guard("a window that begins before it ends and has not ended")
def window_set(_permit: Permit, asked: Asked, _around: Around) -> str:
    """Begin and end were given and lie ahead."""
    try:
        starts, ends = (datetime.fromisoformat(asked.told(key)) for key in ("starts", "ends"))
        held = starts < ends and ends > asked.now
    except (ValueError, TypeError):
        return "begin and end are not given as moments with their offset from UTC"
    return (
        too_long(starts, ends, asked.told("shift_end")) if held else "the end must lie after the begin and after now"
    )


def too_long(starts: datetime, ends: datetime, shift_end: str) -> str:
    """Why a permit would last too long; empty where it does not."""
    lasts = ends - starts
    if lasts > LONGEST:
        return f"the permit would last {lasts.days} days; at most {LONGEST.days}, then it is looked at anew"
    if lasts > WORKING_DAY and not shift_end:
        hours = f"{lasts.total_seconds() / 3600:g}" if lasts < timedelta(days=2) else f"{lasts.days * 24}"
        return (
            f"the permit would last {hours} h, longer than a working day of "
            f"{WORKING_DAY.total_seconds() / 3600:g} h, and how each shift ends is not written"
        )
    return ""


@guard("read each condition and write the marks of all of them: acknowledged=...")
def conditions_acknowledged(_permit: Permit, asked: Asked, around: Around) -> str:
    """Every condition of the plan as it stands now was read by the approver."""
    read = asked.told("acknowledged").split()
    missing = [f"{mark} {words}" for mark, words in around.conditions.items() if mark not in read]
    return f"conditions not acknowledged: {'; '.join(missing)}" if missing else ""


@guard("wait for the begin; past the end only hand-back is left")
def window_open(permit: Permit, asked: Asked, _around: Around) -> str:
    """The work lies inside its window."""
    assert permit.starts is not None
    return f"the permit begins at {permit.starts:%Y-%m-%d %H:%M %z}" if asked.now < permit.starts else ""


@guard("a later end, given before the present one; past it a fresh application is needed")
def later_end(permit: Permit, asked: Asked, _around: Around) -> str:
    """The new end is later than the present one."""
    assert permit.ends is not None
    try:
        ends = datetime.fromisoformat(asked.told("ends"))
        if ends <= permit.ends:
            return "the new end is not later"
        return too_long(asked.now, ends, permit.shift_end)
    except (ValueError, TypeError):
        return "the new end is not given as a moment with its offset from UTC"


@guard("the person in control of the workplace is consulted, by name and time")
def consulted_person_in_control(permit: Permit, asked: Asked, _around: Around) -> str:
    """Beside plant in service its owner was consulted."""
    if permit.road is Road.WORK or asked.told("consulted_person_in_control"):
        return ""
    return "the area owner was not consulted about work beside plant in service"


BOUNDED = {
    "boundary_marked": "the boundary was walked and marked",
    "letters_held": "the letters of owner and protection are held",
    "control_entry": "the control room has entered the work under a number",
    "observer": "a safety observer is named",
}
"""What makes work beside plant in service bounded, besides the job's own circuits held off and proved."""


@guard("do each and write it: walk, letters, entry number, name")
def bounded(permit: Permit, asked: Asked, _around: Around) -> str:
    """Beside plant in service the boundary stands and is watched."""
    if permit.road is Road.WORK:
        return ""
    missing = [words for key, words in BOUNDED.items() if not asked.told(key)]
    return f"not shown: {'; '.join(missing)}" if missing else ""


@guard("the rule set, or a supplement of the site, says it for each row; its officers adopt that first")
def isolation_written(_permit: Permit, _asked: Asked, around: Around) -> str:
    """Each row of the written plan says its purpose, how it is shut down, isolated, secured, handed on and tested."""
    return (
        f"the isolation plan is not written in full: {'; '.join(around.isolation_gaps)}"
        if around.isolation_gaps
        else ""
    )


@guard("label alone is not enough: write two ways, a comma between, such as label, trace")
def identified_two_ways(_permit: Permit, asked: Asked, _around: Around) -> str:
    """Each point was found in two ways that do not rest on one another."""
    ways = {way.strip().casefold() for way in re.split(r",|;|\band\b", asked.told("identified_two_ways"))} - {""}
    return "" if len(ways) > 1 else "the points are not identified in two ways"


@guard("answer its open checks, and write down the evidence of its controls")
def permit_taken_passed(_permit: Permit, _asked: Asked, around: Around) -> str:
    """PERMIT TAKEN has no open check."""
    return _open("permit_taken", around)


@guard("answer its open checks, and write down the evidence of its controls")
def power_on_passed(_permit: Permit, _asked: Asked, around: Around) -> str:
    """POWER ON has no open check."""
    return _open("power_on", around)


@guard("answer its open checks, and write down the evidence of its controls")
def ready_point_passed(permit: Permit, _asked: Asked, around: Around) -> str:
    """The hold point of this road has no open check."""
    return _open(READY_POINT[permit.road], around)


@guard("answer their open checks, or write how the plant is left")
def last_points_passed(permit: Permit, asked: Asked, around: Around) -> str:
    """Where the work is complete, the last hold points are passed."""
    if not permit.started or permit.complete is False or asked.told("left_as"):
        return ""
    return "; ".join(filter(None, (_open(point, around) for point in LAST_POINTS)))


@guard("name a hold point of the job that is not passed, with no check open")
def hold_point_open(permit: Permit, asked: Asked, around: Around) -> str:
    """The hold point is one of the job, not passed, and may be passed."""
    named = asked.told("hold_point")
    if named not in around.open_at:
        return f"`{named}` is no hold point of this job; it has {', '.join(around.open_at) or 'none'}"
    if named in permit.passed:
        return f"hold point {named} was passed already"
    return _open(named, around)


@guard("whom the rule set names; a second person is named in released_as and did not answer the checks")
def released_by_named(permit: Permit, asked: Asked, around: Around) -> str:
    """The hold point is released by whom the rule set names; each role named signs, by a person of its own."""
    point = asked.told("hold_point")
    words = around.released_by.get(point, "")
    signed = permit.releasing.get(point, {})
    if asked.role in still_to_sign(words, signed):
        if asked.person.name in signed.values():
            return f"{asked.person.name} has signed already; another person signs as {asked.role}"
        if asked.role == ISSUER and (lack := not_of_the_crew(permit, asked, around)):
            return lack
        return asked.person.lack(asked.role, permit.plant, permit.voltage_v, asked.now, permit.road.value)
    if SECOND_PERSON in words or not roles_named(words):
        if words and not asked.told("released_as"):
            return f"this hold point is released by {words}"
        own = asked.person.name in around.answered_by.get(point, frozenset())
        return f"{asked.person.name} answered its checks and is no second person" if own else ""
    return f"this hold point is released by {words}"


@guard("name a stop that stands and that the rule set leaves to a ruling")
def stop_to_rule(_permit: Permit, asked: Asked, around: Around) -> str:
    """The stop stands, and is a decision."""
    if asked.told("stop") in around.decisions:
        return ""
    return f"`{asked.told('stop')}` is no stop to rule on; there are {', '.join(around.decisions) or 'none'}"


@guard("the role the rule set names, in date for this plant")
def ruled_by_named(permit: Permit, asked: Asked, around: Around) -> str:
    """Who rules is whom the rule set names. Where several are named, each signs, by a person of its own."""
    stop = asked.told("stop")
    words = around.decisions.get(stop, "")
    standing = (ruled for ruled in permit.rulings if ruled.stop == stop and ruled.until > asked.now)
    signed = {ruled.role: ruled.who for ruled in standing}
    if asked.role not in still_to_sign(words, signed):
        return f"this stop is ruled on by the {words}" if words else ""
    if asked.person.name in signed.values():
        return f"{asked.person.name} has signed already; another person signs as {asked.role}"
    return asked.person.lack(asked.role, permit.plant, permit.voltage_v, asked.now, permit.road.value)


@guard("a moment with its offset from UTC that lies ahead")
def until_ahead(_permit: Permit, asked: Asked, _around: Around) -> str:
    """A ruling ends."""
    try:
        return "" if datetime.fromisoformat(asked.told("until")) > asked.now else "the ruling ends before it begins"
    except (ValueError, TypeError):
        return "until when the ruling holds is not given as a moment with its offset from UTC"


@guard("ask, read or look again, and enter it")
def checks_in_date(_permit: Permit, asked: Asked, around: Around) -> str:
    """Nothing that must be repeated while the work goes on is overdue."""
    late = overdue(around.rechecks, asked.now)
    return f"overdue: {'; '.join(late)}" if late else ""


@guard("an evaluator signs this revision")
def risks_evaluated(permit: Permit, _asked: Asked, _around: Around) -> str:
    """This revision was evaluated and approved."""
    return "" if {"evaluate", "approve"} <= set(permit.signed) else "this revision was not evaluated and approved"


@guard("the issuer visits after the last change")
def visited_since_change(permit: Permit, asked: Asked, _around: Around) -> str:
    """The issuer saw the place after the last change."""
    try:
        visited = datetime.fromisoformat(asked.told("visited_at"))
        early = permit.changed_at is not None and visited < permit.changed_at
        ahead = visited > asked.now
    except (ValueError, TypeError):
        return "the moment of the issuer's visit is not given with its offset from UTC"
    return "the visit is older than the last change" if early else "the visit lies ahead" if ahead else ""


@guard("return the plant: points were touched")
def nothing_touched(permit: Permit, _asked: Asked, _around: Around) -> str:
    """No point was touched."""
    return "points were touched; the plant must be returned" if permit.points_touched else ""


@guard("call in every numbered copy and write their numbers: copies_called_in=...")
def copies_called_in(permit: Permit, asked: Asked, _around: Around) -> str:
    """Every copy that was drawn is back."""
    told = asked.told("copies_called_in")
    back = set(re.findall(r"\d+", told))
    missing = [f"{copy.number} ({copy.drawn_for})" for copy in permit.copies if str(copy.number) not in back]
    if missing:
        return f"copies are still out: {', '.join(missing)}"
    return "" if told else "nothing is written about the copies"


@guard("a fresh evaluation, approval or issue by people in date: change, then request again")
def signers_in_date(_permit: Permit, _asked: Asked, around: Around) -> str:
    """Nobody whose signature the permit rests on has lost key or authority since."""
    return f"no longer in date: {'; '.join(around.lapsed)}" if around.lapsed else ""


@guard("answer its open checks, and write down the evidence of its controls")
def plate_read_passed(_permit: Permit, _asked: Asked, around: Around) -> str:
    """PLATE READ has no open check: the plant that is switched off is the plant of the plan."""
    return _open("plate_read", around)


@guard("say whether the work is complete: yes or no")
def completeness_stated(_permit: Permit, asked: Asked, _around: Around) -> str:
    """Complete or not is said."""
    return "" if asked.told("complete") in ("yes", "no") else "complete or not complete is not stated"


@guard("end the test, or state that it proved the finished unit")
def hand_back_ends_the_test(permit: Permit, asked: Asked, _around: Around) -> str:
    """From under test only a test that proves the finished unit hands back."""
    if permit.at(asked.now) is State.UNDER_TEST and not asked.told("unit_proved"):
        return "the test goes on, or it did not prove the finished unit"
    return ""
