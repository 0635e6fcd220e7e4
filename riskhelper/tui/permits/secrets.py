"""Passphrases of several people, one after the other, for one act of the register."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import on

from riskhelper.tui.permits.key_page import KeyPage, Outcome
from riskhelper.tui.permits.passphrase import Passphrase
from riskhelper.tui.rows import Row, Rows

LEAVE, TYPE = "?leave", "?type"


@dataclass(frozen=True, slots=True)
class Secret:
    """Whose passphrase is typed, under which key it is handed on (usual: the name); a new one is typed twice."""

    name: str
    new: bool = False
    key: str = ""


class SecretsPage(KeyPage):
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

    async def shown(self, first: bool) -> None:
        """What will be done; after another page has gone, everything stands as it was."""
        if first:
            self._start()

    def _start(self) -> None:
        self._place, self._typed = -1, {}
        self.show_frame()
        self.tell([(self.TITLE_WORDS, "bold"), ("", ""), *((line, "") for line in self._about)])
        self.forget_passphrase()
        self.show_rows([Row(LEAVE, "Leave. Nothing is done."), Row(TYPE, "Go on: each types a passphrase.")], 0)

    def _ask(self) -> None:
        secret, again = self._steps[self._place]
        self.show_frame(count=f"{self._place + 1} of {len(self._steps)}")
        new = "New passphrase" if secret.new else "Passphrase"
        self.query_one(Rows).styles.height = 2
        self.ask_passphrase(f"{new} of {secret.name}{', once more' if again else ''}")

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

    def typed(self) -> None:
        """Takes what was typed, and asks the next."""
        field = self.query_one(Passphrase)
        if self.busy or self._place < 0:
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
        typed, self._typed = self._typed, {}
        self.work_beside(lambda: self._do(typed), "Opening the keys ...")

    def came_out(self, outcome: Outcome) -> None:
        """It is done, or refused in words that stay here."""
        if outcome.refused:
            self._start()
            self.refuse([*outcome.refused, "Nothing was done."])
        else:
            self.dismiss()
            self._done(outcome.words)

    async def action_back(self) -> None:
        """Leaves; what everybody typed is forgotten."""
        if not self.busy:
            self._typed = {}
        await super().action_back()
