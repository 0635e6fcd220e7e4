"""The interface: which page stands in front, and the keys that work at any moment."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.worker import Worker, WorkerState

from riskhelper.acts.context import Refused
from riskhelper.acts.telling import Cause, cause_of, told
from riskhelper.assessment.changing import Change
from riskhelper.ruleset.model import RuleSet
from riskhelper.tui import cards, themes
from riskhelper.tui.ask import AskPage
from riskhelper.tui.controls import Controls
from riskhelper.tui.found import Findings, look_for_change
from riskhelper.tui.menus import Menus
from riskhelper.tui.pages import Sheet
from riskhelper.tui.session import Session
from riskhelper.tui.starting import StartPage


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the interface was opened with; both may be empty."""

    job: str = ""
    local_code: str = ""


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

    def __init__(self, session: Session, wanted: Wanted) -> None:
        self.plain_ink = "NO_COLOR" in os.environ
        super().__init__()
        self.session = session
        self.wanted = wanted
        self.fault: Exception | None = None
        self.findings = Findings(self)
        self.controls = Controls(self)
        self.menus = Menus(self)
        for theme in themes.themes():
            self.register_theme(theme)
        self.theme = themes.ONE_COLOUR if self.plain_ink else "dusk"

    def on_mount(self) -> None:
        """The job asked for, or the list of jobs."""
        if self.wanted.job and self.wanted.job in self.session.context.store.jobs():
            self.load_then_resume(self.wanted.job)
        else:
            self.push_screen(StartPage(self.wanted))

    # -- opening a job; rules are read beside the interface

    def load_then_resume(self, number: str) -> None:
        """Takes a job up again once its rules are read."""
        self._show_only(AskPage())
        code = self.session.local_code_of(number)
        self._load(code, partial(self.session.resume, number))

    def load_then_open(self, code: str, number: str) -> None:
        """Opens a job once its rules are read."""
        self._show_only(AskPage())
        self._load(code, partial(self.session.open, code, number))

    def _show_only(self, page: AskPage) -> None:
        if isinstance(self.screen, StartPage):
            self.switch_screen(page)
        else:
            self.push_screen(page)

    def _load(self, code: str, then: object) -> None:
        self._then = then
        self.run_worker(partial(self.session.context.rules, code), thread=True, group="rules", exit_on_error=False)

    async def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The rules are read, or the search for acts is done."""
        if event.state is WorkerState.ERROR and isinstance(event.worker.error, Exception):
            self._handle_exception(event.worker.error)
        elif event.state is WorkerState.SUCCESS and isinstance(event.worker.result, RuleSet):
            then, page = self._then, self.screen
            assert callable(then)
            try:
                then()
            except Refused as refusal:
                self.push_screen(StartPage(self.wanted, f"{refusal}."))
                return
            if isinstance(page, AskPage):
                await page.show_question()
        elif event.state is WorkerState.SUCCESS and isinstance(event.worker.result, Change):
            self.findings.change(event.worker.name, event.worker.result)

    # -- what pages ask for

    def go(self, where: str) -> None:
        """Goes to a part of the interface by its name."""
        self.menus.go(where)

    def ask_again(self, question: str) -> None:
        """Asks a question by name, from wherever one is."""
        self.session.asked_again = question
        self.session.notice = ""
        self.to_questions()

    def to_questions(self) -> None:
        """Goes back to the page of questions."""
        while not isinstance(self.screen, AskPage) and len(self.screen_stack) > 2:
            self.pop_screen()

    def refresh_questions(self) -> None:
        """Shows the next question anew."""
        if isinstance(self.screen, AskPage):
            self.run_worker(self.screen.show_question())

    def look_for_change(self, target: str, title: str) -> None:
        """Looks for acts that would change a finding, beside the interface."""
        self.run_worker(
            partial(look_for_change, self, target),
            name=title,
            thread=True,
            exclusive=True,
            group="change",
            exit_on_error=False,
        )

    # -- keys that work at any moment

    def action_help(self) -> None:
        """The keys."""
        self._once(Sheet("Keys", self.menus.help_lines()))

    def action_emergency(self) -> None:
        """The emergency card."""
        self._once(Sheet("Emergency card", cards.emergency(self.session)))

    def action_leak(self) -> None:
        """The leak card."""
        self._once(Sheet("Leak card", cards.leak(self.session)))

    def action_stop(self) -> None:
        """Stops the work; it is saved before anything is drawn."""
        self.session.stop_work()
        self._once(cards.StopPage(self.session))

    def _once(self, page: Sheet | cards.StopPage) -> None:
        """Puts a card in front, in the place of another card."""
        if isinstance(self.screen, (Sheet, cards.StopPage)):
            self.pop_screen()
        self.push_screen(page)

    def action_jump(self) -> None:
        """The answers by place."""
        if self.session.is_open:
            self.menus.go("jump")

    def action_findings(self) -> None:
        """What was found."""
        if self.session.is_open:
            self.to_questions()
            self.findings.open()

    def action_more(self) -> None:
        """Everything else."""
        self.menus.more()

    def action_undo(self) -> None:
        """Takes back the latest entry, after a doubt."""
        if self.session.is_open:
            self.menus.go("undo")

    def action_leave(self) -> None:
        """Leaves; every answer is saved."""
        self.exit()

    def _handle_exception(self, error: Exception) -> None:
        """A fault nobody expected ends the interface; the command line writes the report."""
        if cause_of(error) is not Cause.UNEXPECTED and self.screen_stack:
            self.push_screen(Sheet("Not possible", [*told(error), "", "What was shown as saved is saved."]))
            return
        self.fault = self.fault or error
        if self.is_headless:
            super()._handle_exception(error)
        else:
            self.exit()
