"""The emergency card and the leak card as lines, with or without a job."""

from __future__ import annotations

from collections.abc import Sequence

from riskhelper.acts.jobs import JobState
from riskhelper.assessment.result import Assessment
from riskhelper.paper.text import to_text
from riskhelper.statement.emergency import emergency_sheet, first_acts, half_way_state, leak_lines
from riskhelper.statement.header import Header
from riskhelper.terms import Truth

CARD_WIDTH = 76


def emergency_lines(known: tuple[JobState, Assessment] | None, header: Header) -> Sequence[str]:
    """Where we are, whom to call, first acts. Before a job is open the plant counts as in service."""
    if known is None:
        numbers = [f"{name}: {number}" for name, number in header.emergency_numbers]
        where = [line for line in (header.address, header.directions, header.muster_point) if line]
        return [*where, *numbers, *(f"- {line}" for line in first_acts(in_service=True)), "", half_way_state()]
    state, assessment = known
    sheet = emergency_sheet(state.rules, state.job, assessment, header, state.history.last)
    return to_text(sheet, CARD_WIDTH).splitlines()


def leak_card_lines(assessment: Assessment | None) -> Sequence[str]:
    """What to do when oil comes and does not stop. Where nobody can tell, the plant counts as in service."""
    in_service = assessment is None or assessment.in_service is not Truth.NO
    title = "PLANT IN SERVICE" if in_service else "PLANT OUT OF SERVICE"
    return [title, "", *(f"- {line}" for line in leak_lines(in_service)), "", half_way_state()]
