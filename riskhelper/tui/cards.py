"""The three keys that work at any moment: emergency card, leak card, stop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from riskhelper.acts.context import Context
from riskhelper.acts.job.cards import emergency_lines, leak_card_lines, stop_lines
from riskhelper.acts.job.site_details import lacking
from riskhelper.tui.pages import Typing

if TYPE_CHECKING:
    from riskhelper.tui.session import Session

WHERE_TO_SAY = "F10, then the row on where the site is, takes it."


def emergency(session: Session | None, context: Context) -> Sequence[str]:
    """The emergency card of the job, or its fixed words before a job is open."""
    if session is None:
        return emergency_lines(None, None, context.header)
    missing = lacking(session.site)
    tip = ["", f"Nobody has said yet: {', '.join(missing)}. {WHERE_TO_SAY}"] if missing else []
    return [*emergency_lines(session.state, session.known_assessment, session.site), *tip]


def leak(session: Session | None) -> Sequence[str]:
    """The leak card."""
    return leak_card_lines(session.known_assessment if session is not None else None)


class StopPage(Typing):
    """The stop stands already. Who called it and why may follow, or not."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,f4", "back", "leave", show=False)]
    KEYS = (("Enter", "save who and why", "save"), ("Esc", "skip it", "back"))

    def __init__(self, tell: Callable[[str, str], object]) -> None:
        fields = ("Who called the stop, if you like", "Why, if you like")
        super().__init__("STOP", stop_lines(), fields, self._told)
        self._tell = tell

    def _told(self, words: Sequence[str]) -> None:
        if any(word.strip() for word in words):
            self._tell(words[0], words[1])
