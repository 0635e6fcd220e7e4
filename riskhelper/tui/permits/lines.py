"""A list gone through line by line: each line is read before the next one stands there, and none is left out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on

from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows

LEAVE, READ, BEFORE = "?leave", "?read", "?before"


class LinesPage(SitePage):
    """One line; the hand lies on leaving, each time anew."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("2", "read, go on", "read_line"),
        ("Esc", "leave, nothing is done", "back"),
    )

    def __init__(self, title: str, lines: Sequence[str], under: str, read: str, then: Callable[[], None]) -> None:
        super().__init__()
        self.TITLE_WORDS = title
        self._lines = lines
        self._under = under
        self._read = read
        self._then = then
        self._place = 0

    def show(self) -> None:
        """The line that comes next; back from the pages after it, the last one again."""
        self._place = min(self._place, len(self._lines) - 1)
        self.show_frame(count=f"{self._place + 1} of {len(self._lines)}")
        self.tell([(self._lines[self._place], "bold"), ("", ""), (self._under, "")])
        rows = [Row(LEAVE, "Leave. Nothing is done."), Row(READ, self._read)]
        if self._place:
            rows.append(Row(BEFORE, "Back to the line before."))
        self.show_rows(rows, cursor=0)

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Read, or not."""
        event.stop()
        if event.name == LEAVE:
            self.dismiss()
        elif event.name == BEFORE:
            self._place -= 1
            self.show()
        else:
            self.action_read_line()

    def action_read_line(self) -> None:
        """This one is read; after the last one it goes on."""
        self._place += 1
        if self._place < len(self._lines):
            self.show()
        else:
            self._then()
