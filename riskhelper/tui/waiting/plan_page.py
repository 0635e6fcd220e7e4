"""One plan in ten seconds: verdict, stops, unknowns, worst, numbers, changes, pace; each line opens its reasons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from riskhelper.acts.plan import plan_words
from riskhelper.acts.plan.pace import pace_lines, pace_words
from riskhelper.acts.plan.plan_envelope import plan_envelope
from riskhelper.acts.plan.plan_reading import PlanRead, day_lines
from riskhelper.assessment.ranking import stops_in_order, waiting_for_aged, worst_in_order
from riskhelper.assessment.result import StopFinding
from riskhelper.interview.reading import readable
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Verdict
from riskhelper.tui import wording
from riskhelper.tui.frame import Masthead, Page
from riskhelper.tui.menus import DAY_ROW
from riskhelper.tui.pages import Lines, ListPage, Sheet
from riskhelper.tui.rows import Row, Rows, keyed
from riskhelper.tui.words import Words

if TYPE_CHECKING:
    from riskhelper.tui.waiting.desk import GateDesk

_ROOMY_FROM = 40
AGED = "aged"
"""The row of what must be read again."""
_MOST = 30
"""More stops than this have no line of their own."""
_AROUND = 10
"""Lines that head, verdict and keys take, before the page is drawn for the first time."""
_BORDERS = {Verdict.STOP: "-stop", Verdict.CONDITIONS: "-conditions", Verdict.NO_STOP_FOUND: "-no-stop"}


class _Told(NamedTuple):
    """The ten seconds in words: changes after a stop, the stops and their rows, which rest on ratings, the rest."""

    changed: list[Row]
    special: tuple[StopFinding, ...]
    stops: list[Row]
    rated: frozenset[str]
    rest: list[Row]


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
        self.query_one(Masthead).show(f"Job {read.state.number} - {plan_words.about_words(read)}")
        words = self.query_one(Words)
        for verdict, name in _BORDERS.items():
            words.set_class(verdict is read.assessment.verdict, name)
        verdict_said, *under = plan_words.head_lines(read)
        words.say((self.session.notice, "italic"), (verdict_said, "bold"), *((line, "") for line in under))
        rows = self.query_one(Rows)
        rows.show(keyed(self._rows(read)), max(rows.cursor, 0))
        if not rows.size.height:
            self.call_after_refresh(self._show_rows)
        rows.focus()
        asked, self.session.asked_again = self.session.asked_again, None
        if asked is not None:
            self.answer(asked)

    def _rows(self, read: PlanRead) -> list[Row]:
        """All rows; those of the ten seconds as roomy as they can be with all of them in sight."""
        box, told = self.query_one(Rows), self._told(read)
        room = (box.size.height or self.size.height - _AROUND) - 1
        fewer = range(max(len(told.stops), 2), 1, -1)
        forms = [(True, 9, True, _MOST), (False, 9, True, _MOST), (False, 9, False, _MOST)]
        forms += [(False, aged, False, most) for aged in (9, 4, 3, 2, 1) for most in fewer]
        first: list[Row] = []
        for whole, aged, why, most in forms:
            first = list(self._form(told, whole=whole, aged=aged, why=why, most=most))
            if box.height_of(first) <= room:
                break
        return [*first, *self._further_rows(read)]

    def _told(self, read: PlanRead) -> _Told:
        """Everything of the ten seconds in words, once."""
        found, rules = read.assessment, read.state.rules
        mark = "CHANGED AFTER ITS STOP WAS SHOWN"
        changed = [
            Row(f"changed:{place}", plan_words.after_stop_words(one), mark=mark)
            for place, one in enumerate(read.after_a_stop)
        ]
        special = plan_words.special_stops(found)
        stops = [
            _stop_row(rules, stop, why=False)._replace(lines=(self._one_line(plan_words.reason_line(rules, stop)),))
            for stop in special
        ]
        rest = []
        if aged := plan_words.aged_words(read):
            waits = plan_words.aged_stops_words(read)
            hazards = plan_words.aged_hazards_words(found)
            below = [f"Not ruled out until then: {waits}."] if waits else []
            below += [f"{plan_words.AT_WORST}: {hazards}."] if hazards else []
            rest.append(Row(AGED, aged, mark="READ AGAIN", lines=tuple(below)))
        rest.append(Row("first", plan_words.unknown_words(read), mark="Not known"))
        for hazard in worst_in_order(found):
            drawn = tuple(wording.lanes(rules, hazard)) if self.size.height >= _ROOMY_FROM else ()
            words = plan_words.hazard_words(found, hazard)
            rest.append(Row(f"hazard:{hazard.id}", words, mark="Worst", lines=drawn))
        rated = frozenset(f"stop:{stop.id}" for stop in special if plan_words.is_rated(rules, stop))
        return _Told(changed, special, stops, rated, rest)

    def _form(self, told: _Told, *, whole: bool, aged: int, why: bool, most: int) -> Iterator[Row]:
        """The same in whole sentences or one line each, with reasons or none, so many stops in rows of their own.

        What has aged keeps so many lines for each of its sentences, as stops and hazards stand in it.
        """
        form = (lambda row: row) if whole else self._in_one_line
        yield from told.changed
        shown = told.stops if len(told.stops) <= most + 1 else told.stops[:most]
        for row in shown:
            yield form(row if why or row.name in told.rated else row._replace(lines=()))
        if rest := told.special[len(shown) :]:
            mark = "STOP" if rest[0].holds else "STOP NOT RULED OUT"
            yield form(Row("stops", plan_words.more_stops_words(rest), mark=mark))
        for row in told.rest:
            yield self._in_lines(row, aged) if row.name == AGED and not whole else form(row)

    def _further_rows(self, read: PlanRead) -> Iterator[Row]:
        """Changes, numbers, pace, and what can be read and done."""
        found = read.assessment
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

    def _one_line(self, words: str) -> str:
        """Words cut to the width of a row: the whole stands behind it."""
        return wording.cut(self.session.say(words), self.query_one(Rows).room)

    def _in_one_line(self, row: Row) -> Row:
        """A row of one line at every size, so that all that matters is in sight together."""
        return self._in_lines(row, 1)

    def _in_lines(self, row: Row, most: int) -> Row:
        """A row whose sentences take so many lines each at most."""
        say, room = self.session.say, self.query_one(Rows).room * most
        words = wording.cut(say(row.words), room - len(say(row.mark)) - 2)
        return row._replace(words=words, lines=tuple(wording.cut(say(line), room) for line in row.lines))

    def on_resize(self) -> None:
        """Another width cuts the lines elsewhere."""
        if self.is_current:
            self.call_after_refresh(self._show_rows)

    def _show_rows(self) -> None:
        rows = self.query_one(Rows)
        rows.show(keyed(self._rows(self._read)), max(rows.cursor, 0))

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
            self._stops("Certain ones first. Each opens its reasons.", stops_in_order(found))
        elif kind == AGED:
            self._aged()
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

    def _aged(self) -> None:
        """The stops that wait for aged answers; where none does, all that is not known."""
        waiting = waiting_for_aged(self._read.assessment)
        if waiting:
            self._stops(plan_words.aged_words(self._read), waiting)
        else:
            self._desk.findings.find_out()

    def _stops(self, intro: str, stops: Sequence[StopFinding]) -> None:
        def rows() -> list[Row]:
            return [_stop_row(self.session.rules, stop, why=True) for stop in stops]

        def chosen(name: str) -> None:
            self._desk.findings.stop(next(stop for stop in stops if name == f"stop:{stop.id}"))

        self.app.push_screen(ListPage("Stops", intro, rows, chosen))

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
            found = [Row("back", "Back.")]
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
