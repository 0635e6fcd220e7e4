"""Running words above the rows."""

from __future__ import annotations

from rich.text import Text
from textual.widgets import Static

from riskhelper.acts.context import printable
from riskhelper.tui.said import say_of


class Words(Static):
    """Running words above the rows."""

    def __init__(self) -> None:
        super().__init__("", id="words")

    def say(self, *parts: tuple[str, str]) -> None:
        """Shows parts, each with its style, one under the other."""
        say = say_of(self)
        text = Text("\n").join(
            Text(printable("\n".join(map(say, words.split("\n")))), style=style) for words, style in parts if words
        )
        self.update(text)
