"""Whether a record holds: from which entry it does not, and by whose keys, vouched for by which register.

Three things bind the entries. Each content gives its digest; each signature covers its own entry and the head of
the tree before it, so that whatever was changed, taken out, put in or moved before a signed entry shows there;
and a head printed on paper covers everything up to its size, so that a record cut short or written anew shows.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from riskhelper.record.entries import Entry
from riskhelper.record.people import REGISTER_ACTS, Register, with_entry
from riskhelper.record.signing import NotASignature, Signature, leaf_bytes, signature_holds, signature_of
from riskhelper.record.tree import GrowingTree, leaf_hash


@dataclass(frozen=True, slots=True)
class PrintedHead:
    """A tree head as it stands on paper: how many entries, and the root over them."""

    size: int
    root: str

    def __str__(self) -> str:
        return f"{self.size}-{self.root}"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that does not hold, at an entry (0: the record as a whole)."""

    entry: int
    words: str


@dataclass(frozen=True)
class Checked:
    """The outcome: entries counted, the head, who signed how many, and every finding in order."""

    head: PrintedHead
    unsigned: int
    signed_by: tuple[tuple[str, int], ...]
    register: Register
    last_signed: int
    findings: tuple[Finding, ...]

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


def checked(entries: Iterable[Entry], head: PrintedHead | None = None, register_words: str = "") -> Checked:
    """Checks entries in the order in which they are stored, against a printed head and the register's words."""
    checking = _Checking()
    for entry in entries:
        checking.take(entry)
        if head is not None and checking.tree.size == head.size:
            checking.compare(head)
    if head is not None and checking.tree.size < head.size:
        checking.find(
            0,
            f"the record ends at entry {checking.tree.size}, but the paper was printed after {head.size}: "
            "its tail was cut off",
        )
    if register_words and " ".join(register_words.split()) != checking.register.words:
        checking.find(
            0,
            f"the register in this record reads `{checking.register.words or 'none'}`, not the words on paper: "
            "it is not the register of your site",
        )
    return checking.outcome()


class _Checking:
    """One pass over the entries."""

    def __init__(self) -> None:
        self.tree = GrowingTree()
        self.register = Register()
        self.findings: list[Finding] = []
        self.signed_by: dict[str, int] = {}
        self.unsigned = 0
        self.last_signed = 0
        self._previous = 0
        self._seen: set[int] = set()

    def find(self, entry: int, words: str) -> None:
        self.findings.append(Finding(entry, words))

    def take(self, entry: Entry) -> None:
        """Checks one entry against everything before it."""
        self._order(entry)
        if not entry.holds:
            self.find(
                entry.number,
                f"entry {entry.number} was altered: its content gives digest {entry.draft.digest[:8]}, "
                f"written beside it is {entry.digest[:8]}",
            )
        if entry.draft.signature:
            self._signature(entry)
        else:
            self.unsigned += 1
        if entry.draft.act in REGISTER_ACTS:
            self.register = with_entry(self.register, entry)
            if entry.number in self.register.foreign:
                self.find(entry.number, f"entry {entry.number} {self.register.foreign[entry.number]}")
        self.tree.add(leaf_hash(leaf_bytes(entry)))

    def compare(self, head: PrintedHead) -> None:
        """Compares the head reached with the one on paper."""
        found = self.tree.root.hex()
        if found != head.root:
            self.find(
                0,
                f"the first {head.size} entries do not match the tree head on paper: expected {head.root[:8]}, "
                f"found {found[:8]}. The record was written anew",
            )

    def outcome(self) -> Checked:
        """Everything found."""
        return Checked(
            head=PrintedHead(self.tree.size, self.tree.root.hex()),
            unsigned=self.unsigned,
            signed_by=tuple(sorted(self.signed_by.items())),
            register=self.register,
            last_signed=self.last_signed,
            findings=tuple(self.findings),
        )

    def _order(self, entry: Entry) -> None:
        expected, number = self._previous + 1, entry.number
        if number in self._seen:
            self.find(number, f"entry {number} is there twice: one of them was put in")
        elif number < expected:
            self.find(
                number, f"entry {number} stands after entry {self._previous}: entries were put in another order"
            )
        elif number > expected:
            gone = f"entry {expected} is" if number == expected + 1 else f"entries {expected} to {number - 1} are"
            self.find(expected, f"{gone} missing before entry {number}: taken out or moved")
        self._seen.add(number)
        self._previous = number

    def _signature(self, entry: Entry) -> None:
        try:
            signature = signature_of(entry)
        except NotASignature as fault:
            self.find(entry.number, f"entry {entry.number}: what stands as its signature cannot be read ({fault})")
            return
        assert signature is not None
        if not signature_holds(entry, signature):
            self.find(
                entry.number,
                f"entry {entry.number}: the signature is not over this entry; it was altered, or the signature "
                "belongs to another entry",
            )
            return
        if (signature.after_size, signature.after_head) != (self.tree.size, self.tree.root.hex()):
            since = f"after entry {self.last_signed}" if self.last_signed else "from the beginning"
            self.find(
                entry.number,
                f"entry {entry.number} was signed over another record: {since} up to entry {entry.number - 1} "
                "something was altered, taken out, put in or moved",
            )
        if entry.draft.act not in REGISTER_ACTS:
            self._standing(entry, signature)
        if not self.findings:
            self.last_signed = entry.number

    def _standing(self, entry: Entry, signature: Signature) -> None:
        """Whether the register vouched for that key, for that person, at that entry."""
        held = self.register.keys.get(signature.key)
        name = entry.draft.who
        if held is None:
            self.find(entry.number, f"entry {entry.number}: no register vouches for the key that signed as {name}")
        elif held.person != name:
            self.find(entry.number, f"entry {entry.number} names {name}, but the key is that of {held.person}")
        elif not held.counts_at(entry.number):
            self.find(
                entry.number,
                f"entry {entry.number}: the key of {name} was out of use ({held.why or 'not yet vouched for'})",
            )
        else:
            self.signed_by[name] = self.signed_by.get(name, 0) + 1
