"""The job that a list of entries adds up to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from riskhelper.evidence import Answer, Job, PlannedControl, Proof
from riskhelper.record.canonical import Content
from riskhelper.record.contents import NotReadable, answer_read, number_of, plan_read, proof_read, text_of
from riskhelper.record.entries import (
    ANSWER,
    CONTENT_SCHEMAS,
    LEAVE_OUT,
    NOTE,
    OPEN,
    PLAN,
    PROVE,
    READABLE_SCHEMAS,
    REQUEST_PLAN,
    TAKE_BACK,
    Entry,
)

UNDOABLE = frozenset({ANSWER, NOTE, PLAN, LEAVE_OUT, PROVE})


@dataclass(frozen=True, slots=True)
class PartNamed:
    """A part of the rule set the job was opened under."""

    name: str
    number: str
    digest: str


@dataclass(frozen=True, slots=True)
class Note:
    """A remark, to one question or to the job as a whole."""

    question: str
    text: str
    who: str
    entry: int


@dataclass(frozen=True, slots=True)
class History:
    """A job with the entries that still count, in the order of the record."""

    job: Job
    opened: datetime
    last: datetime
    last_number: int
    parts: tuple[PartNamed, ...]
    counting: tuple[Entry, ...]
    notes: tuple[Note, ...]
    plan_requested: bool

    @property
    def undoable(self) -> Entry | None:
        """The entry the next undo takes back: the latest that counts, not before the plan was requested or signed."""
        for entry in reversed(self.counting):
            if entry.draft.act == REQUEST_PLAN or entry.draft.signature:
                return None
            if entry.draft.act in UNDOABLE:
                return entry
        return None


def replayed(entries: Sequence[Entry]) -> History:
    """The job that its entries add up to; raises `NotReadable` for what this program does not know."""
    for entry in entries:
        _check_known(entry)
    if not entries or entries[0].draft.act != OPEN:
        raise NotReadable("the job has no opening entry")
    opening = entries[0]
    taken_back = {taken_back_by(entry) for entry in entries if entry.draft.act == TAKE_BACK}
    counting = tuple(e for e in entries if e.id not in taken_back and e.draft.act != TAKE_BACK)
    answers: dict[str, Answer] = {}
    planned: dict[str, PlannedControl] = {}
    proved: dict[str, Proof] = {}
    notes: list[Note] = []
    for entry in counting:
        if entry.draft.act == ANSWER:
            question, answer = answer_read(entry)
            answers[question] = answer
        elif entry.draft.act == PLAN:
            control, plan = plan_read(entry)
            planned[control] = plan
        elif entry.draft.act == LEAVE_OUT:
            planned.pop(text_of(entry, "control"), None)
        elif entry.draft.act == PROVE:
            control, proof = proof_read(entry)
            proved[control] = proof
        elif entry.draft.act == NOTE:
            notes.append(Note(text_of(entry, "question"), text_of(entry, "text"), entry.draft.who, entry.number))
    job = Job(
        answers=_with_notes(answers, notes),
        planned=planned,
        proved=proved,
        number=opening.draft.job,
        local_code=text_of(opening, "local_code"),
        rehearsal=opening.draft.content.get("rehearsal") is True,
    )
    return History(
        job=job,
        opened=opening.moment,
        last=entries[-1].moment,
        last_number=entries[-1].number,
        parts=_parts(opening),
        counting=counting,
        notes=tuple(notes),
        plan_requested=any(entry.draft.act == REQUEST_PLAN for entry in counting),
    )


def taken_back_by(entry: Entry) -> tuple[str, int]:
    """The entry that one takes back: of another log where it names one, else of its own."""
    log = entry.draft.content.get("log")
    return (log if isinstance(log, str) else entry.log, number_of(entry, "entry"))


def _check_known(entry: Entry) -> None:
    act, content = entry.draft.act, entry.draft.content
    if not entry.holds:
        raise NotReadable(
            f"entry {entry.number} does not match its digest: expected {entry.digest[:8]}, "
            f"found {entry.draft.digest[:8]}. Rely on nothing after it"
        )
    if entry.draft.schema not in READABLE_SCHEMAS or content.get("schema") != CONTENT_SCHEMAS.get(act):
        raise NotReadable(
            f"entry {entry.number} has a form this program does not know: `{content.get('schema')}`. "
            "Open it with the version of the program that wrote it, or a newer one"
        )


def _with_notes(answers: Mapping[str, Answer], notes: Sequence[Note]) -> dict[str, Answer]:
    """Each answer with the remarks made on its question."""
    joined = dict(answers)
    for note in notes:
        if note.question in joined:
            answer = joined[note.question]
            joined[note.question] = replace(answer, note="; ".join(t for t in (answer.note, note.text) if t))
    return joined


def _parts(opening: Entry) -> tuple[PartNamed, ...]:
    parts: Content = opening.draft.content.get("rules")
    if not isinstance(parts, list):
        raise NotReadable(f"entry {opening.number}: `rules` should be a list")
    named = []
    for part in parts:
        if not isinstance(part, dict):
            raise NotReadable(f"entry {opening.number}: `rules` should hold name, number and digest of each part")
        named.append(PartNamed(str(part.get("name")), str(part.get("number")), str(part.get("digest"))))
    return tuple(named)
