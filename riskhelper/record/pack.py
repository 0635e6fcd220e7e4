"""A pack: logs, whole or in excerpts, as one file that can be carried and checked without the store.

A log in a pack is its entries in order; entries left out stand as gaps, each with the root over them, so that the
tree head still comes out and every entry shown is proved to be in it. Texts go along only where they are given;
the entries that bind them hold without them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from riskhelper.record.canonical import Content, NotCanonical, canonical_bytes, parsed
from riskhelper.record.columns import COLUMNS, CONTENT, WHOLE_NUMBERS, Cell, entry_of, leaf_bytes, row_of, texts_of
from riskhelper.record.entries import Entry, Gap, is_hex, is_log
from riskhelper.record.seals import KeptText
from riskhelper.record.tree import HASH_BYTES, GrowingTree, complete_parts, leaf_hash, root_of

PACK_SCHEMA = "riskhelper.pack/1"
NOT_CARRIED = "text not carried"
LONGEST_LOG = 2**40
_ENTRY_NAMES = {*COLUMNS, "texts"}


class NotAPack(ValueError):
    """Bytes that are no pack this program can read; the message says what was found."""


@dataclass(frozen=True, slots=True)
class LogCopy:
    """A log in a pack: its id, how many entries it had, the head over them, and the entries and gaps in order."""

    log: str
    size: int
    head: str
    parts: tuple[Entry | Gap, ...]

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The entries that are shown."""
        return tuple(part for part in self.parts if isinstance(part, Entry))

    @property
    def is_whole(self) -> bool:
        """Whether every entry is shown."""
        return all(isinstance(part, Entry) for part in self.parts)


@dataclass(frozen=True, slots=True)
class Pack:
    """What a pack holds. `rehearsal`: everything in it is a rehearsal. The first log is that of the store it left.
    `keys` are sealed key files that go along, for people who sign where it arrives."""

    rehearsal: bool
    logs: tuple[LogCopy, ...]
    keys: tuple[Mapping[str, Content], ...] = ()


def copied(entries: Sequence[Entry], wanted: Callable[[Entry], bool] = lambda _entry: True) -> LogCopy:
    """A copy of one log from all its entries in order; those not wanted become gaps."""
    leaves = [leaf_hash(leaf_bytes(entry)) for entry in entries]
    log, parts, start = entries[0].log if entries else "", list[Entry | Gap](), 0
    for index, entry in enumerate(entries):
        if wanted(entry):
            parts += _gaps(log, leaves, start, index)
            parts.append(entry)
            start = index + 1
    parts += _gaps(log, leaves, start, len(leaves))
    return LogCopy(log, len(leaves), root_of(leaves).hex(), tuple(parts))


def packed(pack: Pack, *, texts: bool) -> bytes:
    """A pack as bytes, in canonical form; with `texts` what is personal goes along."""
    logs: list[Content] = [
        {
            "log": each.log,
            "size": each.size,
            "head": each.head,
            "parts": [_part_content(part, texts) for part in each.parts],
        }
        for each in pack.logs
    ]
    keys: list[Content] = [dict(key) for key in pack.keys]
    return canonical_bytes({"schema": PACK_SCHEMA, "rehearsal": pack.rehearsal, "logs": logs, "keys": keys})


def unpacked(data: bytes) -> Pack:
    """The pack that bytes hold; whether its record holds is asked of `checking.checked_pack`. Raises `NotAPack`."""
    try:
        content = parsed(data)
    except NotCanonical as fault:
        raise NotAPack(f"it is no pack of this program, or was changed: {fault}") from fault
    match content:
        case {
            "schema": "riskhelper.pack/1",
            "rehearsal": bool(rehearsal),
            "logs": list(logs),
            "keys": list(keys),
            **rest,
        } if not rest:
            sealed = tuple(key for key in keys if isinstance(key, dict))
            return Pack(rehearsal, tuple(_log_read(each) for each in logs), sealed)
        case {"schema": str(schema)}:
            raise NotAPack(f"it has the form `{schema}`; this program reads `{PACK_SCHEMA}`. Use a newer program")
    raise NotAPack("it is no pack of this program")


def head_of(parts: Iterable[Entry | Gap]) -> tuple[int, str]:
    """Size and root of the tree over entries and gaps in order."""
    tree = GrowingTree()
    for part in parts:
        grow(tree, part)
    return tree.size, tree.root.hex()


def grow(tree: GrowingTree, part: Entry | Gap) -> None:
    """Adds an entry or a gap to a tree; raises `ValueError` for a gap that is no part of a tree."""
    if isinstance(part, Gap):
        tree.add(bytes.fromhex(part.root), part.count)
    else:
        tree.add(leaf_hash(leaf_bytes(part)))


def _gaps(log: str, leaves: Sequence[bytes], start: int, end: int) -> Iterator[Gap]:
    for first, size in complete_parts(start, end):
        yield Gap(log, size, root_of(leaves[first : first + size]).hex())


def _part_content(part: Entry | Gap, texts: bool) -> Content:
    if isinstance(part, Gap):
        return {"left_out": part.count, "root": part.root}
    row = row_of(part)
    cells: dict[str, Content] = {name: cast(Content, cell) for name, cell in zip(COLUMNS, row, strict=True)}
    cells["content"] = part.draft.stored
    kept = texts_of(part) if texts else {}
    return {**cells, "texts": {path: {"salt": text.salt, "value": text.value} for path, text in kept.items()}}


def _log_read(content: Content) -> LogCopy:
    match content:
        case {"log": str(log), "size": int(size), "head": str(head), "parts": list(parts), **rest} if (
            is_log(log) and _is_root(head) and not isinstance(size, bool) and not rest
        ):
            return LogCopy(log, size, head, tuple(_part_read(log, each) for each in parts))
    raise NotAPack("a log in it is written in a way this program does not know")


def _part_read(log: str, content: Content) -> Entry | Gap:
    match content:
        case {"left_out": int(count), "root": str(root), **rest} if (
            not isinstance(count, bool) and 0 < count < LONGEST_LOG and _is_root(root) and not rest
        ):
            return Gap(log, count, root)
        case dict():
            return _entry_read(log, content)
    raise NotAPack("an entry in it is written in a way this program does not know")


def _entry_read(log: str, content: Mapping[str, Content]) -> Entry:
    number = content.get("number")
    if set(content) != _ENTRY_NAMES:
        raise NotAPack(f"entry {number}: it has other parts than an entry of this program")
    cells: list[Cell] = []
    for name in COLUMNS:
        value = content.get(name)
        if name == COLUMNS[CONTENT]:
            cells.append(canonical_bytes(value))
        elif isinstance(value, int if name in WHOLE_NUMBERS else str) and not isinstance(value, bool):
            cells.append(cast(Cell, value))
        else:
            raise NotAPack(f"entry {number}: `{name}` is missing or of another kind")
    texts = _texts_read(number, content.get("texts"))
    entry = entry_of(tuple(cells), log, texts=texts, why_gone=NOT_CARRIED, as_found=True)
    if strange := sorted(set(texts) - set(entry.draft.seals)):
        raise NotAPack(f"entry {number}: the text `{strange[0]}` is not one that the entry binds")
    return entry


def _texts_read(number: Content, content: Content) -> dict[str, KeptText]:
    texts = {}
    if not isinstance(content, dict):
        raise NotAPack(f"entry {number}: its texts are written in a way this program does not know")
    for path, text in content.items():
        match text:
            case {"salt": str(salt), "value": value, **rest} if salt and is_hex(salt) and not rest:
                texts[path] = KeptText(salt, value)
            case _:
                raise NotAPack(f"entry {number}: a text is written in a way this program does not know")
    return texts


def _is_root(text: str) -> bool:
    return is_hex(text, 2 * HASH_BYTES)
