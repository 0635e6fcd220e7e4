"""One signature: who signs in which role, what it means, what is signed, what changed, and the passphrase.

Each act needs its own passphrase: the key is opened for one act, beside the interface, and let go of after it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import events, on
from textual.binding import Binding, BindingType

from riskhelper.acts.register import rehearsal_crew, who_signs
from riskhelper.acts.register.signing import Signing
from riskhelper.acts.register.who_signs import Candidate
from riskhelper.permit.persons import KNOWN_ROLES
from riskhelper.tui.permits.key_page import KeyPage, Outcome
from riskhelper.tui.permits.page import Part
from riskhelper.tui.permits.passphrase import Passphrase
from riskhelper.tui.permits.reading_to_end import ReadToEnd
from riskhelper.tui.rows import Row, Rows

LEAVE, SIGN, ANOTHER = "?leave", "?sign", "?another"
READ_ON = "There is more above: read on to its end (2, space or page key). It is signed as a whole."
TOO_EARLY = "Nothing typed was taken. Read to the end, press 2; then a field stands here for the passphrase."
INSTEAD = "Possible now:"
"""What is possible instead stands on the page before this one."""


@dataclass(frozen=True)
class ToSign:
    """What is to be signed: the act, what a signature means, in which roles, over which content in words.

    `changed` says what differs from what was last signed or seen; `offered`, where there are any, are those who
    may sign this time; `plant` and `voltage_v` bound who may sign.
    """

    act: str
    about: str
    meaning: str
    content: Sequence[str]
    roles: Sequence[str] = tuple(KNOWN_ROLES)
    changed: Sequence[str] = ()
    offered: Sequence[Candidate] = ()
    plant: str = ""
    voltage_v: int = 0


class SignRows(Rows):
    """Rows on which space reads on: in a passphrase typed too early it must choose nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("space", "screen.read_on", "read on", show=False)]


class SigningPage(ReadToEnd, KeyPage):
    """Signs one act. `do` runs beside the interface with the open key and says what was done; `done` follows."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("Enter", "choose, or sign from the field", "choose"),
        ("Esc", "leave, nothing is signed", "back"),
    )
    TITLE_WORDS = "Signature"
    ROWS = SignRows

    def __init__(self, wanted: ToSign, do: Callable[[Signing], str], done: Callable[[str], None]) -> None:
        super().__init__()
        self._wanted = wanted
        self._do = do
        self._done = done
        self._offered: tuple[Candidate, ...] = ()
        self._who: Candidate | None = None
        self._too_early = False
        self._ended: Outcome | None = None

    async def shown(self, first: bool) -> None:
        """Who may sign, or what was being typed; a signature that came to its end under another page is told."""
        if self._ended is not None:
            self._leave(self._ended)
        elif first:
            wanted = self._wanted
            context = self.interface.context
            found = who_signs.candidates(context, wanted.roles, wanted.plant, wanted.voltage_v)
            self._offered = tuple(wanted.offered) or found
            able = [each for each in self._offered if not each.lack]
            self._who = able[0] if len(able) == 1 else None
            self._show()

    # -- what stands on the page

    def _show(self) -> None:
        self.show_frame()
        if self._who is None:
            self.begin(self._question(), at_end=True)  # who signs is asked; nothing is signed by reading it
        else:
            self.begin(self._sheet())
        self._show_rows(cursor=0)

    def end_in_sight(self) -> None:
        """All that is signed has been in sight."""
        self._show_rows(self.query_one(Rows).cursor)

    def _question(self) -> list[Part]:
        wanted = self._wanted
        able = [each for each in self._offered if not each.lack]
        parts: list[Part] = [(f"{wanted.about}: {wanted.act}", "bold"), ("", "")]
        if able:
            parts.append(("Who signs? Each person signs with their own passphrase, for this one act.", ""))
        else:
            parts += [
                ("Nobody who could sign this has a key on this machine.", "bold"),
                (f"It takes the role {' or '.join(wanted.roles)}. Until then the site's own permit governs.", ""),
            ]
        lacking = [each.lack for each in self._offered if each.lack]
        parts += [(f"Not offered: {words}.", "") for words in dict.fromkeys(lacking)]
        return parts

    def _sheet(self) -> list[Part]:
        wanted, who = self._wanted, self._who
        assert who is not None
        parts: list[Part] = [
            (f"{wanted.about}: {wanted.act}", "bold"),
            ("", ""),
            (f"{who.name} ({who.employer}), as {who.role}, {wanted.meaning}.", "bold"),
            ("", ""),
            ("What is signed:", ""),
            *((f"- {line}", "") for line in wanted.content),
        ]
        if hint := rehearsal_crew.hint(self.interface.context, who.name):
            parts += [("", ""), (hint, "italic")]
        if wanted.changed:
            parts += [("", ""), ("Changed since it was last signed or seen:", "bold")]
            parts += [(f"- {line}", "bold") for line in wanted.changed]
        return parts

    def _rows(self) -> list[Row]:
        if self._who is None:
            people = [
                Row(str(place), f"{each.name} ({each.employer}), as {each.role}.")
                for place, each in enumerate(self._offered)
                if not each.lack
            ]
            return [Row(LEAVE, "Leave. Nothing is signed."), *people]
        read = f"I have read this. I am {self._who.name}: I sign."
        rows = [
            Row(LEAVE, "Leave. Nothing is signed.", "Esc"),
            Row(SIGN, read if self.at_end else READ_ON, "2"),
        ]
        if sum(1 for each in self._offered if not each.lack) > 1:
            rows.append(Row(ANOTHER, "Another person signs."))
        return rows

    def _show_rows(self, cursor: int) -> None:
        rows = self._rows()
        if self._who is None:
            self.show_rows(rows, cursor)
        else:
            self.show_keyed_rows(rows, cursor)

    def on_key(self, event: events.Key) -> None:
        """What is typed beside the field is no row: a passphrase typed too early chooses nothing."""
        if self._who is None or not event.is_printable or isinstance(self.focused, Passphrase):
            return
        if event.key == "space":  # it reads on
            return
        event.stop()
        if self.query_one(Passphrase).has_class("-hidden"):
            self._too_early = True
            self.refuse([TOO_EARLY])

    # -- what the person does

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """A row was chosen."""
        event.stop()
        if self.busy:
            return
        too_early, self._too_early = self._too_early, False
        if event.name == LEAVE and too_early:  # Enter behind a passphrase that was typed too early
            self.refuse([TOO_EARLY])
            return
        self.refuse([])
        field = self.query_one(Passphrase)
        if event.name == LEAVE:
            self.dismiss()
        elif event.name == SIGN and not self.at_end:
            self.look()
            self.action_read_on()
        elif event.name == SIGN and field.has_class("-hidden"):
            assert self._who is not None
            self.ask_passphrase(f"Passphrase of {self._who.name}")
        elif event.name == SIGN:
            self.typed()
        else:
            self.forget_passphrase()
            self._who = None if event.name == ANOTHER else self._offered[int(event.name)]
            self._show()

    def typed(self) -> None:
        """Opens the key beside the interface and does the act."""
        who, field = self._who, self.query_one(Passphrase)
        if self.busy or who is None:
            return
        if not field.value:
            self.refuse([f"Type the passphrase of {who.name}. Nothing is signed yet."])
            field.focus()
            return
        passphrase = field.taken()
        self.work_beside(
            lambda: self._do(who_signs.signed_in(self.interface.context, who, passphrase)), "Opening the key ..."
        )

    def came_out(self, outcome: Outcome) -> None:
        """The act is done, or refused in words that stay here."""
        if outcome.refused:
            lines = [line for line in outcome.refused if not line.startswith(INSTEAD)]
            self.refuse([*lines, "Nothing was signed."])
            self.query_one(Passphrase).focus()
            return
        self._ended = outcome
        self.refuse([])
        if self.is_current:
            self._leave(outcome)

    def _leave(self, ended: Outcome) -> None:
        self.app.pop_screen()
        self._done(ended.words)
