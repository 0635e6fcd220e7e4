"""The interface: which page stands in front, and the keys that work at any moment.

What the first page needs is kept small: its values are named tuples, which are made in a tenth of the time of a data
class, and whatever can wait is imported beside it.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Sequence
from functools import cached_property, partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual import events
from textual.app import App
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.filter import LineFilter
from textual.widget import AwaitMount
from textual.worker import Worker, WorkerState

from riskhelper.acts.context import Context, Refused
from riskhelper.terms import GATE
from riskhelper.tui import themes
from riskhelper.tui.frame import Page
from riskhelper.tui.idling import LOOK_EVERY_S, WHILE_HIDDEN, Idling
from riskhelper.tui.starting import StartPage, WaitPage

if TYPE_CHECKING:  # read beside the first page
    from riskhelper.tui.desk import Desk
    from riskhelper.tui.permits.desk import PermitDesk
    from riskhelper.tui.session import Session

NEEDED_FOR_JOBS = "riskhelper.acts.job.jobs"
NEEDED_FOR_QUESTIONS = "riskhelper.tui.desk"
KEYS_NOT_TAKEN = "Keys pressed before this question stood here were not taken."


class Wanted(NamedTuple):
    """What the interface was opened with; job and local code may be empty."""

    folder: Path
    job: str = ""
    local_code: str = ""
    milestone: str = GATE
    paper: str = "A4"
    kept: Path | None = None
    """Where the page of a pause is kept."""
    rehearsal: bool = False
    walk: tuple[str, ...] = ()
    """Zones in the order in which one walks past them."""
    lock_after_min: float = 0
    """After so many minutes untouched the content is hidden; 0 is never."""
    say: Callable[[str], str] = str
    """How a sentence is said while no rules are read yet."""


class Ready(NamedTuple):
    """What was read beside the interface: the list of jobs can be shown, or the rules of a job are there."""

    number: str = ""
    code: str = ""
    opens: bool = False
    milestone: str = ""


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
        Binding("f12", "permits", "permits", show=False),
        Binding("ctrl+z", "undo", "take back", show=False),
        Binding("ctrl+l", "hide", "hide", show=False, priority=True),
        Binding("ctrl+q", "leave", "leave", show=False, priority=True),
        Binding("ctrl+c", "leave", "leave", show=False),
    ]

    def __init__(self, open_context: Callable[[], Context], wanted: Wanted) -> None:
        self.plain_ink = "NO_COLOR" in os.environ
        super().__init__(ansi_color=True if self.plain_ink else None)
        self._open_context = open_context
        self.wanted = wanted
        self.fault: Exception | None = None
        self._desk: Desk | None = None
        self._permits: PermitDesk | None = None
        self._held: Ready | None = None
        self.acknowledged: dict[str, set[str]] = {}
        """Marks of the conditions acknowledged in this sitting, by job, until something is decided on it."""
        self.idling = Idling(self, wanted.lock_after_min * 60)
        for theme in themes.themes():
            self.register_theme(theme)
        # Set without being watched: watched, every style would be read twice before the first page stands.
        self.set_reactive(Interface.theme, themes.ONE_COLOUR if self.plain_ink else "dusk")
        self.stylesheet.set_variables(self.get_css_variables())

    @cached_property
    def context(self) -> Context:
        """Store, rules, clock and person; opened when first needed, which is after the first page stands."""
        return self._open_context()

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Where no colour is wanted, every colour code is taken out last, the terminal's own colours too."""
        filters = super().get_line_filters()
        return [*filters, themes.WithoutColour()] if self.plain_ink else filters

    @property
    def is_rehearsal(self) -> bool:
        """Whether this is a rehearsal: every page is marked. It is known before the store is opened."""
        return self.wanted.rehearsal or ("context" in vars(self) and self.context.rehearsal)

    def get_default_screen(self) -> Page:
        """The first page: the question as it stood before a pause, or which job. It needs neither store nor rules."""
        return WaitPage(self.wanted.kept, self.wanted.job) if self.wanted.job else StartPage(self.wanted)

    def on_mount(self) -> None:
        """Once the first page stands, what comes next is read beside it."""
        self.call_after_refresh(self._stands)
        self.set_interval(LOOK_EVERY_S, self.idling.look)

    async def on_event(self, event: events.Event) -> None:
        """Notes every touch on its way."""
        self.idling.touched(event)
        page = self.screen_stack[-1] if self.screen_stack else None
        if isinstance(event, events.Key) and isinstance(page, Page) and not page.takes(event):
            self.bell()
            return
        await super().on_event(event)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While the content is hidden, only the keys that may work at any moment do."""
        hidden = self.idling.hidden and action not in WHILE_HIDDEN
        return False if hidden else super().check_action(action, parameters)

    def _stands(self) -> None:
        gc.freeze()  # what was loaded for the first page stays; what comes now may be cleared away
        gc.enable()
        self._read(Ready, NEEDED_FOR_JOBS)

    @property
    def desk(self) -> Desk:
        """Everything that needs the rules."""
        assert self._desk is not None
        return self._desk

    @property
    def at_desk(self) -> Desk | None:
        """The same, or none before the rules are read."""
        return self._desk

    @property
    def sitting(self) -> Session | None:
        """The sitting with a job; none before its rules are read."""
        return self._desk.session if self._desk is not None else None

    def say(self, words: str) -> str:
        """A sentence in the language the rules of the job are read in. Widgets call it where they draw."""
        return self.sitting.say(words) if self.sitting is not None else self.wanted.say(words)

    @property
    def session(self) -> Session:
        """The sitting with a job."""
        return self.desk.session

    def sit_at(self, desk: Desk | None) -> None:
        """Puts another sitting in the place of the one before, or none."""
        self._desk = desk

    # -- opening a job; what it needs is read beside the interface

    def load_then_resume(self, number: str, milestone: str = "") -> None:
        """Takes a job up again once its rules are read, at a point of the work where one is named."""
        from riskhelper.acts.job.jobs import list_jobs

        code = next(line.local_code for line in list_jobs(self.context) if line.number == number)
        self._load(code, number, milestone=milestone)

    def leave_for(self, number: str, milestone: str) -> None:
        """Leaves the pages in front and takes a job up at a point of the work."""
        while len(self.screen_stack) > 1:
            self.pop_screen()
        self.load_then_resume(number, milestone)

    def load_then_open(self, code: str, number: str) -> None:
        """Opens a job once its rules are read."""
        self._load(code, number, opens=True)

    def _load(self, code: str, number: str, *, opens: bool = False, milestone: str = "") -> None:
        if not isinstance(self.screen, WaitPage):
            self._next_page(WaitPage(self.wanted.kept, "" if opens else number))
        rules = self.context.rules

        def read() -> Ready:
            rules(code)
            return Ready(number, code, opens, milestone)

        self.call_after_refresh(self._read, read, NEEDED_FOR_QUESTIONS)

    def _next_page(self, page: Page) -> AwaitMount | AwaitComplete:
        """Puts a page in the place of the one before; the very first page stays at the bottom, as Textual asks."""
        return self.push_screen(page) if len(self.screen_stack) == 1 else self.switch_screen(page)

    def _read(self, read: Callable[[], Ready], module: str) -> None:
        """Imports a module and reads more, beside the interface."""

        def beside() -> Ready:
            import_module(module)
            return read()

        self.run_worker(beside, thread=True, group="reading", exit_on_error=False)

    async def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Something is read, or the search for acts is done."""
        result = event.worker.result
        if not self.screen_stack:
            return  # the person has left in the meantime
        if event.state is WorkerState.ERROR and isinstance(event.worker.error, Exception):
            self._handle_exception(event.worker.error)
        elif event.state is WorkerState.SUCCESS and isinstance(result, Ready):
            await self._go_on(result)
        elif event.state is WorkerState.SUCCESS and result is not None and not self.idling.hidden:
            self.desk.findings.change(event.worker.name, result)

    async def _go_on(self, ready: Ready) -> None:
        """Goes on with what is read; a page in front of the first one is left alone, and that one waits."""
        job, page = self.wanted.job, self.screen
        if not isinstance(page, (StartPage, WaitPage)):
            self._held = ready
        elif ready.number or ready.code:
            await self._start(ready)
        elif isinstance(page, StartPage):
            await page.show_jobs()
        elif job in self.context.store.jobs():
            self.load_then_resume(job)
        elif self.wanted.local_code:
            self.load_then_open(self.wanted.local_code, job)
        else:
            await self._next_page(StartPage(self.wanted, number=job))

    async def card_gone(self) -> None:
        """The card before the first page is gone: goes on with what was read behind it."""
        held, self._held = self._held, None
        if held is not None:
            await self._go_on(held)

    async def _start(self, ready: Ready) -> None:
        from riskhelper.tui.desk import AskPage, Desk

        desk = Desk(self, self.wanted._replace(milestone=ready.milestone or self.wanted.milestone))
        try:
            if ready.opens:
                desk.session.open(ready.code, ready.number)
            else:
                desk.session.resume(ready.number)
        except Refused as refusal:
            await self._next_page(StartPage(self.wanted, refusal=f"{refusal}."))
            return
        self._desk = desk
        keys = self._held_keys(desk.session)
        await self._next_page(AskPage())
        for key in keys:
            self.simulate_key(key.key)

    def _held_keys(self, session: Session) -> list[events.Key]:
        """The keys pressed while the rules were read, as far as they count for the question that comes now."""
        waiting, asked = self.screen, session.next_question
        if not isinstance(waiting, WaitPage):
            return []
        keys = waiting.keys_for(asked, session.rules.questions[asked].type) if asked is not None else []
        if len(keys) < len(waiting.keys_held):
            session.notice = f"{session.notice} {KEYS_NOT_TAKEN}".strip()
        return keys

    # -- what pages ask for

    def go(self, where: str) -> None:
        """Goes to a part of the interface by its name."""
        self.desk.menus.go(where)

    def ask_again(self, question: str) -> None:
        """Asks a question by name, from wherever one is."""
        self.desk.ask_again(question)

    def to_questions(self) -> None:
        """Goes back to the page of questions."""
        while not self.screen.has_class("-questions") and len(self.screen_stack) > 1:
            self.pop_screen()

    # -- keys that work at any moment

    def action_help(self) -> None:
        """The keys."""
        from riskhelper.tui.help import HelpPage, help_lines

        at_gate = isinstance(self.screen, Page) and self.screen.AT_GATE
        at_gate = at_gate or (self.sitting is not None and self.sitting.only_reads)
        signed = isinstance(self.screen, Page) and self.screen.SIGNED and not self.screen.AT_GATE
        self._once(HelpPage("Keys", help_lines(at_gate=at_gate, signed=signed)))

    def action_emergency(self) -> None:
        """The emergency card."""
        from riskhelper.tui import cards

        in_front, _ = self._job_in_front()
        self._sheet("Emergency card", cards.emergency(self.sitting, self.context, in_front))

    def action_leak(self) -> None:
        """The leak card."""
        from riskhelper.tui import cards

        in_front, _ = self._job_in_front()
        self._sheet("Leak card", cards.leak(self.sitting, self.context, in_front))

    def action_stop(self) -> None:
        """Stops the work; it is saved before anything is drawn."""
        from riskhelper.acts.job.cards import stop_without_job
        from riskhelper.acts.job.stopping import stop_work, tell_stop

        job, of_site = self._job_in_front()
        if of_site and self._permits is not None:
            self._permits.open_zone()
            return
        tell: Callable[[str, str], object] | None = None
        if self.sitting is not None and job in ("", self.wanted.job, self.sitting.state.number):
            self.sitting.stop_work()
            tell, job = self.sitting.tell_stop, self.sitting.state.number
        elif job in self.context.store.jobs():
            stop_work(self.context, job, self.wanted.milestone)
            tell = partial(tell_stop, self.context, job)
        from riskhelper.tui import cards

        if tell is not None:
            self._once(cards.StopPage(tell, cards.stopped_words(self.context, job)))
        elif self._permits is not None:
            self._permits.open_zone()
        else:
            self._sheet("STOP", stop_without_job())

    def action_hide(self) -> None:
        """Hides what stands here until somebody types their passphrase; nobody to type one: it stays."""
        if not self.idling.hide():
            self.bell()

    def _job_in_front(self) -> tuple[str, bool]:
        """The job of the page in front, or of the one it lies on; and whether that page is about the whole site."""
        for page in reversed(self.screen_stack):
            if isinstance(page, Page) and page.job_in_front:
                return page.job_in_front, False
            if isinstance(page, Page) and page.OF_SITE:
                return "", True
        return self.wanted.job, False

    def _sheet(self, title: str, lines: Sequence[str]) -> None:
        from riskhelper.tui.pages import Sheet

        self._once(Sheet(title, lines))

    def _once(self, page: Page) -> None:
        """Puts a card in front, in the place of another card unless words are written there."""
        if isinstance(self.screen, Page) and self.screen.IS_CARD and not self.screen.holds_words:
            self.pop_screen()
        self.push_screen(page)

    def action_jump(self) -> None:
        """The answers by place."""
        if self.sitting is not None and self._may_leave_page():
            self.to_questions()
            self.go("jump")

    def action_findings(self) -> None:
        """What was found."""
        if self.sitting is not None and self._may_leave_page():
            self.to_questions()
            self.go("findings")

    def action_more(self) -> None:
        """Everything else."""
        if self.sitting is not None and self._may_leave_page():
            self.to_questions()
            self.desk.menus.more()

    def action_permits(self) -> None:
        """The sheet of permits, and from there everything that is signed."""
        from riskhelper.tui.permits.desk import PermitDesk

        self._permits = self._permits or PermitDesk(self)
        self._permits.open()

    def action_waiting(self) -> None:
        """The plans that wait at the gate."""
        from riskhelper.tui.waiting.list_page import open_list

        open_list(self)

    def action_undo(self) -> None:
        """Takes back the latest entry, after a doubt."""
        if self.sitting is not None and self._may_leave_page():
            self.go("undo")

    def _may_leave_page(self) -> bool:
        """Words written and not saved yet are not thrown away by a key that goes elsewhere."""
        writing = next((p for p in self.screen_stack if isinstance(p, Page) and p.holds_words), None)
        if writing is None:
            return True
        while self.screen is not writing:
            self.pop_screen()
        writing.tell_unsaved()
        return False

    def action_leave(self) -> None:
        """Leaves; every answer is saved."""
        self.exit()

    def _handle_exception(self, error: Exception) -> None:
        """A refusal is told on a sheet. A fault before there is a sitting or a sheet of permits, or one nobody
        expected, ends the interface; the command line tells it in words, and writes the report."""
        from riskhelper.acts.telling import Cause, cause_of, told

        if cause_of(error) is not Cause.UNEXPECTED and (self.sitting or self._permits) is not None:
            self._sheet("Not possible", [*told(error), "", "What was shown as saved is saved."])
            return
        self.fault = self.fault or error
        self.exit()
