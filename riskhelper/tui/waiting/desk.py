"""A plan in front of whoever decides on it: read, never written; the pages over it are those of the worker's desk."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Protocol, runtime_checkable

from riskhelper.acts.plan.plan_reading import PlanRead, begin_look, read_plan
from riskhelper.terms import APPROVAL
from riskhelper.tui import themes
from riskhelper.tui.controls import Controls
from riskhelper.tui.desk import Desk
from riskhelper.tui.found import Findings
from riskhelper.tui.menus import THEME_WORDS, Menus
from riskhelper.tui.rows import Row
from riskhelper.tui.waiting.deciding import Deciding

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface


@runtime_checkable
class AnswerShown(Protocol):
    """A page that shows how an answer is known."""

    def answer(self, question: str) -> None:
        """Shows one answer."""


class GateDesk(Desk):
    """The sitting of a reader: it resumes a job at approval and changes nothing in it."""

    def __init__(self, interface: Interface, number: str) -> None:
        super().__init__(interface, interface.wanted._replace(job=number, milestone=APPROVAL))
        self.interface = interface
        self.findings = ReadFindings(interface, self.session)
        self.controls = ReadControls(interface, self.session)
        self.menus = GateMenus(interface, self.session)
        self.deciding = Deciding(interface, self)
        self.session.only_reads = True
        self._size = -1
        self._catch_up(number)
        self._baseline = begin_look(interface.context, self._entries)

    def _catch_up(self, number: str) -> None:
        """Reads the job as it stands; what the worker is told on taking it up again is not for a reader."""
        store, notice = self.interface.context.store, self.session.notice
        self._size = store.size()
        self._entries = store.entries(number)
        self.session.resume(number)
        self.session.notice, self.session.asked_again = notice, None

    def read(self) -> PlanRead:
        """The plan as it stands now."""
        context, session = self.interface.context, self.session
        if context.store.size() != self._size:
            self._catch_up(session.state.number)
        session.assess()
        return read_plan(context, session.state, self._entries, session.assessment, self._baseline)

    def ask_again(self, question: str) -> None:
        """Shows how an answer is known, over the page that asked: leaving it goes back there."""
        plan = next(page for page in self.interface.screen_stack if isinstance(page, AnswerShown))
        plan.answer(question)


class ReadFindings(Findings):
    """What was found, for a reader: an answer is asked about, not given."""

    ANSWER_MARK = "ask about this"
    FIND_OUT_INTRO = "The gravest first. Choose one to see how it is known, or to ask about it."

    def _rows(self) -> Iterator[Row]:
        return (row for row in super()._rows() if row.name != "controls")


class ReadControls(Controls):
    """The controls as planned: to be read."""

    TITLE = "The controls as planned"

    def _act_rows(self, control: str) -> Iterator[Row]:
        yield Row("back", f"Back. It is {self.state_words(control)}; the worker's side plans it.")


class GateMenus(Menus):
    """Everything else, for a reader."""

    def _waiting(self) -> None:
        while not self.interface.screen.has_class("-waiting") and len(self.interface.screen_stack) > 1:
            self.interface.pop_screen()

    JUMP_INTRO = "Choose one to see how it is known, or to give the plan back with a note to it."

    def _more_rows(self) -> Iterator[Row]:
        yield Row("statement", "Read the method statement.")
        yield Row("papers", "Write the method statement as PDF and as text.")
        yield Row("office", "Answers from the office, with source and date.")
        yield Row("controls", "Read the controls, hazard by hazard.")
        yield Row("permits", "Permits, isolation register, people.")
        yield Row("waiting", "Back to the list of plans that wait.")
        for name in themes.NAMES:
            if name != self.interface.theme and not self.interface.plain_ink:
                yield Row(f"theme:{name}", f"Look: {THEME_WORDS[name]}")
        yield Row("leave", "Leave.")
