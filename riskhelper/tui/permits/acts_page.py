"""A page of one permit or one point: its state in large words, what was just done, only the acts possible now."""

from __future__ import annotations

from abc import abstractmethod
from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from riskhelper.acts.context import printable
from riskhelper.tui.permits.page import Part, SitePage
from riskhelper.tui.rows import Row
from riskhelper.tui.wording import plural

WHY = "?why"


class StateBox(Static):
    """The state in large words. Heavy border: nobody works; dashed: not yet; solid: work, test or closed."""

    DEFAULT_CSS = """
    StateBox { height: 3; content-align: center middle; text-style: bold; border: solid $ink; color: $ink; }
    StateBox.-halted { border: heavy $ink; border-title-style: bold; }
    StateBox.-not-yet { border: dashed $ink; }
    """

    def show(self, of: str, state: str, *, halted: bool = False, not_yet: bool = False, road: str = "") -> None:
        """Shows a state: of which permit or point, and on which road."""
        self.set_class(halted, "-halted")
        self.set_class(not_yet, "-not-yet")
        self.border_title = printable(of)
        self.border_subtitle = printable(road)
        self.update(Text(large(state)))


def large(words: str) -> str:
    """Words in capitals, spaced, so that they are seen from further away.

    >>> large("in force")
    'I N   F O R C E'
    """
    return "   ".join(" ".join(word) for word in words.upper().split())


class ActsPage(SitePage):
    """The state above everything else; the guard in the way of the other acts is one key away."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("?", "why nothing else", "why_not"),
        ("PgDn", "read on", "read_on"),
        ("Esc", "back", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("question_mark", "why_not", "why nothing else", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self.noticed = ""

    def compose_body(self) -> ComposeResult:
        """The state above everything else."""
        yield StateBox()
        yield from super().compose_body()

    def note(self, words: str) -> None:
        """Says what was just done, above everything else."""
        self.noticed = words

    def notice(self) -> list[Part]:
        """What was just done, where anything was."""
        return [(self.noticed, "bold reverse")] if self.noticed else []

    def why_row(self, blocked: int) -> list[Row]:
        """The row that leads to the guards in the way of so many acts."""
        return [Row(WHY, f"{plural(blocked, 'act')} of this state cannot be done now: see why.")] if blocked else []

    @abstractmethod
    def action_why_not(self) -> None:
        """Why nothing else is possible now."""
