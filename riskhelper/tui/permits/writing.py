"""What is written with an act: one thing after the other, back and forth, and nothing typed is lost."""

from __future__ import annotations

from collections.abc import Callable, MutableMapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from riskhelper.acts.context import MOST_WORDS, Refused, checked_words
from riskhelper.acts.permit.typed_moments import AHEAD, WHOLE_DAY, moment_typed
from riskhelper.acts.permit.typed_words import words_lack
from riskhelper.permit.points import ELECTRICAL
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.tui.permits.asking_words import ask, how
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows

OF_ELECTRICITY = ("side", "voltage_v")
NEXT, EMPTY = "?next", "?empty"
TYPED = frozenset(FieldKind) - {FieldKind.ONE_OF, FieldKind.SEVERAL_OF}
TITLES = {
    FieldKind.MOMENT: "Write the moment",
    FieldKind.VOLTS: "Write the volts",
    FieldKind.MINUTES: "Write the minutes",
}
WHOLE = {FieldKind.VOLTS: "volts such as 400", FieldKind.MINUTES: "minutes such as 30"}


class WritePage(SitePage):
    """Asks for the fields of an act one by one; `draft` keeps what was typed, on this page and after it."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("Enter", "go on", "choose"),
        ("Esc", "one step back", "back"),
    )

    def __init__(
        self,
        title: str,
        about: Sequence[str],
        fields: Sequence[Wanted],
        draft: MutableMapping[str, str],
        then: Callable[[], None],
    ) -> None:
        super().__init__()
        self._about = about
        self.TITLE_WORDS = title
        self._fields = tuple(fields)
        self._draft = draft
        self._then = then
        self._place = 0
        self._chosen: list[str] = []

    def compose_field(self) -> ComposeResult:
        """The field for what is written."""
        yield Input(id="written", max_length=MOST_WORDS, select_on_focus=False)
        yield Static(id="whole", classes="-hidden", markup=False)

    @on(Input.Changed)
    def typing(self, event: Input.Changed) -> None:
        """What is longer than the field stands whole under it."""
        event.stop()
        whole, words = self.query_one("#whole", Static), event.value
        whole.set_class(len(words) <= max(event.input.size.width - 2, 1), "-hidden")
        whole.update(words)

    async def shown(self, first: bool) -> None:
        """Asks the first thing; after another page has gone, everything stands as it was."""
        if first:
            self._ask()

    @property
    def field(self) -> Wanted:
        """What is asked now."""
        return self._fields[self._place]

    def _ask(self, refusal: Sequence[str] = ()) -> None:
        field = self.field
        self.show_frame(count=f"{self._place + 1} of {len(self._fields)}")
        self.tell(
            [
                *((line, "") for line in self._about),
                (ask(field), "bold"),
                (how(replace(field, needed=self._is_needed(field))), ""),
            ]
        )
        self.refuse(refusal)
        typed = field.kind in TYPED
        box, rows = self.query_one("#written", Input), self.query_one(Rows)
        box.set_class(not typed, "-hidden")
        if typed:
            box.value = self._on_site_clock(field, self._draft.get(field.key, ""))
            box.border_title = TITLES.get(field.kind, "Write it in words")
            box.cursor_position = len(box.value)
            rows.show([Row(NEXT, "Go on.", "Ent")])
            rows.styles.height = 2
            box.focus()
        else:
            self.query_one("#whole", Static).add_class("-hidden")
            self._chosen = self._draft.get(field.key, "").split() if field.kind is FieldKind.SEVERAL_OF else []
            self._show_choices()

    def _is_needed(self, field: Wanted) -> bool:
        """Whether it may not stay empty: side and voltage where the device that was chosen parts electricity."""
        return field.needed or (field.key in OF_ELECTRICITY and self._draft.get("device", "") in ELECTRICAL)

    def _on_site_clock(self, field: Wanted, kept: str) -> str:
        """What was written, as one types it: a moment on the clock of the site."""
        if field.kind is not FieldKind.MOMENT:
            return kept
        try:
            at = datetime.fromisoformat(kept)
        except ValueError:
            return kept
        return f"{at.astimezone(self.interface.context.clock().tzinfo):%Y-%m-%d %H:%M}"

    def _show_choices(self, cursor: int = -1) -> None:
        field = self.field
        choices = dict(field.choices or {})
        rows = [Row(name, words, mark="CHOSEN" if name in self._chosen else "") for name, words in choices.items()]
        if field.kind is FieldKind.SEVERAL_OF:
            rows.append(Row(NEXT, "These and no others: go on."))
        elif not self._is_needed(field):
            rows.insert(0, Row(EMPTY, "None of these: go on."))
            said = self._draft.get(field.key, "")
            cursor = next((place for place, row in enumerate(rows) if said and row.name == said), 0)
        self.show_rows(rows, cursor)

    # -- what the person does

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """A choice, or going on."""
        event.stop()
        field = self.field
        if field.kind in TYPED:
            self._take(self.query_one("#written", Input).value)
        elif field.kind is FieldKind.SEVERAL_OF and event.name != NEXT:
            self._chosen = sorted({event.name} ^ set(self._chosen), key=list(field.choices or {}).index)
            self._show_choices(self.query_one(Rows).cursor)
        elif field.kind is FieldKind.SEVERAL_OF:
            self._take(" ".join(self._chosen))
        else:
            self._take("" if event.name == EMPTY else event.name)

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        """Enter in the field goes on."""
        event.stop()
        self._take(event.value)

    def action_choose(self) -> None:
        """The key in the foot: goes on."""
        if self.field.kind in TYPED:
            self._take(self.query_one("#written", Input).value)
        else:
            self.query_one(Rows).action_choose()

    def _take(self, typed: str) -> None:
        """Keeps what was typed, and goes on where it will do."""
        field = self.field
        try:
            self._draft[field.key] = self._read(field, typed)
        except Refused as refusal:
            self.refuse([f"{refusal}."])
            if field.kind in TITLES:
                self.query_one("#written", Input).select_all()  # the next try takes its place
            return
        if self._place + 1 < len(self._fields):
            self._place += 1
            self._ask()
        else:
            self.refuse([])
            self._then()

    def _read(self, field: Wanted, typed: str) -> str:
        words = checked_words("What you wrote", typed, MOST_WORDS)
        if self._is_needed(field) and not words:
            raise Refused(f"This is needed: {field.words}. Nothing is lost; write it or go back")
        if field.kind is FieldKind.WORDS and (lack := words_lack(field.key, words)):
            raise Refused(lack)
        if words and field.kind is FieldKind.MOMENT:
            now = self.interface.context.clock()
            at = moment_typed("This", words, now, ahead=field.key in AHEAD, whole_day=WHOLE_DAY.get(field.key))
            return at.replace(microsecond=0).isoformat()
        if words and field.kind in WHOLE and not words.isdigit():
            raise Refused(f"This should be whole {WHOLE[field.kind]}; you wrote `{words}`")
        return words

    async def action_back(self) -> None:
        """To the thing asked before; from the first one back to the page before. What was typed is kept."""
        if self.field.kind in TYPED:
            self._draft[self.field.key] = self.query_one("#written", Input).value
        if self._place:
            self._place -= 1
            self._ask()
        else:
            self.dismiss()


def told_words(field: Wanted, told: str, read_moment: Callable[[datetime], str]) -> str:
    """What was written under a field, as it is read back before it is signed."""
    if not told:
        return ""
    if field.kind is FieldKind.MOMENT:
        return f"{ask(field)} {read_moment(datetime.fromisoformat(told))}"
    if field.kind is FieldKind.READINGS:
        read = [part.split() for part in told.split(";")]
        return "Read: " + "; ".join(
            f"{where} {poles} {shows}{'' if shows.isalpha() else ' V'}" for where, poles, shows, _ in read
        )
    if field.kind is FieldKind.SEVERAL_OF:
        said = [(field.choices or {}).get(each, each) for each in told.split()]
        return f"{ask(field)} {'; '.join(said)}"
    return f"{ask(field)} {(field.choices or {}).get(told, told)}"
