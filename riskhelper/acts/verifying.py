"""Check a record: what holds, by whose keys, vouched for by which register, and from where it does not."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.context import Refused
from riskhelper.record.checking import Checked, checked, printed_head
from riskhelper.record.log_checking import PrintedHead
from riskhelper.store.sqlite import SqliteStore


def verify(file: Path, *, rehearsal: bool, head: str = "", register_words: str = "") -> Checked:
    """Checks a store against itself and, where given, a head and the words of the register typed from paper."""
    if not file.is_file():
        raise Refused(f"{file}: no such store. Name the file to check")
    try:
        typed: PrintedHead | None = printed_head(head) if head else None
    except ValueError as fault:
        raise Refused(str(fault)) from fault
    with SqliteStore(file, rehearsal=rehearsal) as store:
        return checked(store.as_found(), typed, register_words)


def lines(outcome: Checked) -> list[str]:
    """The outcome in plain words. What was not compared with paper is said."""
    register = outcome.register
    last = outcome.last_signed
    found = [finding.words[0].upper() + finding.words[1:] + "." for finding in outcome.findings]
    if outcome.holds:
        head = f"The record holds: {outcome.head.size} entries."
    elif last:
        head = f"The record does not hold. Entries 1 to {last} hold; rely on nothing after."
    else:
        head = "The record does not hold. Rely on no entry."
    return [
        head,
        *found,
        *(f"Signed by {name}: {count} entries." for name, count in outcome.signed_by),
        f"Not signed: {outcome.unsigned} entries. What is signed later binds them.",
        *_loose(outcome),
        f"Vouched for by the register whose words are: {register.words}. Kept by {', '.join(register.keepers)}."
        if register.key
        else "No register vouches for anybody in this record.",
        f"Tree head: {outcome.head}",
    ]


def _loose(outcome: Checked) -> list[str]:
    """What nothing but a head on paper binds."""
    size, last = outcome.head.size, outcome.last_signed
    if not outcome.holds or last == size:
        return []
    return [f"After entry {last} nothing is signed: only a tree head on paper binds entries {last + 1} to {size}."]
