"""How long nobody has touched the interface, and when its content is hidden. It needs no rules and no store."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import events

from riskhelper.tui.frame import Page

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface

LOOK_EVERY_S = 5.0
WHILE_HIDDEN = frozenset({"emergency", "leak", "stop", "leave", "focus_next", "focus_previous"})
"""What the keys of the application still do over the page that hides."""


class Idling:
    """Watches for touches; hides the content once there have been none for a while."""

    def __init__(self, interface: Interface, after_s: float, watch: Callable[[], float] = time.monotonic) -> None:
        self._interface = interface
        self.after_s = after_s
        self.watch = watch
        self._touched = watch()

    def touched(self, event: events.Event) -> None:
        """A key or a pointer counts as a touch."""
        if isinstance(event, events.Key | events.MouseEvent):
            self._touched = self.watch()

    @property
    def hidden(self) -> bool:
        """Whether the page that hides lies over the others, itself perhaps under a card."""
        return any(page.has_class("-hides") for page in self._interface.screen_stack)

    def look(self) -> None:
        """Hides the content where the time is over."""
        if self.after_s and self.watch() - self._touched >= self.after_s:
            self.hide()

    def hide(self) -> bool:
        """Hides the content where somebody has a key to go on with; whether it is hidden now."""
        if self.hidden:
            return True
        from riskhelper.acts.register.who_signs import people_here

        if people_here(self._interface.context):
            from riskhelper.tui.permits.idle import LockPage

            page = self._interface.screen
            self._interface.push_screen(LockPage(page.job_in_front if isinstance(page, Page) else ""))
            return True
        return False
