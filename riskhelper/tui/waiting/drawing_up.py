"""The worker's side after handing over: the permit drawn up from the answers, confirmed line by line, asked for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from riskhelper.acts import gate
from riskhelper.acts.drawing_up import ENERGIES, measures, proposed
from riskhelper.acts.permits import DraftPermit
from riskhelper.permit import course
from riskhelper.permit.document import Road
from riskhelper.permit.meanings import PERMIT_MEANINGS
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.tui.permits.signing import ToSign
from riskhelper.tui.permits.writing import WritePage, told_words
from riskhelper.tui.waiting.hands import ask_hand

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
    from riskhelper.tui.session import Session

ROADS = {
    Road.ACCESS.value: "Limitation of access: beside plant in service, inside a boundary.",
    Road.WORK.value: "Permit-to-work: on plant that is shut off, proved and earthed.",
}
MEASURES = "measures_stated"
_SEVERAL = FieldKind.SEVERAL_OF
FIELDS = (
    Wanted("road", "which of the two roads", kind=FieldKind.ONE_OF, choices=ROADS),
    Wanted("permit_plant", "the number of the plant, as on its plate"),
    Wanted("apparatus", "what is worked on"),
    Wanted("zone", "the place on the site"),
    Wanted("highest_v", "the highest voltage of the plant", kind=FieldKind.VOLTS),
    Wanted("energies", "the energies that can do harm here; none chosen, all count", False, _SEVERAL, ENERGIES),
    Wanted(MEASURES, "the measures the crew takes"),
)


def draw_up(interface: Interface, session: Session) -> None:
    """Asks for every line of the permit with what the answers say already there, then for who asks for it."""
    context, number = interface.context, session.state.number
    found = proposed(context, number)
    draft = {
        "road": found.road,
        "permit_plant": found.plant,
        "apparatus": found.apparatus,
        "zone": found.zone,
        "highest_v": str(found.voltage_v) if found.voltage_v else "",
        "energies": " ".join(found.energies),
        MEASURES: measures(context, number),
    }
    fields = tuple(f for f in FIELDS if f.key == MEASURES) if _drawn_up(interface, number) else FIELDS

    def sign() -> None:
        _sign(interface, session, _draft_permit(number, draft, found.points), draft, fields)

    about = ("Taken from the answers of this job. Read each line; write it anew where it is wrong.",)
    interface.push_screen(WritePage(f"Permit for job {number}", about, fields, draft, sign))


def _drawn_up(interface: Interface, number: str) -> bool:
    """Whether a permit that was given back is asked for again: its lines stay as they are."""
    permit = gate.permit_of(interface.context, number)
    return permit is not None and not permit.closed


def _draft_permit(number: str, told: Mapping[str, str], points: tuple[str, ...]) -> DraftPermit:
    return DraftPermit(
        job=number,
        road=told["road"],
        plant=told["permit_plant"],
        apparatus=told["apparatus"],
        zone=told["zone"],
        voltage_v=int(told["highest_v"] or 0),
        energies=tuple(told["energies"].split()),
        points=points,
    )


def _sign(
    interface: Interface,
    session: Session,
    given: DraftPermit,
    told: Mapping[str, str],
    fields: tuple[Wanted, ...],
) -> None:
    wanted = ToSign(
        act="Ask for the permit",
        about=f"Job {given.job}",
        meaning=PERMIT_MEANINGS[course.REQUEST],
        content=[line for field in fields if (line := told_words(field, told[field.key], str))],
        roles=course.ROWS[course.REQUEST].roles,
        plant=given.plant,
        voltage_v=given.voltage_v,
    )

    def do(by: gate.By) -> str:
        permit = gate.draw_up_and_request(by, given, told[MEASURES])
        return f"Permit {permit.number} is asked for. Nobody has approved it yet; do not start."

    def done(words: str) -> None:
        session.resume(given.job)
        session.notice = words
        interface.to_questions()

    ask_hand(interface, wanted, do, done)
