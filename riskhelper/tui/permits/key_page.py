"""Pages on which somebody opens a key: the field for the passphrase, and work beside the interface with it open."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from dataclasses import dataclass

from textual import on
from textual.app import ComposeResult
from textual.worker import Worker, WorkerState

from riskhelper.acts.telling import Cause, cause_of, told
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.permits.passphrase import Passphrase
from riskhelper.tui.rows import Rows


@dataclass(frozen=True)
class Outcome:
    """What came of an open key: what was done in words, or why nothing was."""

    words: str = ""
    refused: tuple[str, ...] = ()


class KeyPage(SitePage):
    """Words, a refusal, a field for a passphrase that stays out of sight until it is asked for, rows."""

    def __init__(self) -> None:
        super().__init__()
        self.busy = False

    def compose_field(self) -> ComposeResult:
        """The field, out of sight."""
        yield Passphrase(id="passphrase", classes="-hidden")

    def ask_passphrase(self, whose: str) -> None:
        """Empties the field, says whose passphrase goes into it, and waits there."""
        field = self.query_one(Passphrase)
        field.taken()
        field.border_title = f"{whose}; a dot stands for each character"
        field.remove_class("-hidden")
        field.focus()

    def forget_passphrase(self) -> None:
        """Empties the field and takes it out of sight."""
        field = self.query_one(Passphrase)
        field.taken()
        field.add_class("-hidden")

    def key_up(self) -> None:
        """From the field back to the rows."""
        self.query_one(Rows).focus()

    def key_down(self) -> None:
        """From the field back to the rows."""
        self.query_one(Rows).focus()

    @on(Passphrase.Submitted)
    def submitted(self, event: Passphrase.Submitted) -> None:
        """Enter in the field goes on."""
        event.stop()
        self.typed()

    def action_choose(self) -> None:
        """The key in the foot: goes on from the field, else chooses the row under the hand."""
        if isinstance(self.focused, Passphrase):
            self.typed()
        else:
            super().action_choose()

    @abstractmethod
    def typed(self) -> None:
        """A passphrase stands in the field."""

    @abstractmethod
    def came_out(self, outcome: Outcome) -> None:
        """The work beside the interface has ended: it is done, or refused in words."""

    def work_beside(self, do: Callable[[], str], saying: str) -> None:
        """Works beside the interface; `came_out` follows. What is unexpected ends the program with a report."""
        self.busy = True
        self.refuse([saying])

        def beside() -> Outcome:
            try:
                return Outcome(do())
            except Exception as fault:
                if cause_of(fault) is Cause.UNEXPECTED:
                    raise
                return Outcome(refused=tuple(told(fault)))

        # a description of its own: the usual one holds the arguments
        self.run_worker(beside, description="opening a key", thread=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The work has ended."""
        event.stop()
        if event.state is WorkerState.ERROR and isinstance(event.worker.error, Exception):
            self.interface._handle_exception(event.worker.error)
        outcome = event.worker.result
        if isinstance(outcome, Outcome):
            self.busy = False
            self.came_out(outcome)

    async def action_back(self) -> None:
        """Leaves; what was typed is forgotten. While a key is opened the page stays."""
        if self.busy:
            self.app.bell()
            return
        self.forget_passphrase()
        self.dismiss()
