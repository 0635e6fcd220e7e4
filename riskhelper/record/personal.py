"""Which parts of an entry are personal: names the register does not need, remarks, private answers.

They are sealed when the store takes the entry, so that their text can be destroyed at the end of its keeping period.
What a replay needs to follow the course of a permit (times, positions, numbers of locks) is never sealed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

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
    "state_left",
    "told_incoming",
    "read_back",
    "affected_told",
    "affected_notified",
    "crew_informed",
    "seen_on_site",
    "inspected",
    "condition_agreed",
    "conditions_rechecked",
    "rescue_checked",
    "site_check",
    "finding",
    "closed_how",
    "observer",
    "named_observer",
    "copy_for",
    "prepared_by",
    "unnamed_by",
)
"""Words written with an act of a permit or a point which no replay reads."""


def personal_paths(draft: Draft) -> Iterator[str]:
    """Paths of a draft that hold something personal."""
    content = dict(draft.content)
    paths = PERSONAL.get(draft.act, ())
    if draft.act == ANSWER and content.get("private") is True:
        paths = (*paths, "value")
    if draft.act.startswith((PERMIT, POINT, REHEARSE)):
        paths = (*paths, *(DETAILS + key for key in REMARKS))
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
