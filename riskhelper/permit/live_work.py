"""Guards of approving a plan that works on exposed live parts: a listed ground, and what stands ready before.

Dead is the rule. A code lists the few grounds on which parts may stay live; what is not on its list, such as
convenience or lost production, is none. The issuer signs for the ground when approving, so the person who wants
the work done live never decides it.
"""

from __future__ import annotations

from riskhelper.permit.document import Permit
from riskhelper.permit.guards import Around, Asked, guard

PREPARED = {
    "live_way_clear": "the way in and out is clear",
    "live_cut_off": "the point of disconnection is marked, clear and quick to work",
    "consulted_person_in_control": "the person in control of the workplace was consulted",
}
"""What stands ready before work on live parts, WHS Regulation 2011 (NSW) 158(1)(b) to (d), in our words."""


@guard("a ground the local code lists, with why it holds here; else make the parts dead")
def live_work_ground(_permit: Permit, asked: Asked, around: Around) -> str:
    """Where parts stay live, a listed ground is named and written out."""
    grounds = around.live_grounds
    if grounds is None:
        return ""
    if not grounds:
        return "the plan works on exposed live parts, and the local code lists no ground for it"
    named = asked.told("live_ground")
    if named not in grounds:
        what = f"`{named}` is no ground" if named else "no ground is named"
        listed = "; ".join(f"{ground} ({words})" for ground, words in grounds.items())
        return f"the plan works on exposed live parts, and {what}. The code lists: {listed}"
    return "" if asked.told("why_live") else "why the ground holds here is not written"


@guard("do it and write how; the recorded plan is the assessment of this work")
def live_work_prepared(_permit: Permit, asked: Asked, around: Around) -> str:
    """Where parts stay live, way, cut-off and consultation are seen to before approval."""
    if around.live_grounds is None:
        return ""
    missing = [words for key, words in PREPARED.items() if not asked.told(key)]
    if not missing:
        return ""
    return f"the plan works on exposed live parts, and it is not shown that {', nor that '.join(missing)}"
