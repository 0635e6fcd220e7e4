"""A page for work that takes a while: how far it has come, and a key that ends it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from riskhelper.acts.telling import Cause, cause_of, told
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Rows

Work = Callable[[Callable[[str], bool]], object]
"""Work that tells how far it has come, if in words, and goes on as long as it is given true."""


class WorkPage(SitePage):
    """Does work beside the interface; `then` gets what came of it. Ended early, it gets what was found so far."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (("Esc", "end it here", "back"),)

    def __init__(self, title: str, words: str, work: Work, then: Callable[[object], None]) -> None:
        super().__init__()
        self.TITLE_WORDS = title
        self._words = words
        self._work = work
        self._then = then
        self._ended = threading.Event()
        self._began = False
        self._failed = False

    def compose_body(self) -> ComposeResult:
        """Words, a refusal, no rows yet."""
        yield Static(id="told-words")
        yield Static(id="refusal", classes="-hidden")
        yield Rows(id="rows")

    def show(self) -> None:
        """Begins the first time the page comes to the front."""
        self.show_frame()
        if not self._began:
            self._began = True
            self.tell([(self._words, ""), ("Esc ends it.", "")])
            self.run_worker(
                self._done, description="work on a rule set", thread=True, group="rule sets", exit_on_error=False
            )

    def _done(self) -> object:
        """Runs beside the interface."""

        def told_so_far(words: str) -> bool:
            if words and not self._ended.is_set():
                self.app.call_from_thread(self._tell_so_far, words)
            return not self._ended.is_set()

        return self._work(told_so_far)

    def _tell_so_far(self, words: str) -> None:
        if self.is_current:
            self.tell([(self._words, ""), (words, "bold"), ("Esc ends it.", "")])

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The work is done, or refused in words that stay here."""
        event.stop()
        error = event.worker.error
        if event.state is WorkerState.ERROR and isinstance(error, Exception):
            if cause_of(error) is Cause.UNEXPECTED:
                self.interface._handle_exception(error)
                return
            self._failed = True
            self.tell([(self._words, "")])
            self.refuse(told(error))
        elif event.state is WorkerState.SUCCESS:
            if self in self.app.screen_stack:
                while self.app.screen is not self:
                    self.app.pop_screen()
                self.app.pop_screen()
            self._then(event.worker.result)

    async def action_back(self) -> None:
        """Ends the work; after a refusal, leaves the page."""
        if self._failed:
            self.dismiss()
        else:
            self._ended.set()
            self.tell([(self._words, ""), ("Ending ...", "bold")])
