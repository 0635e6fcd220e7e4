"""One plan in ten seconds: verdict, stops, unknowns, worst, numbers, changes, pace; each line opens its reasons."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from riskhelper.acts.plan import plan_words
from riskhelper.acts.plan.pace import pace_lines, pace_words
from riskhelper.acts.plan.plan_envelope import plan_envelope
from riskhelper.acts.plan.plan_reading import PlanRead, day_lines
from riskhelper.assessment.result import StopFinding
from riskhelper.interview.reading import readable
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Verdict
from riskhelper.tui import wording
from riskhelper.tui.frame import Page
from riskhelper.tui.menus import DAY_ROW
from riskhelper.tui.pages import Lines, ListPage, Sheet
from riskhelper.tui.rows import Row, Rows, keyed
from riskhelper.tui.words import Words

if TYPE_CHECKING:
    from riskhelper.tui.waiting.desk import GateDesk

_ROOMY_FROM, _TALL_FROM = 40, 30
_MOST_STOPS = ((_ROOMY_FROM, 12), (_TALL_FROM, 5), (0, 3))
"""How many stops stand on the page from a height on, so that the worst hazards stand below them in sight."""
_BORDERS = {Verdict.STOP: "-stop", Verdict.CONDITIONS: "-conditions", Verdict.NO_STOP_FOUND: "-no-stop"}


class PlanPage(Page):
    """The plan as it stands; pages over it come back here."""

    TITLE_WORDS = "plan at the gate"
    CSS = """
    PlanPage VerdictView { display: none; }
    PlanPage #words { border: solid $ink; padding: 0 1; height: auto; max-height: 40%; }
    PlanPage #words.-stop { border: heavy $ink; }
    PlanPage #words.-conditions { border: dashed $ink; }
    """
    KEYS = (
        ("F1", "keys", "help"),
        ("F2", "DECIDE", "decide"),
        ("Esc", "list", "back"),
        ("F5", "answers", "jump"),
        ("F10", "more", "more"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f2", "decide", "decide", show=False)]

    def __init__(self, desk: GateDesk) -> None:
        super().__init__()
        self.add_class("-questions")
        self._desk = desk
        self.job_in_front = desk.session.state.number

    def compose_body(self) -> ComposeResult:
        """The verdict in its border, and rows."""
        yield Words()
        yield Rows(id="rows")

    def show(self) -> None:
        """The plan as it stands now; an answer somebody asked about is shown on a page of its own."""
        read = self._read = self._desk.read()
        self.show_frame()
        words = self.query_one(Words)
        for verdict, name in _BORDERS.items():
            words.set_class(verdict is read.assessment.verdict, name)
        said = plan_words.verdict_words(read)
        words.say((self.session.notice, "italic"), (said, "bold"), (plan_words.stands_words(read), ""))
        rows = self.query_one(Rows)
        rows.show(keyed(list(self._rows(read))), max(rows.cursor, 0))
        rows.focus()
        asked, self.session.asked_again = self.session.asked_again, None
        if asked is not None:
            self.answer(asked)

    def _rows(self, read: PlanRead) -> Iterator[Row]:
        found, rules = read.assessment, read.state.rules
        for place, changed in enumerate(read.after_a_stop):
            mark = "CHANGED AFTER ITS STOP WAS SHOWN"
            yield Row(f"changed:{place}", plan_words.after_stop_words(changed), mark=mark)
        stops = plan_words.stops_in_order(found)
        most = next(most for height, most in _MOST_STOPS if self.size.height >= height)
        shown = stops if len(stops) <= most + 1 else stops[:most]
        yield from (_stop_row(rules, stop, why=self.size.height >= _TALL_FROM) for stop in shown)
        if rest := stops[len(shown) :]:
            mark = "STOP" if rest[0].holds else "STOP NOT RULED OUT"
            yield Row("stops", plan_words.more_stops_words(rest), mark=mark)
        yield Row("first", plan_words.unknown_words(read), mark="Not known")
        roomy = self.size.height >= _ROOMY_FROM
        for hazard in found.worst:
            lines = tuple(wording.lanes(rules, hazard)) if roomy else ()
            yield Row(f"hazard:{hazard.id}", plan_words.hazard_words(hazard), mark="Worst", lines=lines)
        yield Row("changes", plan_words.change_words(read), mark="Changes")
        for number in read.numbers:
            yield Row(f"number:{number.quantity.id}", plan_words.number_words(number, read.now), mark="Number")
        yield Row("pace", pace_words(read.pace), mark="Pace")
        if found.conditions:
            yield Row("conditions", wording.plural(len(found.conditions), "condition") + ", by hold point.")
        yield Row("envelope", "The envelope: given answers and expected ranges within which this holds.")
        yield Row("day", DAY_ROW)
        yield Row("statement", "Read the method statement.")
        yield Row("decide", "Decide: evaluate, give back, refuse, approve.")

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Opens the reasons of a row."""
        event.stop()
        kind, _, about = event.name.partition(":")
        found, findings = self._read.assessment, self._desk.findings
        if kind == "changed":
            self._changed(int(about))
        elif kind == "stop":
            findings.stop(next(stop for stop in found.stops if stop.id == about))
        elif kind == "hazard":
            findings.hazard(next(hazard for hazard in found.hazards if hazard.id == about))
        elif kind == "number":
            findings.working(next(q for q in found.quantities if q.id == about))
        elif kind == "stops":
            self._all_stops()
        elif kind == "first":
            findings.find_out()
        elif kind == "conditions":
            findings.conditions()
        elif kind == "statement":
            self.interface.go("statement")
        elif kind == "decide":
            self.action_decide()
        else:
            self.app.push_screen(Sheet(*self._sheet(kind)))

    def _sheet(self, kind: str) -> tuple[str, Lines]:
        read = self._read
        if kind == "changes":
            return "What changed", plan_words.change_lines(read)
        if kind == "pace":
            return "How it was answered", pace_lines(read.pace)
        if kind == "envelope":
            envelope = plan_envelope(read.state, read.now)
            intro = ["An approval covers this and nothing beyond it. Anything outside of it is a new plan.", ""]
            return "The envelope", [*intro, *envelope.lines]
        return "The day on one line", partial(day_lines, self.interface.context, read)

    def _all_stops(self) -> None:
        stops = plan_words.stops_in_order(self._read.assessment)

        def rows() -> list[Row]:
            return [_stop_row(self.session.rules, stop, why=True) for stop in stops]

        def chosen(name: str) -> None:
            self._desk.findings.stop(next(stop for stop in stops if name == f"stop:{stop.id}"))

        self.app.push_screen(ListPage("Stops", "Certain ones first. Each opens its reasons.", rows, chosen))

    def _changed(self, place: int) -> None:
        changed = self._read.after_a_stop[place]
        lines = [changed.ask, "", f"Was: {changed.old}", f"Now: {changed.new}"]
        lines += [f"Now known: {changed.how}" if changed.how else "It has no answer now.", ""]
        lines += [f"This stop stood on it when it was shown: {title}" for title in changed.stops]
        lines += ["", "Ask how it was found out, and look for yourself where you can."]
        self._about(changed.question, "Changed after its stop was shown", lines)

    def answer(self, question: str) -> None:
        """One answer: what was said, by whom, when, and from where."""
        entry, given = self.session.rules.questions[question], self.session.answer_to(question)
        lines = [entry.ask, f"Why it is asked: {entry.why}", ""]
        if given is None:
            lines.append("No answer yet.")
        elif entry.private:
            lines.append("Answered in private. What it says is not shown.")
        else:
            source = f", from the {given.source}" if given.source else ""
            lines.append(f"Answer: {readable(entry, given)}")
            lines.append(f"Given {wording.by(given.who)}, {wording.day(given.at)}{source}")
            lines += [f"Note: {given.note}"] if given.note else []
        self._about(question, "An answer", lines)

    def _about(self, question: str, title: str, lines: list[str]) -> None:
        def rows() -> list[Row]:
            found = [Row("back", "Back to the plan.")]
            if self._desk.deciding.can_give_back:
                found.append(Row("return", "Give the plan back with a note to this question."))
            return found

        def chosen(name: str) -> None:
            self.interface.screen.dismiss()
            if name == "return":
                self._desk.deciding.give_back(question)

        self.app.push_screen(ListPage(title, "\n".join(lines), rows, chosen))

    def action_decide(self) -> None:
        """What can be decided now."""
        self._desk.deciding.choose()


def _stop_row(rules: RuleSet, stop: StopFinding, *, why: bool) -> Row:
    return Row(f"stop:{stop.id}", plan_words.stop_words(rules, stop, why=why), mark=plan_words.stop_mark(stop))
