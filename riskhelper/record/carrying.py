"""What a carried pack adds to the logs a store holds, and where their histories disagree."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from riskhelper.record.canonical import Content
from riskhelper.record.columns import leaf_bytes
from riskhelper.record.entries import OPEN, Entry, log_name
from riskhelper.record.pack import LogCopy, head_of

Logs = Mapping[str, Sequence[Entry]]


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two histories that cannot both stand: of which log, from which entry on, in words."""

    log: str
    entry: int
    words: str


def disagreements(held: Logs, carried: Iterable[LogCopy]) -> tuple[Disagreement, ...]:
    """Where a carried log is another than the one held, and jobs that were opened twice."""
    found = []
    for copy in carried:
        for here, there in zip(held.get(copy.log, ()), copy.entries, strict=False):
            if leaf_bytes(here) != leaf_bytes(there):
                words = (
                    f"entry {here.number} of {log_name(copy.log)} is `{here.draft.act}` (digest {here.digest[:8]}) "
                    f"here and `{there.draft.act}` (digest {there.digest[:8]}) in the file: from there on they "
                    "are two histories"
                )
                found.append(Disagreement(copy.log, here.number, words))
                break
    return (*found, *_opened_twice(held, carried))


def new_entries(held: Logs, carried: Iterable[LogCopy]) -> tuple[tuple[Entry, ...], ...]:
    """For each carried log the entries that follow those held; logs with nothing new are left out."""
    return tuple(new for copy in carried if (new := copy.entries[len(held.get(copy.log, ())) :]))


def carry_in_content(held: Logs, carried: Iterable[LogCopy], own: str, file: str) -> dict[str, Content]:
    """The entry that says what was taken in: the head of every other log held from now on, and the file's digest."""
    after = {log: tuple(entries) for log, entries in held.items()}
    for copy in carried:
        if len(copy.entries) > len(after.get(copy.log, ())):
            after[copy.log] = copy.entries
    logs: list[Content] = []
    for log, entries in sorted(after.items()):
        if log != own and entries:
            size, head = head_of(entries)
            logs.append({"log": log, "size": size, "head": head})
    return {"logs": logs, "file": file}


def _opened_twice(held: Logs, carried: Iterable[LogCopy]) -> list[Disagreement]:
    """Jobs of one number that were opened in two stores."""
    opened: dict[str, str] = {}
    for entries in held.values():
        opened |= {entry.draft.job: entry.log for entry in entries if entry.draft.act == OPEN}
    found = []
    for copy in carried:
        for entry in copy.entries:
            if entry.draft.act == OPEN and opened.setdefault(entry.draft.job, entry.log) != entry.log:
                words = (
                    f"job {entry.draft.job} was opened in {log_name(opened[entry.draft.job])} and again in "
                    f"{log_name(entry.log)}: they are two jobs of one number"
                )
                found.append(Disagreement(entry.log, entry.number, words))
    return found
