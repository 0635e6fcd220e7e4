"""The conditions of a plan, a subject to a page: each page is read to its end before it can be acknowledged."""

from __future__ import annotations

from collections.abc import Callable, MutableSet, Sequence
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType

from riskhelper.acts.plan.condition_words import Group
from riskhelper.tui import wording
from riskhelper.tui.permits.page import Part
from riskhelper.tui.permits.reading_to_end import ReadToEnd
from riskhelper.tui.rows import Row, Rows

LEAVE, READ, BEFORE = "?leave", "?read", "?before"


class ConditionsPage(ReadToEnd):
    """The conditions of one subject with what stands behind each. `seen` keeps the marks of those acknowledged.

    Leaving keeps them; coming back begins at the first page not acknowledged.
    """

    TITLE_WORDS = "Conditions of the approval"
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("PgDn", "read on", "read_on"),
        ("2", "acknowledge", "acknowledge"),
        ("Esc", "leave, kept", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("space", "read_on", "read on", show=False, priority=True)]

    def __init__(self, groups: Sequence[Group], seen: MutableSet[str], then: Callable[[], None]) -> None:
        super().__init__()
        self._groups = tuple(groups)
        self._seen = seen
        self._then = then
        self._place = next((place for place, group in enumerate(groups) if not self._is_seen(group)), len(groups) - 1)

    def _is_seen(self, group: Group) -> bool:
        return all(mark in self._seen for mark, _ in group.conditions)

    def show(self) -> None:
        """The page of one subject, from its beginning."""
        group = self._groups[self._place]
        self.show_frame(count=f"{self._place + 1} of {len(self._groups)}")
        count = wording.plural(len(group.conditions), "condition")
        parts: list[Part] = [
            (f"{group.subject}: {count}. The approval holds only as long as they come true.", "bold")
        ]
        before = 0
        for subject, listed in group.parts:
            parts += [("", ""), (f"{subject}:", "italic")]
            for number, (_, condition) in enumerate(listed, start=before + 1):
                parts += [(f"{number}. {condition.words}", "bold"), *((f"   - {w}", "") for w in condition.behind)]
            before += len(listed)
        self.begin(parts, at_end=self._is_seen(group))
        self.end_in_sight()

    def end_in_sight(self) -> None:
        """The rows as they stand now."""
        count = wording.plural(len(self._groups[self._place].conditions), "condition")
        read = f"I have read this page to its end: {count} must come true. Go on."
        rows = [
            Row(LEAVE, "Leave. What was acknowledged stays so; nothing is approved."),
            Row(READ, read if self.at_end else "Read this page to its end first: page key, space or wheel."),
        ]
        if self._place:
            rows.append(Row(BEFORE, "Back to the page before."))
        self.show_rows(rows, max(self.query_one(Rows).cursor, 0))

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Read, back, or left."""
        event.stop()
        if event.name == LEAVE:
            self.dismiss()
        elif event.name == BEFORE:
            self._place -= 1
            self._turn()
        else:
            self.action_acknowledge()

    def action_acknowledge(self) -> None:
        """Acknowledges the page where its end has been in sight, else reads on; after the last page it goes on."""
        self.look()
        if not self.at_end:
            self.action_read_on()
            return
        self._seen |= {mark for mark, _ in self._groups[self._place].conditions}
        if self._place + 1 < len(self._groups):
            self._place += 1
            self._turn()
        else:
            self._then()

    def _turn(self) -> None:
        self.query_one(Rows).cursor = 0
        self.show()
