"""Start a job or take one up again by its number."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events, on
from textual.app import ComposeResult
from textual.widgets import Input

from riskhelper.acts.jobs import list_jobs
from riskhelper.acts.kept_page import KeptPage
from riskhelper.tui import wording
from riskhelper.tui.frame import Page
from riskhelper.tui.pages import Words
from riskhelper.tui.rows import Row, Rows, keyed

if TYPE_CHECKING:
    from riskhelper.tui.app import Wanted

NEW = "?new"


class StartPage(Page):
    """The first page: which job, and for a new one its number and its local code."""

    KEYS = (("F1", "keys", "help"), ("ctrl+q", "leave", "leave"))

    def __init__(self, wanted: Wanted, refusal: str = "") -> None:
        super().__init__()
        self._wanted = wanted
        self._refusal = refusal
        self._number = wanted.job
        self._step = "code" if wanted.job and not refusal else "job"

    def compose_body(self) -> ComposeResult:
        """Words and rows."""
        yield Words()
        yield Rows(id="rows")

    async def shown(self, first: bool) -> None:
        """Starts with the list of jobs, where there are any; afterwards the step stays as it is."""
        if not first:
            self.show_frame()
            return
        if self._step == "job" and not list_jobs(self.interface.context):
            self._step = "number"
        await self.show_step()

    async def show_step(self) -> None:
        """Shows the step reached."""
        self.show_frame()
        words, rows = self.query_one(Words), self.query_one(Rows)
        for field in self.query(Input):
            await field.remove()
        if self._step == "job":
            lines = list_jobs(self.interface.context)
            words.say((self._refusal, "bold"), ("Which job?", "bold"))
            listed = [
                Row(
                    line.number,
                    f"{line.number}: {wording.plural(line.answers, 'answer')}, last worked on "
                    f"{wording.day(line.last)}" + (", plan handed over" if line.plan_requested else ""),
                )
                for line in lines
            ]
            rows.show(keyed([Row(NEW, "Start a new job."), *listed]))
            rows.focus()
        elif self._step == "number":
            words.say(
                (self._refusal, "bold"),
                ("Which number has the new job?", "bold"),
                ("It stands on the job sheet. Left empty, the next free number is taken.", ""),
            )
            field = Input(id="number", max_length=40)
            field.border_title = "Number of the job"
            await self.query_one("#body").mount(field, before=rows)
            rows.show([Row(NEW, "Take this number.", "Ent")])
            field.focus()
        else:
            codes = self.interface.context.local_codes
            words.say(
                (self._refusal, "bold"),
                ("Which local code applies here?", "bold"),
                ("Distances and words differ by law. It stays fixed for this job; the site tells which.", ""),
            )
            rows.show(keyed([Row(code, f"{title} ({code})") for code, title in sorted(codes.items())]))
            rows.focus()

    @on(Input.Submitted)
    async def numbered(self, event: Input.Submitted) -> None:
        """The number is written."""
        event.stop()
        await self._numbered(event.value)

    async def _numbered(self, number: str) -> None:
        self._number = number.strip()
        self._refusal = ""
        if self._number in self.interface.context.store.jobs():
            self.interface.load_then_resume(self._number)
        elif self._wanted.local_code:
            self.interface.load_then_open(self._wanted.local_code, self._number)
        else:
            self._step = "code"
            await self.show_step()

    @on(Rows.Chosen)
    async def chosen(self, event: Rows.Chosen) -> None:
        """A row was chosen."""
        event.stop()
        if self._step == "code":
            self.interface.load_then_open(event.name, self._number)
        elif self._step == "number":
            await self._numbered(self.query_one(Input).value)
        elif event.name == NEW:
            self._step = "number"
            await self.show_step()
        else:
            self.interface.load_then_resume(event.name)

    async def action_back(self) -> None:
        """One step back."""
        before = {"code": "number", "number": "job"}.get(self._step)
        if before == "job" and not list_jobs(self.interface.context):
            before = None
        if before is not None:
            self._step = before
            self._refusal = ""
            await self.show_step()


class WaitPage(Page):
    """The question as it stood before the pause, while the rules are read. It takes no answer: keys wait."""

    KEYS = (("ctrl+q", "leave", "leave"),)

    def __init__(self, kept: KeptPage | None) -> None:
        super().__init__()
        self.kept = kept
        self.keys_held: list[str] = []

    def compose_body(self) -> ComposeResult:
        """Words and rows."""
        yield Words()
        yield Rows(id="rows")

    def show(self) -> None:
        """The question as it was kept."""
        self.show_frame()
        if self.kept is None:
            self.query_one(Words).say(("Reading the rules ...", "bold"))
            return
        parts = [("Reading the rules ... keys wait until they are read.", "italic"), (self.kept.ask, "bold")]
        self.query_one(Words).say(*parts, (f"Why: {self.kept.why}", ""))
        self.query_one(Rows).show([Row("", words, key) for key, words in self.kept.rows])

    def on_key(self, event: events.Key) -> None:
        """Holds a key until the question is asked in earnest."""
        event.stop()
        self.keys_held.append(event.key)
