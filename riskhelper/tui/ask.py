"""One question at a time, in large plain words, with its reason and its choices."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.timer import Timer
from textual.widgets import Input, Static

from riskhelper.acts.context import Refused
from riskhelper.acts.job.known_plant import Offered
from riskhelper.interview.reading import readable
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.tui import wording
from riskhelper.tui.frame import USUAL_KEYS, KeyBar, Page, is_tiny
from riskhelper.tui.numbers import NEXT_UNIT, STILL_SO, AnswerField, UnitRow, accepted, read_back
from riskhelper.tui.pages import Doubt, Typing
from riskhelper.tui.rows import Row, Rows, keyed
from riskhelper.tui.session import Place
from riskhelper.tui.words import Words

READ_AFTER_S = 0.03
NOT_KNOWN = "?not known"
STILL = "?still so"
SAVE = "?save"
KEEP = "?keep"
HANDED_OVER = "The plan was handed over to be read. Approving it is the act of another person."
END_KEYS = tuple(key for key in USUAL_KEYS if key[2] != "note")
NEXT_MARK = {"": "HOLDS", "HOLDS": "NOT KNOWN", "NOT KNOWN": ""}


class AskPage(Page):
    """The question that comes next; the page stays, its question changes."""

    KEYS = USUAL_KEYS
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "not_known", "I do not know", show=False, priority=True),
        Binding("question_mark", "not_known", show=False),
        Binding("f3", "note", "note", show=False),
        Binding("down", "to_rows", show=False),
        Binding("f4", "back", "back", show=False),
        Binding("escape", "clear", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.add_class("-questions")
        self._place: Place | None = None
        self._marks: dict[str, str] = {}
        self._offered: Offered | None = None
        self._refusal = ""
        self._reading: Timer | None = None

    def compose_body(self) -> ComposeResult:
        """Words and rows; the field for numbers and text comes when it is first needed."""
        yield Words()
        yield Rows(id="rows")

    async def shown(self, first: bool) -> None:
        """Shows the question that is now the next one; what was being typed for the same one stays."""
        same = self._place is not None and self._place.name == self.session.next_question
        if first or not same:
            await self.show_question()
        else:
            self._show_words()
            self._focus()
            self._keep()

    async def show_question(self) -> None:
        """Shows the next question, or what is found where none is left."""
        name = self.session.next_question
        if name is None:
            self._place = None
            self._show_end()
            return
        self._place = self.session.place_of(name)
        self._offered = self.session.offered(name)
        self._marks = {}
        self._refusal = ""
        self.query_one(KeyBar).show(USUAL_KEYS)
        await self._show_field(self._place.question)
        self._show_words()
        self._show_rows()
        self._focus()
        self.call_after_refresh(self._assess)

    def _assess(self) -> None:
        """Brings the verdict up to date, after the question is on the screen."""
        self._keep()
        if self.session.known_assessment is not None and not self.session.is_behind:
            return
        self.session.assess()
        self.show_frame(*self._where())
        self._show_words()

    def _keep(self) -> None:
        if self._place is not None:
            self.session.keep_page(self._place)

    def _where(self) -> tuple[str, str]:
        place = self._place
        return (place.question.place, wording.counted(place.number, place.of_about)) if place else ("", "")

    async def _show_field(self, question: QuestionEntry) -> None:
        typed = question.type in ("number", "text")
        self.set_class(typed, "-typed")
        body, rows = self.query_one("#body"), self.query_one(Rows)
        if typed and not self.query(Input):
            await body.mount(
                AnswerField(id="field"), UnitRow(), Static("", id="answer-read", markup=False), before=rows
            )
        for widget in (*self.query(Input), *self.query(UnitRow), *self.query("#answer-read")):
            widget.set_class(not typed, "-hidden")
        if typed:
            field = self.query_one(AnswerField)
            number = field.takes_number = question.type == "number"
            field.restrict = r"[-+\u2212]?[0-9]*[.,]?[0-9]*" if number else None
            with self.prevent(Input.Changed):
                field.value = ""
            field.border_title = self.session.say("Write the number" if number else "Write it in words")
            self.query_one(UnitRow).set_class(not number, "-hidden")
            self.query_one(UnitRow).show(question, self.session.unit_of(question))
            self._read_back()

    def _show_words(self) -> None:
        place, session = self._place, self.session
        self.show_frame(*self._where())
        if place is None:
            return
        question = place.question
        first, then = (session.notice, "bold" if session.warns else "italic"), (question.ask, "bold")
        if is_tiny(self):  # where only the first lines fit, the question and what is wrong come first
            first, then = then, first
            first = (f"{question.ask} {self._refusal}".rstrip(), "bold")
        parts = [*((words, "bold reverse") for words in session.at_once), first, then, (f"Why: {question.why}", "")]
        if question.private:
            parts.append(("Private: ask the person alone. Only its consequence is used.", "bold"))
        if question.type == "number":
            parts.append((accepted(question), ""))
        if question.type == "several":
            parts.append(("Choose each line that holds; choose it once more where you do not know.", ""))
        kept = session.answer_to(place.name)
        if kept is not None and place.picked_again:
            parts.append(
                ("The office has answered this. Look for yourself, then choose; theirs is shown after.", "bold")
            )
        elif kept is not None:
            source = f", from the {kept.source}" if kept.source else ""
            said = f"So far: {readable(question, kept)} ({wording.by(kept.who)}, {wording.day(kept.at)}{source})"
            parts.append((said, "bold"))
        parts += [(f"Note: {n.text}", "") for n in session.state.history.notes if n.question == place.name]
        back = session.given_back
        if back is not None and back.question == place.name:
            parts.append((f"GIVEN BACK by {back.by} with this note: {back.reason}", "bold"))
        parts.append((self._refusal, "bold reverse"))
        if self.size.height >= 30:
            parts = [spaced for part in parts if part[0] for spaced in (part, (" ", ""))]
        self.query_one(Words).say(*parts)

    def _show_rows(self, cursor: int = -1) -> None:
        place = self._place
        assert place is not None
        question = place.question
        rows: list[Row] = []
        if question.type == "several":
            rows = keyed([Row(o, words, mark=self._marks.get(o, "")) for o, words in question.options.items()])
            rows.append(Row(SAVE, "These hold, the others do not: save it.", "s"))
        elif question.options:
            rows = keyed([Row(option, words) for option, words in question.options.items()])
        else:
            rows = [Row(SAVE, "Save what is written above.", "Ent")]
        if self._offered is not None:
            seen = f"{self._offered.words} ({self._offered.last_seen})"
            rows.append(Row(STILL, f"Still so, I have looked: {seen}.", "" if question.type == "text" else STILL_SO))
        rows.append(Row(NOT_KNOWN, "I do not know.", "F2"))
        if self.session.asked_again is not None and self.session.answer_to(place.name) is not None:
            key = "Esc" if question.type in ("number", "text") else "k"  # a letter would be written into the field
            rows.append(Row(KEEP, "Leave the answer as it is, and go on.", key))
        self.query_one(Rows).show(rows, cursor, about=place.name)

    def _show_end(self) -> None:
        for widget in (*self.query(Input), *self.query(UnitRow), *self.query("#answer-read")):
            widget.add_class("-hidden")
        self.show_frame()
        self.query_one(KeyBar).show(END_KEYS)
        handed_over = self.session.state.history.plan_requested
        self.query_one(Words).say(
            *((words, "bold reverse") for words in self.session.at_once),
            (self.session.notice, "italic"),
            ("Nothing more is due now.", "bold"),
            (HANDED_OVER if handed_over else "", ""),
            ("Read what was found, plan the controls, then read the method statement and write it.", ""),
        )
        hand_over = [] if handed_over else [Row("hand_over", "Hand the plan over to be read.")]
        if self.session.can_ask_for_permit:
            again = " again" if self.session.given_back is not None else ""
            hand_over = [Row("draw_up", f"Ask for the permit{again}.")]
        keep = [Row("keep_plant", "Keep what stays true of this plant for the next visit.")]
        keep = keep if self.session.knows_of_plant else []
        self.query_one(Rows).show(
            keyed(
                [
                    Row("findings", "See what was found, and why."),
                    Row("controls", "Plan the controls, one by one."),
                    Row("statement", "Read the method statement."),
                    Row("papers", "Write the method statement as PDF and as text."),
                    *hand_over,
                    *keep,
                    Row("jump", "Look at the answers by place, and change one."),
                    Row("leave", "Leave. Every answer is saved."),
                ]
            )
        )
        self._focus()
        if self.session.known_assessment is None or self.session.is_behind:
            self.call_after_refresh(self._assess)

    def _focus(self) -> None:
        fields = [field for field in self.query(Input) if not field.has_class("-hidden")]
        (fields[0] if fields else self.query_one(Rows)).focus()

    # -- what the person does

    @on(Rows.Chosen)
    async def chosen(self, event: Rows.Chosen) -> None:
        """A row was chosen."""
        event.stop()
        place = self._place
        if event.about != (place.name if place is not None else ""):
            return  # a key pressed twice must not answer the question that came in between
        if place is None:
            self.interface.go(event.name)
        elif event.name == NOT_KNOWN:
            await self.action_not_known()
        elif event.name == STILL:
            await self._confirm()
        elif event.name == KEEP:
            self.session.asked_again = None
            await self.show_question()
        elif event.name == SAVE:
            await self._save(self._several() if place.question.type == "several" else self.query_one(Input).value)
        elif place.question.type == "several":
            self._marks[event.name] = NEXT_MARK[self._marks.get(event.name, "")]
            self._show_rows(self.query_one(Rows).cursor)
        else:
            await self._save(event.name)

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """Enter in the field."""
        event.stop()
        await self._save(event.input.value)

    @on(Input.Changed)
    def typing(self, event: Input.Changed) -> None:
        """Reads back what is being typed, once the digit itself is on the screen."""
        event.stop()
        if self._reading is not None:
            self._reading.stop()
        self._reading = self.set_timer(READ_AFTER_S, self._read_back)

    @on(UnitRow.Changed)
    def unit_changed(self) -> None:
        """Reads back what is being typed, in the other unit."""
        self._read_back()
        self._focus()

    @on(AnswerField.Key)
    async def key_in_number(self, event: AnswerField.Key) -> None:
        """In a number the letter u goes to the next unit, an equals sign says still so, a question mark not known."""
        event.stop()
        if event.character == NEXT_UNIT:
            self.query_one(UnitRow).next()
        elif event.character == STILL_SO:
            await self._confirm()
        else:
            await self.action_not_known()

    def _several(self) -> str:
        said = [f"?{o}" if mark == "NOT KNOWN" else o for o, mark in self._marks.items() if mark]
        return " ".join(said)

    def _read_back(self) -> None:
        if self._place is None:
            return
        line = self.query_one("#answer-read", Static)
        question = self._place.question
        line.set_class(question.type != "number", "-hidden")
        if question.type == "number":
            typed, units = self.query_one(Input).value, self.query_one(UnitRow)
            if units.undecided:
                words = "Press u for the unit the dial shows, or touch it."
            else:
                words = read_back(question, self._place.name, typed, units.unit)
            line.update(self.session.say(words), layout=is_tiny(self))  # elsewhere its place is kept

    def _unit(self) -> str:
        return self.query_one(UnitRow).unit if self.query(UnitRow) else ""

    async def _save(self, typed: str) -> None:
        """Looks at an answer, settles its doubts, saves it."""
        place = self._place
        assert place is not None
        if place.question.type == "number" and typed.strip() and self.query_one(UnitRow).undecided:
            await self._refuse("Choose the unit the dial shows first: press u, or touch it")
            return
        unit = self._unit() if place.question.type == "number" else ""
        try:
            looked = self.session.look(place.name, typed, unit)
        except Refused as refusal:
            await self._refuse(str(refusal))
            return
        doubts = [looked.outside_usual] if looked.outside_usual else []
        if looked.falls_away:
            doubts.append("These would no longer be asked. Their answers are kept, without effect:")
            doubts += [f"- {self.session.rules.questions[q].ask}" for q in looked.falls_away]
        if not doubts:
            self.session.answer(place.name, typed, unit)
            await self.show_question()
            return

        def save() -> None:
            self.session.answer(place.name, typed, unit)

        if not looked.outside_usual:  # which says what was answered
            doubts.insert(0, f"You answered: {wording.sentence(looked.read_back)}")
        title, *lines = doubts
        self.app.push_screen(Doubt(title, lines, "No. Let me answer again.", "Yes. Save it so.", save))

    async def _confirm(self) -> None:
        """Saves what an earlier visit saw, now that somebody has looked."""
        if self._offered is None:
            self.app.bell()
            return
        self.session.confirm(self._offered)
        await self.show_question()

    async def _refuse(self, words: str) -> None:
        self._refusal = wording.sentence(words)
        self._show_words()
        self._focus()

    async def action_not_known(self) -> None:
        """Saves that nobody here can say, and says what to do and whom to ask."""
        place = self._place
        if place is None or self.app.screen is not self:
            return
        try:
            self.session.not_known(place.name)
        except Refused as refusal:
            await self._refuse(str(refusal))
            return
        self.session.notice = f"Saved as not known: {place.question.ask} What to do: {place.question.if_unknown}"
        await self.show_question()

    def action_note(self) -> None:
        """Takes a note on the question."""
        place = self._place
        if place is None:
            return

        def save(words: Sequence[str]) -> None:
            self.session.note(words[0], place.name)

        lines = [place.question.ask, "A note changes no answer. It stands in the record and on the paper."]
        self.app.push_screen(Typing("A note on this question", lines, ["Note"], save))

    async def action_back(self) -> None:
        """Goes to the answered question before this one."""
        if self.session.back_from(self._place.name if self._place else None):
            self.session.notice = ""
            await self.show_question()
        elif self._place is not None:
            await self._refuse("This is the first question; there is nothing before it")

    async def action_clear(self) -> None:
        """Empties the field; where it is empty already, leaves an answer given before as it is."""
        field = self.focused
        empty = isinstance(field, Input) and not field.value
        if empty and any(row.name == KEEP for row in self.query_one(Rows).rows):
            self.session.asked_again = None
            await self.show_question()
            return
        if isinstance(field, Input):
            field.value = ""
        self._refusal = ""
        self._show_words()

    def action_to_rows(self) -> None:
        """From the field to the rows."""
        self.query_one(Rows).focus()
        self.query_one(Rows).action_move(1)
