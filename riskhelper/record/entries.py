"""An entry of the record in its final shape.

An entry says who did what in which role, when it was true and when it was entered, and carries its content
with the content's digest. Entries are never rewritten: a change is a further entry. The signature is empty
where an act needs none, as in an interview.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.permit.meanings import PERMIT_MEANINGS, POINT_MEANINGS
from riskhelper.record.canonical import Content, digest
from riskhelper.record.moments import moment_of, offset_min, utc_text

ENTRY_SCHEMA = "riskhelper.entry/1"

OPEN = "open"
ANSWER = "answer"
NOTE = "note"
PLAN = "plan"
LEAVE_OUT = "leave out"
PROVE = "prove"
TAKE_BACK = "take back"
REQUEST_PLAN = "request plan"
STOP_WORK = "stop work"
TELL_STOP = "tell stop"
END_STOP = "end stop"
SET_UP_REGISTER = "set up register"
VOUCH = "vouch"
REVOKE_KEY = "revoke key"
ADOPT_RULES = "adopt rules"
PERMIT, POINT = "permit ", "point "  # before the name of an act of the permit or of a point
REHEARSE = "rehearse "  # before the name of an act of the permit done without a register
REHEARSED = ("draft", "request", "return", "refuse", "evaluate", "approve")

MEANINGS: Mapping[str, str] = {
    OPEN: "opens the job; its local code is fixed from here on",
    ANSWER: "answers one question as seen at the moment named",
    NOTE: "adds a remark; it changes no answer",
    PLAN: "counts on a control, with the evidence it will need",
    LEAVE_OUT: "no longer counts on a control",
    PROVE: "records the evidence that a control is in place",
    TAKE_BACK: "takes back an earlier entry; that entry stays in the record",
    REQUEST_PLAN: "hands the plan over to be read; nothing before this can be taken back",
    STOP_WORK: "stops the work at once; who called it and why may follow",
    TELL_STOP: "says who called the stop and why",
    END_STOP: "says who ended the stop, in which words; it grants no permission",
    SET_UP_REGISTER: "sets up the site register; its key vouches for people from here on",
    VOUCH: "vouches for a person, their key, roles and limits",
    REVOKE_KEY: "takes a key out of use; what it signed before keeps its standing",
    ADOPT_RULES: "adopts the rule set of that number and digest for this site, as one of two officers",
    **{PERMIT + act: meaning for act, meaning in PERMIT_MEANINGS.items()},
    **{REHEARSE + act: f"as a rehearsal, binding nobody: {PERMIT_MEANINGS[act]}" for act in REHEARSED},
    **{POINT + act: meaning for act, meaning in POINT_MEANINGS.items()},
}
CONTENT_SCHEMAS: Mapping[str, str] = {act: f"riskhelper.{act.replace(' ', '_')}/1" for act in MEANINGS}


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry before the store gives it its number."""

    job: str
    who: str
    role: str
    act: str
    moment_true: str
    moment_entered: str
    offset_min: int
    zone: str
    content: Mapping[str, Content]
    signature: str = ""
    schema: str = ENTRY_SCHEMA

    @property
    def meaning(self) -> str:
        """What the act means, in the words shown beside it."""
        return MEANINGS[self.act]

    @property
    def digest(self) -> str:
        """SHA-256 of the canonical form of the content."""
        return digest(dict(self.content))


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry as stored: its place in the record, and the digest and meaning written with it."""

    number: int
    draft: Draft
    meaning: str
    digest: str

    @property
    def holds(self) -> bool:
        """Whether the content still gives the digest written beside it."""
        return self.draft.digest == self.digest

    @property
    def moment(self) -> datetime:
        """When it was true, on the site's clock."""
        return moment_of(self.draft.moment_true, self.draft.offset_min)


def drafted(
    *,
    job: str,
    who: str,
    role: str,
    act: str,
    content: Mapping[str, Content],
    entered: datetime,
    true_at: datetime | None = None,
    zone: str = "",
) -> Draft:
    """A draft for an act; content gets the schema name of its act."""
    return Draft(
        job=job,
        who=who,
        role=role,
        act=act,
        moment_true=utc_text(true_at or entered),
        moment_entered=utc_text(entered),
        offset_min=offset_min(entered),
        zone=zone,
        content={"schema": CONTENT_SCHEMAS[act], **content},
    )
