"""What the worker's side finds after a plan came back: the note, and whether to ask for the permit again."""

from __future__ import annotations

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.plan.gate import permit_of
from riskhelper.permit import course
from riskhelper.permit.document import Returned, State
from riskhelper.record.entries import PERMIT, REHEARSE

_BACK = frozenset({PERMIT + course.RETURN, REHEARSE + course.RETURN})


def given_back(context: Context, state: JobState) -> Returned | None:
    """The note with which the plan was given back, until it is asked for again. Most jobs need no look at permits."""
    if not any(entry.draft.act in _BACK for entry in state.history.counting):
        return None
    permit = permit_of(context, state.number)
    return permit.returned if permit is not None else None


def can_ask(context: Context, job: str) -> bool:
    """Whether a permit is to be asked for: there is none, or the last one is a draft or closed by a refusal."""
    permit = permit_of(context, job)
    return permit is None or permit.state in (State.DRAFT, State.REFUSED)
