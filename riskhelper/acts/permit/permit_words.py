"""One permit in words: what it covers, until when, who signed, points, crew, hold points, stops, handover."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.acts.job.stopping import standing_stop
from riskhelper.acts.permit.exceptions import exceptions
from riskhelper.acts.permit.permits import known_permit
from riskhelper.acts.permit.point_state import device_words, own_lock, state_words
from riskhelper.acts.permit.roster_words import crews_beside, roster_of
from riskhelper.acts.permit.typed_moments import moment_words, span_words
from riskhelper.acts.plan import plan_signed
from riskhelper.acts.plan.live_plan import live_plan
from riskhelper.acts.register.signing import moment, site
from riskhelper.permit.clashes import not_agreed
from riskhelper.permit.document import Permit, Road, State
from riskhelper.permit.live_work import authorisation
from riskhelper.permit.point_guards import procedures_of
from riskhelper.permit.points import Point
from riskhelper.permit.site_visits import Visit
from riskhelper.permit.switching import SIDES
from riskhelper.record.site import Site
from riskhelper.terms import spoken

NOT_APPROVAL = "Approving a plan is not issuing a permit; nobody may start on it."


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the page: its heading and its sentences."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class PermitShown:
    """A permit with its state in words and everything written on it. `around` is what bounds it in one line each, a
    stop that somebody called first."""

    permit: Permit
    state: str
    around: tuple[str, ...]
    sections: tuple[Section, ...]
    stop_called: bool = False


def shown(context: Context, number: str) -> PermitShown:
    """A permit in words as it stands now."""
    found = site(context)
    permit, now = known_permit(context, found, number), moment(context, found)
    job = resume_job(context, permit.job)
    called = () if permit.closed else _called(job, now)
    sections = (
        Section("Covers", _covers(permit)),
        Section("Stops", _stops(job, permit, now)),
        Section("Signed", _signed(permit)),
        *_live_work(job, permit, now),
        *_control(permit),
        Section("Points", _points(permit, found)),
        Section("Isolation procedure", _procedures(permit, found, now)),
        Section("Visits", _visits(permit, now)),
        Section("Work next to it", _beside(job, permit, found, now)),
        Section("Crew", _crew(permit, found, now)),
        Section("Hold points", _hold_points(job, permit, now)),
        *_exceptions(context, number),
    )
    bounds = (*called, *_around(permit, now), *_not_agreed(job, permit, found, now))
    return PermitShown(permit, permit.words(now), bounds, sections, bool(called))


def window(permit: Permit, now: datetime) -> str:
    """Begin and end, and what is left of it."""
    if permit.closed:
        return "It is closed: nobody works under it." + (f" {span(permit, now)}." if permit.starts else "")
    if permit.starts is None or permit.ends is None:
        return "No begin and end are set yet; approval sets them."
    left = permit.ends - now
    minutes = int(left.total_seconds() // 60)
    if minutes <= 0:
        return f"Ended {moment_words(permit.ends, now)}. Only handing back, handover and closing are left."
    return f"{span(permit, now)}; {minutes // 60} h {minutes % 60:02} min are left."


def span(permit: Permit, now: datetime) -> str:
    """From when to when; empty before approval."""
    if permit.starts is None or permit.ends is None:
        return ""
    return f"From {span_words(permit.starts, permit.ends, now)}"


def holder(permit: Permit) -> str:
    """Who holds the permit."""
    return f"held by {permit.acceptor}" if permit.acceptor else "held by nobody"


def _around(permit: Permit, now: datetime) -> tuple[str, ...]:
    lines = [window(permit, now), f"It is {holder(permit)}."]
    on = permit.roster.signed_on
    lines.append(f"Signed on: {', '.join(on)}." if on else "Nobody is signed on.")
    if permit.state_left:
        lines.append(f"The plant is left so: {permit.state_left}.")
    if permit.shift_end:
        lines.append(f"Longer than one shift. Each ends so: {permit.shift_end}.")
    if permit.state is State.APPROVED:
        lines.append(NOT_APPROVAL)
    if permit.returned is not None:
        about = f" (question {permit.returned.question})" if permit.returned.question else ""
        lines.append(f"Given back by {permit.returned.by}: {permit.returned.reason}{about}")
    if permit.resuming_allowed_by:
        lines.append(f"{permit.resuming_allowed_by} allows to resume.")
    if permit.handover is not None:
        lines.append(_handover(permit))
    return tuple(line for line in lines if line)


def _handover(permit: Permit) -> str:
    assert permit.handover is not None
    open_, opened = permit.handover, permit.handover.in_absence or permit.handover.outgoing
    if not open_.incoming:
        return f"A handover is open, offered by {opened}: nobody has taken over yet."
    return f"A handover is open: {open_.incoming} has taken over; the issuer confirms it."


def _covers(permit: Permit) -> tuple[str, ...]:
    energies = ", ".join(map(spoken, sorted(permit.energies))) or "every energy"
    kind = "dead, earthed and proved" if permit.road is Road.WORK else "beside plant in service, inside a boundary"
    return (
        f"{permit.road.value.capitalize()}, revision {permit.revision}: work {kind}.",
        f"Plant {permit.plant}, {permit.apparatus}, in {permit.zone}; up to {permit.voltage_v} V; {energies}.",
        f"Job {permit.job}, prepared by {', '.join(sorted(permit.prepared_by))}.",
    )


def _signed(permit: Permit) -> tuple[str, ...]:
    return tuple(f"{part}: {who}" for part, who in permit.signed.items()) or ("Nothing of this revision is signed.",)


def _live_work(job: JobState, permit: Permit, now: datetime) -> tuple[Section, ...]:
    """The authorisation of work on live parts field by field, with what the plan shows of it before approval."""
    plan = live_plan(job, now)
    if plan is None and not permit.live:
        return ()
    shown = permit.live or (plan.shown if plan is not None else {})
    gaps = {} if permit.live or plan is None else plan.gaps
    fields = authorisation(replace(permit, live=shown))
    lines = [
        f"{each.title}{' (NOT ALL WRITTEN)' if each.lacks else ''}: {each.words or 'nothing'}." for each in fields
    ]
    return (Section("Work on parts left live", (*lines, *(f"The plan lacks: {gap}." for gap in gaps.values()))),)


def _control(permit: Permit) -> tuple[Section, ...]:
    """Where the control of each party ends, and the drawing that shows it."""
    drawn = (f"Drawing {permit.drawing.words}.",) if permit.drawing is not None else ()
    lines = (*drawn, *(f"{party}: {words}." for party, words in permit.control.items()))
    return (Section("Boundary of control", lines),) if lines else ()


def _exceptions(context: Context, number: str) -> tuple[Section, ...]:
    """What was done by way of exception under the permit and at its points; left out where nothing was."""
    lines = tuple(f"{each.words[0].upper()}{each.words[1:]}." for each in exceptions(context, number))
    return (Section("Exceptions", lines),) if lines else ()


def _points(permit: Permit, found: Site) -> tuple[str, ...]:
    if not permit.points:
        return ("No point is named.",)
    return tuple(point_words(name, found.points.get(name)) for name in permit.points)


def _procedures(permit: Permit, found: Site, now: datetime) -> tuple[str, ...]:
    """When the procedures of the plant and of each point were last inspected, and what is overdue."""
    used = procedures_of(permit, found.points, found.procedures)
    lines = tuple(f"{line}." for each in used for line in each.lines(now))
    return lines or ("No point of this plant is planned yet.",)


def _visits(permit: Permit, now: datetime) -> tuple[str, ...]:
    """Who visited the work, what was found, what is still to be done."""
    return tuple(visit_line(each, now) for each in permit.visits) or ("Nobody has visited the work yet.",)


def visit_line(visit: Visit, now: datetime) -> str:
    """A visit in one line."""
    line = f"{visit.number}. {visit.by} as {visit.role}, {moment_words(visit.at, now)}: {visit.finding}"
    if not visit.action:
        return line
    if visit.closed_at is not None:
        return f"{line}; done: {visit.closed} ({visit.closed_by}, {moment_words(visit.closed_at, now)})"
    return f"{line}; {'OVERDUE' if visit.is_overdue(now) else 'to do'}: {visit.to_do}"


def _beside(job: JobState, permit: Permit, found: Site, now: datetime) -> tuple[str, ...]:
    """Safeguards against the work of other permits: those that stand here, and those that are not agreed yet."""
    standing = (f"Beside permit {each.other}: {each.words} Agreed by {each.by}." for each in permit.safeguards)
    lines = (*standing, *_not_agreed(job, permit, found, now))
    return lines or ("No work next to it asks for a safeguard.",)


def _not_agreed(job: JobState, permit: Permit, found: Site, now: datetime) -> tuple[str, ...]:
    """Safeguards that do not stand on both permits yet: until they do, neither goes on to its next step."""
    lacks = not_agreed(permit, found.permits.values(), plan_signed.pairs_of(job.rules), now)
    return tuple(f"NOT AGREED on permit {one}, against permit {other}: {words}" for one, other, words in lacks)


def point_words(name: str, point: Point | None) -> str:
    """A point in one line: state, locks, earths."""
    if point is None:
        return f"{name}: not in the register"
    own = ", ".join(own_lock(point, owner) for owner in point.personal_locks)
    locks = f"; own locks: {own}" if own else ""
    earths = f"; earths {', '.join(each.words for each in point.earths)}" if point.earths else ""
    side = f", {SIDES[point.side]}" if point.side in SIDES else ""
    return f"{name}, {device_words(point)}{side}: {state_words(point)}{locks}{earths}"


def _crew(permit: Permit, found: Site, now: datetime) -> tuple[str, ...]:
    roster = roster_of(permit, now)
    knows = permit.coordinator or permit.acceptor
    others = crews_beside(permit, found.permits.values(), now)
    answers = f"{knows} knows where each of them works." if knows else "Nobody answers for the crew yet."
    return (roster.briefing, answers, *(roster.on or ("Nobody is signed on.",)), *roster.off, *others)


def hold_point_choices(context: Context, number: str) -> dict[str, str]:
    """The hold points of a permit that are not passed, each with what is open there."""
    found = site(context)
    permit, now = known_permit(context, found, number), moment(context, found)
    job = resume_job(context, permit.job)
    return {name: words for name, words in _hold_point_words(job, permit, now).items() if name not in permit.passed}


def _hold_points(job: JobState, permit: Permit, now: datetime) -> tuple[str, ...]:
    return tuple(_hold_point_words(job, permit, now).values()) or ("This job has no hold point.",)


def _hold_point_words(job: JobState, permit: Permit, now: datetime) -> dict[str, str]:
    found = {}
    for name, checks in plan_signed.open_at(plan_signed.passings(job, permit, now)).items():
        point, questions = job.rules.hold_points[name], job.rules.questions
        asked = [questions[each].ask if each in questions else each for each in checks]
        state = f"open: {' '.join(asked)}" if checks else "may be released."
        passed = f"{point.words}: passed"
        found[name] = passed if name in permit.passed else f"{point.words}: {state} Released by: {point.released_by}"
    return found


def _stops(job: JobState, permit: Permit, now: datetime) -> tuple[str, ...]:
    titles = plan_signed.stops_standing(job, permit, now)
    return tuple(f"STOP: {title}" for title in titles) or ("No stop stands.",)


def _called(job: JobState, now: datetime) -> tuple[str, ...]:
    """A stop that somebody called, with what was told of it."""
    called = standing_stop(job.history)
    if called is None:
        return ()
    by = f" by {called.called_by}" if called.called_by else ""
    why = f": {called.reason}" if called.reason else ""
    return (f"STOP called {moment_words(called.at, now)}{by}{why}. Only the issuer ends it.",)
