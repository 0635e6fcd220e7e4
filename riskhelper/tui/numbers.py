"""Numbers: the row of units, what is accepted and usual, and what was typed read back."""

from __future__ import annotations

from rich.text import Text
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets import Input

from riskhelper.acts.job.answering import unit_is_read_off
from riskhelper.interview.reading import Refused, outside_usual, read_value, readable, signed
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.tui.said import say_of
from riskhelper.units import alternatives, spoken, with_unit

NEXT_UNIT, NOT_KNOWN, STILL_SO = "u", "?", "="


class AnswerField(Input):
    """The field for numbers and words; in a number the letter u, the question mark and the equals sign are
    keys, not characters.
    """

    virtual_size = reactive(Size(0, 0))
    """The width of what is written. The field is as wide as its page, so a character more moves nothing around it."""

    class Key(Message):
        """One of these keys was pressed in a number."""

        def __init__(self, character: str) -> None:
            super().__init__()
            self.character = character

    def __init__(self, id: str) -> None:
        super().__init__(id=id, max_length=500, select_on_focus=False)
        self.takes_number = False

    def on_key(self, event: events.Key) -> None:
        """Passes these keys on; the field itself would take them for characters and drop them."""
        character = (event.character or "").lower()
        if self.takes_number and character in (NEXT_UNIT, NOT_KNOWN, STILL_SO):
            event.stop()
            event.prevent_default()
            self.post_message(self.Key(character))


class UnitRow(Widget):
    """The units a number may be written in. A dial of pressure has none beforehand: it is read off the dial."""

    class Changed(Message):
        """Another unit was chosen."""

    def __init__(self) -> None:
        super().__init__()
        self.units: tuple[str, ...] = ()
        self.unit = ""
        self.undecided = False
        self._spans: list[tuple[int, int, str]] = []

    def show(self, question: QuestionEntry, unit: str) -> None:
        """Shows the units of a question."""
        self.units = alternatives(question.unit) if question.type == "number" and question.unit else ()
        self.unit = unit
        self.undecided = unit_is_read_off(question)
        self.refresh()

    def next(self) -> None:
        """Goes to the next unit."""
        if self.units:
            place = -1 if self.undecided else self.units.index(self.unit)
            self.choose(self.units[(place + 1) % len(self.units)])

    def choose(self, unit: str) -> None:
        """Chooses a unit."""
        self.unit = unit
        self.undecided = False
        self.refresh()
        self.post_message(self.Changed())

    def render(self) -> Text:
        """Units side by side, the chosen one between marks."""
        text, self._spans = Text(no_wrap=True), []
        if not self.units:
            return text
        title = say_of(self)("Unit (u): " if len(self.units) > 1 else "Unit: ")
        gap = " " if len(title) + sum(len(spoken(unit)) + 4 for unit in self.units) <= self.size.width else ""
        text.append(title)
        for unit in self.units:
            chosen = unit == self.unit and not self.undecided
            start, (left, right) = len(text), (">", "<") if chosen else (" ", " " if gap else "")
            text.append(f"{gap}{left}{spoken(unit)}{right}{gap}", style="reverse bold" if chosen else "")
            self._spans.append((start, len(text), unit))
        return text

    def on_click(self, event: events.Click) -> None:
        """A touch chooses the unit under it."""
        for start, end, unit in self._spans:
            if start <= event.x < end:
                self.choose(unit)


def accepted(question: QuestionEntry) -> str:
    """Accepted and usual range in words."""
    if question.range is None:
        return ""
    words = f"Accepted: {_span(question.range, question.unit)}"
    if question.usual is not None:
        words += f". Usual: {_span(question.usual, question.unit)}"
    return f"{words}."


def _span(ends: tuple[float, float], unit: str) -> str:
    return with_unit(f"{signed(ends[0])} to {signed(ends[1])}", unit)


def read_back(question: QuestionEntry, name: str, typed: str, unit: str) -> str:
    """What was typed so far, as it would be saved."""
    if not typed.strip("+-\N{MINUS SIGN} "):
        return " "
    try:
        answer = read_value(question, name, typed, unit)
    except Refused as refusal:
        return f"Not yet an answer. {refusal}"
    unusual = " Not usual: you will be asked again." if outside_usual(question, answer) else ""
    return f"You wrote {readable(question, answer)}.{unusual}"
