"""Start a job or take one up again by its number."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from riskhelper.tui import wording
from riskhelper.tui.frame import Page
from riskhelper.tui.rows import Row, Rows, keyed
from riskhelper.tui.words import Words

if TYPE_CHECKING:  # read beside the first page
    from riskhelper.acts.job.jobs import JobLine
    from riskhelper.acts.job.kept_page import KeptPage
    from riskhelper.tui.app import Wanted

TAKE = "?take"
AGAIN = "?again"
SITE = "?site"


class StartPage(Page):
    """The first page: which job, and for a new one its local code. The jobs there are follow once they are read."""

    KEYS = (("F1", "keys", "help"), ("F2", "plans waiting", "waiting"), ("Ctrl+Q", "leave", "leave"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "to_rows", show=False),
        Binding("f2", "waiting", show=False),
    ]

    def __init__(self, wanted: Wanted, refusal: str = "", number: str = "") -> None:
        super().__init__()
        self._wanted = wanted
        self._refusal = refusal
        self._number = number
        self._asks_code = bool(number)
        self._later = bool(number or refusal)
        self.jobs: tuple[JobLine, ...] | None = None

    def compose_body(self) -> ComposeResult:
        """Words, the field for the number, rows."""
        yield Words()
        field = Input(id="number", max_length=40, select_on_focus=False)
        field.border_title = self.interface.say("Number of the job")
        yield field
        yield Rows(id="rows")

    async def shown(self, first: bool) -> None:
        """Asks which job; after a card the step stays as it is."""
        if first:
            self._show_step()
            if self._later:
                await self.show_jobs()
        else:
            self.show_frame()
            await self.interface.card_gone()

    async def show_jobs(self) -> None:
        """The jobs there are, once they are read; what was typed in the meantime stays."""
        from riskhelper.acts.job.jobs import list_jobs

        self.jobs = list_jobs(self.interface.context)
        if not self._asks_code:
            self._show_words()
            self._show_rows()

    def _show_step(self) -> None:
        self.show_frame()
        self.query_one(Input).set_class(self._asks_code, "-hidden")
        self._show_words()
        self._show_rows()

    def _show_words(self) -> None:
        words = self.query_one(Words)
        if self._asks_code:
            which = f"Job {self._number} is new." if self._number else "The job takes the next free number."
            words.say(
                (f"{which} Which local code applies here?", "bold"),
                ("Distances and words differ by law. It stays fixed for this job; the site tells which.", ""),
            )
        else:
            words.say(
                (self._refusal, "bold"),
                ("Which job?", "bold"),
                ("Write its number, as it stands on the job sheet. A number not known here starts a new job.", ""),
                ("Or go down to one of the jobs below." if self.jobs else "", ""),
            )

    def _show_rows(self) -> None:
        rows = self.query_one(Rows)
        if self._asks_code:
            rows.show([*keyed([*self._codes()]), Row(AGAIN, "Write another number.", "Esc")])
            rows.focus()
            return
        taken = [
            Row(
                line.number,
                f"{line.number}: {wording.plural(line.answers, 'answer')}, last worked on "
                f"{wording.day(line.last)}" + (f", {line.plan}" if line.plan else ""),
            )
            for line in self.jobs or ()
        ]
        here = rows.cursor
        site = [] if self.jobs is None else [Row(SITE, "Permits, isolation register, people.", "F12")]
        rows.show([Row(TAKE, "Take this number. Left empty: the next free one.", "Ent"), *taken, *site], here)
        if here < 0:
            self.query_one(Input).focus()

    def _codes(self) -> Iterator[Row]:
        codes, asked_for = self.interface.context.local_codes, self._wanted.local_code
        for code, title in sorted(codes.items()):
            if asked_for in ("", code) or asked_for not in codes:
                yield Row(code, f"{title} ({code})")

    @on(Input.Submitted)
    def numbered(self, event: Input.Submitted) -> None:
        """The number is written."""
        event.stop()
        self._take(event.value.strip())

    def _take(self, number: str) -> None:
        self._number, self._refusal = number, ""
        if number in self.interface.context.store.jobs():
            self.interface.load_then_resume(number)
            return
        self._asks_code = True
        self._show_step()

    @on(Rows.Chosen)
    async def chosen(self, event: Rows.Chosen) -> None:
        """A row was chosen."""
        event.stop()
        if event.name == AGAIN:
            await self.action_back()
        elif self._asks_code:
            self.interface.load_then_open(event.name, self._number)
        elif event.name == SITE:
            self.interface.action_permits()
        elif event.name == TAKE:
            self._take(self.query_one(Input).value.strip())
        else:
            self.interface.load_then_resume(event.name)

    def action_waiting(self) -> None:
        """The plans that wait at the gate, once the jobs are read."""
        if self.jobs is not None and not self._asks_code:
            self.interface.action_waiting()

    def action_to_rows(self) -> None:
        """From the field to the rows."""
        self.query_one(Rows).focus()
        self.query_one(Rows).action_move(1)

    async def action_back(self) -> None:
        """Back to the number."""
        if self._asks_code:
            self._asks_code = False
            self._show_step()
            self.query_one(Input).focus()


class WaitPage(Page):
    """The question as it stood before the pause, while the rules are read. It takes no answer: keys wait."""

    KEYS = (("Ctrl+Q", "leave", "leave"),)

    def __init__(self, folder: Path | None, number: str) -> None:
        super().__init__()
        self._folder = folder
        self._number = number
        self.kept: KeptPage | None = None
        self.keys_held: list[events.Key] = []

    def compose_body(self) -> ComposeResult:
        """Words and rows."""
        yield Words()
        yield Rows(id="rows")

    async def shown(self, first: bool) -> None:
        """The question as it was kept; after a card, goes on with what was read behind it."""
        self.show()
        if not first:
            await self.interface.card_gone()

    def show(self) -> None:
        """The question as it was kept."""
        self.show_frame()
        if self._folder is not None and self._number:
            from riskhelper.acts.job.kept_page import kept_page

            self.kept = kept_page(self._folder, self._number)
        if self.kept is None:
            self.query_one(Words).say(("Reading the rules ...", "bold"))
            return
        parts = [("Reading the rules ... keys wait until they are read.", "italic"), (self.kept.ask, "bold")]
        self.query_one(Words).say(*parts, (f"Why: {self.kept.why}", ""))
        self.query_one(Rows).show([Row("", words, key) for key, words in self.kept.rows])

    def on_key(self, event: events.Key) -> None:
        """Holds a key until the question is asked in earnest."""
        event.stop()
        self.keys_held.append(event)

    def keys_for(self, name: str, kind: str) -> list[events.Key]:
        """The held keys that count for a question, by its name and type.

        All of them where it stood here to be read. Nobody answers a question unseen: of another one only what would
        be written into its field, which saves nothing.
        """
        if self.kept is not None and self.kept.question == name:
            return self.keys_held
        into_field = {"text": str.isprintable, "number": frozenset("0123456789+-.,").__contains__}.get(kind)
        if into_field is None:
            return []
        return [*takewhile(lambda key: key.character is not None and into_field(key.character), self.keys_held)]

    async def action_back(self) -> None:
        """There is nothing before this page."""
        self.app.bell()
