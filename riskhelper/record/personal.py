"""Which parts of an entry are personal: names the register does not need, remarks, private answers.

They are sealed when the store takes the entry, so that their text can be destroyed at the end of its keeping period.
What a replay needs to follow the course of a permit (times, positions, numbers of locks) is never sealed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from riskhelper.permit.control_boundary import PARTY
from riskhelper.record.canonical import Content
from riskhelper.record.entries import (
    ANSWER,
    CLOSE_INCIDENT,
    DRAFT_PERMIT,
    END_STOP,
    ENTERED_BY,
    NOTE,
    PERMIT,
    PLAN,
    POINT,
    PROVE,
    REHEARSE,
    REPORT_INCIDENT,
    REVOKE_KEY,
    TELL_SITE,
    TELL_STOP,
    Draft,
)
from riskhelper.record.seals import DETAILS, Seal, commitment, kind_of, value_at

PERSONAL: Mapping[str, tuple[str, ...]] = {
    NOTE: ("text",),
    ANSWER: ("note", "source"),
    PLAN: ("by",),
    PROVE: ("second", "evidence"),
    TELL_SITE: ("words",),
    TELL_STOP: ("called_by", "reason"),
    END_STOP: ("ended_by", "words"),
    REVOKE_KEY: ("reason",),
    REPORT_INCIDENT: ("what",),
    CLOSE_INCIDENT: ("outcome",),
    DRAFT_PERMIT: ("prepared_by",),
}
REMARKS = (
    "reason",
    "text",
    "measures_stated",
    "evidence",
    "state_left",
    "told_incoming",
    "read_back",
    "understands",
    "affected_told",
    "affected_notified",
    "told_of_removal",
    "crew_informed",
    "seen_on_site",
    "inspected",
    "condition_agreed",
    "conditions_rechecked",
    "rescue_checked",
    "site_check",
    "seen",
    "finding",
    "action",
    "action_by",
    "closed_how",
    "reviewed_with",
    "deviations",
    "stored_energy_off",
    "restart_tried",
    "adjacent_screened",
    "boundary_marked",
    "letters_held",
    "observer",
    "named_observer",
    "coordinator",
    "ordered_by",
    "repeated_by",
    "confirmed_by",
    "released_as",
    "verified_not_at_facility",
    "reasonable_efforts_to_contact",
    "told_before_resuming_work",
    "test_holder",
    "test_kept_away",
    "tools_accounted",
    "unit_proved",
    "left_as",
    "shift_end",
    "copy_for",
    "prepared_by",
    "unnamed_by",
    "consulted_person_in_control",
    "why_live",
    "live_method",
    "live_flash",
    "live_kept_out",
    "live_briefed",
    "live_way_clear",
    "live_cut_off",
    "live_from",
    "live_ended",
)
"""Words written with an act of a permit or a point in which somebody may be named. No replay follows the course by
them: gone, they say so, and the act stays done."""
REMARKS_ABOUT = (PARTY,)
"""How the name of a field begins that there is once for each firm."""
NAMES_NOBODY: Mapping[str, str] = {
    "scope": "for which part of the work a ruling holds",
    "test_scope": "circuits, covers and limits of a test",
    "test_applied": "voltage, current or signal, and from where",
    "paper": "a kind of paper",
    "issuer_copy_kept": "the number of a copy",
    "copy_at_work_point": "the number of a copy",
    "copies_called_in": "numbers of copies, which count them off",
    "control_entry": "the number of an entry of the control room",
    "other_permit": "the number of a permit",
    "drawing": "the number of a drawing",
    "drawing_revision": "its revision",
    "identified_two_ways": "ways in which a point is found",
    "live_circuit": "a circuit and a cover",
    "live_boundaries": "distances and how they are marked",
    "live_no_closer": "a distance and its rule",
    "own_lock": "the number of a lock",
    "works_at": "a part of the apparatus",
    "plant": "a plant",
    "position": "the position of a device",
    "lock": "the number of a lock",
    "tag": "the number of a tag",
    "key": "the number of a key",
    "tester": "the serial of a tester, or what a valve showed",
    "earth": "the number of an earth",
    "earth_through": "a device",
}
"""Words written with an act that are numbers, things and places; they stay readable, as proof needs them."""


def personal_paths(draft: Draft) -> Iterator[str]:
    """Paths of a draft that hold something personal."""
    content = dict(draft.content)
    paths = PERSONAL.get(draft.act, ())
    if draft.act == ANSWER and content.get("private") is True:
        paths = (*paths, "value")
    if draft.act.startswith((PERMIT, POINT, REHEARSE)):
        written = content.get("details")
        about = [key for key in written if key.startswith(REMARKS_ABOUT)] if isinstance(written, dict) else []
        paths = (*paths, *(DETAILS + key for key in (*REMARKS, *about)))
    yield from (path for path in paths if value_at(content, path) not in (None, "", []))


def sealed(draft: Draft, salt: Callable[[], str], *, signed: bool) -> Draft:
    """The draft with its personal parts sealed. Whoever signs is named in the register and stays named."""
    content: dict[str, Content] = dict(draft.content)
    if not signed and draft.who:
        content[ENTERED_BY] = draft.who
    named = replace(draft, content=content)
    paths = [*personal_paths(named), *([ENTERED_BY] if ENTERED_BY in content else [])]
    seals = {}
    for path in paths:
        value, fresh = value_at(content, path), salt()
        seals[path] = Seal(commitment(fresh, value), kind_of(value), fresh)
    return replace(named, seals=seals)
