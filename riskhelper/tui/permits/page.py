"""Pages about the site: no verdict of one job stands beside them, and refusals stay on them in words."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.widgets import Static

from riskhelper.acts.context import printable
from riskhelper.tui.frame import KeyBar, Masthead, Page
from riskhelper.tui.rows import Rows

Part = tuple[str, str]
"""Words and their style."""


class SitePage(Page):
    """A page with running words that scroll, a refusal, and rows under them."""

    CSS = """
    #told { height: 1fr; }
    #told Static { height: auto; }
    #refusal { height: auto; max-height: 9; text-style: bold reverse; }
    #refusal.-hidden { display: none; }
    .-under { height: auto; max-height: 60%; min-height: 2; }
    """
    TITLE_WORDS = "Permits"

    def compose(self) -> ComposeResult:
        """Head, body, keys."""
        yield Masthead()
        with Container(id="middle"), Container(id="body"):
            yield from self.compose_body()
        yield KeyBar(self.KEYS)

    def compose_body(self) -> ComposeResult:
        """Words that scroll, a refusal, rows."""
        with VerticalScroll(id="told", can_focus=False):
            yield Static(id="told-words")
        yield Static(id="refusal", classes="-hidden")
        yield Rows(id="rows")

    def show_frame(self, place: str = "", count: str = "") -> None:
        """The head."""
        self.query_one(Masthead).show(self.TITLE_WORDS, place, count)

    def tell(self, parts: Sequence[Part]) -> None:
        """Shows running words, each part with its style, one under the other."""
        text = Text("\n").join(Text(printable(words), style=style) for words, style in parts)
        self.query_one("#told-words", Static).update(text)

    def refuse(self, lines: Sequence[str]) -> None:
        """Shows why something is not possible; with no lines it takes the words away."""
        box = self.query_one("#refusal", Static)
        box.update(Text("\n".join(printable(line) for line in lines)))
        box.set_class(not lines, "-hidden")
