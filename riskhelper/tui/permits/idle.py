"""The page that hides the interface when nobody touches it: any key holder goes on; the three red keys still work."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from riskhelper.acts.register import who_signs
from riskhelper.acts.register.who_signs import Candidate
from riskhelper.acts.telling import Cause, cause_of, told
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.permits.passphrase import Passphrase
from riskhelper.tui.permits.signing import Outcome
from riskhelper.tui.rows import Row, Rows


class LockPage(SitePage):
    """Hides what lies under it until somebody of the register types their passphrase. It signs nothing."""

    TITLE_WORDS = "Hidden: nobody was here"
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (("Enter", "choose, or go on from the field", "choose"),)

    def __init__(self, job_in_front: str) -> None:
        super().__init__()
        self.job_in_front = job_in_front
        self.add_class("-hides")
        self._people: tuple[Candidate, ...] = ()
        self._who: Candidate | None = None
        self._busy = False
        self.opened = False

    def compose_body(self) -> ComposeResult:
        """Words, a refusal, the field, rows."""
        with VerticalScroll(id="told", can_focus=False):
            yield Static(id="told-words")
        yield Static(id="refusal", classes="-hidden")
        field = Passphrase(id="passphrase")
        field.add_class("-hidden")
        yield field
        yield Rows(id="rows")

    async def shown(self, first: bool) -> None:
        """Who may go on; after a card, what was being typed, or goes on where the key was opened behind it."""
        if self.opened:
            self.dismiss()
        elif first:
            self.show_frame()
            found = who_signs.candidates(self.interface.context)
            self._people = tuple({each.name: each for each in found}.values())
            words = "Everything is kept as it was. Anybody with a key here goes on with their passphrase."
            self.tell([(words, ""), ("", ""), ("F7, F8 and F9 work without it.", "bold")])
            self.show_rows([Row(each.name, f"{each.name} ({each.employer}).") for each in self._people])

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Somebody wants to go on."""
        event.stop()
        if self._busy:
            return
        self._who = next(each for each in self._people if each.name == event.name)
        self.refuse([])
        field = self.query_one(Passphrase)
        field.taken()
        field.border_title = f"Passphrase of {self._who.name}; a dot stands for each character"
        field.remove_class("-hidden")
        field.focus()

    def key_up(self) -> None:
        """From the field back to the rows."""
        self.query_one(Rows).focus()

    @on(Passphrase.Submitted)
    def submitted(self, event: Passphrase.Submitted) -> None:
        """Enter in the field goes on."""
        event.stop()
        self.action_choose()

    def action_choose(self) -> None:
        """Opens the key beside the interface, and lets go of it."""
        who, field = self._who, self.query_one(Passphrase)
        if self._busy or who is None or not isinstance(self.focused, Passphrase):
            super().action_choose()
            return
        self._busy = True
        passphrase = field.taken()
        self.refuse(["Opening the key ..."])

        def opened() -> Outcome:
            try:
                who_signs.signed_in(self.interface.context, who, passphrase)
            except Exception as fault:
                if cause_of(fault) is Cause.UNEXPECTED:
                    raise
                return Outcome(refused=tuple(told(fault)))
            return Outcome("opened")

        self.run_worker(opened, description="opening a key", thread=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The key opened, or not."""
        event.stop()
        if event.state is WorkerState.ERROR and isinstance(event.worker.error, Exception):
            self.interface._handle_exception(event.worker.error)
        outcome = event.worker.result
        if not isinstance(outcome, Outcome):
            return
        self._busy = False
        self.refuse(outcome.refused)
        self.opened = not outcome.refused
        if self.opened and self.is_current:
            self.dismiss()

    async def action_back(self) -> None:
        """There is no way back but a passphrase."""
        self.app.bell()
