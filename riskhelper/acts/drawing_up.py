"""What a permit for a job would be for, taken from its answers where they hold it; a person confirms every line."""

from __future__ import annotations

from riskhelper.acts.context import Context
from riskhelper.acts.jobs import resume_job
from riskhelper.acts.permits import DraftPermit
from riskhelper.acts.signing import site
from riskhelper.assessment.assess import assess
from riskhelper.evidence import Job
from riskhelper.permit.document import Road
from riskhelper.terms import APPROVAL, Truth

PLANT, PLACE, VOLTAGE_KV = "job.plant_id", "job.site_name", "plant.tx_kv"
APPARATUS = "monitoring unit at its valve"
ENERGIES = {
    "electrical": "electrical: high voltage, mains, alarm circuits",
    "oil": "oil under pressure or suction",
    "height": "height: people and things that fall",
    "load": "loads lifted and carried",
}
"""The energies two permits are compared by."""
_ENERGY_OF = {
    "live": "electrical",
    "mains": "electrical",
    "alarm": "electrical",
    "isolation": "electrical",
    "oil": "oil",
    "height": "height",
    "lift": "load",
}


def proposed(context: Context, number: str) -> DraftPermit:
    """The permit as the answers of a job propose it; what they do not hold is left empty to be typed."""
    state, now = resume_job(context, number), context.clock()
    found = assess(state.rules, state.job, APPROVAL, now)
    subjects = {hazard.id.partition(".")[0] for hazard in found.hazards}
    plant = _words(state.job, PLANT)
    return DraftPermit(
        job=number,
        road=(Road.WORK if found.in_service is Truth.NO else Road.ACCESS).value,
        plant=plant,
        apparatus=APPARATUS,
        zone=_words(state.job, PLACE),
        voltage_v=_voltage_v(state.job),
        energies=tuple(sorted({_ENERGY_OF[subject] for subject in subjects if subject in _ENERGY_OF})),
        points=tuple(name for name, point in site(context).points.items() if plant and point.plant == plant),
    )


def measures(context: Context, number: str) -> str:
    """The measures as the plan has them, in one sentence a requester can make their own."""
    state = resume_job(context, number)
    controls = [state.rules.controls[name] for name in state.job.planned if name in state.rules.controls]
    if not controls:
        return ""
    return f"{len(controls)} controls as planned in job {number}, each with its evidence and hold point"


def _words(job: Job, question: str) -> str:
    answer = job.answers.get(question)
    return answer.value if answer is not None and isinstance(answer.value, str) else ""


def _voltage_v(job: Job) -> int:
    answer = job.answers.get(VOLTAGE_KV)
    return round(answer.value * 1000) if answer is not None and isinstance(answer.value, float) else 0
