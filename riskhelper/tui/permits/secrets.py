"""Passphrases of several people, one after the other, for one act of the register."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from riskhelper.acts.telling import Cause, cause_of, told
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.permits.passphrase import Passphrase
from riskhelper.tui.permits.signing import Outcome
from riskhelper.tui.rows import Row, Rows

LEAVE, TYPE = "?leave", "?type"


@dataclass(frozen=True, slots=True)
class Secret:
    """Whose passphrase is typed, under which key it is handed on (usual: the name); a new one is typed twice."""

    name: str
    new: bool = False
    key: str = ""


class SecretsPage(SitePage):
    """Says what will be done, then asks each person in turn; `do` runs beside the interface with all of them."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("Enter", "choose, or go on from the field", "choose"),
        ("Esc", "leave, nothing is done", "back"),
    )

    def __init__(
        self,
        title: str,
        about: Sequence[str],
        secrets: Sequence[Secret],
        do: Callable[[Mapping[str, str]], str],
        done: Callable[[str], None],
    ) -> None:
        super().__init__()
        self.TITLE_WORDS = title
        self._about = tuple(about)
        self._steps = [(each, again) for each in secrets for again in ((False, True) if each.new else (False,))]
        self._do = do
        self._done = done
        self._place = -1
        self._typed: dict[str, str] = {}
        self._busy = False

    def compose_body(self) -> ComposeResult:
        """Words, a refusal, the field, rows."""
        with VerticalScroll(id="told", can_focus=False):
            yield Static(id="told-words")
        yield Static(id="refusal", classes="-hidden")
        yield Passphrase(id="passphrase")
        yield Rows(id="rows")

    async def shown(self, first: bool) -> None:
        """What will be done; after another page has gone, everything stands as it was."""
        if first:
            self._start()

    def _start(self) -> None:
        self._place, self._typed = -1, {}
        self.show_frame()
        self.tell([(self.TITLE_WORDS, "bold"), ("", ""), *((line, "") for line in self._about)])
        self.query_one(Passphrase).add_class("-hidden")
        self.show_rows([Row(LEAVE, "Leave. Nothing is done."), Row(TYPE, "Go on: each types a passphrase.")], 0)

    def _ask(self) -> None:
        secret, again = self._steps[self._place]
        self.show_frame(count=f"{self._place + 1} of {len(self._steps)}")
        field = self.query_one(Passphrase)
        field.taken()
        new = "New passphrase" if secret.new else "Passphrase"
        once = ", once more" if again else ""
        field.border_title = f"{new} of {secret.name}{once}; a dot stands for each character"
        field.remove_class("-hidden")
        self.query_one(Rows).styles.height = 2
        field.focus()

    @on(Rows.Chosen)
    async def chosen(self, event: Rows.Chosen) -> None:
        """Leaves, or goes on."""
        event.stop()
        if event.name == LEAVE:
            await self.action_back()
        elif self._place < 0:
            self._place = 0
            self._ask()
        else:
            self.query_one(Passphrase).focus()

    @on(Passphrase.Submitted)
    def submitted(self, event: Passphrase.Submitted) -> None:
        """One passphrase is typed."""
        event.stop()
        self.action_choose()

    def action_choose(self) -> None:
        """Takes what was typed, and asks the next."""
        field = self.query_one(Passphrase)
        if self._busy or self._place < 0 or not isinstance(self.focused, Passphrase):
            super().action_choose()
            return
        secret, again = self._steps[self._place]
        key, typed = secret.key or secret.name, field.taken()
        if again and typed != self._typed[key]:
            self.refuse([f"The two were not the same. {secret.name} types a new passphrase again."])
            self._place -= 1
            self._ask()
            return
        self._typed[key] = typed
        self.refuse([])
        if self._place + 1 < len(self._steps):
            self._place += 1
            self._ask()
        else:
            self._run()

    def _run(self) -> None:
        self._busy = True
        self.refuse(["Opening the keys ..."])
        typed, self._typed = self._typed, {}

        def beside() -> Outcome:
            try:
                return Outcome(self._do(typed))
            except Exception as fault:
                if cause_of(fault) is Cause.UNEXPECTED:
                    raise
                return Outcome(refused=(*told(fault), "Nothing was done."))

        self.run_worker(beside, description="opening keys", thread=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """It is done, or refused in words that stay here."""
        event.stop()
        if event.state is WorkerState.ERROR and isinstance(event.worker.error, Exception):
            self.interface._handle_exception(event.worker.error)
        outcome = event.worker.result
        if not isinstance(outcome, Outcome):
            return
        self._busy = False
        if outcome.refused:
            self._start()
            self.refuse(outcome.refused)
        else:
            self.dismiss()
            self._done(outcome.words)

    async def action_back(self) -> None:
        """Leaves; what was typed is forgotten. While keys are opened the page stays."""
        if self._busy:
            self.app.bell()
            return
        self.query_one(Passphrase).taken()
        self._typed = {}
        self.dismiss()
