"""The list of plans that wait at the gate, the oldest first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.worker import Worker, WorkerState

from riskhelper.acts.plan.plan_reading import age
from riskhelper.acts.plan.waiting import WaitingLine, named, waiting
from riskhelper.tui import wording
from riskhelper.tui.permits.page import OPEN_KEYS, ListPage
from riskhelper.tui.rows import Row, Rows, keyed
from riskhelper.tui.waiting.desk import GateDesk
from riskhelper.tui.waiting.plan_page import PlanPage

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface


class GateRows(Rows):
    """Rows that are told in full as the hand comes near them."""

    def action_move(self, by: int) -> None:
        """Moves the hand, and has the rows about it told in full."""
        super().action_move(by)
        page = self.screen
        if isinstance(page, WaitingPage):
            page.tell_near(self.cursor)


class WaitingPage(ListPage):
    """Jobs whose plan was handed over, each with how long it waits and whose step is next."""

    TITLE_WORDS = "Plans that wait at the gate"
    KEYS = OPEN_KEYS
    ROWS = GateRows

    def __init__(self) -> None:
        super().__init__()
        self._lines: tuple[WaitingLine, ...] = ()
        self._opening = ""

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
        rows.show(keyed([Row(line.job, f"{line.job}. {line.next_step}.") for line in self._lines]), rows.cursor)
        self.tell_near(max(rows.cursor, 0))
        rows.focus()

    def tell_near(self, here: int) -> None:
        """Tells the rows a screen above and below in full: which plant, where, how long it waits."""
        rows, context = self.query_one(Rows), self.interface.context
        now = context.clock()
        for place in range(max(here - self.size.height, 0), min(here + self.size.height, len(self._lines))):
            line, row = self._lines[place], rows.rows[place]
            if "Waits" not in row.words:
                words = f"{line.job}, {named(context, line.job)}. Waits {age(line.since, now)}. {line.next_step}."
                rows.rows[place] = row._replace(words=words)
        rows.refresh()

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
