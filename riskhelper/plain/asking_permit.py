"""The worker's side after handing over, in plain lines: the permit is drawn up from the answers and asked for."""

from __future__ import annotations

from riskhelper.acts.context import Context
from riskhelper.acts.plan import gate
from riskhelper.acts.plan.drawing_up import already_there, ask_for_permit, lines_to_confirm
from riskhelper.permit import course
from riskhelper.permit.meanings import PERMIT_MEANINGS
from riskhelper.plain.gate_acts import done, read_back, written
from riskhelper.plain.lines import Lines


def ask(context: Context, lines: Lines, number: str) -> bool:
    """Confirms each line of the permit, then asks who asks for it; whether it was asked for."""
    fields, there = lines_to_confirm(context, number), already_there(context, number)
    lines.say("", "Now the permit is asked for. Each line is taken from the answers; type it anew where it is wrong.")
    given = written(context, lines, fields, there)
    if given is None:
        return False
    told = {**there, **given}

    def do(by: gate.By) -> str:
        return ask_for_permit(by, number, told)

    row = course.ROWS[course.REQUEST]
    return done(
        context,
        lines,
        read_back(fields, given, context.clock()),
        PERMIT_MEANINGS[course.REQUEST],
        row.roles,
        do,
        plant=told["permit_plant"],
        voltage_v=int(told["highest_v"] or 0),
    )
