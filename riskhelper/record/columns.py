"""An entry as a row: the one list of columns. The store writes it, the tree binds it, a carried file holds it."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import cast

from riskhelper.record.canonical import NotCanonical, canonical_bytes, parsed
from riskhelper.record.entries import ENTERED_BY, FIRST_SCHEMA, Draft, Entry
from riskhelper.record.seals import KeptText, opened_form, value_at

COLUMNS = (
    "number",
    "schema",
    "job",
    "who",
    "role",
    "act",
    "meaning",
    "moment_true",
    "moment_entered",
    "offset_min",
    "zone",
    "content",
    "digest",
    "signature",
)
NUMBER, SCHEMA, CONTENT = COLUMNS.index("number"), COLUMNS.index("schema"), COLUMNS.index("content")
WHOLE_NUMBERS = frozenset({"number", "offset_min"})
TEXT_MISSING = "text missing, and no entry says that it was destroyed"

Cell = int | str | bytes
Row = tuple[Cell, ...]


def row_of(entry: Entry) -> Row:
    """An entry as a row; the content in its canonical form, with what is personal sealed."""
    cells = list(_cells(entry))
    cells[CONTENT] = canonical_bytes(entry.draft.stored)
    return tuple(cells)


def leaf_bytes(entry: Entry) -> bytes:
    """An entry as a leaf of the tree: every column, the content by its digest, so that content may be kept apart."""
    return leaf_of_row(entry.log, _cells(entry))


def leaf_of_row(log: str, row: Sequence[Cell]) -> bytes:
    """A row as a leaf. From the second form on it begins with the log.

    The list is in canonical form as it stands: it holds texts and whole numbers only.
    """
    cells = [*row[:CONTENT], *row[CONTENT + 1 :]]
    bound = cells if row[SCHEMA] == FIRST_SCHEMA else [log, *cells]
    return json.dumps(bound, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")


def entry_of(
    row: Row,
    log: str = "",
    place: int = 0,
    texts: Mapping[str, KeptText] | None = None,
    *,
    why_gone: str = TEXT_MISSING,
    as_found: bool = False,
) -> Entry:
    """A row read back, with the texts that lie beside it; raises `NotCanonical`.

    As found, content that cannot be read stands as its raw bytes, which do not give its digest.
    """
    (number, schema, job, who, role, act, meaning, true_at, entered, offset, zone, content, digest, signature) = row
    try:
        stored = parsed(cast(bytes, content))
        if not isinstance(stored, dict):
            raise NotCanonical("stored content should be names with values")
    except NotCanonical:
        if not as_found:
            raise
        stored = {"unreadable": cast(bytes, content).hex()}
    opened, seals = opened_form(stored, texts or {}, why_gone)
    name = opened.get(ENTERED_BY) if ENTERED_BY in seals and not who else who
    draft = Draft(
        job=str(job),
        who=str(name),
        role=str(role),
        act=str(act),
        moment_true=str(true_at),
        moment_entered=str(entered),
        offset_min=int(offset),
        zone=str(zone),
        content=opened,
        signature=str(signature),
        schema=str(schema),
        seals=seals,
    )
    return Entry(int(number), draft, str(meaning), str(digest), log, place)


def texts_of(entry: Entry) -> dict[str, KeptText]:
    """The texts of an entry that are here, by path."""
    held = {path: seal for path, seal in entry.draft.seals.items() if seal.salt}
    return {path: KeptText(seal.salt, value_at(entry.draft.content, path)) for path, seal in held.items()}


def _cells(entry: Entry) -> tuple[Cell, ...]:
    """Every column but the content, whose place is kept."""
    draft = entry.draft
    return (
        entry.number,
        draft.schema,
        draft.job,
        draft.who_written,
        draft.role,
        draft.act,
        entry.meaning,
        draft.moment_true,
        draft.moment_entered,
        draft.offset_min,
        draft.zone,
        b"",
        entry.digest,
        draft.signature,
    )
