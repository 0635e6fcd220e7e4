"""Whole rows to choose from: by digit, by arrow and Enter, by pointer or finger. Nothing is chosen beforehand."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from typing import ClassVar, NamedTuple

from rich.text import Text
from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widget import Widget

from riskhelper.tui.said import say_of

DIGITS = "123456789abcdefghijklmnopqrstuvwxyz"
_UPRIGHT, _FLAT, _CROSS = "│", "─", "┼"
_HAND = "▶"
_TAB = 6


class Row(NamedTuple):
    """One row: what it is called inside, its sentence, the key that chooses it, and a word before the sentence.

    `head` stands ruled above the first row of a group; it is no row itself.
    """

    name: str
    words: str
    key: str = ""
    mark: str = ""
    lines: tuple[str, ...] = ()
    head: str = ""

    def said(self, say: Callable[[str], str]) -> Row:
        """The row in the words the interface speaks."""
        lines = tuple(map(say, self.lines))
        return self._replace(words=say(self.words), mark=say(self.mark), lines=lines, head=say(self.head))


def keyed(rows: Sequence[Row]) -> list[Row]:
    """Rows with digits, then letters, as their keys."""
    return [row._replace(key=DIGITS[place] if place < len(DIGITS) else "") for place, row in enumerate(rows)]


class Rows(Widget, can_focus=True):
    """A ruled list that fills its place; rows are three lines high where there is room."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "row above", show=False),
        Binding("down", "move(1)", "row below", show=False),
        Binding("pageup", "move(-5)", "five rows up", show=False),
        Binding("pagedown", "move(5)", "five rows down", show=False),
        Binding("home", "move(-999)", "first row", show=False),
        Binding("end", "move(999)", "last row", show=False),
        Binding("left", "group(-1)", "group above", show=False),
        Binding("right", "group(1)", "group below", show=False),
        Binding("enter,space", "choose", "choose the row", show=False),
    ]

    class Chosen(Message):
        """A row was chosen, of the rows shown about something: a choice may come after they have changed."""

        def __init__(self, name: str, about: str) -> None:
            super().__init__()
            self.name = name
            self.about = about

    def __init__(self, rows: Sequence[Row] = (), cursor: int = -1, id: str | None = None) -> None:
        super().__init__(id=id)
        self.rows: list[Row] = list(rows)
        self.cursor = cursor
        self.about = ""
        self._top = 0
        self._drawn: list[int] = []

    def show(self, rows: Sequence[Row], cursor: int = -1, about: str = "") -> None:
        """Shows other rows; with no cursor nothing is under the hand yet."""
        self.about = about
        say = say_of(self)
        self.rows = [row.said(say) for row in rows]
        self.cursor = cursor if cursor < len(self.rows) else -1
        self._top = 0
        self.refresh()

    @property
    def room(self) -> int:
        """Columns for the words of one line."""
        return max((self.size.width or self.screen.size.width - 2) - _TAB - 2, 20)

    def height_of(self, rows: Sequence[Row]) -> int:
        """Lines that rows take where there is no room to spare."""
        width = self.room + _TAB + 2
        return sum(len(self._body(row, False, width)) + bool(row.head) for row in rows)

    def action_move(self, by: int) -> None:
        """Moves the hand; before the first move it lies on no row."""
        if not self.rows:
            return
        start = self.cursor if self.cursor >= 0 else (-1 if by > 0 else len(self.rows))
        self.cursor = max(0, min(len(self.rows) - 1, start + by))
        self.refresh()

    def action_group(self, way: int) -> None:
        """Moves the hand to the first row of the next group, or of the one before."""
        heads = [place for place, row in enumerate(self.rows) if row.head]
        there = [place for place in heads if (place - self.cursor) * way > 0]
        if there:
            self.cursor = self._top = there[0] if way > 0 else there[-1]
            self.refresh()

    def action_choose(self) -> None:
        """Chooses the row under the hand."""
        if 0 <= self.cursor < len(self.rows):
            self.post_message(self.Chosen(self.rows[self.cursor].name, self.about))
        else:
            self.app.bell()

    def press(self, key: str) -> bool:
        """Chooses the row with that key; whether there is one."""
        for place, row in enumerate(self.rows):
            if key and row.key == key:
                self.cursor = place
                self.refresh()
                self.post_message(self.Chosen(row.name, self.about))
                return True
        return False

    def on_key(self, event: events.Key) -> None:
        """A digit or letter chooses its row."""
        if event.character and self.press(event.character.lower()):
            event.stop()

    def on_click(self, event: events.Click) -> None:
        """A click or a touch chooses the row under it."""
        if 0 <= event.y < len(self._drawn) and self._drawn[event.y] >= 0:
            self.cursor = self._drawn[event.y]
            self.refresh()
            self.post_message(self.Chosen(self.rows[self.cursor].name, self.about))

    def on_mouse_scroll_down(self) -> None:
        """The wheel moves the hand."""
        self.action_move(1)

    def on_mouse_scroll_up(self) -> None:
        """The wheel moves the hand."""
        self.action_move(-1)

    def render(self) -> Text:
        """The part of the list that holds the row under the hand."""
        width, height = self.size
        if width < 12 or height < 1:
            return Text("")
        blocks = self._blocks(width, height)
        first, last = self._window([len(block) for block in blocks], height)
        text, self._drawn = Text(no_wrap=True), []
        for place in range(first, last):
            style = "reverse bold" if place == self.cursor else ""
            for line in blocks[place][: height - len(self._drawn)]:
                ruled = line.startswith(_FLAT)
                text.append(line.ljust(width) + "\n", style="" if ruled else style)
                self._drawn.append(place)
        return self._with_more(text, first, last, width)

    def _with_more(self, text: Text, first: int, last: int, width: int) -> Text:
        hidden = first + len(self.rows) - last
        if hidden and self._drawn:
            lines = list(text.split("\n", include_separator=False))
            said = say_of(self)(f"{hidden} more: arrows, page keys or wheel")
            words = f"{_FLAT * 3} {said if len(said) + 5 <= width else said.partition(':')[0]} "
            lines = lines[: min(len(self._drawn), self.size.height - 1)]
            self._drawn = [*self._drawn[: len(lines)], -1]
            text = Text("\n", no_wrap=True).join([*lines, Text(words.ljust(width, _FLAT))])
        text.rstrip()
        return text

    def _blocks(self, width: int, height: int) -> list[list[str]]:
        """Each row as lines, as roomy as the height allows: three lines high, two, or as high as its words."""
        bodies = [self._body(row, place == self.cursor, width) for place, row in enumerate(self.rows)]
        rule = _FLAT * (_TAB - 1) + _CROSS + _FLAT * (width - _TAB)
        blank = " " * (_TAB - 1) + _UPRIGHT
        heads = [[f"{_FLAT * 2} {row.head} ".ljust(width, _FLAT)] if row.head else [] for row in self.rows]
        words = sum(len(body) for body in (*bodies, *heads))
        if words + 2 * len(bodies) <= height:
            roomy = [[blank, *body, rule] for body in bodies]
        elif words + len(bodies) <= height:
            roomy = [[*body, rule] for body in bodies]
        else:
            roomy = bodies
        return [[*head, *body] for head, body in zip(heads, roomy, strict=True)]

    def _body(self, row: Row, here: bool, width: int) -> list[str]:
        hand = _HAND if here else " "
        first = f"{hand}{row.key:>3} {_UPRIGHT} "
        rest = " " * (_TAB - 1) + _UPRIGHT + " "
        words = f"{row.mark}: {row.words}" if row.mark else row.words
        fits = len(words) <= width - _TAB - 2
        lines = [words] if fits else textwrap.wrap(words, width - _TAB - 2)
        room = width - _TAB - 2
        under = [part for line in row.lines for part in ([line] if len(line) <= room else textwrap.wrap(line, room))]
        return [first + lines[0], *(rest + line for line in (*lines[1:], *under))]

    def _window(self, heights: list[int], height: int) -> tuple[int, int]:
        """First and last row drawn: the row under the hand always among them."""
        here = max(self.cursor, 0)
        self._top = min(self._top, here)
        room = height - (0 if sum(heights) <= height else 1)
        while sum(heights[self._top : here + 1]) > room and self._top < here:
            self._top += 1
        last, used = self._top, 0
        while last < len(heights) and (used + heights[last] <= room or last == self._top):
            used += heights[last]
            last += 1
        while self._top > 0 and used + heights[self._top - 1] <= room:
            self._top -= 1
            used += heights[self._top]
        return self._top, last
