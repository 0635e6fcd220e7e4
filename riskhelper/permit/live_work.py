"""Guards of work on exposed live parts: a listed ground, what stands ready before, an authorisation without a gap.

Dead is the rule. A code lists the few grounds on which parts may stay live; what is not on its list, such as
convenience or lost production, is none. The issuer signs for the ground when approving, so the person who wants
the work done live never decides it. What plan and record know stands on the authorisation by itself; what only a
person knows is typed. An arc energy is neither: it stays on the officer's working sheet.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from riskhelper.permit.course import ACCEPT, APPROVE, EVALUATE, ISSUE
from riskhelper.permit.document import Permit
from riskhelper.permit.guards import Around, Asked, guard

PREPARED = {
    "live_way_clear": "the way in and out is clear",
    "live_cut_off": "the point of disconnection is marked, clear and quick to work",
    "consulted_person_in_control": "the person in control of the workplace was consulted",
}
"""What stands ready before work on live parts, WHS Regulation 2011 (NSW) 158(1)(b) to (d), in our words."""
GROUND, WHY, NO_CLOSER, BRIEFED = "live_ground", "why_live", "live_no_closer", "live_briefed"
WRITTEN: Mapping[str, str] = {
    "live_circuit": "which circuit stays live, and behind which cover",
    "live_method": "how the work is done beside it: order, tools, how the parts not worked on are covered",
    "live_flash": "which label or study says what an arc does there: its number, its date, who made it",
    "live_boundaries": "how far that label or study keeps people back, and how each boundary is marked on the floor",
    "live_kept_out": "who keeps others out, and by what",
}
"""What nobody but the person who approves can say of the work on live parts."""
PLAN = "plan_"
SHOCK, FLASH, BOUNDARIES, EQUIPMENT, GROUND_WORDS = (
    PLAN + part for part in ("shock", "flash", "boundaries", "equipment", "ground")
)
SHOWN: Mapping[str, str] = {
    SHOCK: "what a shock there would come from",
    FLASH: "whether a label or study of the arc is there",
    EQUIPMENT: "the protective equipment",
}
"""What the plan has to say of it; the program alone writes it, beside what is typed."""
KEPT = frozenset({WHY, NO_CLOSER, BOUNDARIES, GROUND_WORDS, *WRITTEN, *SHOWN, *PREPARED})
"""What stays on the permit of what was written with the approval."""
SIGNED = (EVALUATE, APPROVE, ISSUE, ACCEPT)
"""Signatures under an authorisation of live work, in their order."""
_ENERGY = re.compile(r"\b(k?cal|[kM]?J)\s*(/|per\b)\s*(sq\w*\.?\s*)?[cm]?m", re.IGNORECASE)


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


@guard("write it; for the arc name the document, never an energy: that stays on the officer's working sheet")
def live_work_written(_permit: Permit, asked: Asked, around: Around) -> str:
    """Where parts stay live, the authorisation says what only a person knows."""
    if around.live_grounds is None:
        return ""
    missing = [words for key, words in WRITTEN.items() if not asked.told(key)]
    if BOUNDARIES not in around.live_shown and not asked.told("live_no_closer"):
        why = around.live_gaps.get(BOUNDARIES, "the plan gives no figure")
        missing.append(f"the no-closer distance by the site's own rule ({why})")
    if missing:
        return f"the authorisation of live work does not say {'; nor '.join(missing)}"
    energies = [key for key in (*WRITTEN, NO_CLOSER) if _ENERGY.search(asked.told(key))]
    return f"an arc energy stands in {', '.join(energies)}" if energies else ""


@guard("answer it in the plan, or plan the control, and request again")
def live_work_shown(_permit: Permit, _asked: Asked, around: Around) -> str:
    """Where parts stay live, the plan knows shock, arc and equipment."""
    if around.live_grounds is None:
        return ""
    missing = [f"{words} ({around.live_gaps.get(key, 'no answer')})" for key, words in SHOWN.items()]
    missing = [words for key, words in zip(SHOWN, missing, strict=True) if key not in around.live_shown]
    return f"the plan does not say {'; nor '.join(missing)}" if missing else ""


@guard("say to the crew what stays live, how far it keeps them back, what they wear, and write it")
def live_parts_briefed(_permit: Permit, asked: Asked, around: Around) -> str:
    """Where parts stay live, the crew is briefed on just that."""
    if around.live_grounds is None or asked.told("live_briefed"):
        return ""
    return "what the crew was told of the parts left live is not written"


@guard("a new revision: change, request, and an approval that says it; for the briefing, brief again")
def live_work_complete(permit: Permit, asked: Asked, around: Around) -> str:
    """Where parts stay live, nobody issues or starts on an authorisation with a gap."""
    if around.live_grounds is None:
        return ""
    fields = {each.title: each for each in authorisation(permit)}
    later = ("Briefing", "Signatures") if asked.act == ISSUE else ()
    missing = [name for name, each in fields.items() if each.lacks and name not in later]
    return f"the authorisation of live work lacks: {', '.join(missing)}" if missing else ""


class LiveField(NamedTuple):
    """One field of an authorisation of live work: what stands there, and whether something is lacking."""

    title: str
    words: str
    lacks: bool


def authorisation(permit: Permit) -> tuple[LiveField, ...]:
    """The ten fields of an authorisation of live work as plan and record have them.

    The ten are the list of NFPA 70E, 2004, for the permit of energized work, in our words.
    """
    told, briefed_at = permit.live, permit.roster.briefed_at
    at = f"{briefed_at:%Y-%m-%d %H:%M %z}" if briefed_at is not None else ""
    signed = [f"{part} {permit.signed[part]}" for part in SIGNED if part in permit.signed]

    def has(name: str) -> str:
        return told.get(name, "")

    return (
        _field("Circuit and place", has("live_circuit"), f"{permit.plant}, {permit.apparatus}, {permit.zone}"),
        _field("Why live", has(GROUND_WORDS), has(WHY)),
        _field("Method", has("live_method"), f"method statement of job {permit.job}"),
        _field("Shock", has(SHOCK)),
        _field("Arc flash, by label or study", has("live_flash"), has(FLASH)),
        _field("Boundaries", has(BOUNDARIES) or has(NO_CLOSER), has("live_boundaries")),
        _field("Protective equipment", has(EQUIPMENT)),
        _field("Keeping others out", has("live_kept_out")),
        _field("Briefing", has(BRIEFED), at if has(BRIEFED) else ""),
        LiveField("Signatures", "; ".join(signed), len(signed) < len(SIGNED)),
    )


def kept(details: Mapping[str, str]) -> dict[str, str]:
    """What an approval leaves on the permit of the work on live parts; nothing where the plan had none."""
    if GROUND_WORDS not in details:
        return {}
    return {key: words.strip() for key, words in details.items() if key in KEPT and words.strip()}


def briefed(live: Mapping[str, str], said: str) -> dict[str, str]:
    """What stands of the parts left live after a briefing that spoke of them."""
    return {**live, BRIEFED: said} if said else dict(live)


def _field(title: str, *parts: str) -> LiveField:
    return LiveField(title, "; ".join(part.rstrip(".") for part in parts if part), not all(parts))
