"""The list of plans that wait at the gate, the oldest first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from riskhelper.acts.plan_reading import age
from riskhelper.acts.waiting import WaitingLine, named, waiting
from riskhelper.tui import wording
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows, keyed
from riskhelper.tui.waiting.desk import GateDesk
from riskhelper.tui.waiting.plan_page import PlanPage

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface

AT_ONCE = 45
"""Rows that stand at once: more than a screen holds. The others follow in the same steps while the page is read."""
NEXT_S = 0.02


class WaitingPage(SitePage):
    """Jobs whose plan was handed over, each with how long it waits and whose step is next."""

    TITLE_WORDS = "Plans that wait at the gate"
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("F1", "keys", "help"),
        ("Enter", "open", "choose"),
        ("Esc", "back", "back"),
    )

    def __init__(self) -> None:
        super().__init__()
        self._lines: tuple[WaitingLine, ...] = ()
        self._opening = ""
        self._told: list[Row] = []

    def compose_body(self) -> ComposeResult:
        """Words and rows."""
        yield Static(id="told-words")
        yield Rows(id="rows")

    def show(self) -> None:
        """The list as it stands now; no plan is in front any more."""
        self.interface.sit_at(None)
        self._opening = ""
        self.show_frame()
        self._lines = waiting(self.interface.context)
        count = wording.plural(len(self._lines), "plan waits", "plans wait")
        words = f"{count}, the oldest first. Approving a plan is not issuing a permit."
        self.tell([(words if self._lines else "No plan waits at the gate.", "bold")])
        self._told = []
        self._tell_more(self.query_one(Rows).cursor)
        self.query_one(Rows).focus()

    def _tell_more(self, cursor: int) -> None:
        """Shows the next rows below those that stand there."""
        self._told += self._rows(self._lines[len(self._told) : len(self._told) + min(AT_ONCE, self.size.height)])
        self.query_one(Rows).show(keyed(self._told), cursor)
        if len(self._told) < len(self._lines):
            self.set_timer(NEXT_S, lambda: self._tell_more(self.query_one(Rows).cursor))

    def _rows(self, lines: Sequence[WaitingLine]) -> Iterator[Row]:
        context = self.interface.context
        now = context.clock()
        for line in lines:
            words = f"{line.job}, {named(context, line.job)}. Waits {age(line.since, now)}. {line.next_step}."
            yield Row(line.job, words)

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Reads the rules of the job beside the page, then opens its plan."""
        event.stop()
        if self._opening:
            return
        self._opening = event.name
        self.tell([(f"Reading the rules for job {event.name} ...", "bold")])
        interface, number = self.interface, event.name

        def read() -> GateDesk:
            return GateDesk(interface, number)

        self.run_worker(read, thread=True, exit_on_error=False)

    async def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The rules are read."""
        event.stop()
        desk = event.worker.result
        if event.state is WorkerState.ERROR and isinstance(event.worker.error, Exception):
            self.interface._handle_exception(event.worker.error)
        elif event.state is WorkerState.SUCCESS and isinstance(desk, GateDesk) and self.is_current:
            self.interface.sit_at(desk)
            self.interface.push_screen(PlanPage(desk))


def open_list(interface: Interface) -> None:
    """Puts the list in front."""
    interface.push_screen(WaitingPage())
