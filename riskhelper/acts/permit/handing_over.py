"""What is gone through at a handover, line by line, from the permit, its points and the job as they stand."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.acts.plan import plan_signed
from riskhelper.acts.register.signing import moment, site
from riskhelper.assessment.passing import Passing
from riskhelper.interview.order import stale
from riskhelper.interview.reading import readable
from riskhelper.permit.document import Permit
from riskhelper.permit.handover_list import Standing, handover_list
from riskhelper.record.site import Site


def lines(context: Context, number: str) -> dict[str, str]:
    """The list of a permit in words, by the marks with which the incoming person acknowledges each line."""
    found = site(context)
    permit = found.permits[number]
    state, now = resume_job(context, permit.job), moment(context, found)
    return lines_of(found, state, permit, now, plan_signed.passings(state, permit, now))


def lines_of(
    found: Site, state: JobState, permit: Permit, now: datetime, held: Mapping[str, Passing]
) -> dict[str, str]:
    """The list of a permit, from a site already replayed and hold points already looked at."""
    others = [other for other in found.permits.values() if other.number != permit.number]
    rules = state.rules
    standing = Standing(
        open_at=plan_signed.open_at(held),
        hold_points={name: point.words for name, point in rules.hold_points.items()},
        stops=plan_signed.stops_standing(state, permit, now),
        stop_titles={name: stop.title for name, stop in rules.stops.items()},
        readings=_readings(state),
        aged=tuple(_asked(state, name) for name in stale(rules, state.job, now)),
    )
    return handover_list(permit, found.points, others, standing, now)


def _readings(state: JobState) -> tuple[str, ...]:
    """What was read at hold points; a private answer is not among them."""
    found = []
    for name, answer in state.job.answers.items():
        question = state.rules.questions.get(name)
        if question is not None and question.asked_at in state.rules.hold_points and not question.private:
            at = f", {answer.at:%H:%M}" if answer.at is not None else ""
            found.append(f"{question.ask} {readable(question, answer)}{at}")
    return tuple(found)


def _asked(state: JobState, name: str) -> str:
    question = state.rules.questions[name]
    return "a question asked in private" if question.private else question.ask
