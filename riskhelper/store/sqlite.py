"""The record in one SQLite file: entries are added and read, never changed, never removed.

`append` returns once the commit is on disk (write-ahead log, full synchronisation). Triggers refuse change,
removal and any number but the next, whoever opens the file.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Protocol, Self, cast

from riskhelper.record.canonical import NotCanonical, canonical_bytes, parsed
from riskhelper.record.entries import Draft, Entry
from riskhelper.record.signing import Hand, leaf_bytes, signed
from riskhelper.record.tree import GrowingTree, leaf_hash

APPLICATION_ID = 0x52534B48
STORE_VERSION = 1
WAIT_S = 10.0

_SCHEMA = f"""
CREATE TABLE head (kind TEXT NOT NULL CHECK (kind IN ('record', 'rehearsal')));
CREATE TABLE entry (
    number INTEGER PRIMARY KEY,
    schema TEXT NOT NULL,
    job TEXT NOT NULL,
    who TEXT NOT NULL,
    role TEXT NOT NULL,
    act TEXT NOT NULL,
    meaning TEXT NOT NULL,
    moment_true TEXT NOT NULL,
    moment_entered TEXT NOT NULL,
    offset_min INTEGER NOT NULL,
    zone TEXT NOT NULL,
    content BLOB NOT NULL,
    digest TEXT NOT NULL,
    signature TEXT NOT NULL
) STRICT;
CREATE INDEX entry_by_job ON entry (job, number);
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never changed'); END;
CREATE TRIGGER entry_is_never_removed BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never removed'); END;
CREATE TRIGGER entry_takes_the_next_number BEFORE INSERT ON entry
WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'an entry takes the next number'); END;
PRAGMA application_id = {APPLICATION_ID};
PRAGMA user_version = {STORE_VERSION};
"""
_BY_ACT = "CREATE INDEX IF NOT EXISTS entry_by_act ON entry (act, number)"
"""Made when a store is opened, also in one that was written before there was such an index; it changes no entry."""
_COLUMNS = (
    "number, schema, job, who, role, act, meaning, moment_true, moment_entered, offset_min, zone, content, "
    "digest, signature"
)
_INSERT = f"INSERT INTO entry ({_COLUMNS}) VALUES ({', '.join('?' * 14)})"


class StoreFault(OSError):
    """The store cannot be opened, read or written; the message says what still holds and what to do."""


class RecordStore(Protocol):
    """What the acts need of a store."""

    @property
    def rehearsal(self) -> bool:
        """Whether everything in it is a rehearsal."""

    def append(self, draft: Draft, hand: Hand | None = None, still: Callable[[], None] | None = None) -> Entry:
        """Writes an entry; when this returns, it is on disk."""

    def entries(self, job: str) -> tuple[Entry, ...]:
        """The entries of a job in the order of the record."""

    def jobs(self) -> tuple[str, ...]:
        """Numbers of the jobs, in the order in which they were opened."""

    def with_acts(self, acts: Iterable[str]) -> tuple[Entry, ...]:
        """The entries of certain acts, of all jobs, in the order of the record."""

    def every(self) -> tuple[Entry, ...]:
        """Every entry, in the order of the record."""

    def size(self) -> int:
        """How many entries there are."""


class SqliteStore:
    """A store in one SQLite file, made when it is missing, readable by its owner only."""

    def __init__(self, file: Path, *, rehearsal: bool) -> None:
        self.file = file
        self._lock = threading.RLock()
        self._kind = "rehearsal" if rehearsal else "record"
        self._tree = GrowingTree()
        self._connection = self._opened()

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
        return self._kind == "rehearsal"

    def append(self, draft: Draft, hand: Hand | None = None, still: Callable[[], None] | None = None) -> Entry:
        """Writes an entry; when this returns, it is on disk.

        A hand signs it over the head of the tree before it. `still` looks once more, while nobody else can write,
        whether the act is possible, and raises where it is not.
        """
        content = canonical_bytes(dict(draft.content))
        meaning, digest = draft.meaning, draft.digest
        with self._told("Nothing was saved by this act; everything before it still holds"), self._lock:
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                if still is not None:
                    still()
                if hand is not None:
                    size, head = self._head()
                    draft = replace(draft, signature=signed(draft, hand, size, head))
                (last,) = self._connection.execute("SELECT coalesce(max(number), 0) FROM entry").fetchone()
                entry = Entry(number=last + 1, draft=draft, meaning=meaning, digest=digest)
                self._connection.execute(_INSERT, _row(entry, content))
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise
        return entry

    def entries(self, job: str) -> tuple[Entry, ...]:
        """The entries of a job in the order of the record."""
        with self._told("Nothing was changed"), self._lock:
            rows = self._connection.execute(
                f"SELECT {_COLUMNS} FROM entry WHERE job = ? ORDER BY number", (job,)
            ).fetchall()
        return tuple(_entry(self.file, row) for row in rows)

    def jobs(self) -> tuple[str, ...]:
        """Numbers of the jobs, in the order in which they were opened."""
        with self._told("Nothing was changed"), self._lock:
            rows = self._connection.execute(
                "SELECT job FROM entry WHERE job <> '' GROUP BY job ORDER BY min(number)"
            ).fetchall()
        return tuple(job for (job,) in rows)

    def with_acts(self, acts: Iterable[str]) -> tuple[Entry, ...]:
        """The entries of certain acts, of all jobs, in the order of the record."""
        named = tuple(acts)
        with self._told("Nothing was changed"), self._lock:
            rows = self._connection.execute(
                f"SELECT {_COLUMNS} FROM entry WHERE act IN ({', '.join('?' * len(named))}) ORDER BY number", named
            ).fetchall()
        return tuple(_entry(self.file, row) for row in rows)

    def every(self) -> tuple[Entry, ...]:
        """Every entry, in the order of the record."""
        with self._told("Nothing was changed"), self._lock:
            return tuple(_entry(self.file, row) for row in self._rows_after(0))

    def size(self) -> int:
        """How many entries there are."""
        with self._told("Nothing was changed"), self._lock:
            return int(self._connection.execute("SELECT coalesce(max(number), 0) FROM entry").fetchone()[0])

    def as_found(self) -> Iterator[Entry]:
        """Every entry as it lies in the file, in the order of the file, for checking: content that cannot be read
        stands as its raw bytes, which do not give its digest."""
        with self._told("Nothing was changed"), self._lock:
            for row in self._connection.execute(f"SELECT {_COLUMNS} FROM entry ORDER BY rowid"):
                yield _entry(self.file, row, as_found=True)

    def _rows_after(self, number: int) -> list[tuple[int | str | bytes, ...]]:
        return self._connection.execute(
            f"SELECT {_COLUMNS} FROM entry WHERE number > ? ORDER BY number", (number,)
        ).fetchall()

    def _head(self) -> tuple[int, str]:
        """Size and root of the tree over all entries, inside a transaction."""
        for row in self._rows_after(self._tree.size):
            self._tree.add(leaf_hash(leaf_bytes(_entry(self.file, row))))
        return self._tree.size, self._tree.root.hex()

    def _opened(self) -> sqlite3.Connection:
        with self._told("Nothing was changed"):
            self.file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            os.close(os.open(self.file, os.O_CREAT | os.O_RDWR, 0o600))
            connection = sqlite3.connect(self.file, timeout=WAIT_S, isolation_level=None, check_same_thread=False)
            try:
                if _tables(connection):
                    self._check_ours(connection)
                connection.execute("PRAGMA synchronous = FULL")
                connection.execute("PRAGMA journal_mode = WAL")
                self._fill_if_new(connection)
                self._check_ours(connection)
                connection.execute(_BY_ACT)
            except BaseException:
                connection.close()
                raise
        return connection

    def _check_ours(self, connection: sqlite3.Connection) -> None:
        """Refuses files of other programs, other versions and the other kind, before anything is written."""
        (application,) = connection.execute("PRAGMA application_id").fetchone()
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        if application != APPLICATION_ID:
            raise StoreFault(f"{self.file}: is a database of another program. Name another file for the store")
        if version != STORE_VERSION:
            raise StoreFault(
                f"{self.file}: was written by another version of the program (form {version}; this one "
                f"writes form {STORE_VERSION}). Open it with that version; nothing was changed"
            )
        (kind,) = connection.execute("SELECT kind FROM head").fetchone()
        if kind != self._kind:
            raise StoreFault(
                f"{self.file}: is a {kind} store and cannot be opened as a {self._kind} store. "
                "Rehearsals and real work are kept apart: name another file"
            )

    def _fill_if_new(self, connection: sqlite3.Connection) -> None:
        connection.execute("BEGIN IMMEDIATE")
        try:
            if _tables(connection) == 0:
                for statement in _statements(_SCHEMA):
                    connection.execute(statement)
                connection.execute("INSERT INTO head (kind) VALUES (?)", (self._kind,))
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise

    @contextmanager
    def _told(self, what_holds: str) -> Iterator[None]:
        """Turns a fault of disk or database into words."""
        try:
            yield
        except StoreFault:
            raise
        except (sqlite3.Error, OSError) as fault:
            raise StoreFault(f"{self.file}: {_cause(fault)}. {what_holds}. {_remedy(fault)}") from fault


def _tables(connection: sqlite3.Connection) -> int:
    return int(connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0])


def _statements(script: str) -> list[str]:
    """The statements of a script, a trigger with its body being one."""
    statements, pending = [], ""
    for line in script.splitlines():
        pending += line + "\n"
        if sqlite3.complete_statement(pending):
            statements.append(pending)
            pending = ""
    return statements


def _row(entry: Entry, content: bytes) -> tuple[int | str | bytes, ...]:
    draft = entry.draft
    return (
        entry.number,
        draft.schema,
        draft.job,
        draft.who,
        draft.role,
        draft.act,
        entry.meaning,
        draft.moment_true,
        draft.moment_entered,
        draft.offset_min,
        draft.zone,
        content,
        entry.digest,
        draft.signature,
    )


def _entry(file: Path, row: tuple[int | str | bytes, ...], *, as_found: bool = False) -> Entry:
    (
        number,
        schema,
        job,
        who,
        role,
        act,
        meaning,
        true_at,
        entered,
        offset,
        zone,
        content,
        digest,
        signature,
    ) = row
    try:
        read = parsed(cast(bytes, content))
    except NotCanonical as fault:
        if not as_found:
            raise StoreFault(
                f"{file}: entry {number!r} cannot be read: {fault}. Rely on no entry after it"
            ) from fault
        read = {"unreadable": cast(bytes, content).hex()}
    draft = Draft(
        job=str(job),
        who=str(who),
        role=str(role),
        act=str(act),
        moment_true=str(true_at),
        moment_entered=str(entered),
        offset_min=int(offset),
        zone=str(zone),
        content=read if isinstance(read, dict) else {},
        signature=str(signature),
        schema=str(schema),
    )
    return Entry(number=int(number), draft=draft, meaning=str(meaning), digest=str(digest))


def _cause(fault: Exception) -> str:
    if isinstance(fault, sqlite3.Error):
        return str(fault)
    return getattr(fault, "strerror", None) or str(fault)


def _remedy(fault: Exception) -> str:
    words = str(fault).lower()
    if "locked" in words or "busy" in words:
        return "Another program holds the file: close it and try again"
    if "full" in words or "no space" in words:
        return "Free some space on that disk and try again"
    if "readonly" in words or "permission" in words or "read-only" in words:
        return "Make the file and its folder writable for you and try again"
    if "not a database" in words or "malformed" in words:
        return "Keep the file as it is, and start with another file or a copy kept elsewhere"
    return "Look at the disk and the folder, then try again"
