"""The conditions of a plan, one after the other: each is read before the next one stands there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on

from riskhelper.acts.condition_words import ToRead
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows

LEAVE, READ, BEFORE = "leave", "read", "before"


class ConditionsPage(SitePage):
    """One condition; the hand lies on leaving, each time anew."""

    TITLE_WORDS = "Conditions of the approval"
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("2", "read, go on", "read_on_condition"),
        ("Esc", "leave, nothing is approved", "back"),
    )

    def __init__(self, conditions: Sequence[ToRead], then: Callable[[], None]) -> None:
        super().__init__()
        self._conditions = conditions
        self._then = then
        self._place = 0

    def show(self) -> None:
        """The condition that comes next; back from the pages after it, the last one again."""
        self._place = min(self._place, len(self._conditions) - 1)
        condition = self._conditions[self._place]
        self.show_frame(count=f"{self._place + 1} of {len(self._conditions)}")
        self.tell(
            [
                (condition.words, "bold"),
                *((f"- {line}", "") for line in condition.behind),
                ("The approval holds only as long as this comes true.", ""),
            ]
        )
        rows = [Row(LEAVE, "Leave. Nothing is approved."), Row(READ, "Read. This must come true.")]
        if self._place:
            rows.append(Row(BEFORE, "Back to the condition before."))
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
            self.action_read_on_condition()

    def action_read_on_condition(self) -> None:
        """This one is read; after the last one it goes on."""
        self._place += 1
        if self._place < len(self._conditions):
            self.show()
        else:
            self._then()
