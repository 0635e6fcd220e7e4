"""What all entries of a store add up to besides the jobs: the register, permits, points, adopted rule sets.

Only what was signed by a key the register vouches for counts, and only where the course of the permit allows it; a
stop and an emergency need nothing. What a store entered on plant that another store held does not count either: it is
kept apart and named. The rest stays in the record and changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from riskhelper.permit import course
from riskhelper.permit.adoption import WITHDRAW, rules_after, state_at
from riskhelper.permit.adoption_guards import not_of_its_course
from riskhelper.permit.clashes import is_same
from riskhelper.permit.effects import after, checked_again, suspended_by
from riskhelper.permit.guards import Asked
from riskhelper.permit.persons import SAFETY_OFFICER, Person
from riskhelper.record.contents import NotReadable, number_of, text_of
from riskhelper.record.destroying import texts_destroyed
from riskhelper.record.entries import (
    ANSWER,
    CLAIM_HOLDING,
    CLOSE_INCIDENT,
    CONTENT_SCHEMAS,
    DESTROY_TEXT,
    EMERGENCY,
    PASS_HOLDING,
    PERMIT,
    POINT,
    REPORT_INCIDENT,
    RULES,
    STOP_WORK,
    TAKE_HOLDING,
    Entry,
)
from riskhelper.record.keeping import Incident
from riskhelper.record.moments import moment_of
from riskhelper.record.people import REGISTER_ACTS, Register, with_entry
from riskhelper.record.signing import NotASignature, signature_of, stands
from riskhelper.record.site_acts import take_permit, take_point
from riskhelper.record.site_contents import permit_content, permit_read, rule_set_read, things_in, told_in
from riskhelper.record.standing import Site

__all__ = ["HOLDING_ACTS", "Site", "add_entry", "permit_content", "permit_read", "site_of", "told_in"]

OFFICER_ACTS = frozenset({CLOSE_INCIDENT, DESTROY_TEXT})
HOLDING_ACTS = frozenset({PASS_HOLDING, TAKE_HOLDING, CLAIM_HOLDING})


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
    elif act == REPORT_INCIDENT:
        site.incidents.setdefault(entry.draft.job, {})[entry.id] = Incident(entry.moment)
    elif act in OFFICER_ACTS:
        _by_officer(site, entry, site.last)
    elif act in HOLDING_ACTS or act.startswith((PERMIT, POINT, RULES)):
        if act not in CONTENT_SCHEMAS or entry.draft.content.get("schema") != CONTENT_SCHEMAS[act]:
            raise NotReadable(f"entry {entry.number} has a form this program does not know")
        if act == CLAIM_HOLDING:
            if _is_by_register(site.register, entry):
                site.holding = site.holding.claimed(entry.log, things_in(entry))
        elif _is_vouched(site.register, entry):
            _take(site, entry, site.last)


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


def _take(site: Site, entry: Entry, entered: datetime) -> None:
    act = entry.draft.act
    if act == PASS_HOLDING:
        site.holding = site.holding.passing(entry.log, things_in(entry), text_of(entry, "to"))
        return
    if act == TAKE_HOLDING:
        site.holding = site.holding.taking(entry.log, things_in(entry))
        return
    if act.startswith(PERMIT):
        take_permit(site, entry, entered)
    elif act.startswith(POINT):
        take_point(site, entry, entered)
    else:
        _take_rules(site, entry, entered)


def _take_rules(site: Site, entry: Entry, entered: datetime) -> None:
    """An act on a rule set. When one is withdrawn, every permit in force that was signed under it is suspended."""
    act, who = entry.draft.act, site.register.people[entry.draft.who]
    rule_set = site.rule_sets.get(text_of(entry, "rules")) or rule_set_read(entry)
    asked = Asked(act.removeprefix(RULES), who, entry.draft.role, entered, told_in(entry))
    if lack := not_of_its_course(rule_set, asked, state_at(site.rule_sets, rule_set, entered.date())):
        site.apart.append(f"entry {entry.number} ({act}) does not count: {lack}")
        return
    site.rule_sets[rule_set.digest] = rules_after(rule_set, asked)
    if asked.act == WITHDRAW:
        for number, permit in site.permits.items():
            if site.rules_of.get(number) == rule_set.digest:
                site.permits[number] = suspended_by(permit, "its rule set was withdrawn", entered)


def _by_officer(site: Site, entry: Entry, entered: datetime) -> None:
    """An inquiry closed, or text destroyed: only by a safety officer; text of a job with an open incident stays."""
    act, who = entry.draft.act, site.register.people.get(entry.draft.who)
    lack = "no safety officer of the register signed it"
    if who is not None and entry.draft.role == SAFETY_OFFICER and _is_vouched(site.register, entry):
        lack = who.lack(SAFETY_OFFICER, "", 0, entered)
    if lack:
        site.apart.append(f"entry {entry.number} ({act}) does not count: {lack}")
    elif act == DESTROY_TEXT:
        site.destroyed |= set(texts_destroyed(entry))
    else:
        of_job = site.incidents.get(entry.draft.job, {})
        reported = (text_of(entry, "log"), number_of(entry, "entry"))
        if reported in of_job:
            of_job[reported] = replace(of_job[reported], closed=entry.moment)


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


def _stop(site: Site, entry: Entry, moment: datetime) -> None:
    """A stop called by anybody, signed or not, suspends every permit of the job that people may work under."""
    caller = Person(entry.draft.who, "", ())
    for number, permit in site.permits.items():
        if permit.job == entry.draft.job and permit.at(moment) in course.ROWS[course.STOP].states:
            site.permits[number] = after(permit, Asked(course.STOP, caller, entry.draft.role, moment))
