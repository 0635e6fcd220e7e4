"""The permit as far as approval where no register is set up: rehearsal acts, under the same table, binding nobody.

Nobody proves who they are; each types a name and holds every role. What is done here is kept in the record under acts
of its own and counts for nothing once a register is set up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from riskhelper.acts.context import MOST_NAME, Context, checked_words
from riskhelper.acts.permit.permits import DraftPermit, act_content, asked_for, drawn_up, known_permit
from riskhelper.permit import course
from riskhelper.permit.document import Permit
from riskhelper.permit.effects import after
from riskhelper.permit.guards import Asked
from riskhelper.permit.persons import ROLES, Authority, Person
from riskhelper.record.canonical import Content
from riskhelper.record.contents import text_of
from riskhelper.record.entries import REHEARSE, Entry, drafted
from riskhelper.record.site import Site, permit_content, permit_read, told_in

SAYS = "REHEARSAL ACT: no register is set up here. Nobody proves who they are; it binds nobody."
HIGHEST_V = 10**9


@dataclass(frozen=True)
class Rehearsing:
    """A person by the name typed, in one role; nothing proves it."""

    context: Context
    person: Person
    role: str


def rehearse_as(context: Context, name: str, role: str) -> Rehearsing:
    """Somebody by the name typed, in a role of the course."""
    typed = checked_words("The name", name, MOST_NAME)
    if not typed:
        raise context.refused("rehearse", "name", "Type the name of whoever does this; nobody acts for another")
    return Rehearsing(context, _person(typed), role)


def rehearsed(entries: Iterable[Entry]) -> Site:
    """The permits that rehearsal acts add up to."""
    found = Site()
    for entry in entries:
        moment = entry.moment
        found.last = moment if found.last is None else max(moment, found.last)
        if not entry.draft.act.startswith(REHEARSE):
            continue
        name = entry.draft.act.removeprefix(REHEARSE)
        if name == course.DRAFT:
            permit = permit_read(entry)
        else:
            number = text_of(entry, "permit")
            asked = Asked(name, _person(entry.draft.who), entry.draft.role, found.last, told_in(entry))
            permit = after(found.permits[number], asked)
            if name == course.REQUEST:
                found.requested[number] = entry.order
        found.permits[permit.number] = permit
    return found


def draft(by: Rehearsing, given: DraftPermit) -> Permit:
    """Draws up a permit as a rehearsal."""
    found = rehearsed(by.context.store.entries(given.job))
    permit = drawn_up(by.context, found, given, by.person, by.role)
    _append(by, given.job, course.DRAFT, permit_content(permit))
    return permit


def act(by: Rehearsing, job: str, number: str, name: str, details: Mapping[str, str]) -> Permit:
    """Does an act of the course as a rehearsal; refused as the signed act would be."""
    found = rehearsed(by.context.store.entries(job))
    permit = known_permit(by.context, found, number)
    asked = asked_for(by.context, found, permit, (by.person, by.role), name, details)
    _append(by, job, name, act_content(by.context, permit, asked))
    return rehearsed(by.context.store.entries(job)).permits[number]


def _append(by: Rehearsing, job: str, name: str, content: Mapping[str, Content]) -> None:
    context, now = by.context, by.context.clock()
    entry = context.store.append(
        drafted(
            job=job,
            who=by.person.name,
            role=by.role,
            act=REHEARSE + name,
            content=content,
            entered=now,
            zone=context.zone,
        )
    )
    context.logbook.act(now, REHEARSE + name, entry.number)


def _person(name: str) -> Person:
    until = datetime.max.replace(tzinfo=UTC)
    return Person(name, "rehearsal", tuple(Authority(role, until, HIGHEST_V) for role in ROLES))
