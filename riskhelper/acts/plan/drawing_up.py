"""What a permit for a job would be for, taken from its answers where they hold it; a person confirms every line."""

from __future__ import annotations

from collections.abc import Mapping

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.job.stated_plant import highest_v, plant_number, site_name
from riskhelper.acts.permit.permits import DraftPermit
from riskhelper.acts.plan import gate, plan_signed
from riskhelper.acts.register.signing import site
from riskhelper.assessment.assess import assess
from riskhelper.permit.document import Road
from riskhelper.permit.people_guards import some_nameless
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.terms import APPROVAL, WORK_KINDS, Truth

APPARATUS = "monitoring unit at its valve"
_ENERGY_OF = {
    "live": "electrical",
    "mains": "electrical",
    "alarm": "electrical",
    "isolation": "electrical",
    "oil": "oil",
    "height": "gravity",
    "lift": "gravity",
}
"""Which energy the hazards of each subject come from."""
ROADS = {
    Road.ACCESS.value: "Limitation of access: beside plant in service, inside a boundary.",
    Road.WORK.value: "Permit-to-work: on plant that is shut off, proved and earthed.",
}
MEASURES, UNNAMED = "measures_stated", "unnamed_by"
_LINES = (
    Wanted("road", "which of the two roads", kind=FieldKind.ONE_OF, choices=ROADS),
    Wanted("permit_plant", "the number of the plant, as on its plate"),
    Wanted("apparatus", "what is worked on"),
    Wanted("zone", "the place on the site"),
    Wanted("highest_v", "the highest voltage of the plant", kind=FieldKind.VOLTS),
    Wanted(
        "energies",
        "which energies can do harm here (none chosen: all of them)",
        needed=False,
        kind=FieldKind.SEVERAL_OF,
        choices=WORK_KINDS,
    ),
)
_MEASURES = Wanted(MEASURES, "the measures the crew takes")
_UNNAMED = Wanted(UNNAMED, "who gave the answers that have no name")


def lines_to_confirm(context: Context, number: str) -> tuple[Wanted, ...]:
    """The lines of the permit to be confirmed; of one that was given back, the measures alone. Where an answer has no
    name, who gave it as well: whoever had a part in the plan cannot approve it."""
    permit = gate.permit_of(context, number)
    nameless = some_nameless(plan_signed.authors(resume_job(context, number)))
    asked = (_UNNAMED, _MEASURES) if nameless else (_MEASURES,)
    return asked if permit is not None and not permit.closed else (*_LINES, *asked)


def already_there(context: Context, number: str) -> dict[str, str]:
    """What the answers say for each line, as it would be typed."""
    found = proposed(context, number)
    return {
        "road": found.road,
        "permit_plant": found.plant,
        "apparatus": found.apparatus,
        "zone": found.zone,
        "highest_v": str(found.voltage_v) if found.voltage_v else "",
        "energies": " ".join(found.energies),
        UNNAMED: "",
        MEASURES: measures(context, number),
    }


def ask_for_permit(by: gate.By, number: str, told: Mapping[str, str]) -> str:
    """Draws the permit up from the lines as confirmed, asks for it, and says so."""
    given = DraftPermit(
        job=number,
        road=told["road"],
        plant=told["permit_plant"],
        apparatus=told["apparatus"],
        zone=told["zone"],
        voltage_v=int(told["highest_v"] or 0),
        energies=tuple(told["energies"].split()),
        points=proposed(by.context, number).points,
    )
    permit = gate.draw_up_and_request(by, given, told[MEASURES], told[UNNAMED])
    return f"Permit {permit.number} is asked for. Nobody has approved it yet; do not start."


def proposed(context: Context, number: str) -> DraftPermit:
    """The permit as the answers of a job propose it; what they do not hold is left empty to be typed."""
    state, now = resume_job(context, number), context.clock()
    found = assess(state.rules, state.job, APPROVAL, now)
    subjects = {hazard.id.partition(".")[0] for hazard in found.hazards}
    plant = plant_number(state.job)
    return DraftPermit(
        job=number,
        road=(Road.WORK if found.in_service is Truth.NO else Road.ACCESS).value,
        plant=plant,
        apparatus=APPARATUS,
        zone=site_name(state.job),
        voltage_v=highest_v(state.job),
        energies=tuple(sorted({_ENERGY_OF[subject] for subject in subjects if subject in _ENERGY_OF})),
        points=tuple(name for name, point in site(context).points.items() if plant and point.plant == plant),
    )


def measures(context: Context, number: str) -> str:
    """The measures as the plan has them, in one sentence a requester can make their own."""
    state = resume_job(context, number)
    controls = [state.rules.controls[name] for name in state.job.planned if name in state.rules.controls]
    if not controls:
        return ""
    many = "1 control" if len(controls) == 1 else f"{len(controls)} controls"
    return f"{many} as planned in job {number}, each with its evidence and hold point"
