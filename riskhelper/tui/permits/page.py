"""Pages about the site: no verdict of one job stands beside them, and refusals stay on them in words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from time import monotonic
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.widgets import Static

from riskhelper.acts.context import printable
from riskhelper.tui.frame import KeyBar, Masthead, Page
from riskhelper.tui.rows import Row, Rows, keyed

AT_ANY_MOMENT = frozenset({"f7", "f8", "f9"})
"""Keys that no page leaves out."""
MISSED = "A key pressed before this page stood here was not taken. Press it again where you mean it."
Part = tuple[str, str]
"""Words and their style."""
OPEN_KEYS = (("F1", "keys", "help"), ("Enter", "open", "choose"), ("Esc", "back", "back"))
"""The keys in the foot where each row opens something."""


class SitePage(Page):
    """A page with running words that scroll, a refusal, and rows under them."""

    CSS = """
    #told { height: 1fr; }
    #told Static { height: auto; }
    #refusal { height: auto; max-height: 9; text-style: bold reverse; }
    #refusal.-hidden, #whole.-hidden { display: none; }
    #whole { height: auto; max-height: 6; padding: 0 2; }
    """
    TITLE_WORDS = "Permits"
    SIGNED = True
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("F1", "keys", "help"),
        ("Enter", "choose", "choose"),
        ("Esc", "back", "back"),
    )
    ROWS: ClassVar[type[Rows]] = Rows
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown", "read_on", "read on", show=False, priority=True),
        Binding("pageup", "read_back", "read back", show=False, priority=True),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.job_in_front = ""
        self._in_sight_at = math.inf
        self._missed = False

    def in_sight(self) -> None:
        """From here on keys are taken."""
        self._in_sight_at = monotonic()
        if self._missed:
            self._tell_missed()

    def takes(self, event: events.Key) -> bool:
        """A key pressed before this page was in sight was meant for another one: it is dropped, and that is said."""
        if event.key in AT_ANY_MOMENT or event.time >= self._in_sight_at:
            return True
        self._missed = True
        if self._in_sight_at < math.inf:
            self._tell_missed()
        return False

    def _tell_missed(self) -> None:
        self._missed = False
        if self.query("#refusal"):
            self.refuse([MISSED])

    def compose(self) -> ComposeResult:
        """Head, body, keys."""
        yield Masthead()
        with Container(id="middle"), Container(id="body"):
            yield from self.compose_body()
        yield KeyBar(self.KEYS)

    def compose_body(self) -> ComposeResult:
        """Words that scroll, a refusal, a field where the page has one, rows."""
        with VerticalScroll(id="told", can_focus=False):
            yield Static(id="told-words")
        yield Static(id="refusal", classes="-hidden")
        yield from self.compose_field()
        yield self.ROWS(id="rows")

    def compose_field(self) -> ComposeResult:
        """The field of the page; most pages have none."""
        yield from ()

    def show_frame(self, place: str = "", count: str = "") -> None:
        """The head."""
        self.query_one(Masthead).show(self.TITLE_WORDS, place, count)

    def action_choose(self) -> None:
        """The key in the foot chooses the row under the hand."""
        self.query_one(Rows).action_choose()

    def action_read_on(self) -> None:
        """Scrolls the words on; where none scroll, the hand moves down the rows."""
        self._scroll(1)

    def action_read_back(self) -> None:
        """Scrolls the words back."""
        self._scroll(-1)

    def _scroll(self, way: int) -> None:
        for told in self.query("#told").results(VerticalScroll):
            if not told.max_scroll_y:
                break
            told.scroll_relative(y=way * max(told.size.height - 1, 1), animate=False)
            return
        rows = self.query_one(Rows)
        rows.action_move(way * max(rows.size.height - 2, 5))

    def show_rows(self, rows: Sequence[Row], cursor: int = -1) -> None:
        """Shows rows under the words, as high as they need, at most a good half of the page, keyed in their order."""
        self.show_keyed_rows(keyed(rows), cursor)

    def show_keyed_rows(self, rows: Sequence[Row], cursor: int = -1) -> None:
        """Shows rows that have their keys."""
        box = self.query_one(Rows)
        width = max(self.size.width - 14, 20)
        needed = sum(1 + len(row.words + row.mark) // width + len(row.lines) + bool(row.head) for row in rows)
        if list(self.query("#told").results(VerticalScroll)):
            box.styles.height = max(min(needed, self.size.height * 9 // 20), 2)
        box.show(rows, cursor)
        box.focus()

    def tell(self, parts: Sequence[Part]) -> None:
        """Shows running words, each part with its style, one under the other."""
        text = Text("\n").join(Text(printable(words), style=style) for words, style in parts)
        self.query_one("#told-words", Static).update(text)

    def refuse(self, lines: Sequence[str]) -> None:
        """Shows why something is not possible; with no lines it takes the words away."""
        box = self.query_one("#refusal", Static)
        box.update(Text("\n".join(printable(line) for line in lines)))
        box.set_class(not lines, "-hidden")


class ListPage(SitePage):
    """A line of words over rows that take the rest of the page."""

    OF_SITE = True

    def compose_body(self) -> ComposeResult:
        """Words and rows."""
        yield Static(id="told-words")
        yield self.ROWS(id="rows")


class ReadPage(SitePage):
    """Something to read, scrolled by arrows, page keys, wheel or finger."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("F1", "keys", "help"),
        ("PgDn", "read on", "read_on"),
        ("Esc", "back", "back"),
    )

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__()
        self.TITLE_WORDS = title
        self._lines = lines

    def compose_body(self) -> ComposeResult:
        """Words that scroll."""
        with VerticalScroll(id="told"):
            yield Static(id="told-words")

    def show(self) -> None:
        """The words, from their beginning."""
        self.show_frame()
        self.tell([(line, "") for line in self._lines])
        self.query_one("#told").focus()
