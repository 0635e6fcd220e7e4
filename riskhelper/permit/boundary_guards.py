"""Guards about parties and drawings: where the control of each ends, and whether the drawing matches the plant."""

from __future__ import annotations

from riskhelper.permit.control_boundary import drawing_in, parties_in
from riskhelper.permit.document import Permit
from riskhelper.permit.guards import Around, Asked, guard


@guard("hold the drawing against the plant on site; write its number, its revision and when that was")
def drawing_checked(_permit: Permit, asked: Asked, around: Around) -> str:
    """Where the plan rests on a drawing, or a boundary is drawn, the drawing was checked on site."""
    if not around.rests_on_drawing and len(parties(asked, around)) < 2:
        return ""
    missing = [
        words
        for key, words in (("drawing", "its number"), ("drawing_revision", "its revision"))
        if not asked.told(key)
    ]
    drawn = drawing_in(asked.details)
    if not missing and drawn is None:
        missing.append("the moment of the check on site with its offset from UTC")
    if missing:
        why = "the plan rests on a drawing" if around.rests_on_drawing else "the boundary of control is drawn"
        return f"{why}, and this is not written of it: {', '.join(missing)}"
    return "the check of the drawing on site lies ahead" if drawn is not None and drawn.checked_at > asked.now else ""


@guard("write for each party how far its control reaches, as the drawing shows it: 'boundary of FIRM'=...")
def control_divided(permit: Permit, asked: Asked, around: Around) -> str:
    """Where more than one party works, the boundary of control is written for each."""
    named = parties(asked, around)
    written = {party.casefold() for party in (*permit.control, *parties_in(asked.details))}
    missing = [party for party in named if party.casefold() not in written]
    if len(named) < 2 or not missing:
        return ""
    return f"more than one party works, and no boundary of control is written for {', '.join(missing)}"


@guard("the boundary of its control is written first: change, and a new revision that names it")
def party_has_a_boundary(permit: Permit, asked: Asked, around: Around) -> str:
    """Nobody joins from a party that nobody reckoned with when control was divided."""
    known = {party.casefold() for party in (*around.parties, *permit.control)}
    if not known or asked.person.employer.casefold() in known:
        return ""
    return f"no boundary of control is written for {asked.person.employer}, which has no part in this permit yet"


def parties(asked: Asked, around: Around) -> tuple[str, ...]:
    """Employers of everybody who signed for this permit and of whoever asks, each once."""
    found = {party.casefold(): party for party in (*around.parties, asked.person.employer) if party}
    return tuple(found.values())
