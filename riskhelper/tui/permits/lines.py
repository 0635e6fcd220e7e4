"""A list gone through line by line: each line is read before the next one stands there, and none is left out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on

from riskhelper.acts.plan.condition_words import ToRead
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows

LEAVE, READ, BEFORE = "?leave", "?read", "?before"


class LinesPage(SitePage):
    """One line with what stands behind it; the hand lies on leaving, each time anew."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("2", "read, go on", "read_line"),
        ("Esc", "leave, nothing is done", "back"),
    )
    LEFT = "Leave. Nothing is done."
    UNDER = ""
    SEEN = "Read. Next line."
    EARLIER = "Back to the line before."

    def __init__(self, lines: Sequence[ToRead], then: Callable[[], None]) -> None:
        super().__init__()
        self._lines = lines
        self._then = then
        self._place = 0

    def show(self) -> None:
        """The line that comes next; back from the pages after it, the last one again."""
        self._place = min(self._place, len(self._lines) - 1)
        line = self._lines[self._place]
        self.show_frame(count=f"{self._place + 1} of {len(self._lines)}")
        self.tell([(line.words, "bold"), *((f"- {words}", "") for words in line.behind), (self.UNDER, "")])
        rows = [Row(LEAVE, self.LEFT), Row(READ, self.SEEN)]
        if self._place:
            rows.append(Row(BEFORE, self.EARLIER))
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


class HandoverLines(LinesPage):
    """The list of a handover, face to face."""

    TITLE_WORDS = "Handover, line by line"
    UNDER = "The outgoing says it aloud; the incoming looks, and reads it back."
    SEEN = "Seen and read back. Next line."
