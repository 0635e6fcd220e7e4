"""What all entries of a store add up to besides the jobs: the register, permits, points, adopted rule sets.

Only what was signed by a key the register vouches for counts, and only where the course of the permit allows it; a
stop and an emergency need nothing. What a store entered on plant that another store held does not count either: it is
kept apart and named. The rest stays in the record and changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from riskhelper.permit import course, point_course
from riskhelper.permit.adoption import RuleCourse, RuleState, rules_after, state_at
from riskhelper.permit.adoption_guards import not_of_its_course
from riskhelper.permit.clashes import is_same
from riskhelper.permit.document import Permit, Road
from riskhelper.permit.effects import after, checked_again, suspended_by
from riskhelper.permit.guards import Asked
from riskhelper.permit.persons import Person
from riskhelper.permit.points import Point
from riskhelper.permit.procedures import Procedure
from riskhelper.permit.rechecks import POINT_CHECK
from riskhelper.permit.refusal import not_of_the_course
from riskhelper.record.canonical import Content
from riskhelper.record.contents import NotReadable, number_of, text_of
from riskhelper.record.entries import (
    ANSWER,
    CLAIM_HOLDING,
    CONTENT_SCHEMAS,
    EMERGENCY,
    PASS_HOLDING,
    PERMIT,
    POINT,
    RULES,
    STOP_WORK,
    TAKE_HOLDING,
    Entry,
    log_name,
)
from riskhelper.record.holding import Holding, things_of_permit, things_of_point
from riskhelper.record.moments import moment_of
from riskhelper.record.people import REGISTER_ACTS, Register, with_entry
from riskhelper.record.signing import NotASignature, signature_of, stands

HOLDING_ACTS = frozenset({PASS_HOLDING, TAKE_HOLDING, CLAIM_HOLDING})


@dataclass
class Site:
    """A site as it stands. `requested` maps a permit to the place of the entry that last requested it; `apart` names
    entries that do not count, as another store held what they are about or as they are no act of the course."""

    register: Register = field(default_factory=Register)
    permits: dict[str, Permit] = field(default_factory=dict)
    points: dict[str, Point] = field(default_factory=dict)
    procedures: dict[str, Procedure] = field(default_factory=dict)
    requested: dict[str, int] = field(default_factory=dict)
    rule_sets: dict[str, RuleCourse] = field(default_factory=dict)
    holding: Holding = field(default_factory=Holding)
    apart: list[str] = field(default_factory=list)
    last: datetime | None = None

    def copy(self) -> Site:
        """The same site as a value of its own, which further entries leave alone."""
        return replace(
            self,
            permits=dict(self.permits),
            points=dict(self.points),
            procedures=dict(self.procedures),
            requested=dict(self.requested),
            rule_sets=dict(self.rule_sets),
            apart=list(self.apart),
        )

    def adopted(self, digest: str, now: datetime) -> bool:
        """Whether the rule set of that digest is in force: adopted by two officers, its day come, not withdrawn."""
        found = self.rule_sets.get(digest)
        return found is not None and state_at(self.rule_sets, found, now.date()) is RuleState.IN_FORCE


def site_of(entries: Iterable[Entry]) -> Site:
    """The site that the entries add up to; raises `NotReadable` for what this program does not know."""
    site = Site()
    for entry in entries:
        add_entry(site, entry)
    return site


def add_entry(site: Site, entry: Entry) -> None:
    """Takes the site on by its next entry; raises `NotReadable` for what this program does not know."""
    act = entry.draft.act
    entered = moment_of(entry.draft.moment_entered, entry.draft.offset_min)
    site.last = entered if site.last is None else max(entered, site.last)
    if act in REGISTER_ACTS:
        site.register = with_entry(site.register, entry)
        if site.register.log == entry.log:
            site.holding = replace(site.holding, first=entry.log)
    elif act == STOP_WORK:
        _stop(site, entry, site.last)
    elif act == EMERGENCY:
        _emergency(site, text_of(entry, "zone"), site.last)
    elif act == ANSWER:
        _answered(site, entry, site.last)
    elif act in HOLDING_ACTS or act.startswith((PERMIT, POINT, RULES)):
        if entry.draft.content.get("schema") != CONTENT_SCHEMAS.get(act):
            raise NotReadable(f"entry {entry.number} has a form this program does not know")
        if act == CLAIM_HOLDING:
            if _is_by_register(site.register, entry):
                site.holding = site.holding.claimed(entry.log, _things(entry))
        elif _is_vouched(site.register, entry):
            _take(site, entry, site.last)


def permit_content(permit: Permit) -> dict[str, Content]:
    """A new permit as content."""
    return {
        "permit": permit.number,
        "road": permit.road.value,
        "plant": permit.plant,
        "apparatus": permit.apparatus,
        "zone": permit.zone,
        "voltage_v": permit.voltage_v,
        "energies": [*sorted(permit.energies)],
        "points": [*permit.points],
        "prepared_by": [*sorted(permit.prepared_by)],
    }


def _is_vouched(register: Register, entry: Entry) -> bool:
    try:
        signature = signature_of(entry)
    except NotASignature:
        return False
    if signature is None or not stands(entry, signature):
        return False
    held = register.keys.get(signature.key)
    return held is not None and held.person == entry.draft.who and held.counts_at(entry.order)


def _is_by_register(register: Register, entry: Entry) -> bool:
    try:
        signature = signature_of(entry)
    except NotASignature:
        return False
    return signature is not None and signature.key == register.key and stands(entry, signature)


def _things(entry: Entry) -> dict[str, str]:
    """The plants and points that an entry on the holding names, each with the plant it goes with."""
    things = entry.draft.content.get("things")
    if not isinstance(things, dict):
        raise NotReadable(f"entry {entry.number}: `things` should be plants and points")
    return {thing: str(plant) for thing, plant in things.items()}


def _take(site: Site, entry: Entry, entered: datetime) -> None:
    act = entry.draft.act
    if act == PASS_HOLDING:
        site.holding = site.holding.passing(entry.log, _things(entry), text_of(entry, "to"))
        return
    if act == TAKE_HOLDING:
        site.holding = site.holding.taking(entry.log, _things(entry))
        return
    if act == PERMIT + course.DRAFT:
        permit = permit_read(entry)
        site.permits.setdefault(permit.number, permit)
        return
    told = told_in(entry)
    who = site.register.people[entry.draft.who]
    if act.startswith(RULES):
        rule_set = site.rule_sets.get(text_of(entry, "rules")) or _rule_set(entry)
        asked = Asked(act.removeprefix(RULES), who, entry.draft.role, entered, told)
        if lack := not_of_its_course(rule_set, asked, state_at(site.rule_sets, rule_set, entered.date())):
            site.apart.append(f"entry {entry.number} ({act}) does not count: {lack}")
        else:
            site.rule_sets[rule_set.digest] = rules_after(rule_set, asked)
        return
    if act.startswith(PERMIT):
        number = text_of(entry, "permit")
        asked = Asked(act.removeprefix(PERMIT), who, entry.draft.role, entered, told)
        if number not in site.permits:
            raise NotReadable(f"entry {entry.number}: no permit `{number}` was drawn up before it")
        if _is_apart(site, entry, asked.act, things_of_permit(site.permits[number], site.points)):
            return
        if lack := not_of_the_course(site.permits[number], asked):
            site.apart.append(f"entry {entry.number} ({act} {number}) does not count: {lack}")
            return
        try:
            site.permits[number] = after(site.permits[number], asked)
        except ValueError as fault:
            site.apart.append(f"entry {entry.number} ({act} {number}) does not count: {fault}")
            return
        if asked.act == course.REQUEST:
            site.requested[number] = entry.order
    else:
        name = text_of(entry, "point")
        asked = Asked(act.removeprefix(POINT), who, entry.draft.role, entered, told)
        plant = site.points[name].plant if name in site.points else told.get("plant", "")
        if _is_apart(site, entry, asked.act, things_of_point(name, plant)):
            return
        if lacks := point_course.not_of_point_course(site.points, name, asked):
            site.apart.append(f"entry {entry.number} ({act} {name}) does not count: {lacks[0].words}")
            return
        try:
            site.points[name] = point_course.point_after(site.points, name, asked)
        except ValueError as fault:
            site.apart.append(f"entry {entry.number} ({act} {name}) does not count: {fault}")
            return
        site.procedures = point_course.procedures_after(site.procedures, site.points[name].plant, asked)
        _point_checked(site, name, asked.act, entered)


def _is_apart(site: Site, entry: Entry, act: str, things: Mapping[str, str]) -> bool:
    """Whether the store that wrote an entry did not hold what it is about; then it is named and does not count."""
    lacking = site.holding.lacking(entry.log, act, things)
    if lacking:
        site.apart.append(
            f"entry {entry.number} of {log_name(entry.log)} ({act}) does not count: {'; '.join(lacking)}"
        )
    return bool(lacking)


def _emergency(site: Site, zone: str, moment: datetime) -> None:
    """Every permit of the zone (of the site where none is named) that people may work under is suspended."""
    for number, permit in site.permits.items():
        if not zone or is_same(permit.zone, zone):
            site.permits[number] = suspended_by(permit, "an emergency in the zone", moment)


def _answered(site: Site, entry: Entry, moment: datetime) -> None:
    """An answer is a check done again; one outside the plan suspends the permits that its entry names."""
    question, suspends = text_of(entry, "question"), entry.draft.content.get("suspends")
    named = suspends if isinstance(suspends, list) else []
    for number, permit in site.permits.items():
        if permit.job != entry.draft.job:
            continue
        site.permits[number] = checked_again(permit, question, min(entry.moment, moment), moment)
        if number in named:
            site.permits[number] = suspended_by(site.permits[number], text_of(entry, "because"), moment)


def _point_checked(site: Site, name: str, act: str, moment: datetime) -> None:
    """Stored energy at a point looked at again."""
    if act in (point_course.PROVE, point_course.RECHECK):
        for number, permit in site.permits.items():
            if name in permit.points:
                site.permits[number] = checked_again(permit, POINT_CHECK + name, moment, moment)


def _rule_set(entry: Entry) -> RuleCourse:
    """A rule set as its first entry names it."""
    parts = entry.draft.content.get("parts")
    if not isinstance(parts, list):
        raise NotReadable(f"entry {entry.number}: `parts` should be a list")
    return RuleCourse(
        digest=text_of(entry, "rules"),
        name=text_of(entry, "name"),
        number=number_of(entry, "number"),
        code=text_of(entry, "code"),
        parts=tuple(map(str, parts)),
    )


def _stop(site: Site, entry: Entry, moment: datetime) -> None:
    """A stop called by anybody, signed or not, suspends every permit of the job that people may work under."""
    caller = Person(entry.draft.who, "", ())
    for number, permit in site.permits.items():
        if permit.job == entry.draft.job and permit.at(moment) in course.ROWS[course.STOP].states:
            site.permits[number] = after(permit, Asked(course.STOP, caller, entry.draft.role, moment))


def told_in(entry: Entry) -> Mapping[str, str]:
    """What was written with an act, by name."""
    details = entry.draft.content.get("details")
    if not isinstance(details, dict) or not all(isinstance(text, str) for text in details.values()):
        raise NotReadable(f"entry {entry.number}: `details` should be texts by name")
    return {key: str(text) for key, text in details.items()}


def permit_read(entry: Entry) -> Permit:
    """The permit that an act of drawing up wrote."""
    content = entry.draft.content
    listed = [content.get(key) for key in ("energies", "points", "prepared_by")]
    if not all(isinstance(each, list) for each in listed):
        raise NotReadable(f"entry {entry.number}: energies, points and those who prepared should be lists")
    energies, points, prepared_by = ([str(word) for word in each] for each in listed if isinstance(each, list))
    return Permit(
        number=text_of(entry, "permit"),
        job=entry.draft.job,
        road=Road(text_of(entry, "road")),
        plant=text_of(entry, "plant"),
        apparatus=text_of(entry, "apparatus"),
        zone=text_of(entry, "zone"),
        voltage_v=number_of(entry, "voltage_v"),
        energies=frozenset(energies),
        points=tuple(points),
        prepared_by=frozenset(prepared_by),
    )
