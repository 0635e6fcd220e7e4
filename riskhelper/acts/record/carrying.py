"""Carry jobs, vouched keys and entries to another store and back, as one file; nothing half taken in."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.record.texts import destroyed_elsewhere
from riskhelper.acts.register.signing import site
from riskhelper.acts.whole_files import write_whole
from riskhelper.record.carrying import Disagreement, Logs, carry_in_content, disagreements, new_entries
from riskhelper.record.checking import Checked, checked_pack
from riskhelper.record.contents import NotReadable
from riskhelper.record.entries import CARRY_IN, KEEP_APART, Entry, drafted, log_name
from riskhelper.record.merging import merged
from riskhelper.record.moments import NotAMoment
from riskhelper.record.pack import NotAPack, Pack, copied, packed, unpacked
from riskhelper.record.replay import replayed
from riskhelper.record.site import site_of
from riskhelper.store.keys import KeyFolder
from riskhelper.store.sqlite import SqliteStore

MOST_BYTES = 2**30


@dataclass(frozen=True)
class Carried:
    """What a file brought: entries per store by its name, keys taken, the register's words, what was passed to this
    store, entries that do not count as another store held the plant, jobs whose text another store destroyed and that
    an incident known here keeps, and histories that disagree."""

    entries: tuple[tuple[str, int], ...]
    keys: tuple[str, ...]
    register_words: str
    on_the_way: tuple[str, ...]
    not_counting: tuple[str, ...] = ()
    texts_kept: tuple[str, ...] = ()
    apart: tuple[Disagreement, ...] = ()
    kept_in: Path | None = None


def carry_out(context: Context, keys: KeyFolder, file: Path, names: Sequence[str] = ()) -> Pack:
    """Writes everything this store holds into a file, with the sealed keys of the people named."""
    register = site(context).register
    public = {name: register.key_of(name) for name in names}
    lacking = [name for name, key in public.items() if not key or not keys.holds(key)]
    if lacking:
        raise context.refused("carry out", "no key", f"No key in use lies on this machine for {', '.join(lacking)}")
    logs = tuple(copied(entries) for entries in _store(context).logs().values() if entries)
    pack = Pack(context.rehearsal, logs, tuple(keys.content(key) for key in public.values()))
    write_whole(file, packed(pack, texts=True))
    written, _ = _read(file)
    found = checked_pack(written)
    if not found.holds:
        raise Refused(f"{file}: what was written does not hold: {found.findings[0].words}. Run `riskhelper verify`")
    return pack


def carry_in(context: Context, keys: KeyFolder, file: Path, register_words: str = "") -> Carried:
    """Takes in what a file brings, once all of it holds. Repeats change nothing; what disagrees is kept apart."""
    pack, digest = _read(file)
    found = _checked(context, pack, file, register_words)
    store = _store(context)
    held = store.logs()
    apart = disagreements(held, pack.logs)
    now = context.clock()
    if apart:
        kept_in = _kept_apart(context, store.file, file, digest, apart)
        return Carried((), (), found.register.words, (), apart=apart, kept_in=kept_in)
    new = new_entries(held, pack.logs)
    _check_readable(context, held, new, file)
    _check_texts(context, pack, new, file)
    if new:
        content = carry_in_content(held, pack.logs, store.log, digest)
        draft = drafted(
            job="", who=context.who, role=context.role, act=CARRY_IN, content=content, entered=now, zone=context.zone
        )
        entry = store.take_in(new, draft)
        context.logbook.act(now, CARRY_IN, entry.number)
    texts_kept = destroyed_elsewhere(context)
    after = site(context)
    taken = [keys.take(content) for content in pack.keys if content.get("public") in after.register.keys]
    return Carried(
        entries=tuple((log_name(entries[0].log), len(entries)) for entries in new),
        keys=tuple(name for name in taken if name),
        register_words=after.register.words,
        on_the_way=after.holding.on_the_way_to(store.log),
        not_counting=tuple(after.apart),
        texts_kept=texts_kept,
    )


def read_pack(file: Path) -> Pack:
    """The pack in a file."""
    return _read(file)[0]


def _checked(context: Context, pack: Pack, file: Path, register_words: str) -> Checked:
    """Refuses a file that does not hold, is of the other kind, in excerpts, or of another register."""
    if pack.rehearsal != context.rehearsal:
        kinds = ("a rehearsal", "real work") if pack.rehearsal else ("real work", "a rehearsal")
        raise context.refused(CARRY_IN, "kind", f"{file}: is {kinds[0]}, this store is {kinds[1]}. They stay apart")
    if not all(log.is_whole for log in pack.logs):
        raise context.refused(CARRY_IN, "excerpt", f"{file}: holds excerpts, as a paper does. Carry out anew")
    found = checked_pack(pack, register_words=register_words)
    if not found.holds:
        words = "; ".join(finding.words for finding in found.findings[:3])
        raise context.refused(CARRY_IN, "does not hold", f"{file}: does not hold, nothing was taken in: {words}")
    own, theirs = site(context).register, found.register
    if own.key and theirs.key and own.key != theirs.key:
        raise context.refused(
            CARRY_IN,
            "register",
            f"{file}: its register reads `{theirs.words}`, this store's reads `{own.words}`. They are two sites, or "
            "one register was made by somebody else: compare both with the words on paper. Nothing was taken in",
        )
    return found


def _check_texts(context: Context, pack: Pack, new: Sequence[Sequence[Entry]], file: Path) -> None:
    """Refuses a file out of which text was taken: here it would be missing for good."""
    known = {entry.id: entry for log in pack.logs for entry in log.entries}
    destroyed = site_of(_in_order(known.values())).destroyed | site(context).destroyed
    for entry in (entry for entries in new for entry in entries):
        if entry.id not in destroyed and any(not seal.salt for seal in entry.draft.seals.values()):
            raise context.refused(
                CARRY_IN,
                "texts",
                f"{file}: the text of entry {entry.number} of {log_name(entry.log)} was taken out of it, and no "
                "entry says that it was destroyed. Nothing was taken in; carry out anew",
            )


def _check_readable(context: Context, held: Logs, new: Sequence[Sequence[Entry]], file: Path) -> None:
    """Refuses what this program cannot read to its end: once taken in it would stay, and stop every act here."""
    coming = [entry for entries in new for entry in entries]
    ordered = _in_order([*(entry for entries in held.values() for entry in entries), *coming])
    try:
        site_of(ordered)
        for job in sorted({entry.draft.job for entry in coming if entry.draft.job}):
            replayed([entry for entry in ordered if entry.draft.job == job])
    except (NotReadable, NotAMoment) as fault:
        raise context.refused(
            CARRY_IN,
            "not readable",
            f"{file}: holds what this program cannot read: {fault}. Nothing was taken in. Use a newer program, or "
            "find out which program wrote it",
        ) from fault


def _in_order(entries: Iterable[Entry]) -> list[Entry]:
    in_logs = sorted(entries, key=lambda entry: (entry.log, entry.number))
    return [each for each in merged(replace(entry, place=0) for entry in in_logs) if isinstance(each, Entry)]


def _kept_apart(context: Context, store: Path, file: Path, digest: str, apart: Sequence[Disagreement]) -> Path:
    """Keeps a file whose history disagrees beside the store, and says so in the record once."""
    kept_in = store.with_name(store.name + ".apart") / f"{digest[:16]}.carried"
    if not kept_in.exists():
        kept_in.parent.mkdir(mode=0o700, exist_ok=True)
        write_whole(kept_in, file.read_bytes())
        first = apart[0]
        context.append("", KEEP_APART, {"file": digest, "log": first.log, "from": first.entry})
    return kept_in


def _read(file: Path) -> tuple[Pack, str]:
    """The pack in a file, and the digest of the file."""
    try:
        if file.stat().st_size > MOST_BYTES:
            raise Refused(f"{file}: is larger than any file carried out. Name another one")
        data = file.read_bytes()
        return unpacked(data), hashlib.sha256(data).hexdigest()
    except OSError as fault:
        raise Refused(f"{file}: cannot be read ({fault.strerror}). Name the file that was carried out") from fault
    except NotAPack as fault:
        raise Refused(f"{file}: {fault}. Nothing was taken in") from fault


def _store(context: Context) -> SqliteStore:
    store = context.store
    assert isinstance(store, SqliteStore)
    return store
