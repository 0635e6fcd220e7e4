"""The page that hides the interface when nobody touches it: any key holder goes on; the three red keys still work."""

from __future__ import annotations

from typing import ClassVar

from textual import on

from riskhelper.acts.register import who_signs
from riskhelper.acts.register.who_signs import Candidate
from riskhelper.tui.permits.key_page import KeyPage, Outcome
from riskhelper.tui.permits.passphrase import Passphrase
from riskhelper.tui.rows import Row, Rows


class LockPage(KeyPage):
    """Hides what lies under it until somebody of the register types their passphrase. It signs nothing."""

    TITLE_WORDS = "Hidden"
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (("Enter", "choose, or go on from the field", "choose"),)

    def __init__(self, job_in_front: str) -> None:
        super().__init__()
        self.job_in_front = job_in_front
        self.add_class("-hides")
        self._people: tuple[Candidate, ...] = ()
        self._who: Candidate | None = None
        self.opened = False

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
        if self.busy:
            return
        self._who = next(each for each in self._people if each.name == event.name)
        self.refuse([])
        self.ask_passphrase(f"Passphrase of {self._who.name}")

    def typed(self) -> None:
        """Opens the key, and lets go of it."""
        who = self._who
        if self.busy or who is None:
            return
        passphrase = self.query_one(Passphrase).taken()

        def opened() -> str:
            who_signs.signed_in(self.interface.context, who, passphrase)
            return ""

        self.work_beside(opened, "Opening the key ...")

    def came_out(self, outcome: Outcome) -> None:
        """The key opened, or not."""
        self.refuse(outcome.refused)
        self.opened = not outcome.refused
        if self.opened and self.is_current:
            self.dismiss()

    async def action_back(self) -> None:
        """There is no way back but a passphrase."""
        self.app.bell()
