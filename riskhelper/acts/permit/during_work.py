"""What an answer does while people may work: inside the signed plan it is an entry, outside it suspends at once.

The suspension stands in the entry of the answer itself: there is no moment at which the one is kept and the other
not. The words tell the worker what to do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.plan.plan_signed import answer_words
from riskhelper.acts.register.signing import moment, site
from riskhelper.evidence import Answer
from riskhelper.facts.within import is_inside
from riskhelper.permit import course
from riskhelper.permit.document import Permit, State
from riskhelper.permit.points import Point
from riskhelper.permit.rechecks import POINT_CHECK, Recheck
from riskhelper.record.canonical import Content
from riskhelper.record.entries import PERMIT
from riskhelper.record.replay import replayed
from riskhelper.record.site import Site

REQUESTED = PERMIT + course.REQUEST
WHAT_TO_DO = "Stop. Everybody out. Leave points, locks and earths as they are. Tell the issuer now"


def consequence(context: Context, state: JobState, question: str, answer: Answer) -> dict[str, Content]:
    """What is written with an answer beside it: nothing, or which permits it suspends and why."""
    entries = context.store.entries(state.number)
    if not any(entry.draft.act == REQUESTED for entry in entries):
        return {}
    found = site(context)
    now = moment(context, found)
    job = replace(state.job, answers={**state.job.answers, question: answer})
    suspended = []
    for permit in _at_work(found, state.number, now):
        signed = [entry for entry in entries if entry.order <= found.requested[permit.number]]
        then = replayed(signed).job
        if not is_inside(state.rules, then, signed[-1].moment, job, question, now):
            suspended.append(permit.number)
    if not suspended:
        return {}
    return {"suspends": [*suspended], "because": f"{answer_words(state.rules, question)} lies outside the plan"}


def to_do_now(context: Context, job: str) -> tuple[str, ...]:
    """What the worker is told at once: each permit of the job that stands suspended, why, and what to do; then each
    check that it is time to repeat."""
    if not any(entry.draft.act == REQUESTED for entry in context.store.entries(job)):
        return ()
    found = site(context)
    now = moment(context, found)
    lines = []
    for permit in found.permits.values():
        if permit.job == job and permit.started and permit.at(now) is State.SUSPENDED:
            why = permit.state_left or "overdue: " + ", ".join(permit.run_out(now))
            lines.append(f"Permit {permit.number} is suspended ({why}). {WHAT_TO_DO}.")
        elif permit.job == job and permit.at(now) is State.IN_FORCE:
            lines += due_again(permit, now)
    return tuple(lines)


def due_again(permit: Permit, now: datetime) -> list[str]:
    """The checks of a permit that it is time to repeat, in sentences."""
    raised = (check for check in permit.rechecks.values() if check.is_raised(now))
    return [f"Time to check again, before {check.due:%H:%M}: {check.words}" for check in raised]


def rechecks(state: JobState, permit: Permit, points: Mapping[str, Point]) -> dict[str, Recheck]:
    """What must be repeated under a permit: answers that age, and points where energy can build up again."""
    found = {}
    for name, answer in state.job.answers.items():
        question = state.rules.questions.get(name)
        if question is not None and question.life_min is not None and answer.at is not None:
            words = "a question asked in private" if question.private else question.ask
            found[name] = Recheck(words, int(question.life_min), answer.at)
    for name in permit.points:
        point = points.get(name)
        if point is not None and point.recheck_min and point.rechecked_at is not None:
            words = f"stored energy at point {name}"
            found[POINT_CHECK + name] = Recheck(words, point.recheck_min, point.rechecked_at)
    return found


def _at_work(found: Site, job: str, now: datetime) -> list[Permit]:
    states = course.ROWS[course.STOP].states
    return [p for p in found.permits.values() if p.job == job and p.number in found.requested and p.at(now) in states]
