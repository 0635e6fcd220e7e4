"""The envelope of a job's plan as it stands, for the screen and for what an approval is signed over."""

from __future__ import annotations

from datetime import datetime

from riskhelper.acts.job.jobs import JobState
from riskhelper.assessment.assess import assess
from riskhelper.statement.envelope import Envelope, envelope
from riskhelper.terms import APPROVAL


def plan_envelope(state: JobState, now: datetime) -> Envelope:
    """The given answers and the expected ranges within which the plan holds."""
    return envelope(state.rules, state.job, assess(state.rules, state.job, APPROVAL, now), now)
