"""The list of plans that wait at the gate, the oldest first."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from textual import on
from textual.worker import Worker, WorkerState

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.plan.gate import site_for
from riskhelper.acts.plan.plan_reading import age
from riskhelper.acts.plan.waiting import AtTheGate, at_the_gate, decided_words, named
from riskhelper.tui import wording
from riskhelper.tui.permits.page import OPEN_KEYS, ListPage
from riskhelper.tui.rows import Row, Rows, keyed
from riskhelper.tui.waiting.desk import GateDesk
from riskhelper.tui.waiting.plan_page import PlanPage

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
    from riskhelper.tui.desk import Desk

AHEAD = "reading ahead"


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
    AT_GATE = True

    def __init__(self) -> None:
        super().__init__()
        self.add_class("-waiting")
        self._found = AtTheGate((), ())
        self._before: Desk | None = None
        self._opening = ""

    def show(self) -> None:
        """The list as it stands now; no plan is in front any more, and the sitting before comes back on leaving."""
        self._before = self._before or self.interface.at_desk
        self.interface.sit_at(None)
        self._opening = ""
        self.show_frame()
        self._found = at_the_gate(self.interface.context)
        self.tell([(self._words(), "bold")])
        rows = self.query_one(Rows)
        listed = [Row(line.job, f"{line.job}. {line.next_step}.") for line in self._found.waiting]
        listed += [
            Row(mark.job, f"{mark.job}.", head="" if n else "Lately decided")
            for n, mark in enumerate(self._found.decided)
        ]
        rows.show(keyed(listed), max(rows.cursor, 0))
        self.tell_near(max(rows.cursor, 0))
        rows.focus()
        self.call_after_refresh(self._read_ahead)

    def _words(self) -> str:
        if not self._found.waiting:
            return "No plan waits at the gate."
        order = ", the oldest first" if len(self._found.waiting) > 1 else ""
        count = wording.plural(len(self._found.waiting), "plan waits", "plans wait")
        return f"{count}{order}. Approving a plan is not issuing a permit."

    def _read_ahead(self) -> None:
        """Reads beside the list what its first plan needs, so that nobody waits for it: record and rules."""
        if self._found.waiting:
            read = partial(_read_for, self.interface.context, self._found.waiting[0].job)
            self.run_worker(read, thread=True, group=AHEAD, exclusive=True, exit_on_error=False)

    def tell_near(self, here: int) -> None:
        """Tells the rows a screen above and below in full: which plant, where, how long it waits."""
        rows, context = self.query_one(Rows), self.interface.context
        now = context.clock()
        for place in range(max(here - self.size.height, 0), min(here + self.size.height, len(self._found.waiting))):
            line, row = self._found.waiting[place], rows.rows[place]
            if "Waits" not in row.words:
                words = f"{line.job}, {named(context, line.job)}. Waits {age(line.since, now)}. {line.next_step}."
                rows.rows[place] = row._replace(words=words)
        for place, mark in enumerate(self._found.decided, start=len(self._found.waiting)):
            row = rows.rows[place]
            if abs(place - here) <= self.size.height and row.words == f"{mark.job}.":
                rows.rows[place] = row._replace(words=decided_words(context, mark))
        rows.refresh()

    async def action_back(self) -> None:
        """Back to where the list was opened, and to the sitting there."""
        self.interface.sit_at(self._before)
        self.dismiss()

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Reads the rules of the job and the rest of the record beside the page, then opens the plan."""
        event.stop()
        if self._opening:
            return
        self._opening = event.name
        self.tell([(f"Reading the record and the rules of job {event.name} ...", "bold")])
        interface, number = self.interface, event.name

        def read() -> GateDesk:
            desk = GateDesk(interface, number)
            desk.read()
            return desk

        self.run_worker(read, thread=True, exit_on_error=False)

    async def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The plan is read. What hinders the reading ahead is told when a plan is opened, which reads the same."""
        event.stop()
        desk = event.worker.result
        if event.worker.group == AHEAD:
            return
        if event.state is WorkerState.ERROR and isinstance(event.worker.error, Exception):
            self.interface._handle_exception(event.worker.error)
        elif event.state is WorkerState.SUCCESS and isinstance(desk, GateDesk) and self.is_current:
            self.interface.sit_at(desk)
            self.interface.push_screen(PlanPage(desk))


def _read_for(context: Context, job: str) -> None:
    """Reads the site and the rules of a job; both stay read as long as the store is open."""
    site_for(context, job)
    resume_job(context, job)


def open_list(interface: Interface) -> None:
    """Puts the list in front."""
    interface.push_screen(WaitingPage())
