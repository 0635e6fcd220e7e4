"""Running words above the rows."""

from __future__ import annotations

from rich.text import Text
from textual.geometry import Size
from textual.widget import Widget

from riskhelper.acts.context import printable
from riskhelper.tui.said import say_of
from riskhelper.tui.wording import DOTS, cut


class Words(Widget):
    """Running words above the rows. Where there is no room for all of them, three dots say so."""

    def __init__(self) -> None:
        super().__init__(id="words")
        self._text = Text()

    def say(self, *parts: tuple[str, str]) -> None:
        """Shows parts, each with its style, one under the other; with nothing to say it takes no room."""
        say = say_of(self)
        self._text = Text("\n").join(
            Text(printable("\n".join(map(say, words.split("\n")))), style=style) for words, style in parts if words
        )
        self.display = bool(self._text)
        self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as the words need at a width."""
        del container, viewport
        return len(self._text.wrap(self.app.console, max(width, 1)))

    def render(self) -> Text:
        """As many lines as there is room for."""
        width, height = self.size
        lines = list(self._text.wrap(self.app.console, max(width, 1)))
        if 0 < height < len(lines):
            lines = lines[:height]
            fits = cut(f"{lines[-1].plain.rstrip()} {DOTS}", width).removesuffix(DOTS).rstrip()
            lines[-1].right_crop(len(lines[-1].plain) - len(fits))
            lines[-1].append(f" {DOTS}")
        return Text("\n").join(lines)
