"""Check a store or a carried file: what holds, by whose keys, vouched by which register, from where it does not."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.context import Refused
from riskhelper.acts.record.carrying import read_pack
from riskhelper.paper.attachment import PDF_START, NoAttachment, attached
from riskhelper.record.checking import Checked, LogChecked, checked, checked_pack, printed_head
from riskhelper.record.entries import log_name
from riskhelper.record.log_checking import Finding, PrintedHead
from riskhelper.record.pack import NotAPack, Pack, unpacked
from riskhelper.store.heads import SeenHead
from riskhelper.store.sqlite import SqliteStore, StoreFault

SQLITE_START = b"SQLite format 3\x00"
MOST_NAMED = 5


def verify(file: Path, *, rehearsal: bool | None, head: str = "", register_words: str = "") -> Checked:
    """Checks a store, a paper or a carried file against itself and, where given, a head and the register's words."""
    if not file.is_file():
        raise Refused(f"{file}: no such file. Name the store, the paper or the carried file to check")
    typed = _typed(head)
    with file.open("rb") as stream:
        start = stream.read(len(SQLITE_START))
    if start.startswith(PDF_START):
        return verify_pack(_pack_of_paper(file), head, register_words)
    is_store = start == SQLITE_START
    if not is_store:
        return verify_pack(read_pack(file), head, register_words)
    with SqliteStore(file, rehearsal=rehearsal, reading=True) as store:
        found = checked(
            store.as_found(), typed, register_words, one_log=not store.carried(), rehearsal=store.rehearsal
        )
        return _with_seen_head(found, store.seen_head()) if not store.has_roots else _beside_the_entries(found, store)


def _beside_the_entries(found: Checked, store: SqliteStore) -> Checked:
    """What the store keeps beside its entries, over which it would go on writing: roots, order, the newest head."""
    try:
        found = _with_kept_head(found, PrintedHead(*store.kept_head()))
        if found.holds and store.moved_places():
            words = (
                "the order kept in the store of the entries of several stores is not the one that follows from them"
            )
            found = found.with_finding(Finding(0, words, whole=True))
    except StoreFault as fault:
        return found.with_finding(Finding(0, str(fault)))
    return _with_seen_head(found, store.seen_head())


def _with_seen_head(found: Checked, seen: SeenHead | None) -> Checked:
    """Compares with the newest head seen on this machine, which lies beside the store."""
    if seen is None or seen.log != found.logs[0].log or seen.size <= found.head.size:
        return found
    words = (
        f"the record ends at entry {found.head.size}, and this machine has seen {seen.size}: its tail was cut off, "
        "or an older copy was put in its place"
    )
    return found.with_finding(Finding(0, words))


def verify_pack(pack: Pack, head: str = "", register_words: str = "") -> Checked:
    """Checks a pack, such as the one attached to a paper."""
    return checked_pack(pack, _typed(head), register_words)


def _pack_of_paper(file: Path) -> Pack:
    try:
        return unpacked(attached(file.read_bytes()))
    except (NoAttachment, NotAPack) as fault:
        raise Refused(f"{file}: {fault}") from fault


def lines(outcome: Checked) -> list[str]:
    """The outcome in plain words. What was not compared with paper is said."""
    register = outcome.register
    last = outcome.last_signed
    found = [finding.words[0].upper() + finding.words[1:] + "." for finding in outcome.findings]
    if outcome.holds:
        first = f"The record holds: {sum(log.head.size for log in outcome.logs)} entries."
    elif last and not any(finding.whole for finding in outcome.findings):
        whose = f" of {log_name(outcome.logs[0].log)}" if len(outcome.logs) > 1 else ""
        first = f"The record does not hold. Entries 1 to {last}{whose} hold; rely on nothing after."
    else:
        first = "The record does not hold. Rely on no entry."
    return [
        first,
        *found,
        *_logs(outcome),
        *(f"Signed by {name}: {count} entries." for name, count in outcome.signed_by),
        f"Not signed: {outcome.unsigned} entries. What is signed later binds them.",
        *_loose(outcome),
        *_late(outcome),
        *_gone(outcome),
        *(f"A history that disagrees was kept apart at entry {number}." for number in outcome.apart),
        f"Vouched for by the register whose words are: {register.words}. Kept by {', '.join(register.keepers)}."
        if register.key
        else "No register vouches for anybody in this record.",
        f"Tree head: {outcome.head}",
    ]


def _typed(head: str) -> PrintedHead | None:
    try:
        return printed_head(head) if head else None
    except ValueError as fault:
        raise Refused(str(fault)) from fault


def _with_kept_head(found: Checked, kept: PrintedHead) -> Checked:
    """Compares with the roots the store keeps, over which the next signature would be made."""
    if kept.size <= found.head.size and (kept.size < found.head.size or kept == found.head):
        return found
    words = (
        f"the roots kept in the store end at entry {kept.size} with {kept.root[:8]}, its entries at "
        f"{found.head.size} with {found.head.root[:8]}: the record was altered, or its tail was cut off"
    )
    return found.with_finding(Finding(0, words))


def _logs(outcome: Checked) -> list[str]:
    """Each log of several, and how much of each is shown."""
    told = []
    for log in outcome.logs:
        if len(outcome.logs) > 1:
            told.append(f"Store {log_name(log.log)}: {log.head.size} entries, tree head {log.head}.")
        if log.shown < log.head.size:
            told.append(
                f"Shown are {log.shown} of {log.head.size} entries; the others are in the tree by their digest alone."
            )
    return told


def _loose(outcome: Checked) -> list[str]:
    """What nothing but a head on paper binds."""
    if not outcome.holds:
        return []
    return [words for log in outcome.logs for words in _loose_of(log, several=len(outcome.logs) > 1)]


def _loose_of(log: LogChecked, *, several: bool) -> list[str]:
    size, last = log.head.size, log.last_signed
    if last == size or log.bound_up_to >= size:
        return []
    where = f" of {log_name(log.log)}" if several else ""
    return [
        f"After entry {last}{where} nothing is signed: only a tree head on paper binds entries {last + 1} to {size}."
    ]


def _late(outcome: Checked) -> list[str]:
    told = [
        f"Entered late, as from paper: entry {each.number} ({each.draft.act}), true {each.draft.moment_true[:16]}Z, "
        f"entered {each.draft.moment_entered[:16]}Z."
        for each in outcome.late[:MOST_NAMED]
    ]
    more = len(outcome.late) - len(told)
    return [*told, f"Entered late: {more} entries more."] if more > 0 else told


def _gone(outcome: Checked) -> list[str]:
    """Texts that are not here, counted by what became of them."""
    counted: dict[str, int] = {}
    for words in outcome.gone:
        counted[words] = counted.get(words, 0) + 1
    return [
        f"{words[0].upper()}{words[1:]}: {count} entries; their place in the record is still proved."
        for words, count in counted.items()
    ]
