"""What two people do with a plan before the work: draw up and request the permit, evaluate, return, refuse, approve.

Where a register is set up each act is signed; where none is, it is a rehearsal act under the same table.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.permit import permits
from riskhelper.acts.permit.permits import DraftPermit
from riskhelper.acts.plan import rehearsing
from riskhelper.acts.plan.asking_back import in_order
from riskhelper.acts.plan.rehearsing import Rehearsing
from riskhelper.acts.register.signing import Signing, moment, site
from riskhelper.permit import course
from riskhelper.permit.document import Permit, State
from riskhelper.permit.guards import Asked
from riskhelper.permit.persons import Person
from riskhelper.permit.refusal import Lack, lacks
from riskhelper.permit.wanted import Wanted, asks
from riskhelper.record.entries import SET_UP_REGISTER, Entry
from riskhelper.record.site import Site

By = Signing | Rehearsing
WAITING = frozenset({State.REQUESTED, State.EVALUATED})
DECISION_WORDS = {
    course.EVALUATE: "Evaluate it: you have seen the place, and you did not ask for it.",
    course.APPROVE: "Approve it until a time, each condition read one by one. Nobody may start on it.",
    course.RETURN: "Give it back with a note, to one question or to the whole.",
    course.REFUSE: "Refuse it, with the reason.",
}
DONE = {
    course.EVALUATE: "Evaluated",
    course.APPROVE: "Approved",
    course.RETURN: "Given back",
    course.REFUSE: "Refused",
}
QUESTION = "question"
"""The field that names the question a plan is given back with."""
ACKNOWLEDGED = "acknowledged"
"""The field that holds the marks of the conditions read."""
OF_A_PERSON = frozenset({"role", "not_the_requester", "prepared_by_another"})
"""Guards that another person satisfies."""


def has_register(context: Context) -> bool:
    """Whether acts are signed here."""
    return bool(context.store.marks((SET_UP_REGISTER,)))


def site_for(context: Context, job: str) -> Site:
    """The site as far as a job goes: as signed, or as rehearsed where no register is set up."""
    return site(context) if has_register(context) else rehearsing.rehearsed(context.store.entries(job))


def site_with(context: Context, entries: Sequence[Entry]) -> Site:
    """The same for a job whose entries are read already."""
    return site(context) if has_register(context) else rehearsing.rehearsed(entries)


def permit_of(context: Context, job: str) -> Permit | None:
    """The latest permit of a job."""
    return permit_in(site_for(context, job), job)


def permit_in(found: Site, job: str) -> Permit | None:
    """The latest permit of a job among those of a site."""
    mine = [permit for permit in found.permits.values() if permit.job == job]
    return mine[-1] if mine else None


def decisions(permit: Permit | None) -> tuple[str, ...]:
    """What can be decided on the plant's side as the permit stands, the usual next step first."""
    if permit is None or permit.state not in WAITING:
        return ()
    first = course.EVALUATE if permit.state is State.REQUESTED else course.APPROVE
    return (first, course.RETURN, course.REFUSE)


def all_decisions(context: Context, permit: Permit | None) -> dict[str, tuple[str, ...]]:
    """Every act of the plant's side before the work, those whose turn it is first; each with what is in its way."""
    possible = decisions(permit)
    found: dict[str, tuple[str, ...]] = {}
    for act in possible:
        assert permit is not None
        found[act] = tuple(f"{lack.words}. Needed: {lack.by}." for lack in in_the_way(context, permit, act))
    for act in DECISION_WORDS:
        if act not in found:
            found[act] = (_not_now(context, permit, act),)
    return found


def _not_now(context: Context, permit: Permit | None, act: str) -> str:
    """Why an act has no place on the course as the permit stands."""
    if permit is None:
        return "No permit is asked for yet: the worker's side draws it up and asks for it."
    if act == course.APPROVE and permit.state is State.REQUESTED:
        return "It is evaluated first, by a second person who did not ask for it."
    if act == course.EVALUATE and permit.state is State.EVALUATED:
        return f"It is evaluated already, by {permit.signed.get(course.EVALUATE, 'somebody')}."
    return f"The permit is {permit.words(context.clock())}: nothing waits to be decided."


def done_words(act: str, after: Permit, now: datetime) -> str:
    """What was done, and where the plan is now."""
    more = ", with the worker's side again" if act == course.RETURN else ""
    return f"{DONE[act]}: permit {after.number} is {after.words(now)}{more}."


def fields(context: Context, permit: Permit, name: str) -> tuple[Wanted, ...]:
    """What must be typed with an act on the permit of a job; the conditions to be read come first, and a question
    the plan is given back with stands in a list that begins with what nobody knows."""
    wanted = permits.wanted_on(context, site_for(context, permit.job), permit, name)
    found = [
        replace(field, choices=in_order(context, permit.job, field.choices))
        if field.key == QUESTION and field.choices
        else field
        for field in wanted
    ]
    return tuple(sorted(found, key=lambda field: field.key != ACKNOWLEDGED))


def draw_up_and_request(by: By, given: DraftPermit, measures: str, unnamed_by: str = "") -> Permit:
    """Draws the permit up, unless the job has one that was given back, and asks for it."""
    permit = permit_of(by.context, given.job)
    if permit is None or permit.closed:
        permit = permits.draft(by, given) if isinstance(by, Signing) else rehearsing.draft(by, given)
    return act(by, permit, course.REQUEST, {"measures_stated": measures, "unnamed_by": unnamed_by})


def act(by: By, permit: Permit, name: str, details: Mapping[str, str]) -> Permit:
    """Does an act on the permit of a job."""
    if isinstance(by, Signing):
        return permits.act(by, permit.number, name, details)
    return rehearsing.act(by, permit.job, permit.number, name, details)


def in_the_way(context: Context, permit: Permit, name: str) -> tuple[Lack, ...]:
    """What refuses an act whoever does it and whatever is typed with it; empty where it is worth beginning."""
    found = site_for(context, permit.job)
    now = moment(context, found)
    around = permits.around_of(context, found, permit, (name,), now)
    asked = Asked(name, Person("", "", ()), course.ROWS[name].roles[0], now)
    return tuple(
        lack for lack in lacks(permit, asked, around) if not asks(lack.guard) and lack.guard not in OF_A_PERSON
    )
