"""The record in one SQLite file: entries are added and read, never changed, never removed.

`append` returns once the commit is on disk (write-ahead log, full synchronisation). Triggers refuse change,
removal and any number but the next, whoever opens the file. Personal texts lie in a table of their own, from which
they may be deleted; the roots of the tree so far are kept, so that no start has to build it again.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import NamedTuple, Protocol, Self, cast

from riskhelper.record.canonical import NotCanonical
from riskhelper.record.columns import COLUMNS, Row, leaf_bytes, leaf_of_row, row_of, texts_of
from riskhelper.record.entries import ANSWER, CARRY_IN, FIRST_SCHEMA, KEEP_APART, Bare, Draft, Entry
from riskhelper.record.merging import merged
from riskhelper.record.moments import moment_of
from riskhelper.record.people import REGISTER_ACTS
from riskhelper.record.personal import sealed
from riskhelper.record.seals import SEALED_MARK
from riskhelper.record.signing import Hand, signed
from riskhelper.record.tree import GrowingTree, leaf_hash
from riskhelper.store.heads import HeadFile, SeenHead
from riskhelper.store.opening import CELL_NAMES, STORE_VERSION, StoreFault, opened, told
from riskhelper.store.texts import Texts

__all__ = ["Mark", "RecordStore", "SqliteStore", "StoreFault"]

SALT_BYTES = 16
_MARKS = ", ".join("?" * len(COLUMNS))
_INSERT = f"INSERT INTO entry ({CELL_NAMES}) VALUES ({_MARKS})"
_INSERT_CARRIED = f"INSERT INTO carried (log, {CELL_NAMES}) VALUES (?, {_MARKS})"
_ALL_LOGS = f"""
SELECT coalesce(place.place, each.number + :carried) AS at, each.* FROM
(SELECT :own AS log, {CELL_NAMES} FROM entry UNION ALL SELECT log, {CELL_NAMES} FROM carried) AS each
LEFT JOIN place ON place.log = each.log AND place.number = each.number
"""
_LEAF_CELLS = ", ".join(name for name in COLUMNS if name != "content")
_LOOKED_INTO = (*REGISTER_ACTS, CARRY_IN, KEEP_APART)
_IS_BARE = f"""signature = '' AND moment_true = moment_entered AND instr(content, CAST('{SEALED_MARK}' AS BLOB)) = 0
AND act NOT IN ({", ".join(f"'{act}'" for act in sorted(_LOOKED_INTO))})"""
_JOBS = "SELECT job FROM entry WHERE job <> '' GROUP BY job ORDER BY min(number)"
_JOBS_OF_ALL_LOGS = f"SELECT job FROM ({_ALL_LOGS}) WHERE job <> '' GROUP BY job ORDER BY min(at)"


class Mark(NamedTuple):
    """Where an act stands in the record: of which job, when it was entered, whether it bears a signature."""

    job: str
    act: str
    entered: str
    offset_min: int
    is_signed: bool

    @property
    def at(self) -> datetime:
        """When it was entered, on the site's clock."""
        return moment_of(self.entered, self.offset_min)


class RecordStore(Protocol):
    """What the acts need of a store."""

    @property
    def rehearsal(self) -> bool:
        """Whether everything in it is a rehearsal."""

    @property
    def log(self) -> str:
        """The id of the log this store writes."""

    def append(self, draft: Draft, hand: Hand | None = None, still: Callable[[], None] | None = None) -> Entry:
        """Writes an entry; when this returns, it is on disk."""

    def entries(self, job: str) -> tuple[Entry, ...]:
        """The entries of a job in the order of the record."""

    def jobs(self) -> tuple[str, ...]:
        """Numbers of the jobs, in the order in which they were opened."""

    def marks(self, acts: Iterable[str]) -> tuple[Mark, ...]:
        """Where certain acts stand in the record, of all jobs, in its order, without their contents."""

    def answers(self, job: str, questions: Iterable[str]) -> tuple[Entry, ...]:
        """The entries that answer certain questions of a job, in the order of the record."""

    def every(self, after: int = 0) -> tuple[Entry, ...]:
        """Every entry, in the order of the record; only the own ones after a number where one is given."""

    def size(self) -> int:
        """How many entries of its own it has."""

    def carried(self) -> int:
        """How many entries of other logs it has taken in."""


class SqliteStore:
    """A store in one SQLite file, made when it is missing, readable by its owner only."""

    def __init__(self, file: Path, *, rehearsal: bool | None, reading: bool = False) -> None:
        self.file = file
        self._lock = threading.RLock()
        kind = "" if rehearsal is None else "rehearsal" if rehearsal else "record"
        self._opened = opened(file, kind, reading=reading)
        self._connection = self._opened.connection
        self._heads = HeadFile(file)
        self._texts = Texts(self._connection, has_texts=self._opened.version > 1)
        self._behind = self._entries_behind() if self._opened.writable else 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Lets go of the file."""
        self._connection.close()

    @property
    def rehearsal(self) -> bool:
        """Whether everything in it is a rehearsal."""
        return self._opened.kind == "rehearsal"

    @property
    def log(self) -> str:
        """The id of the log this store writes."""
        return self._opened.log

    @property
    def writable(self) -> bool:
        """Whether entries can be added: not to a store of a newer form, nor to one opened for reading."""
        return self._opened.writable

    @property
    def has_roots(self) -> bool:
        """Whether the roots of the tree are kept: not in a store of the first form."""
        return self._opened.version > 1

    def append(self, draft: Draft, hand: Hand | None = None, still: Callable[[], None] | None = None) -> Entry:
        """Writes an entry; when this returns, it is on disk.

        A hand signs it over the head of the tree before it. `still` looks once more, while nobody else can write,
        whether the act is possible, and raises where it is not.
        """
        with self._writing():
            if still is not None:
                still()
            return self._added(draft, hand)

    def destroy(self, draft: Draft, hand: Hand, ids: Sequence[tuple[str, int]], still: Callable[[], None]) -> Entry:
        """Writes the entry that says so and deletes the texts of the entries named, both or neither."""
        with self._writing():
            still()
            entry = self._added(draft, hand)
            self._texts.delete(ids)
        self._empty_write_ahead_log()
        return entry

    def take_in(self, logs: Sequence[Sequence[Entry]], draft: Draft) -> Entry:
        """Adds entries of other logs (and of the own one, where a copy went further) that follow those held, with
        the entry that says so; all or nothing."""
        with self._writing():
            for entries in logs:
                for entry in entries:
                    self._take(entry)
            entry = self._added(draft, None)
            self._place()
        return entry

    def delete_texts(self, ids: Sequence[tuple[str, int]]) -> None:
        """Deletes the texts of entries that an entry of another store destroyed."""
        with self._told("Nothing was changed"), self._lock:
            lying = self._texts.lying(ids)
        if lying:
            with self._writing():
                self._texts.delete(lying)
            self._empty_write_ahead_log()

    def entries(self, job: str) -> tuple[Entry, ...]:
        """The entries of a job in the order of the record."""
        return self._read("job = :job", job=job)

    def jobs(self) -> tuple[str, ...]:
        """Numbers of the jobs, in the order in which they were opened."""
        with self._told("Nothing was changed"), self._lock:
            carried = self.carried()
            if carried:
                rows = self._connection.execute(_JOBS_OF_ALL_LOGS, {"carried": carried, "own": self.log}).fetchall()
            else:
                rows = self._connection.execute(_JOBS).fetchall()
        return tuple(job for (job,) in rows)

    def marks(self, acts: Iterable[str]) -> tuple[Mark, ...]:
        """Where certain acts stand in the record, of all jobs, in its order, without their contents."""
        named = {f"act{place}": act for place, act in enumerate(acts)}
        where = f"act IN ({', '.join(f':{name}' for name in named)})"
        cells = "job, act, moment_entered, offset_min, signature <> ''"
        with self._told("Nothing was changed"), self._lock:
            if carried := self.carried():
                given = {"carried": carried, "own": self.log, **named}
                found = self._connection.execute(
                    f"SELECT {cells} FROM ({_ALL_LOGS}) WHERE {where} ORDER BY at", given
                )
            else:
                found = self._connection.execute(f"SELECT {cells} FROM entry WHERE {where} ORDER BY number", named)
            return tuple(
                Mark(job, act, entered, offset, bool(signed_))
                for job, act, entered, offset, signed_ in found.fetchall()
            )

    def answers(self, job: str, questions: Iterable[str]) -> tuple[Entry, ...]:
        """The entries that answer certain questions of a job, in the order of the record."""
        named = {f"part{place}": f'"question":"{question}"' for place, question in enumerate(questions)}
        holds = " OR ".join(f"instr(content, :{name}) > 0" for name in named)
        # the plus keeps the index over acts out of it: one job has fewer entries than there are answers
        return self._read(f"job = :job AND +act = :act AND ({holds})", job=job, act=ANSWER, **named)

    def every(self, after: int = 0) -> tuple[Entry, ...]:
        """Every entry, in the order of the record; only the own ones after a number where one is given."""
        if not after:
            return self._read("1 = 1")
        with self._told("Nothing was changed"), self._lock:
            rows, carried = self._rows_after(after), self.carried()
            return tuple(self._entry(row, self.log, _place_of(cast(int, row[0]), carried)) for row in rows)

    def size(self) -> int:
        """How many entries of its own it has."""
        with self._told("Nothing was changed"), self._lock:
            return int(self._connection.execute("SELECT coalesce(max(number), 0) FROM entry").fetchone()[0])

    def carried(self) -> int:
        """How many entries of other logs it has taken in."""
        if self._opened.version == 1:
            return 0
        with self._told("Nothing was changed"), self._lock:
            return int(self._connection.execute("SELECT coalesce(max(rowid), 0) FROM carried").fetchone()[0])

    def as_found(self) -> Iterator[Entry | Bare]:
        """Every entry as it lies in the file, log by log, the own one first, in the order of the file, for checking:
        content that cannot be read stands as its raw bytes, which do not give its digest."""
        with self._told("Nothing was changed"), self._lock:
            yield from self._found_in("entry", f"'{self.log}'", "rowid")
            if self._opened.version > 1:
                yield from self._found_in("carried", "log", "log, rowid")

    def _found_in(self, table: str, log: str, order: str) -> Iterator[Entry | Bare]:
        """The rows of a table: bare where nothing but their place in the tree is to be checked."""
        for rowid, is_bare, *bare in self._connection.execute(
            f"SELECT rowid, {_IS_BARE}, {log}, number, digest, content, {leaf_in_sql(log)}, moment_entered "
            f"FROM {table} ORDER BY {order}"
        ):
            if is_bare:
                yield Bare(*bare)
                continue
            (row,) = self._connection.execute(f"SELECT {CELL_NAMES} FROM {table} WHERE rowid = ?", (rowid,))
            yield self._entry(row, bare[0], 0, as_found=True)

    def logs(self) -> dict[str, tuple[Entry, ...]]:
        """The entries of each log in order, the own one first."""
        found: dict[str, list[Entry]] = {self.log: []}
        for entry in self.every():
            found.setdefault(entry.log, []).append(entry)
        return {log: tuple(replace(entry, place=0) for entry in entries) for log, entries in found.items()}

    def head(self) -> tuple[int, str]:
        """Size and root of the tree over the own entries."""
        with self._told("Nothing was changed"), self._lock:
            tree = self._tree()
            return tree.size, tree.root.hex()

    def kept_head(self) -> tuple[int, str]:
        """The head as the roots kept in the file give it, for checking."""
        with self._told("Nothing was changed"), self._lock:
            tree = self._frontier()
            return tree.size, tree.root.hex()

    def seen_head(self) -> SeenHead | None:
        """The newest head of a log that this machine has noted beside the store."""
        return self._heads.seen()

    def _entries_behind(self) -> int:
        """How many entries the newest head noted beside the store is ahead of it."""
        seen = self._heads.seen()
        return max(0, seen.size - self.size()) if seen is not None and seen.log == self.log else 0

    def moved_places(self) -> int:
        """How many entries have another place in the file than follows from the entries, for checking."""
        with self._told("Nothing was changed"), self._lock:
            if not self.carried():
                return 0
            kept = {(log, number): place for log, number, place in self._connection.execute("SELECT * FROM place")}
            carried = self.carried()
            moved = [e for e in self._placed() if kept.pop(e.id, _place_of(e.number, carried)) != e.order]
            return len(moved) + len(kept)

    def copy_to(self, file: Path) -> None:
        """Copies everything into another file while this one is in use; the copy is on disk when this returns."""
        with told(file, "The store itself was not changed"), self._lock:
            target = sqlite3.connect(file)
            try:
                self._connection.backup(target)
                target.execute("PRAGMA journal_mode = DELETE")
            finally:
                target.close()

    def _read(self, where: str, **given: str) -> tuple[Entry, ...]:
        """The entries for which a condition holds, in the order of the record."""
        with self._told("Nothing was changed"), self._lock:
            carried = self.carried()
            if carried:
                rows = self._connection.execute(
                    f"{_ALL_LOGS} WHERE {where} ORDER BY 1", {"carried": carried, "own": self.log, **given}
                ).fetchall()
                return tuple(self._entry(row[2:], row[1], row[0]) for row in rows)
            rows = self._connection.execute(
                f"SELECT {CELL_NAMES} FROM entry WHERE {where} ORDER BY number", given
            ).fetchall()
            return tuple(self._entry(row, self.log, 0) for row in rows)

    def _empty_write_ahead_log(self) -> None:
        """Moves everything into the store itself, so that deleted text lies nowhere else."""
        with self._told("The entry is on disk"), self._lock:
            self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def _note_head(self) -> None:
        """Notes the newest head beside the store; where that cannot be written, the entry is kept all the same."""
        tree = self._frontier()
        with suppress(OSError):
            self._heads.note(SeenHead(self.log, tree.size, tree.root.hex()))

    def _added(self, draft: Draft, hand: Hand | None) -> Entry:
        """Inserts the next own entry, inside a transaction."""
        meaning, tree = draft.meaning, self._tree()
        draft = sealed(draft, lambda: os.urandom(SALT_BYTES).hex(), signed=hand is not None)
        if hand is not None:
            draft = replace(draft, signature=signed(draft, hand, tree.size, tree.root.hex(), self.log))
        number = tree.size + 1
        entry = Entry(number, draft, meaning, draft.digest, self.log, _place_of(number, self.carried()))
        self._insert(entry)
        tree.add(leaf_hash(leaf_bytes(entry)))
        self._connection.execute("UPDATE frontier SET size = ?, parts = ?", (tree.size, tree.parts))
        return entry

    def _insert(self, entry: Entry) -> None:
        self._connection.execute(_INSERT, row_of(entry))
        self._texts.keep(entry.id, texts_of(entry))

    def _take(self, entry: Entry) -> None:
        if entry.log == self.log:
            tree = self._tree()
            self._insert(entry)
            tree.add(leaf_hash(leaf_bytes(entry)))
            self._connection.execute("UPDATE frontier SET size = ?, parts = ?", (tree.size, tree.parts))
            return
        self._connection.execute(_INSERT_CARRIED, (entry.log, *row_of(entry)))
        self._texts.keep(entry.id, texts_of(entry))

    def _place(self) -> None:
        """Writes the common order of all logs anew."""
        placed = self._placed()
        self._connection.execute("DELETE FROM place")
        self._connection.executemany(
            "INSERT INTO place VALUES (?, ?, ?)", [(each.log, each.number, each.order) for each in placed]
        )

    def _placed(self) -> list[Entry]:
        """Every entry in the common order that follows from all logs."""
        in_logs = sorted(self.every(), key=lambda entry: (entry.log, entry.number))
        return [entry for entry in merged(replace(each, place=0) for each in in_logs) if isinstance(entry, Entry)]

    def _rows_after(self, number: int) -> list[Row]:
        return self._connection.execute(
            f"SELECT {CELL_NAMES} FROM entry WHERE number > ? ORDER BY number", (number,)
        ).fetchall()

    def _frontier(self) -> GrowingTree:
        row = self._connection.execute("SELECT size, parts FROM frontier").fetchone()
        try:
            return GrowingTree(*row)
        except (TypeError, ValueError) as fault:
            raise StoreFault(
                f"{self.file}: the roots kept in the store were altered ({fault}). Bring back a copy that holds"
            ) from fault

    def _tree(self) -> GrowingTree:
        """The tree over all own entries: the roots kept, caught up by number."""
        tree = self._frontier()
        for row in self._rows_after(tree.size):
            tree.add(leaf_hash(leaf_of_row(self.log, row)))
        return tree

    def _entry(self, row: Row, log: str, place: int, *, as_found: bool = False) -> Entry:
        try:
            return self._texts.entry(row, log, place, as_found=as_found)
        except NotCanonical as fault:
            raise StoreFault(
                f"{self.file}: entry {row[0]!r} cannot be read: {fault}. Rely on no entry after it"
            ) from fault

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """One transaction: on disk when it ends, undone when anything in it fails."""
        with self._told("Nothing was saved by this act; everything before it still holds"), self._lock:
            if not self.writable:
                raise StoreFault(
                    f"{self.file}: was written by a newer version of the program (form {self._opened.version}; this "
                    f"one writes form {STORE_VERSION}). It can be read here and nothing can be added. Open it with "
                    "that version"
                )
            if self._behind:
                raise StoreFault(
                    f"{self.file}: ends {self._behind} entries before what this machine has seen of it: it is an "
                    "older copy, or its tail was cut off. It can be read; nothing can be added, as one number would "
                    "stand for two entries. Bring the newest copy back with `restore`; where there is none, start a "
                    "new store and `carry in` what was carried out of this one"
                )
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._connection.execute("COMMIT")
                self._note_head()
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise

    @contextmanager
    def _told(self, what_holds: str) -> Iterator[None]:
        with told(self.file, what_holds):
            yield


def _place_of(number: int, carried: int) -> int:
    """The place of an own entry written after entries of other logs were taken in; 0 where there are none."""
    return number + carried if carried else 0


def leaf_in_sql(log: str) -> str:
    """The leaf of a row as SQL: the same bytes as `columns.leaf_of_row`, made where the cells already are."""
    return (
        f"CAST(CASE WHEN schema = '{FIRST_SCHEMA}' THEN json_array({_LEAF_CELLS}) "
        f"ELSE json_array({log}, {_LEAF_CELLS}) END AS BLOB)"
    )
