"""One log checked entry by entry: order, digests, signatures over the tree before them, and heads known elsewhere."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from riskhelper.record.entries import Bare, Entry, Gap, log_name
from riskhelper.record.moments import NotAMoment
from riskhelper.record.pack import grow
from riskhelper.record.signing import NotASignature, Signature, signature_holds, signature_of
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
    """Something that does not hold, at an entry (0: none by itself); with `whole` nothing can be relied on."""

    entry: int
    words: str
    whole: bool = False


class LogChecking:
    """A pass over one log. Findings of all logs go into one list; entries of a further log are named with it."""

    def __init__(self, log: str, findings: list[Finding], *, named: bool) -> None:
        self.log = log
        self.named = named
        self.tree = GrowingTree()
        self.shown = 0
        self.last_signed = 0
        self.bound_up_to = 0
        self._findings = findings
        self._found = False
        self._previous = 0
        self._run_from = 1
        self._runs: list[tuple[int, int]] = []
        self._roots: dict[int, str] = {}
        self._watched: set[int] = set()
        self._expected: list[tuple[int, str, str]] = []

    @property
    def head(self) -> PrintedHead:
        """The head as far as the log goes."""
        return PrintedHead(self.tree.size, self.tree.root.hex())

    def entry(self, number: int) -> str:
        """How an entry of this log is named."""
        return f"entry {number} of {log_name(self.log)}" if self.named else f"entry {number}"

    def find(self, entry: int, words: str, *, whole: bool = False) -> None:
        """Notes something that does not hold."""
        self._found = True
        self._findings.append(Finding(entry, words, whole))

    def watch(self, size: int) -> None:
        """Keeps the head at a size, to be compared later."""
        self._watched.add(size)

    def expect(self, size: int, root: str, seen_by: str) -> None:
        """A head that another log wrote down when this one was taken in."""
        self.watch(size)
        self._expected.append((size, root, seen_by))

    def reached(self, head: PrintedHead) -> bool:
        """Whether the log had that head at that size."""
        return self._roots.get(head.size) == head.root or head == PrintedHead(0, GrowingTree().root.hex())

    def compare(self, head: PrintedHead, where: str) -> None:
        """Compares the log with a head that stands somewhere else."""
        found = self._roots.get(head.size) or (self.tree.root.hex() if head.size == self.tree.size else "")
        if head.size > self.tree.size:
            after = f"the paper was printed after {head.size}" if where == "on paper" else f"{head.size} are {where}"
            self.find(0, f"{self._record} ends at entry {self.tree.size}, but {after}: its tail was cut off")
        elif found != head.root:
            self.find(
                0,
                f"the first {head.size} entries{self._of} do not match the tree head {where}: expected "
                f"{head.root[:8]}, found {found[:8] or 'a gap there'}. The record was written anew",
                whole=True,
            )

    def close(self) -> None:
        """Compares with every head that another log wrote down."""
        for size, root, seen_by in self._expected:
            if self.reached(PrintedHead(size, root)):
                self.bound_up_to = max(self.bound_up_to, size)
            elif self.tree.size:
                self.compare(PrintedHead(size, root), f"written down in {seen_by}")

    def skip(self, gap: Gap) -> None:
        """Takes a gap: only the root over its entries is known."""
        try:
            grow(self.tree, gap)
        except ValueError as fault:
            self.find(self._previous + 1, f"after {self.entry(self._previous)} a gap cannot be placed: {fault}")
        self._previous += gap.count
        self._keep_root()

    def take(self, entry: Entry) -> Signature | None:
        """Checks one entry against everything before it; gives its signature where that is over this entry."""
        self._order(entry.number)
        altered = entry.altered_texts
        if entry.draft.digest != entry.digest:
            self._altered(entry.number, entry.draft.digest, entry.digest)
        elif altered:
            self.find(
                entry.number,
                f"{self.entry(entry.number)}: the text kept as `{altered[0]}` is not the one that was written",
            )
        signature = self._signature(entry) if entry.draft.signature else None
        grow(self.tree, entry)
        self.shown += 1
        self._keep_root()
        return signature

    def take_bare(self, item: Bare) -> None:
        """Checks an entry of which only its place in the tree is looked at."""
        _, number, digest, content, leaf, _ = item
        if number == self._previous + 1:
            self._previous = number
        else:
            self._order(number)
        found = hashlib.sha256(content).hexdigest()
        if found != digest:
            self._altered(number, found, digest)
        self.tree.add(leaf_hash(leaf))
        self.shown += 1
        if self._watched:
            self._keep_root()

    def is_late(self, entry: Entry) -> bool:
        """Whether an entry is late; one whose moments cannot be read is found."""
        try:
            return entry.is_late
        except NotAMoment:
            self.find(entry.number, f"{self.entry(entry.number)}: its moments cannot be read")
            return False

    def signed_up_to(self, entry: Entry) -> None:
        """Notes that everything up to a signed entry holds, unless something was found."""
        if not self._found:
            self.last_signed = entry.number

    @property
    def _of(self) -> str:
        return f" of {log_name(self.log)}" if self.named else ""

    @property
    def _record(self) -> str:
        return f"the record of {log_name(self.log)}" if self.named else "the record"

    def _keep_root(self) -> None:
        if self.tree.size in self._watched:
            self._roots[self.tree.size] = self.tree.root.hex()

    def _altered(self, number: int, found: str, written: str) -> None:
        self.find(
            number,
            f"{self.entry(number)} was altered: its content gives digest {found[:8]}, written beside it is "
            f"{written[:8]}",
        )

    def _order(self, number: int) -> None:
        expected = self._previous + 1
        if number == expected:
            self._previous = number
            return
        self._runs.append((self._run_from, self._previous))
        if any(first <= number <= last for first, last in self._runs):
            self.find(number, f"{self.entry(number)} is there twice: one of them was put in")
        elif number < expected:
            self.find(
                number,
                f"{self.entry(number)} stands after entry {self._previous}: entries were put in another order",
            )
        else:
            gone = f"entry {expected} is" if number == expected + 1 else f"entries {expected} to {number - 1} are"
            self.find(expected, f"{gone} missing before {self.entry(number)}: taken out or moved")
        self._run_from = self._previous = number

    def _signature(self, entry: Entry) -> Signature | None:
        which = self.entry(entry.number)
        try:
            signature = signature_of(entry)
        except NotASignature as fault:
            self.find(entry.number, f"{which}: what stands as its signature cannot be read ({fault})")
            return None
        assert signature is not None
        if not signature_holds(entry, signature):
            self.find(
                entry.number,
                f"{which}: the signature is not over this entry; it was altered, or the signature belongs to "
                "another entry",
            )
            return None
        if (signature.after_size, signature.after_head) != (self.tree.size, self.tree.root.hex()):
            since = f"after entry {self.last_signed}" if self.last_signed else "from the beginning"
            self.find(
                entry.number,
                f"{which} was signed over another record: {since} up to entry {entry.number - 1} something was "
                "altered, taken out, put in or moved",
            )
        return signature
