"""Whether a record holds: from which entry it does not, and by whose keys, vouched for by which register.

Four things bind the entries. Each content gives its digest; each signature covers its own entry and the head of the
tree before it, so that whatever was changed, taken out, put in or moved before a signed entry shows there; a store
that took in another's log wrote down its head; and a head printed on paper covers everything up to its size, so that
a record cut short or written anew shows. Each log is checked on its own; they share one register.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from riskhelper.permit.persons import SAFETY_OFFICER
from riskhelper.record.columns import TEXT_MISSING
from riskhelper.record.entries import (
    CARRY_IN,
    CLAIM_HOLDING,
    DESTROY_TEXT,
    KEEP_APART,
    OPEN,
    SET_UP_REGISTER,
    Bare,
    Entry,
    Gap,
    log_name,
)
from riskhelper.record.log_checking import Finding, LogChecking, PrintedHead
from riskhelper.record.merging import Item, heads_taken_in, merged
from riskhelper.record.pack import Pack
from riskhelper.record.people import REGISTER_ACTS, Register, with_entry
from riskhelper.record.signing import Signature


@dataclass(frozen=True)
class LogChecked:
    """What was found of one log: its head, how many of its entries were shown, up to which it is signed, and up to
    which another log has written down its head."""

    log: str
    head: PrintedHead
    shown: int
    last_signed: int
    bound_up_to: int


@dataclass(frozen=True)
class Checked:
    """The outcome: the logs, who signed how many, what is late, and every finding in order.

    `gone` says for each entry whose text is not here what became of it, `apart` which entries keep a history apart.
    `head`, `last_signed` are those of the first log, which is that of the store or file checked.
    """

    logs: tuple[LogChecked, ...]
    unsigned: int
    signed_by: tuple[tuple[str, int], ...]
    register: Register
    findings: tuple[Finding, ...]
    late: tuple[Entry, ...] = ()
    gone: tuple[str, ...] = ()
    apart: tuple[int, ...] = ()

    def with_finding(self, finding: Finding) -> Checked:
        """The outcome with one finding more."""
        return replace(self, findings=(*self.findings, finding))

    @property
    def head(self) -> PrintedHead:
        """The tree head of the first log."""
        return self.logs[0].head

    @property
    def last_signed(self) -> int:
        """Number of the last signed entry of the first log before anything was found."""
        return self.logs[0].last_signed

    @property
    def holds(self) -> bool:
        """Whether nothing was found."""
        return not self.findings


def printed_head(text: str) -> PrintedHead:
    """A head typed from paper, such as `412-3f2a...`; raises `ValueError`."""
    size, dash, root = text.strip().lower().partition("-")
    if not (dash and size.isdigit() and len(root) == 64 and all(c in "0123456789abcdef" for c in root)):
        raise ValueError(
            f"`{text}` is no tree head: it is the number of entries, a dash, and 64 digits and letters a to f"
        )
    return PrintedHead(int(size), root)


def checked(
    items: Iterable[Item],
    head: PrintedHead | None = None,
    register_words: str = "",
    *,
    one_log: bool = False,
    rehearsal: bool | None = None,
) -> Checked:
    """Checks entries in the order in which they are stored, against a printed head and the register's words.

    With `one_log` they are all of one log, and are taken one by one as they come. `rehearsal` is what the file says
    of itself: entries that say something else are found.
    """
    listed = () if one_log else tuple(items)
    checking = _Checking(listed, head, rehearsal)
    checking.take_all(items if one_log else merged(listed))
    checking.compare_with_paper(head, register_words)
    return checking.outcome()


def checked_pack(pack: Pack, head: PrintedHead | None = None, register_words: str = "") -> Checked:
    """Checks a pack: its logs as above, and whether each comes out at the head written over it."""
    listed = tuple(part for log in pack.logs for part in log.parts)
    checking = _Checking(listed, head, pack.rehearsal)
    checking.take_all(merged(listed))
    checking.compare_with_paper(head, register_words)
    for log in pack.logs:
        checking.log(log.log).compare(PrintedHead(log.size, log.head), "written in the file")
    return checking.outcome()


class _Checking:
    """One pass over the entries of all logs in their common order."""

    def __init__(self, items: Sequence[Item], head: PrintedHead | None, rehearsal: bool | None) -> None:
        self._paper = head
        self._rehearsal = rehearsal
        self._several = len({item.log for item in items}) > 1
        self.findings: list[Finding] = []
        self.logs: dict[str, LogChecking] = {}
        self.register = Register()
        self.signed_by: dict[str, int] = {}
        self.unsigned = 0
        self.late: list[Entry] = []
        self.gone: list[str] = []
        self.apart: list[int] = []
        for item in items:
            self.log(item.log)
        for item in items:
            if isinstance(item, Entry) and item.draft.act == CARRY_IN:
                for log, size, root in heads_taken_in(item):
                    if log in self.logs:
                        self.logs[log].expect(size, root, f"entry {item.number} of {log_name(item.log)}")

    def log(self, log: str) -> LogChecking:
        """The check of one log."""
        if log not in self.logs:
            self.logs[log] = LogChecking(log, self.findings, named=self._several)
            if self._paper is not None:
                self.logs[log].watch(self._paper.size)
        return self.logs[log]

    def take_all(self, items: Iterable[Item]) -> None:
        """Checks each entry against everything before it; of a bare one its place in its log is all there is."""
        log: LogChecking | None = None
        for item in items:
            if isinstance(item, Bare):
                if log is None or log.log != item.log:
                    log = self.log(item.log)
                log.take_bare(item)
                self.unsigned += 1
            else:
                self.take(item)

    def take(self, item: Entry | Gap) -> None:
        """Checks one entry against everything before it."""
        log = self.log(item.log)
        if isinstance(item, Gap):
            log.skip(item)
            return
        signature = log.take(item)
        act = item.draft.act
        if not item.draft.signature:
            self.unsigned += 1
        if act == CARRY_IN:
            self._all_here(log, item)
        if act in (OPEN, SET_UP_REGISTER):
            self._same_kind(log, item)
        if act == DESTROY_TEXT and not self._may_destroy(item):
            log.find(item.number, f"{log.entry(item.number)} destroys text without the signature of a safety officer")
        if act in REGISTER_ACTS:
            self.register = with_entry(self.register, item)
            if item.order in self.register.foreign:
                log.find(item.number, f"{log.entry(item.number)} {self.register.foreign[item.order]}")
        elif signature is not None and not (act == CLAIM_HOLDING and signature.key == self.register.key):
            self._standing(log, item, signature)
        if gone := [seal.why_gone for seal in item.draft.seals.values() if not seal.salt]:
            self.gone.append(gone[0])
            if gone[0] == TEXT_MISSING:
                log.find(item.number, f"{log.entry(item.number)}: {TEXT_MISSING}")
        if act == KEEP_APART:
            self.apart.append(item.number)
        if log.is_late(item):
            self.late.append(item)
        if signature is not None:
            log.signed_up_to(item)

    def compare_with_paper(self, head: PrintedHead | None, register_words: str) -> None:
        """Compares with what is printed: a tree head of any of the logs, and the words of the register."""
        if head is not None and not any(log.reached(head) for log in self.logs.values()):
            log = max(self.logs.values(), key=lambda each: each.tree.size >= head.size)
            log.compare(head, "on paper")
        if register_words and " ".join(register_words.split()) != self.register.words:
            self.findings.append(
                Finding(
                    0,
                    f"the register in this record reads `{self.register.words or 'none'}`, not the words on paper: "
                    "it is not the register of your site",
                    whole=True,
                )
            )

    def outcome(self) -> Checked:
        """Everything found."""
        self.log(next(iter(self.logs), ""))
        for log in self.logs.values():
            log.close()
        return Checked(
            logs=tuple(
                LogChecked(each.log, each.head, each.shown, each.last_signed, each.bound_up_to)
                for each in self.logs.values()
            ),
            unsigned=self.unsigned,
            signed_by=tuple(sorted(self.signed_by.items())),
            register=self.register,
            findings=tuple(self.findings),
            late=tuple(self.late),
            gone=tuple(self.gone),
            apart=tuple(self.apart),
        )

    def _same_kind(self, log: LogChecking, entry: Entry) -> None:
        """Whether an entry says the same of rehearsal and real work as the file it lies in."""
        said = entry.draft.content.get("rehearsal")
        if isinstance(said, bool) and self._rehearsal is not None and said != self._rehearsal:
            kinds = ("real work", "a rehearsal")
            log.find(
                entry.number,
                f"{log.entry(entry.number)} was written in {kinds[said]}, and the file says that it is of "
                f"{kinds[self._rehearsal]}",
                whole=True,
            )

    def _all_here(self, log: LogChecking, entry: Entry) -> None:
        """Whether of every log that an entry took in something is here."""
        for other, size, _ in heads_taken_in(entry):
            if other not in self.logs:
                log.find(
                    entry.number,
                    f"{log.entry(entry.number)} took in {size} entries of {log_name(other)}, and none of them is "
                    "here: that record was taken out",
                )

    def _may_destroy(self, entry: Entry) -> bool:
        """Whether an entry that destroys text is signed in the role that may."""
        who = self.register.people.get(entry.draft.who)
        is_officer = entry.draft.role == SAFETY_OFFICER and who is not None and SAFETY_OFFICER in who.roles
        return bool(entry.draft.signature) and is_officer

    def _standing(self, log: LogChecking, entry: Entry, signature: Signature) -> None:
        """Whether the register vouched for that key, for that person, at that entry."""
        held, name, which = self.register.keys.get(signature.key), entry.draft.who, log.entry(entry.number)
        if held is None:
            log.find(entry.number, f"{which}: no register vouches for the key that signed as {name}")
        elif held.person != name:
            log.find(entry.number, f"{which} names {name}, but the key is that of {held.person}")
        elif not held.counts_at(entry.order):
            log.find(entry.number, f"{which}: the key of {name} was out of use ({held.why or 'not yet vouched for'})")
        else:
            self.signed_by[name] = self.signed_by.get(name, 0) + 1
