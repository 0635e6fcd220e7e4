"""The three keys that work at any moment: emergency card, leak card, stop."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from riskhelper.acts.cards import emergency_lines, leak_card_lines
from riskhelper.statement.emergency import half_way_state
from riskhelper.tui.pages import Typing
from riskhelper.tui.session import Session

WHILE_STOPPED = (
    "The stop is saved. It holds now; nobody has to agree.",
    "Everybody stops. Leave the plant in its half-way state only if ONE movement does it; else go.",
)


def emergency(session: Session) -> Sequence[str]:
    """The emergency card of the job, or its fixed words before a job is open."""
    if not session.is_open:
        return emergency_lines(None, None, session.header)
    return emergency_lines(session.state, session.known_assessment, session.header)


def leak(session: Session) -> Sequence[str]:
    """The leak card."""
    return leak_card_lines(session.known_assessment if session.is_open else None)


class StopPage(Typing):
    """The stop stands already. Who called it and why may follow, or not."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,f4", "back", "leave", show=False)]
    KEYS = (("Enter", "save who and why", "save"), ("Esc", "go on without", "back"))

    def __init__(self, session: Session) -> None:
        saved = WHILE_STOPPED if session.is_open else ("No job is open, so nothing is recorded.", *WHILE_STOPPED[1:])
        super().__init__(
            "STOP",
            (*saved, half_way_state()),
            ("Who called the stop, if you like", "Why, if you like"),
            self._tell,
        )
        self._sitting = session

    def _tell(self, words: Sequence[str]) -> None:
        if self._sitting.is_open and any(word.strip() for word in words):
            self._sitting.tell_stop(words[0], words[1])
