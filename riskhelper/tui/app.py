"""The interface: which page stands in front, and the keys that work at any moment."""

from __future__ import annotations

import gc
import os
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.filter import LineFilter
from textual.worker import Worker, WorkerState

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.jobs import list_jobs
from riskhelper.acts.kept_page import KeptPage, kept_page
from riskhelper.acts.stopping import stop_work
from riskhelper.statement.header import Header
from riskhelper.terms import GATE
from riskhelper.tui import themes
from riskhelper.tui.frame import Page
from riskhelper.tui.pages import Card, Sheet
from riskhelper.tui.starting import StartPage, WaitPage

if TYPE_CHECKING:
    from riskhelper.tui.desk import Desk
    from riskhelper.tui.session import Session


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the interface was opened with; job and local code may be empty."""

    folder: Path
    job: str = ""
    local_code: str = ""
    milestone: str = GATE
    paper: str = "A4"
    header: Header = field(default_factory=Header)


@dataclass(frozen=True, slots=True)
class Loaded:
    """What was read beside the interface: the module with all that needs rules, and the job it was read for."""

    desk: ModuleType
    code: str
    number: str
    opens: bool


class Interface(App[None]):
    """The interview on the terminal."""

    CSS = themes.CSS
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "help", "keys", show=False),
        Binding("f5", "jump", "list", show=False),
        Binding("f6", "findings", "findings", show=False),
        Binding("f7", "emergency", "emergency card", show=False, priority=True),
        Binding("f8", "leak", "leak card", show=False, priority=True),
        Binding("f9", "stop", "stop the work", show=False, priority=True),
        Binding("f10", "more", "more", show=False),
        Binding("ctrl+z", "undo", "take back", show=False),
        Binding("ctrl+q", "leave", "leave", show=False, priority=True),
        Binding("ctrl+c", "leave", "leave", show=False),
    ]

    def __init__(self, context: Context, wanted: Wanted) -> None:
        self.plain_ink = "NO_COLOR" in os.environ
        super().__init__(ansi_color=True if self.plain_ink else None)
        self.context = context
        self.wanted = wanted
        self.fault: Exception | None = None
        self._desk: Desk | None = None
        for theme in themes.themes():
            self.register_theme(theme)
        self.theme = themes.ONE_COLOUR if self.plain_ink else "dusk"

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Where no colour is wanted, every colour code is taken out last, the terminal's own colours too."""
        filters = super().get_line_filters()
        return [*filters, themes.WithoutColour()] if self.plain_ink else filters

    def on_mount(self) -> None:
        """The job asked for, or the list of jobs."""
        self.call_after_refresh(self._stands)
        if self.wanted.job and self.wanted.job in self.context.store.jobs():
            self.load_then_resume(self.wanted.job)
        elif self.wanted.job and self.wanted.local_code:
            self.load_then_open(self.wanted.local_code, self.wanted.job)
        else:
            self.push_screen(StartPage(self.wanted))

    def _stands(self) -> None:
        """The first page is on the screen: what was loaded for it stays, what comes now may be cleared away."""
        gc.freeze()
        gc.enable()

    @property
    def desk(self) -> Desk:
        """Everything that needs the rules."""
        assert self._desk is not None
        return self._desk

    @property
    def sitting(self) -> Session | None:
        """The sitting with a job; none before its rules are read."""
        return self._desk.session if self._desk is not None else None

    @property
    def session(self) -> Session:
        """The sitting with a job."""
        return self.desk.session

    # -- opening a job; what it needs is loaded beside the interface

    def load_then_resume(self, number: str) -> None:
        """Takes a job up again once its rules are read."""
        code = next(line.local_code for line in list_jobs(self.context) if line.number == number)
        self._load(code, number, kept_page(self.context, number), opens=False)

    def load_then_open(self, code: str, number: str) -> None:
        """Opens a job once its rules are read."""
        self._load(code, number, None, opens=True)

    def _load(self, code: str, number: str, kept: KeptPage | None, *, opens: bool) -> None:
        self.switch_or_push(WaitPage(kept))
        self.call_after_refresh(
            self.run_worker,
            partial(self._loaded, code, number, opens),
            thread=True,
            group="rules",
            exit_on_error=False,
        )

    def switch_or_push(self, page: Page) -> None:
        """Puts a page in the place of the first one."""
        if isinstance(self.screen, Page):
            self.switch_screen(page)
        else:
            self.push_screen(page)

    def _loaded(self, code: str, number: str, opens: bool) -> Loaded:
        """Runs beside the interface: reads the modules and the rules a job needs."""
        from riskhelper.tui import desk

        self.context.rules(code)
        return Loaded(desk, code, number, opens)

    async def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The rules are read, or the search for acts is done."""
        result = event.worker.result
        if event.state is WorkerState.ERROR and isinstance(event.worker.error, Exception):
            self._handle_exception(event.worker.error)
        elif event.state is WorkerState.SUCCESS and isinstance(result, Loaded):
            await self._start(result)
        elif event.state is WorkerState.SUCCESS and result is not None:
            self.desk.findings.change(event.worker.name, result)

    async def _start(self, loaded: Loaded) -> None:
        desk = loaded.desk.Desk(self, self.wanted)
        try:
            if loaded.opens:
                desk.session.open(loaded.code, loaded.number)
            else:
                desk.session.resume(loaded.number)
        except Refused as refusal:
            self.switch_or_push(StartPage(self.wanted, f"{refusal}."))
            return
        self._desk = desk
        waiting = self.screen
        await self.switch_screen(loaded.desk.AskPage())
        same = isinstance(waiting, WaitPage) and waiting.kept and waiting.kept.question == desk.session.next_question
        for key in waiting.keys_held if isinstance(waiting, WaitPage) and same else ():
            self.simulate_key(key)

    # -- what pages ask for

    def go(self, where: str) -> None:
        """Goes to a part of the interface by its name."""
        self.desk.menus.go(where)

    def ask_again(self, question: str) -> None:
        """Asks a question by name, from wherever one is."""
        self.session.asked_again = question
        self.session.notice = ""
        self.to_questions()

    def to_questions(self) -> None:
        """Goes back to the page of questions."""
        while not self.screen.has_class("-questions") and len(self.screen_stack) > 2:
            self.pop_screen()

    # -- keys that work at any moment

    def action_help(self) -> None:
        """The keys."""
        from riskhelper.tui.menus import help_lines

        self._once(Sheet("Keys", help_lines()))

    def action_emergency(self) -> None:
        """The emergency card."""
        from riskhelper.tui import cards

        self._once(Sheet("Emergency card", cards.emergency(self.sitting, self.wanted.header)))

    def action_leak(self) -> None:
        """The leak card."""
        from riskhelper.tui import cards

        self._once(Sheet("Leak card", cards.leak(self.sitting)))

    def action_stop(self) -> None:
        """Stops the work; it is saved before anything is drawn."""
        number = self.sitting.state.number if self.sitting is not None else self.wanted.job
        if self.sitting is not None:
            self.sitting.stop_work()
        elif number in self.context.store.jobs():
            stop_work(self.context, number, self.wanted.milestone)
        from riskhelper.tui import cards

        self._once(cards.StopPage(self.sitting))

    def _once(self, page: Page) -> None:
        """Puts a card in front, in the place of another card."""
        if isinstance(self.screen, Card):
            self.pop_screen()
        self.push_screen(page)

    def action_jump(self) -> None:
        """The answers by place."""
        if self.sitting is not None:
            self.to_questions()
            self.go("jump")

    def action_findings(self) -> None:
        """What was found."""
        if self.sitting is not None:
            self.to_questions()
            self.go("findings")

    def action_more(self) -> None:
        """Everything else."""
        if self.sitting is not None:
            self.desk.menus.more()

    def action_undo(self) -> None:
        """Takes back the latest entry, after a doubt."""
        if self.sitting is not None:
            self.go("undo")

    def action_leave(self) -> None:
        """Leaves; every answer is saved."""
        self.exit()

    def _handle_exception(self, error: Exception) -> None:
        """A fault nobody expected ends the interface; the command line writes the report."""
        from riskhelper.acts.telling import Cause, cause_of, told

        if cause_of(error) is not Cause.UNEXPECTED and self.screen_stack:
            self.push_screen(Sheet("Not possible", [*told(error), "", "What was shown as saved is saved."]))
            return
        self.fault = self.fault or error
        self.exit()
