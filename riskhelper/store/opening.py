"""The file of a store: its tables, which versions of the program read and write it, and how it is opened.

A store says which version wrote it and from which version on it can be read. A newer one that this program can read
is opened for reading only; an older one is taken on to the present form, which adds tables and changes no entry.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from riskhelper.record.columns import COLUMNS

APPLICATION_ID = 0x52534B48
STORE_VERSION = 2
READABLE_FROM = 2
WAIT_S = 10.0
LOG_BYTES = 16

_CELLS = """
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
"""
_FIRST_FORM = f"""
CREATE TABLE head (kind TEXT NOT NULL CHECK (kind IN ('record', 'rehearsal')));
CREATE TABLE entry (number INTEGER PRIMARY KEY, {_CELLS}) STRICT;
CREATE INDEX entry_by_job ON entry (job, number);
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never changed'); END;
CREATE TRIGGER entry_is_never_removed BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never removed'); END;
CREATE TRIGGER entry_takes_the_next_number BEFORE INSERT ON entry
WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'an entry takes the next number'); END;
"""
_SECOND_FORM = f"""
ALTER TABLE head ADD COLUMN log TEXT NOT NULL DEFAULT '';
ALTER TABLE head ADD COLUMN readable_from INTEGER NOT NULL DEFAULT 0;
CREATE TABLE carried (log TEXT NOT NULL, number INTEGER NOT NULL, {_CELLS}, UNIQUE (log, number)) STRICT;
CREATE TRIGGER carried_is_never_changed BEFORE UPDATE ON carried
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never changed'); END;
CREATE TRIGGER carried_is_never_removed BEFORE DELETE ON carried
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never removed'); END;
CREATE TRIGGER carried_takes_the_next_number BEFORE INSERT ON carried
WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM carried WHERE log = NEW.log)
BEGIN SELECT RAISE(ABORT, 'an entry takes the next number of its log'); END;
CREATE TABLE place (log TEXT NOT NULL, number INTEGER NOT NULL, place INTEGER NOT NULL, PRIMARY KEY (log, number))
STRICT, WITHOUT ROWID;
CREATE TABLE personal (log TEXT NOT NULL, number INTEGER NOT NULL, path TEXT NOT NULL, salt TEXT NOT NULL,
value BLOB NOT NULL, PRIMARY KEY (log, number, path)) STRICT, WITHOUT ROWID;
CREATE TRIGGER personal_is_never_changed BEFORE UPDATE ON personal
BEGIN SELECT RAISE(ABORT, 'a text is kept as it was written or destroyed'); END;
CREATE TABLE frontier (size INTEGER NOT NULL, parts BLOB NOT NULL) STRICT;
INSERT INTO frontier VALUES (0, x'');
CREATE INDEX IF NOT EXISTS entry_by_act ON entry (act, number);
"""
CELL_NAMES = ", ".join(COLUMNS)


class StoreFault(OSError):
    """The store cannot be opened, read or written; the message says what still holds and what to do."""


@dataclass(frozen=True)
class Opened:
    """An open store: whether entries can be added, the id of its own log, and which kind it is."""

    connection: sqlite3.Connection
    writable: bool
    log: str
    kind: str
    version: int


def opened(file: Path, kind: str, *, reading: bool = False) -> Opened:
    """Opens a store of a kind, made when it is missing and readable by its owner only.

    For `reading` nothing is written, not even a newer form, and a kind of `""` takes either.
    """
    with told(file, "Nothing was changed"):
        if reading:
            return _opened_for_reading(file, kind)
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        descriptor = os.open(file, os.O_CREAT | os.O_RDWR, 0o600)
        try:
            os.fchmod(descriptor, 0o600)
        finally:
            os.close(descriptor)
        connection = sqlite3.connect(file, timeout=WAIT_S, isolation_level=None, check_same_thread=False)
        try:
            if _tables(connection):
                _check_ours(file, connection, kind)
                if _version(connection) > STORE_VERSION:
                    connection.close()
                    return _opened_for_reading(file, kind)
            connection.execute("PRAGMA synchronous = FULL")
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA secure_delete = ON")
            _bring_up(connection, kind)
            _check_ours(file, connection, kind)
            (log,) = connection.execute("SELECT log FROM head").fetchone()
        except BaseException:
            connection.close()
            raise
    return Opened(connection, True, log, kind, STORE_VERSION)


@contextmanager
def told(file: Path, what_holds: str) -> Iterator[None]:
    """Turns a fault of disk or database into words."""
    try:
        yield
    except StoreFault:
        raise
    except (sqlite3.Error, OSError) as fault:
        raise StoreFault(f"{file}: {_cause(fault)}. {what_holds}. {_remedy(fault)}") from fault


def _opened_for_reading(file: Path, kind: str) -> Opened:
    connection = sqlite3.connect(
        f"{file.absolute().as_uri()}?mode=ro", timeout=WAIT_S, isolation_level=None, check_same_thread=False, uri=True
    )
    try:
        if not _tables(connection):
            raise StoreFault(f"{file}: holds no record. Name the file of a store")
        _check_ours(file, connection, kind)
        version, log = _version(connection), ""
        if version > 1:
            (log,) = connection.execute("SELECT log FROM head").fetchone()
        (found,) = connection.execute("SELECT kind FROM head").fetchone()
    except BaseException:
        connection.close()
        raise
    return Opened(connection, False, log, found, version)


def _check_ours(file: Path, connection: sqlite3.Connection, kind: str) -> None:
    """Refuses files of other programs, of versions that cannot be read, and of the other kind."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    if application != APPLICATION_ID:
        raise StoreFault(f"{file}: is a database of another program. Name another file for the store")
    version = _version(connection)
    if version > STORE_VERSION:
        (readable_from,) = connection.execute("SELECT readable_from FROM head").fetchone()
        if readable_from > STORE_VERSION:
            raise StoreFault(
                f"{file}: was written by a newer version of the program (form {version}; this one reads up to form "
                f"{STORE_VERSION}). Open it with that version; nothing was changed"
            )
    (found,) = connection.execute("SELECT kind FROM head").fetchone()
    if kind and found != kind:
        raise StoreFault(
            f"{file}: is a {found} store and cannot be opened as a {kind} store. "
            "Rehearsals and real work are kept apart: name another file"
        )


def _bring_up(connection: sqlite3.Connection, kind: str) -> None:
    """Makes the tables, or adds those of the present form to an older store."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        if _tables(connection) == 0:
            _run(connection, _FIRST_FORM)
            connection.execute("INSERT INTO head (kind) VALUES (?)", (kind,))
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        if _version(connection) < STORE_VERSION:
            _run(connection, _SECOND_FORM)
            connection.execute(
                "UPDATE head SET log = ?, readable_from = ?", (os.urandom(LOG_BYTES).hex(), READABLE_FROM)
            )
            connection.execute(f"PRAGMA user_version = {STORE_VERSION}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _run(connection: sqlite3.Connection, script: str) -> None:
    """Runs the statements of a script inside the open transaction, a trigger with its body being one."""
    pending = ""
    for line in script.splitlines():
        pending += line + "\n"
        if sqlite3.complete_statement(pending):
            connection.execute(pending)
            pending = ""


def _tables(connection: sqlite3.Connection) -> int:
    return int(connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0])


def _version(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


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
