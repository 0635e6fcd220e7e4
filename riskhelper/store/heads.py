"""The newest tree head this machine has seen of its own log, kept beside the store and apart from it.

It survives the store: a copy that is older than what was seen here shows when it is brought back.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

HEADS_SCHEMA = "riskhelper.head/1"
_LINE = HEADS_SCHEMA + " {log:32} {size:012d} {root}\n"


@dataclass(frozen=True, slots=True)
class SeenHead:
    """A head of a log: how many entries, and the root over them."""

    log: str
    size: int
    root: str


class HeadFile:
    """The file beside a store that holds the newest head seen."""

    def __init__(self, store: Path) -> None:
        self.file = store.with_name(store.name + ".head")

    def seen(self) -> SeenHead | None:
        """The newest head; none where nothing was noted, or where it cannot be read."""
        try:
            words = self.file.read_text(encoding="ascii").split()
        except (OSError, ValueError):
            return None
        match words:
            case [schema, log, size, root] if schema == HEADS_SCHEMA and size.isdigit():
                return SeenHead(log, int(size), root)
        return None

    def note(self, head: SeenHead) -> None:
        """Notes a head where it is newer; always in one block of the same length, which is written whole or not."""
        before = self.seen()
        if before is not None and before.log == head.log and before.size >= head.size:
            return
        descriptor = os.open(self.file, os.O_CREAT | os.O_WRONLY, 0o600)
        try:
            os.pwrite(descriptor, _LINE.format(log=head.log, size=head.size, root=head.root).encode("ascii"), 0)
        finally:
            os.close(descriptor)
