"""Pages used for many things: a sheet to read, a list to choose from, a doubt to settle, words to type."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from riskhelper.acts.context import Refused
from riskhelper.tui.frame import ACROSS, KeyBar, Masthead, Page
from riskhelper.tui.reading import Reading
from riskhelper.tui.rows import Row, Rows, keyed
from riskhelper.tui.said import say_of
from riskhelper.tui.words import Words

MOST_TYPED = 2_000


Lines = Sequence[str] | Callable[[int], Sequence[str]]
"""Lines to be read, or what makes them for so many columns."""


class Sheet(Page):
    """Something to read, scrolled by arrows, page keys, wheel or finger."""

    BRIEF = True
    IS_CARD = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown,space", "read_on", "read on", show=False, priority=True),
        Binding("pageup", "read_back", "read back", show=False, priority=True),
    ]
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (("F1", "keys", "help"), ("Esc", "back", "back"))

    def __init__(self, title: str, lines: Lines) -> None:
        super().__init__()
        self.add_class(ACROSS)
        self._title = title
        self._lines = lines

    def compose_body(self) -> ComposeResult:
        """The sheet alone."""
        with VerticalScroll(id="sheet"):
            yield Reading(self._lines)

    def show(self) -> None:
        """The title stands in the head."""
        self.show_frame()
        self.query_one(Masthead).show(self._title)
        self._sheet.focus()
        self.watch(self._sheet, "virtual_size", self._show_keys)  # how high the words are is known only then

    def on_resize(self) -> None:
        """Another size may leave more to read below, or nothing."""
        self.call_after_refresh(self._show_keys)

    def _show_keys(self) -> None:
        """The key that reads on stands in the foot where there is more than the page holds."""
        if not self.query("#sheet"):
            return  # the page has gone in the meantime
        more = self._sheet.max_scroll_y > 0
        self.query_one(KeyBar).show((*self.KEYS, ("PgDn", "read on", "read_on")) if more else self.KEYS)

    @property
    def _sheet(self) -> VerticalScroll:
        return self.query_one("#sheet", VerticalScroll)

    def action_read_on(self) -> None:
        """Scrolls on by a page, one line kept in sight."""
        self._scroll(1)

    def action_read_back(self) -> None:
        """Scrolls back by a page."""
        self._scroll(-1)

    def _scroll(self, way: int) -> None:
        self._sheet.scroll_relative(y=way * max(self._sheet.size.height - 1, 1), animate=False)


class ListPage(Page):
    """Rows to choose from; the rows are made anew each time the page comes to the front.

    The hand begins on the row `at`, else on the first, which opens something or goes back: it never saves anything.
    """

    def __init__(
        self, title: str, intro: str, rows: Callable[[], Sequence[Row]], chosen: Callable[[str], None], at: str = ""
    ) -> None:
        super().__init__()
        self._title = title
        self._intro = intro
        self._rows = rows
        self._chosen = chosen
        self._at = at

    def compose_body(self) -> ComposeResult:
        """Words and rows."""
        yield Words()
        yield Rows(id="rows")

    def show(self) -> None:
        """Makes the rows anew, the hand where it was."""
        self.show_frame()
        self.query_one(Masthead).show(self._title)
        box, rows = self.query_one(Rows), keyed(list(self._rows()))
        self.query_one(Words).say((self._intro, ""))
        begins = next((place for place, row in enumerate(rows) if row.name == self._at), 0)
        box.show(rows, box.cursor if 0 <= box.cursor < len(rows) else begins)
        box.focus()

    @on(Rows.Chosen)
    def choose(self, event: Rows.Chosen) -> None:
        """Passes the choice on."""
        event.stop()
        self._chosen(event.name)


class Doubt(Page):
    """A doubt to settle before something is saved or given up. The hand lies on the answer that does neither."""

    def __init__(self, title: str, lines: Sequence[str], leave: str, go_on: str, then: Callable[[], None]) -> None:
        super().__init__()
        self._title = title
        self._lines = lines
        self._answers = (Row("leave", leave), Row("go_on", go_on))
        self._then = then

    def compose_body(self) -> ComposeResult:
        """Words and two rows."""
        yield Words()
        yield Rows(id="rows")

    def show(self) -> None:
        """The hand lies on the first row."""
        self.show_frame()
        self.query_one(Words).say((self._title, "bold"), *((line, "") for line in self._lines))
        rows = self.query_one(Rows)
        rows.show(keyed(self._answers), cursor=0)
        rows.focus()

    @on(Rows.Chosen)
    def choose(self, event: Rows.Chosen) -> None:
        """Leaves the page, and does what was asked for."""
        event.stop()
        self.app.pop_screen()
        if event.name == "go_on":
            self._then()


class Typing(Page):
    """Words to type into one field or two; Enter goes on, and saves from the last."""

    BRIEF = True
    IS_CARD = True

    BINDINGS: ClassVar[list[BindingType]] = [Binding("down", "app.focus_next"), Binding("up", "app.focus_previous")]
    KEYS = (("Enter", "save", "save"), ("Esc", "leave without saving", "back"))

    def __init__(
        self, title: str, lines: Sequence[str], fields: Sequence[str], then: Callable[[Sequence[str]], None]
    ) -> None:
        super().__init__()
        self._title = title
        self._lines = lines
        self._fields = fields
        self._then = then

    def compose_body(self) -> ComposeResult:
        """Words and fields."""
        yield Words()
        for place, words in enumerate(self._fields):
            field = Input(max_length=MOST_TYPED, id=f"field-{place}", select_on_focus=False)
            said = say_of(self)(words)
            field.border_title = said
            yield Static(Text(f"{said}:"), classes="field-label")
            yield field

    def show(self) -> None:
        """Puts the cursor into the first field."""
        self.show_frame()
        self.say()
        self.query(Input).first().focus()

    @property
    def holds_words(self) -> bool:
        """Whether something is written here that is not saved yet."""
        return any(field.value.strip() for field in self.query(Input))

    def tell_unsaved(self) -> None:
        """Says so above the fields."""
        self.say("Not saved yet. Enter saves what is written, Esc leaves without it.")

    def say(self, refusal: str = "") -> None:
        """Shows the words, and a refusal if there is one."""
        self.query_one(Words).say((self._title, "bold"), *((line, "") for line in self._lines), (refusal, "bold"))

    @on(Input.Submitted)
    def typed(self, event: Input.Submitted) -> None:
        """Goes to the next field, or saves."""
        event.stop()
        fields = list(self.query(Input))
        place = fields.index(event.input)
        if place + 1 < len(fields):
            fields[place + 1].focus()
        else:
            self.action_save()

    def action_save(self) -> None:
        """Passes what was typed on; a refusal stays on the page."""
        try:
            self._then([field.value for field in self.query(Input)])
        except Refused as refusal:
            self.say(f"{refusal}.")
            return
        self.dismiss()
