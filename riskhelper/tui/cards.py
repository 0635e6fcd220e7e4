"""The three keys that work at any moment: emergency card, leak card, stop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from riskhelper.acts.context import Context
from riskhelper.acts.job.cards import emergency_lines, leak_card_lines, number_lines, stop_lines
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.job.site_details import lacking, site_header
from riskhelper.acts.register.signing import site
from riskhelper.tui.pages import Typing

if TYPE_CHECKING:
    from riskhelper.tui.session import Session

WHERE_TO_SAY = "F10, then the row on where the site is, takes it."


def emergency(session: Session | None, context: Context, in_front: str = "") -> Sequence[str]:
    """The emergency card of the job in front, or its fixed words before a job is open."""
    if in_front and (session is None or session.state.number != in_front) and in_front in context.store.jobs():
        state = resume_job(context, in_front)
        head = f"Job {in_front}{_place(context, in_front)}"
        return [head, *emergency_lines(state, None, site_header(context, state))]
    if session is None:
        return emergency_lines(None, None, context.header)
    missing = lacking(session.site)
    tip = ["", f"Nobody has said yet: {', '.join(missing)}. {WHERE_TO_SAY}"] if missing else []
    return [*emergency_lines(session.state, session.known_assessment, session.site), *tip]


def leak(session: Session | None, context: Context, in_front: str = "") -> Sequence[str]:
    """The leak card, under the numbers to call. Of another job than the one taken up, plant counts as in service."""
    other = in_front and (session is None or session.state.number != in_front)
    known = session.known_assessment if session is not None and not other else None
    if other and in_front in context.store.jobs():
        header = site_header(context, resume_job(context, in_front))
    else:
        header = session.site if session is not None else context.header
    return [*number_lines(header), "", *leak_card_lines(known)]


def stopped_words(context: Context, job: str) -> Sequence[str]:
    """What a stop stops, by name: the job, where it is, its permits."""
    numbers = [number for number, permit in site(context).permits.items() if permit.job == job and not permit.closed]
    permits = f" Its permits: {', '.join(numbers)}." if numbers else " It has no permit yet."
    return [f"STOPPED: job {job or 'not numbered'}{_place(context, job)}.{permits}"]


def _place(context: Context, job: str) -> str:
    found = next((permit for permit in site(context).permits.values() if permit.job == job), None)
    return f", {found.zone}, plant {found.plant}" if found is not None else ""


class StopPage(Typing):
    """The stop stands already. Who called it and why may follow, or not."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,f4", "back", "leave", show=False)]
    KEYS = (("Enter", "save who and why", "save"), ("Esc", "skip it", "back"))

    def __init__(self, tell: Callable[[str, str], object], stopped: Sequence[str] = ()) -> None:
        fields = ("Who called the stop, if you like", "Why, if you like")
        super().__init__("STOP", [*stopped, *stop_lines()], fields, self._told)
        self._tell = tell

    def _told(self, words: Sequence[str]) -> None:
        if any(word.strip() for word in words):
            self._tell(words[0], words[1])
