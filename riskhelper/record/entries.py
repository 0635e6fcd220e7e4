"""An entry of the record in its final shape.

An entry says who did what in which role, when it was true and when it was entered, and carries its content
with the content's digest. Entries are never rewritten: a change is a further entry. The signature is empty
where an act needs none, as in an interview. Each store numbers its own entries: they are its log. A store that took
in the log of another holds both, and `place` says where an entry stands among all of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import NamedTuple

from riskhelper.permit.meanings import PERMIT_MEANINGS, POINT_MEANINGS, RULES_MEANINGS
from riskhelper.record.canonical import Content, digest
from riskhelper.record.moments import moment_of, offset_min, utc_text
from riskhelper.record.seals import Seal, stored_form, value_at
from riskhelper.record.spoken_words import words_of

ENTRY_SCHEMA = "riskhelper.entry/2"
FIRST_SCHEMA = "riskhelper.entry/1"  # without the log, nothing sealed
READABLE_SCHEMAS = frozenset({FIRST_SCHEMA, ENTRY_SCHEMA})
ENTERED_BY = "entered_by"
LATE_AFTER = timedelta(minutes=30)
"""An entry true longer ago than this when it was entered is late. Ours: longer than writing it down takes."""
NAME_BYTES = 4
LOG_DIGITS = 32

OPEN = "open"
ANSWER = "answer"
NOTE = "note"
TELL_SITE = "tell site"
PLAN = "plan"
LEAVE_OUT = "leave out"
PROVE = "prove"
TAKE_BACK = "take back"
REQUEST_PLAN = "request plan"
STOP_WORK = "stop work"
TELL_STOP = "tell stop"
EMERGENCY = "emergency"
END_STOP = "end stop"
SET_UP_REGISTER = "set up register"
VOUCH = "vouch"
REVOKE_KEY = "revoke key"
REPORT_INCIDENT = "report incident"
CLOSE_INCIDENT = "close incident"
CARRY_IN = "carry in"
KEEP_APART = "keep apart"
PASS_HOLDING = "pass holding"
TAKE_HOLDING = "take holding"
CLAIM_HOLDING = "claim holding"
DESTROY_TEXT = "destroy text"
PERMIT, POINT = "permit ", "point "  # before the name of an act of the permit or of a point
RULES = "rules "  # before the name of an act on a rule set
REHEARSE = "rehearse "  # before the name of an act of the permit done without a register
REHEARSED = ("draft", "request", "return", "refuse", "evaluate", "approve")
DRAFT_PERMIT = "permit draft"

MEANINGS: Mapping[str, str] = {
    OPEN: "opens the job; its local code is fixed from here on",
    ANSWER: "answers one question as seen at the moment named",
    NOTE: "adds a remark; it changes no answer",
    TELL_SITE: "says where the site is, the way in, where to muster and whom to call",
    PLAN: "counts on a control, with the evidence it will need",
    LEAVE_OUT: "no longer counts on a control",
    PROVE: "records the evidence that a control is in place",
    TAKE_BACK: "takes back an earlier entry; that entry stays in the record",
    REQUEST_PLAN: "hands the plan over to be read; nothing before this can be taken back",
    STOP_WORK: "stops the work at once; who called it and why may follow",
    EMERGENCY: "suspends every permit of a zone at once; each is resumed anew",
    TELL_STOP: "says who called the stop and why",
    END_STOP: "says who ended the stop, in which words; it grants no permission",
    SET_UP_REGISTER: "sets up the site register; its key vouches for people from here on",
    VOUCH: "vouches for a person, their key, roles and limits",
    REVOKE_KEY: "takes a key out of use; what it signed before keeps its standing",
    REPORT_INCIDENT: "says that something happened at the work; its record is kept from here on",
    CLOSE_INCIDENT: "closes the inquiry into an incident",
    CARRY_IN: "takes in the entries of other stores, up to the tree heads named",
    KEEP_APART: "keeps a carried history apart that disagrees with this one",
    PASS_HOLDING: "passes the holding of plant and points to another store; until that takes it, nobody holds them",
    TAKE_HOLDING: "takes the holding that another store passed; permits are issued and released here from now on",
    CLAIM_HOLDING: "claims the holding from a store that is lost, by two keepers of the register",
    DESTROY_TEXT: "destroys personal text whose keeping period is over; what it said can no longer be read",
    **{PERMIT + act: meaning for act, meaning in PERMIT_MEANINGS.items()},
    **{REHEARSE + act: f"as a rehearsal, binding nobody: {PERMIT_MEANINGS[act]}" for act in REHEARSED},
    **{POINT + act: meaning for act, meaning in POINT_MEANINGS.items()},
    **{RULES + act: meaning for act, meaning in RULES_MEANINGS.items()},
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
    seals: Mapping[str, Seal] = field(default_factory=dict)

    @property
    def meaning(self) -> str:
        """What the act means, in the words shown beside it."""
        return MEANINGS[self.act]

    @property
    def who_written(self) -> str:
        """The name as the tree binds it: empty where it is sealed in the content."""
        return "" if ENTERED_BY in self.seals and self.who == self.content.get(ENTERED_BY) else self.who

    @property
    def stored(self) -> dict[str, Content]:
        """The content as the tree binds it, with what is personal sealed."""
        return stored_form(self.content, self.seals)

    @property
    def digest(self) -> str:
        """SHA-256 of the canonical form of the content as the tree binds it."""
        return digest(self.stored)


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry as stored: its number in its log, and the digest and meaning written with it.

    `place` is where it stands among the entries of all logs of a store; 0 where there is only one log.
    """

    number: int
    draft: Draft
    meaning: str
    digest: str
    log: str = ""
    place: int = 0

    @property
    def order(self) -> int:
        """Its place among all entries of the store."""
        return self.place or self.number

    @property
    def id(self) -> tuple[str, int]:
        """What names it among all stores."""
        return (self.log, self.number)

    @property
    def holds(self) -> bool:
        """Whether the content still gives the digest written beside it, and every text here is the one bound."""
        return self.draft.digest == self.digest and not self.altered_texts

    @property
    def altered_texts(self) -> tuple[str, ...]:
        """Paths of texts that are not those the tree binds."""
        content = self.draft.content
        return tuple(path for path, seal in self.draft.seals.items() if not seal.binds(value_at(content, path)))

    @property
    def is_late(self) -> bool:
        """Whether it was entered well after it was true, as from paper."""
        draft = self.draft
        if draft.moment_true == draft.moment_entered:
            return False
        true_at, entered = (moment_of(text, draft.offset_min) for text in (draft.moment_true, draft.moment_entered))
        return entered - true_at > LATE_AFTER

    @property
    def moment(self) -> datetime:
        """When it was true, on the site's clock."""
        return moment_of(self.draft.moment_true, self.draft.offset_min)


@dataclass(frozen=True, slots=True)
class Gap:
    """Entries of a log that are not shown: how many, and the root over them."""

    log: str
    count: int
    root: str


class Bare(NamedTuple):
    """An entry of which only its place in the tree is looked at: it is not signed and holds nothing that the check of
    others needs. `leaf` is the entry as the tree binds it."""

    log: str
    number: int
    digest: str
    content: bytes
    leaf: bytes
    moment_entered: str


def log_name(log: str) -> str:
    """The name of a log, and of the store that writes it, as words that can be spoken.

    >>> log_name("00ff7780" + "00" * 12)
    'acorn-zebra-hammer-igloo'
    """
    if not log:
        return "this store"
    if not is_hex(log):
        return f"`{log[:16]}`, which is no name of a store"
    return "-".join(words_of(bytes.fromhex(log)[:NAME_BYTES]).split())


def is_log(text: str) -> bool:
    """Whether text is the id of a log. A store of the first form, which is not taken on yet, has none."""
    return not text or is_hex(text, LOG_DIGITS)


def is_hex(text: str, length: int = 0) -> bool:
    """Whether text is bytes in lower-case hexadecimal, of so many digits where a length is given.

    >>> is_hex("3fa0"), is_hex("3FA0"), is_hex("3fa"), is_hex("3fa0", 64)
    (True, False, False, False)
    """
    return len(text) % 2 == 0 and length in (0, len(text)) and all(c in "0123456789abcdef" for c in text)


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
