"""The worker's side after handing over: the permit drawn up from the answers, confirmed line by line, asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riskhelper.acts.plan import gate
from riskhelper.acts.plan.drawing_up import already_there, ask_for_permit, lines_to_confirm
from riskhelper.permit import course
from riskhelper.permit.meanings import PERMIT_MEANINGS
from riskhelper.tui.permits.signing import ToSign
from riskhelper.tui.permits.writing import WritePage, told_words
from riskhelper.tui.waiting.hands import ask_hand

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
    from riskhelper.tui.session import Session

ABOUT = ("Taken from the answers of this job. Read each line; write it anew where it is wrong.",)


def draw_up(interface: Interface, session: Session) -> None:
    """Asks for every line of the permit with what the answers say already there, then for who asks for it."""
    context, number = interface.context, session.state.number
    draft, fields = already_there(context, number), lines_to_confirm(context, number)
    about = (*ABOUT, f"By the answers the road is: {draft['road']}.")

    def do(by: gate.By) -> str:
        return ask_for_permit(by, number, draft)

    def done(words: str) -> None:
        session.resume(number)
        session.notice = words
        interface.to_questions()

    def sign() -> None:
        wanted = ToSign(
            act="Ask for the permit",
            about=f"Job {number}",
            meaning=PERMIT_MEANINGS[course.REQUEST],
            content=[line for field in fields if (line := told_words(field, draft[field.key], str))],
            roles=course.ROWS[course.REQUEST].roles,
            plant=draft["permit_plant"],
            voltage_v=int(draft["highest_v"] or 0),
        )
        ask_hand(interface, wanted, do, done)

    interface.push_screen(WritePage(f"Permit for job {number}", about, fields, draft, sign))
