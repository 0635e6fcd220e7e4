"""The words of the register, written on paper and compared: whoever swaps the register cannot swap the paper."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows

ASKED = (3, 8, 14)
DONE, COMPARE = "?done", "?compare"


class ComparePage(SitePage):
    """Shows the words with their numbers; then asks for some of them from the paper."""

    TITLE_WORDS = "Words of the register"

    def __init__(self, words: Sequence[str], notice: str) -> None:
        super().__init__()
        self._words = tuple(words)
        self._notice = notice
        self._place = -1

    def compose_field(self) -> ComposeResult:
        """The field for what is written."""
        yield Input(id="written", max_length=40, select_on_focus=False)

    def show(self) -> None:
        """The words, to be written down."""
        if self._place >= 0:
            return
        self.show_frame()
        self.query_one(Input).add_class("-hidden")
        lines = [
            "   ".join(f"{at + 1:>2} {self._words[at]:<10}" for at in range(row, min(row + 4, len(self._words))))
            for row in range(0, len(self._words), 4)
        ]
        self.tell(
            [
                (self._notice, "bold reverse"),
                ("Write these words on paper, with their numbers, and keep the paper where anybody can compare.", ""),
                ("", ""),
                *((line, "bold") for line in lines),
            ]
        )
        self.show_rows(
            [Row(COMPARE, "They are on paper: compare some of them."), Row(DONE, "Go back without comparing.")]
        )

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Compares, or leaves."""
        event.stop()
        if event.name == DONE:
            self.dismiss()
        else:
            self._place = 0
            self._ask()

    def _ask(self) -> None:
        self.tell(
            [("From the paper, not from memory:", ""), (f"Which word has the number {ASKED[self._place]}?", "bold")]
        )
        field = self.query_one(Input)
        field.value = ""
        field.border_title = f"Word {ASKED[self._place]}"
        field.remove_class("-hidden")
        self.show_rows([Row(DONE, "Leave without comparing.")])
        field.focus()

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        """One word is typed."""
        event.stop()
        number = ASKED[self._place]
        if event.value.strip().lower() != self._words[number - 1]:
            self.refuse(
                [f"Word {number} on the paper is another one than here. Look again; if it stays so, trust the paper."]
            )
            return
        self.refuse([])
        if self._place + 1 < len(ASKED):
            self._place += 1
            self._ask()
            return
        self.query_one(Input).add_class("-hidden")
        self.tell([("The paper and this register agree.", "bold")])
        self.show_rows([Row(DONE, "Go back.")], 0)
