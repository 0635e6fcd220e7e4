"""Who may come in: a code printed on the terminal lets one browser in, once."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field

_CODE_BYTES = 16
_MARK_BYTES = 32


@dataclass
class Doors:
    """One code waits at a time; each browser that came in carries a mark of its own."""

    code: str = field(default_factory=lambda: secrets.token_urlsafe(_CODE_BYTES))
    _marks: set[str] = field(default_factory=set)

    def enter(self, code: str) -> str | None:
        """The mark of whoever shows the code that waits; the next code takes its place. None for any other."""
        if not secrets.compare_digest(code.encode(), self.code.encode()):
            return None
        self.code = secrets.token_urlsafe(_CODE_BYTES)
        mark = secrets.token_urlsafe(_MARK_BYTES)
        self._marks.add(mark)
        return mark

    def knows(self, mark: str) -> bool:
        """Whether a browser with this mark came in by a code."""
        return any(secrets.compare_digest(mark.encode(), known.encode()) for known in self._marks)
