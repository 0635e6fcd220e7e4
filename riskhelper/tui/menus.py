"""Everything that is not a question: the list of answers, papers, taking back, looks, leaving."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from riskhelper.acts.context import Refused
from riskhelper.acts.job import office
from riskhelper.acts.job.findings import CAUTION
from riskhelper.acts.job.plant_files import PlantFaults
from riskhelper.terms import PLACE_WORDS
from riskhelper.tui import themes, wording
from riskhelper.tui.pages import Doubt, ListPage, Sheet, Typing
from riskhelper.tui.rows import Row
from riskhelper.tui.site import SiteLines
from riskhelper.tui.taken_back import entry_words

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
    from riskhelper.tui.session import Session

DAY_ROW = "The day on one line: daylight, weather, permit window, hold points."
BY_PLACE = "Arrows left and right go from place to place."


class Menus:
    """Pages reached from the keys F5 and F10."""

    JUMP_INTRO = "Choose one to answer it again."

    def __init__(self, interface: Interface, session: Session) -> None:
        self.interface = interface
        self.session = session
        self.site = SiteLines(interface, session)

    def more(self) -> None:
        """What else there is."""
        self._push("More", "", self._more_rows, self.go)

    def _more_rows(self) -> Iterator[Row]:
        yield Row("questions", "Go back to the questions.")
        yield Row("controls", "Plan the controls, one by one.")
        yield Row("point", f"The work has come to another point. Questions now: {self.session.point}.")
        yield Row("first", "Find these out first: what is not known.")
        yield Row("statement", "Read the method statement.")
        yield Row("papers", "Write the method statement as PDF and as text.")
        yield Row("day", DAY_ROW)
        yield Row("site", "Say where the site is and whom to call.")
        yield Row("office", "Answers from the office, with source and date.")
        yield Row("permits", "Permits, isolation register, people.")
        yield Row("waiting", "Plans that wait at the gate, and what was decided lately.")
        yield Row("undo", "Take back the latest entry.")
        yield Row("hand_over", "Hand the plan over to be read.")
        if self.session.stop is not None:
            yield Row("end_stop", "The issuer has ended the stop: write down the issuer's words.")
        for name in themes.NAMES:
            if name != self.interface.theme and not self.interface.plain_ink:
                yield Row(f"theme:{name}", f"Look: {THEME_WORDS[name]}")
        yield Row("leave", "Leave. Every answer is saved.")

    def go(self, where: str) -> None:
        """Goes to a part of the interface by its name."""
        if where.startswith("theme:"):
            self.interface.theme = where.removeprefix("theme:")
            self.interface.screen.dismiss()
        else:
            getattr(self, f"_{where}")()

    def _permits(self) -> None:
        self.interface.action_permits()

    def _waiting(self) -> None:
        self.interface.action_waiting()

    def _questions(self) -> None:
        self.interface.to_questions()

    def _point(self) -> None:
        """Which point the work has come to, the hand on the one it stands at."""

        def rows() -> Iterator[Row]:
            for point in self.session.points:
                number = len(point.open)
                said = f"{wording.plural(number, 'question')} open" if number else "nothing open"
                yield Row(point.name, f"{point.words}: {said}.")

        def chosen(name: str) -> None:
            self.session.stand_at(name)
            self.interface.to_questions()

        intro = "Standing there asks what is seen there. It passes no hold point: the named person releases it."
        self._push("Which point has the work come to?", intro, rows, chosen, self.session.milestone)

    def _controls(self) -> None:
        self.interface.desk.controls.choose()

    def _findings(self) -> None:
        self.interface.desk.findings.open()

    def _first(self) -> None:
        self.interface.desk.findings.find_out()

    def _leave(self) -> None:
        self.interface.exit()

    def _statement(self) -> None:
        self.interface.push_screen(Sheet("Method statement", self.session.statement_lines))

    def _day(self) -> None:
        self.interface.push_screen(Sheet("The day on one line", self.session.day_lines))

    def _site(self) -> None:
        self.site.open()

    def _papers(self) -> None:
        self.site.ask_once(self._write_papers)

    def _write_papers(self) -> None:
        try:
            written = self.session.write_papers()
        except Refused as refusal:
            lines = [f"{refusal}."]
        else:
            lines = ["The papers are written.", "", "For print:", str(written.pdf), "", "The same as plain text:"]
            lines += [str(written.text), "", CAUTION]
        self.interface.push_screen(Sheet("Papers", lines))

    def _keep_plant(self) -> None:
        try:
            file, new = self.session.keep_plant()
        except Refused as refusal:
            lines = [f"{refusal}."]
        except PlantFaults as told:
            lines = ["Nothing was kept: the plant files have faults.", "", *told.faults]
        else:
            said = wording.plural(new, "answer is", "answers are")
            lines = [f"Kept: {said} new or changed.", "", str(file), ""]
            lines += ["The next visit looks again at each one, and confirms it or answers anew."]
        self.interface.push_screen(Sheet("Kept for the next visit", lines))

    def _jump(self) -> None:
        """Answers by place, the hand on the question where one is; choosing one asks it again."""

        def rows() -> Iterator[Row]:
            state, hidden = self.session.state, self.session.pick_again
            place = ""
            for name in self.session.progress.due:
                question = state.rules.questions[name]
                said = office.answer_words(state, name, hidden, self.session.now)
                head = PLACE_WORDS[question.place] if question.place != place else ""
                place = question.place
                yield Row(name, f"{question.ask} {said}", head=head)

        here = self.session.next_question or ""
        self._push("Answers by place", f"{self.JUMP_INTRO} {BY_PLACE}", rows, self.interface.ask_again, here)

    def _office(self) -> None:
        lines = office.office_lines(self.session.state, self.session.pick_again)
        self.interface.push_screen(Sheet("Answers from the office", lines))

    def _undo(self) -> None:
        last = self.session.state.history.undoable

        def take_back() -> None:
            words = self.session.take_back()
            self.session.assess()
            self.session.notice = f"Taken back: {wording.sentence(words)} It stays in the record."
            self.interface.to_questions()

        if last is None:
            why = "The plan was handed over" if self.session.state.history.plan_requested else "Nothing is left"
            self.interface.push_screen(Sheet("Take back", [f"{why}: there is nothing to take back."]))
            return
        words = wording.sentence(entry_words(self.session.rules, last))
        lines = (f"The latest entry is {words}", "Taken back, it no longer counts. It stays in the record.")
        title = "Take back the latest entry?"
        self.interface.push_screen(Doubt(title, lines, "No. Keep it.", "Yes. Take it back.", take_back))

    def _hand_over(self) -> None:
        if self.session.state.history.plan_requested:
            self.interface.push_screen(Sheet("The plan", ["The plan was handed over already."]))
            return
        lines = (
            "From then on nothing earlier can be taken back; a change is a new answer.",
            "Approving the plan and issuing a permit are two acts by other people.",
        )
        self.interface.push_screen(
            Doubt("Hand the plan over to be read?", lines, "No. Leave it open.", "Yes. Hand it over.", self._hand)
        )

    def _hand(self) -> None:
        self.session.hand_over()
        self.session.notice = "Handed over. Nobody has approved it yet; do not start. Now the permit is asked for."
        self._draw_up()

    def _draw_up(self) -> None:
        from riskhelper.tui.waiting.drawing_up import draw_up

        draw_up(self.interface, self.session)

    def _end_stop(self) -> None:
        lines = ("Only the issuer ends a stop. This records the issuer's words; it grants no permission.",)
        fields = ("Name of the issuer", "What the issuer said, word for word")
        page = Typing("The stop is ended", lines, fields, lambda w: self.session.end_stop(w[0], w[1]))
        self.interface.push_screen(page)

    def _push(self, title: str, intro: str, rows: object, chosen: object, at: str = "") -> None:
        assert callable(rows)
        assert callable(chosen)
        self.interface.push_screen(ListPage(title, intro, lambda: list(rows()), chosen, at))


THEME_WORDS = {
    "sun": "ink on paper, for sun.",
    "dusk": "chalk on slate, for dusk and night.",
    themes.ONE_COLOUR: "one colour, the terminal's own.",
}
