"""Lines to be read, as wide as there is room; what hangs under a dash or beside a label stays under its own words."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Sequence

from rich.text import Text
from textual.geometry import Size
from textual.widget import Widget

from riskhelper.acts.context import printable
from riskhelper.tui.said import say_of

WIDEST = 110
"""Longer lines are lost on the way back to the left."""
_HANGS = re.compile(r" *(?:- |\S{1,8} {2,})?")


class Reading(Widget):
    """The lines of a sheet, wrapped anew for each width."""

    def __init__(self, lines: Sequence[str] | Callable[[int], Sequence[str]]) -> None:
        super().__init__()
        self._lines = lines
        self._made: tuple[int, list[str]] = (0, [])

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as there are at a width."""
        del container, viewport
        return len(self._at(width))

    def render(self) -> Text:
        """The lines at the width there is."""
        return Text("\n".join(self._at(self.size.width)), no_wrap=True)

    def _at(self, width: int) -> list[str]:
        wide = max(min(width, WIDEST), 1)
        if self._made[0] != wide:
            lines = self._lines(wide) if callable(self._lines) else self._lines
            say = say_of(self)
            said = [part for line in lines for part in printable(say(line)).split("\n")]
            self._made = (wide, [row for line in said for row in hanging(line, wide)])
        return self._made[1]


def hanging(line: str, width: int) -> list[str]:
    """A line wrapped so that what follows its dash, or the label in its column, stays under its own words.

    >>> hanging("- shut the valve", 10)
    ['- shut the', '  valve']
    >>> hanging("F9    stop the work", 18)
    ['F9    stop the', '      work']
    """
    if len(line) <= width:
        return [line]
    found = _HANGS.match(line)
    indent = " " * min(len(found[0]) if found else 0, width // 3)
    return textwrap.wrap(line, width, subsequent_indent=indent, break_on_hyphens=False)
