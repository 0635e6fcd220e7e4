"""The list of plans that wait at the gate, the oldest first."""

from __future__ import annotations

from collections.abc import Iterator
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

MOST_NAMED = 40
"""Rows whose plant and place are looked up beforehand; the others are named when the hand reaches them."""


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
        rows = self.query_one(Rows)
        rows.show(keyed(list(self._rows())), rows.cursor)
        rows.focus()

    def _rows(self) -> Iterator[Row]:
        context = self.interface.context
        now = context.clock()
        for place, line in enumerate(self._lines):
            where = f", {named(context, line.job)}" if place < MOST_NAMED else ""
            words = f"{line.job}{where}. Waits {age(line.since, now)}. {line.next_step}."
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
