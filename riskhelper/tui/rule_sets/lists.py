"""A page with a few words and rows, each of which opens something to read or leads on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on

from riskhelper.tui.permits.page import Part, SitePage
from riskhelper.tui.rows import Row, Rows


class RowsPage(SitePage):
    """Words that scroll above, rows below; both are made anew each time the page comes to the front."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("F1", "keys", "help"),
        ("Enter", "open", "choose"),
        ("Esc", "back", "back"),
    )

    def __init__(
        self,
        title: str,
        words: Callable[[], Sequence[Part]],
        rows: Callable[[], Sequence[Row]],
        chosen: Callable[[str], None],
    ) -> None:
        super().__init__()
        self.TITLE_WORDS = title
        self._words = words
        self._rows = rows
        self._choice = chosen
        self.notice = ""

    def show(self) -> None:
        """Words and rows as they stand now."""
        self.show_frame()
        self.tell([*([(self.notice, "bold reverse")] if self.notice else []), *self._words()])
        self.show_rows(self._rows(), self.query_one(Rows).cursor)

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Passes the choice on."""
        event.stop()
        self.notice = ""
        self._choice(event.name)
