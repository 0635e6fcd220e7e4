"""The emergency card and the leak card as lines, with or without a job."""

from __future__ import annotations

from collections.abc import Sequence

from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.job.stated_plant import PLANT, SITE
from riskhelper.assessment.result import Assessment
from riskhelper.statement.emergency import first_acts, half_way_state, leak_lines
from riskhelper.statement.header import Header
from riskhelper.terms import Truth

WHILE_STOPPED = (
    "Everybody stops. Leave the plant in its half-way state only if ONE movement does it; else go.",
    "The stop is saved. It holds now; nobody has to agree.",
)
NOTHING_OPEN = "The stop holds now; nobody has to agree. No job is open here: write it down on paper."
OTHERS_FIRST = "Common practice; the site's own emergency rules and trained first-aiders come first."


def emergency_lines(state: JobState | None, assessment: Assessment | None, header: Header) -> Sequence[str]:
    """Whom to call, where we are, first acts. Where nobody can tell, the plant counts as in service."""
    answers = state.job.answers if state is not None else {}
    where = [answers[q].value for q in (SITE, PLANT) if q in answers]
    told = [str(words) for words in (*where, header.address) if words]
    in_service = assessment is None or assessment.in_service is not Truth.NO
    lines = list(number_lines(header)) if header.emergency_numbers else []
    lines += [f"We are at: {', '.join(told)}"] if told else []
    lines += [f"Way in: {header.directions}"] if header.directions else []
    lines += [f"Muster point: {header.muster_point}"] if header.muster_point else []
    if not header.emergency_numbers:
        lines += number_lines(header)
    return [*lines, "", *(f"- {line}" for line in first_acts(in_service)), "", half_way_state(), "", OTHERS_FIRST]


def number_lines(header: Header) -> Sequence[str]:
    """The numbers to call, or where to look where none was given."""
    found = [f"{name[:1].upper()}{name[1:]}: {number}" for name, number in header.emergency_numbers]
    return found or ["No numbers were given here yet: look on the gate board or on the printed sheet."]


def leak_card_lines(assessment: Assessment | None) -> Sequence[str]:
    """What to do when oil comes and does not stop. Where nobody can tell, the plant counts as in service."""
    in_service = assessment is None or assessment.in_service is not Truth.NO
    title = "PLANT IN SERVICE" if in_service else "PLANT OUT OF SERVICE"
    return [title, "", *(f"- {line}" for line in leak_lines(in_service)), "", half_way_state()]


def stop_lines() -> Sequence[str]:
    """What holds once somebody has called a stop on a job."""
    return (*WHILE_STOPPED, half_way_state())


def stop_without_job() -> Sequence[str]:
    """What holds when somebody calls a stop before any job is open."""
    return (WHILE_STOPPED[0], NOTHING_OPEN, half_way_state())
