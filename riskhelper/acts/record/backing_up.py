"""A verified copy of the store while it is in use, and bringing one back, never behind what was seen here."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from riskhelper.acts.context import Refused
from riskhelper.record.checking import Checked, checked
from riskhelper.record.entries import log_name
from riskhelper.record.log_checking import PrintedHead
from riskhelper.store.heads import HeadFile, SeenHead
from riskhelper.store.keys import KeyFolder
from riskhelper.store.opening import told
from riskhelper.store.sqlite import SqliteStore


@dataclass(frozen=True)
class Copied:
    """A copy: where it lies, what was found in it, and how many sealed keys went along."""

    file: Path
    found: Checked
    keys: int
    replaced: Path | None = None


def back_up(store: Path, keys: Path, file: Path, *, rehearsal: bool) -> Copied:
    """Writes a copy beside which the sealed keys lie, and checks it; an older copy stays until the new one holds."""
    if file.resolve() == store.resolve():
        raise Refused(f"{file}: is the store itself. Name another file, best on another disk")
    if not store.is_file():
        raise Refused(f"{store}: no store lies there yet. There is nothing to copy")
    with SqliteStore(store, rehearsal=rehearsal) as held, _part(file) as part:
        held.copy_to(part)
        found = _checked(part)
        if not found.holds:
            raise Refused(
                f"{store}: does not hold, so no copy of it was kept: {found.findings[0].words}. Run "
                "`riskhelper verify` and keep the older copies"
            )
        os.replace(part, file)
    return Copied(file, found, _copy_keys(keys, _keys_of(file)))


def restore(file: Path, store: Path, keys: Path, *, rehearsal: bool, now: datetime) -> Copied:
    """Brings a copy back. Refused where it does not hold, or ends before what was seen here."""
    if not file.is_file():
        raise Refused(f"{file}: no such copy. Name the file that `backup` wrote")
    with SqliteStore(file, rehearsal=rehearsal, reading=True) as copy, _part(store) as part:
        log = copy.log
        for seen in _seen(store, rehearsal):
            _check_not_behind(copy, file, seen)
        copy.copy_to(part)
        found = _checked(part)
        if not found.holds:
            raise Refused(f"{file}: does not hold, nothing was changed: {found.findings[0].words}. Try an older copy")
        replaced = _set_aside(store, now)
        os.replace(part, store)
    with SqliteStore(store, rehearsal=rehearsal) as back:
        assert back.log == log
        size, root = back.head()
        HeadFile(store).note(SeenHead(log, size, root))
    return Copied(store, found, _copy_keys(_keys_of(file), keys), replaced)


def _seen(store: Path, rehearsal: bool) -> Iterator[SeenHead]:
    """The heads this machine has seen: the one noted beside the store, and that of the store where it can be read."""
    noted = HeadFile(store).seen()
    if noted is not None:
        yield noted
    if store.is_file():
        try:
            with SqliteStore(store, rehearsal=rehearsal, reading=True) as held:
                yield SeenHead(held.log, *held.head())
        except OSError:
            return  # a store that cannot be read is what a copy is brought back for; the noted head stands for it


def _check_not_behind(copy: SqliteStore, file: Path, seen: SeenHead) -> None:
    if not seen.size:
        return
    if copy.log != seen.log:
        raise Refused(
            f"{file}: is a copy of the store {log_name(copy.log)}, here lies {log_name(seen.log)}. Nothing was "
            "changed; to have the entries of both, `carry out` there and `carry in` here"
        )
    size = copy.size()
    if size < seen.size:
        raise Refused(
            f"{file}: ends at entry {size}, this machine has seen {seen.size}: {seen.size - size} entries would be "
            "lost. Nothing was changed. Bring a newer copy; where there is none, start a new store, and `carry in` "
            "what was carried out of this one"
        )
    found = checked(copy.as_found(), PrintedHead(seen.size, seen.root))
    if not found.holds:
        raise Refused(
            f"{file}: is not the record this machine has seen: {found.findings[0].words}. Nothing was changed"
        )


def _checked(file: Path) -> Checked:
    with SqliteStore(file, rehearsal=None, reading=True) as store:
        return checked(store.as_found(), one_log=not store.carried())


def _set_aside(store: Path, now: datetime) -> Path | None:
    """Moves the store that lies there out of the way, with what belongs to it."""
    if not store.exists():
        return None
    aside = store.with_name(f"{store.name}.before-{now:%Y%m%d-%H%M%S}")
    for ending in ("-wal", "-shm", ""):
        part = store.with_name(store.name + ending)
        if part.exists():
            part.replace(aside.with_name(aside.name + ending))
    return aside


@contextmanager
def _part(file: Path) -> Iterator[Path]:
    """A file beside the one wanted, readable by its owner only, gone afterwards unless it was put in its place."""
    part = file.with_name(f".{file.name}.part")
    with told(file, "The store itself was not changed"):
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        os.close(os.open(part, os.O_CREAT | os.O_RDWR | os.O_TRUNC, 0o600))
    try:
        with told(file, "The store itself was not changed"):
            yield part
    finally:
        part.unlink(missing_ok=True)


def _keys_of(file: Path) -> Path:
    return file.with_name(file.name + ".keys")


def _copy_keys(source: Path, target: Path) -> int:
    """Copies sealed keys that are not there yet; gives how many lie in the source."""
    here, there = KeyFolder(source), KeyFolder(target)
    contents = here.contents()
    for content in contents:
        there.take(content)
    return len(contents)
