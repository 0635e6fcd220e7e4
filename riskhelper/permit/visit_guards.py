"""Guards about visits to work under a permit: who visits, what is written, what is done about it."""

from __future__ import annotations

from datetime import datetime

from riskhelper.permit.document import Permit
from riskhelper.permit.guards import Around, Asked, guard
from riskhelper.permit.people_guards import not_of_the_crew


@guard("somebody who neither works under the permit nor approved or issued it")
def visited_by_another(permit: Permit, asked: Asked, around: Around) -> str:
    """Whoever checks the work has no part in it."""
    if asked.person.name in {permit.signed.get(part) for part in ("approve", "issue")}:
        return f"{asked.person.name} approved or issued it and checks nothing of their own"
    return not_of_the_crew(permit, asked, around)


@guard("what must be done, by whom, and until when: action=..., action_by=..., due=...")
def action_complete(_permit: Permit, asked: Asked, _around: Around) -> str:
    """An action has somebody who does it and a day by which it is done."""
    told = {key: asked.told(key) for key in ("action", "action_by", "due")}
    if not any(told.values()):
        return ""
    if missing := [words for key, words in WORDS.items() if not told[key]]:
        return f"of the action it is not written {', nor '.join(missing)}"
    try:
        return "" if datetime.fromisoformat(told["due"]) > asked.now else "the action is due before it is asked for"
    except (ValueError, TypeError):
        return "the day of the action is not given as a moment with its offset from UTC"


WORDS = {"action": "what must be done", "action_by": "who does it", "due": "until when"}


@guard("the number of a finding whose action is open")
def finding_open(permit: Permit, asked: Asked, _around: Around) -> str:
    """There is an action to close."""
    numbers = [str(each.number) for each in permit.visits if each.is_open]
    named = asked.told("finding_number")
    return "" if named in numbers else f"`{named}` is no open finding; there are {', '.join(numbers) or 'none'}"


@guard("somebody else than whoever had it to do")
def closed_by_another(permit: Permit, asked: Asked, _around: Around) -> str:
    """Whoever had the action to do does not say alone that it is done."""
    named = asked.told("finding_number")
    mine = any(str(each.number) == named and each.action_by == asked.person.name for each in permit.visits)
    return f"{asked.person.name} had it to do" if mine else ""
