"""Who does it: a signature where a register is set up; where none is, a name typed, as a rehearsal act."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from riskhelper.acts.context import MOST_NAME, Refused
from riskhelper.acts.plan import gate, rehearsing
from riskhelper.tui.permits.page import Part, SitePage
from riskhelper.tui.permits.signing import SigningPage, ToSign
from riskhelper.tui.rows import Row, Rows

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface

LEAVE, DO = "?leave", "?do"


def ask_hand(interface: Interface, wanted: ToSign, do: Callable[[gate.By], str], done: Callable[[str], None]) -> None:
    """Puts the page in front on which somebody signs, or rehearses to."""
    if gate.has_register(interface.context):
        interface.push_screen(SigningPage(wanted, do, done))
    else:
        interface.push_screen(RehearsePage(wanted, do, done))


class RehearsePage(SitePage):
    """What would be signed, and the name of whoever does it; the hand lies on leaving."""

    TITLE_WORDS = "Rehearsal act"
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("Enter", "choose, or do it from the field", "choose"),
        ("Esc", "leave, nothing is done", "back"),
    )

    def __init__(self, wanted: ToSign, do: Callable[[gate.By], str], done: Callable[[str], None]) -> None:
        super().__init__()
        self._wanted = wanted
        self._do = do
        self._done = done

    def compose_body(self) -> ComposeResult:
        """Words, a refusal, the field, rows."""
        with VerticalScroll(id="told", can_focus=False):
            yield Static(id="told-words")
        yield Static(id="refusal", classes="-hidden")
        field = Input(id="name", max_length=MOST_NAME, select_on_focus=False)
        field.border_title = "Your name, as on the job sheet"
        field.add_class("-hidden")
        yield field
        yield Rows(id="rows").add_class("-under")

    async def shown(self, first: bool) -> None:
        """What would be signed."""
        if not first:
            return
        wanted, role = self._wanted, self._wanted.roles[0]
        self.show_frame()
        parts: list[Part] = [
            (rehearsing.SAYS, "bold reverse"),
            (f"{wanted.about}: {wanted.act}", "bold"),
            (f"As {role} you would sign: {wanted.meaning}.", ""),
            ("", ""),
            *((f"- {line}", "") for line in wanted.content),
        ]
        if wanted.changed:
            parts += [("", ""), ("Changed since you looked first:", "bold")]
            parts += [(f"- {line}", "bold") for line in wanted.changed]
        self.tell(parts)
        self.show_rows(
            [Row(LEAVE, "Leave. Nothing is done."), Row(DO, "I have read this. I do it under my name.")], 0
        )

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Leaves, asks for the name, or does it."""
        event.stop()
        field = self.query_one(Input)
        if event.name == LEAVE:
            self.dismiss()
        elif field.has_class("-hidden"):
            field.remove_class("-hidden")
            field.focus()
        else:
            self._rehearse(field.value)

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        """Enter in the field does it."""
        event.stop()
        self._rehearse(event.value)

    def key_down(self) -> None:
        """From the field back to the rows."""
        self.query_one(Rows).focus()

    def _rehearse(self, name: str) -> None:
        try:
            by = rehearsing.rehearse_as(self.interface.context, name, self._wanted.roles[0])
            words = self._do(by)
        except Refused as refusal:
            self.refuse([*str(refusal).splitlines(), "Nothing was done."])
            return
        self.app.pop_screen()
        self._done(f"Rehearsed, binding nobody. {words}")
