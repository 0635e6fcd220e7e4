"""Pages whose words are read to their end before they are signed or acknowledged."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence

from textual.containers import VerticalScroll

from riskhelper.tui.permits.page import Part, SitePage


class ReadToEnd(SitePage):
    """Knows whether the end of its words has been in sight, and shows its rows anew when it comes."""

    def __init__(self) -> None:
        super().__init__()
        self.at_end = False
        self._watched = False

    def in_sight(self) -> None:
        """How high the words are is known only once they are drawn."""
        super().in_sight()
        if not self._watched:
            self._watched = True
            self.watch(self._told, "virtual_size", self._look_soon, init=False)

    def begin(self, parts: Sequence[Part], *, at_end: bool = False) -> None:
        """Shows words from their beginning; `at_end` where their end was in sight before."""
        self.tell(parts)
        self.at_end = at_end
        self._told.scroll_to(y=0, animate=False, immediate=True)
        self.call_after_refresh(self.call_after_refresh, self.look)  # words as high as those before

    @abstractmethod
    def end_in_sight(self) -> None:
        """The end has just come in sight."""

    def look(self) -> None:
        """Whether the end is in sight; a page that has gone meanwhile shows nothing."""
        if self.at_end or not self.query("#told"):
            return
        told = self._told
        if told.size.height and told.scroll_offset.y >= told.max_scroll_y:
            self.at_end = True
            self.end_in_sight()

    def action_read_on(self) -> None:
        """Reads on by a page."""
        super().action_read_on()
        self._look_soon()

    def on_mouse_scroll_down(self) -> None:
        """The wheel reads on too."""
        self._look_soon()

    @property
    def _told(self) -> VerticalScroll:
        return self.query_one("#told", VerticalScroll)

    def _look_soon(self) -> None:
        self.call_after_refresh(self.look)
