"""Proving dead on the screen: the tester on its source, on the points, on its source again, each with its reading."""

from __future__ import annotations

from collections.abc import Callable, MutableMapping
from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from riskhelper.permit.points import Point
from riskhelper.permit.proof import DEAD, LIVE, is_high, reading_told, source_lack
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows

NEXT = "?next"
LIVE_KEPT = "live"
"""Where a live reading is kept in what was typed, until it is signed."""
LIVE_WORDS = "THE POINT IS LIVE. Stop, go back, keep others out. Nobody works behind it."
UNTIL_EXPLAINED = "It is signed as it was read. Nothing is proved here until it is explained where it came from."
ONE_PHASE_V = 250
"""Above it an AC point is taken as three-phase: 230 V to earth and 400 V between phases (common practice)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to read: on what, between which poles, in which words it is asked."""

    on: str
    poles: str
    ask: str


SERIAL = Step("", "", "Which serial has the tester?")
FOR_V = Step("", "", "Up to which voltage is the tester built, as on its plate? Whole volts.")
FIELD_OF = {SERIAL: "tester", FOR_V: "tester_for_v"}


def steps_of(point: Point) -> tuple[Step, ...]:
    """Source, points pole to pole and pole to earth, source. AC has three phases, or one and a neutral."""
    pairs: tuple[str, ...]
    high = is_high(point.voltage_v, point.current)
    if high and point.current == "AC":
        pairs = ("L1-earth", "L2-earth", "L3-earth")
    elif point.current == "DC":
        pairs = ("plus-minus", "plus-earth", "minus-earth")
    elif point.voltage_v > ONE_PHASE_V:
        pairs = ("L1-L2", "L2-L3", "L3-L1", "L1-earth", "L2-earth", "L3-earth")
    else:
        pairs = ("L-N", "L-earth", "N-earth")
    volts = "how many volts, or live, or dead?" if high else "how many volts?"
    on_points = tuple(Step("points", pair, f"The tester on the point, {pair}: {volts}") for pair in pairs)
    source = f"the proving source, {point.current}"
    first = Step("source", pairs[0], f"First the tester on {source}: {volts}")
    last = Step("source", pairs[0], f"The tester on {source} once more: {volts}")
    return (SERIAL, *((FOR_V,) if high else ()), first, *on_points, last)


class ProvePage(SitePage):
    """Asks for the serial and then each reading in its order; each is kept with the moment it was typed.

    A reading that shows voltage on the point ends the proving: it is signed, and stands there until it is.
    """

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("Enter", "go on", "choose"),
        ("Esc", "one step back", "back"),
    )

    def __init__(
        self,
        title: str,
        point: Point,
        draft: MutableMapping[str, str],
        then: Callable[[], None],
        live: Callable[[], None],
    ) -> None:
        super().__init__()
        self.TITLE_WORDS = title
        self._point = point
        self._draft = draft
        self._then = then
        self._live = live
        self._steps = steps_of(point)
        self._read: list[str] = []
        self._place = 0

    def compose_field(self) -> ComposeResult:
        """The field for what is written."""
        yield Input(id="written", max_length=200, select_on_focus=False)

    async def shown(self, first: bool) -> None:
        """Asks the first thing; after another page has gone, everything stands as it was."""
        if first:
            self._ask()

    @property
    def at_end(self) -> bool:
        """Whether the last reading is asked."""
        return self._place + 1 == len(self._steps)

    def _ask(self) -> None:
        self.refuse([])
        box, rows = self.query_one("#written", Input), self.query_one(Rows)
        live = LIVE_KEPT in self._draft
        box.set_class(live, "-hidden")
        done = [(_read_back(words), "") for words in self._read]
        if live:
            self.show_frame()
            found = [(_read_back(words), "bold") for words in self._draft["readings"].split("; ")[-1:]]
            self.tell([(LIVE_WORDS, "bold"), ("", ""), *found, ("", ""), (UNTIL_EXPLAINED, "")])
            self.show_rows([Row(NEXT, "Write the live reading down and sign it.")])
            return
        self.show_frame(count=f"{self._place + 1} of {len(self._steps)}")
        step = self._steps[self._place]
        caution = (
            "High voltage is proved by the switching person with a detector for that voltage."
            if self._point.needs_earth
            else "A tester that shows nothing on its source proves nothing."
        )
        self.tell([(step.ask, "bold"), (caution, ""), ("", ""), *done])
        box.value = "" if step.on else self._draft.get(FIELD_OF[step], "")
        box.border_title = "Write the serial" if step is SERIAL else "Write the volts"
        rows.show([Row(NEXT, "Go on.", "Ent")])
        rows.styles.height = 2
        box.focus()

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Going on."""
        event.stop()
        self._go_on()

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        """Enter in the field goes on."""
        event.stop()
        self._go_on()

    def action_choose(self) -> None:
        """The key in the foot: goes on, or chooses the row."""
        if LIVE_KEPT in self._draft:
            self.query_one(Rows).action_choose()
        else:
            self._go_on()

    def _go_on(self) -> None:
        """Keeps what was typed, and goes on where it will do."""
        if LIVE_KEPT in self._draft:
            self._live()
            return
        typed = self.query_one("#written", Input).value.strip().replace(",", ".").lower()
        step = self._steps[self._place]
        if not (self._keep(step, typed) if step.on else self._note(step)):
            return
        self._draft["readings"] = "; ".join(self._read)
        if LIVE_KEPT in self._draft:
            self._ask()
        elif self.at_end:
            self._then()
        else:
            self._place += 1
            self._ask()

    def _note(self, step: Step) -> bool:
        """Serial of the tester, and the voltage it is built for."""
        typed = self.query_one("#written", Input).value.strip()
        if not typed:
            self.refuse(["This is needed: it stands beside every reading."])
            return False
        if step is FOR_V and not typed.isdigit():
            self.refuse([f"This should be whole volts such as 123000; you wrote `{typed}`."])
            return False
        if step is FOR_V and int(typed) < self._point.voltage_v:
            self.refuse([f"The tester is built for {typed} V, the point is up to {self._point.voltage_v} V."])
            return False
        self._draft[FIELD_OF[step]] = typed
        return True

    def _keep(self, step: Step, typed: str) -> bool:
        high = is_high(self._point.voltage_v, self._point.current)
        at = self.interface.context.clock().replace(microsecond=0).isoformat()
        shows = typed if typed in (LIVE, DEAD) and high else ""
        try:
            volts = "" if shows else f"{float(typed):g}"
        except ValueError:
            other = ", or live or dead where it shows no volts" if high else ""
            self.refuse([f"The reading should be volts such as 231 or 0{other}; you wrote `{typed}`."])
            return False
        words = f"{step.on} {step.poles} {shows or volts} {at}"
        if step.on == "source":
            if lack := source_lack(reading_told(words), self._point.voltage_v, self._point.current):
                self.refuse([f"{lack[:1].upper()}{lack[1:]}.", "Take another source, or another tester."])
                return False
        elif not reading_told(words).is_dead:
            self._draft[LIVE_KEPT] = words
        self._read.append(words)
        return True

    async def action_back(self) -> None:
        """To the thing asked before; from the first one back to the page before. A live reading stays."""
        if self._place and LIVE_KEPT not in self._draft:
            self._place -= 1
            if self._steps[self._place].on:
                self._read.pop()
            self._ask()
        else:
            self.dismiss()


def _read_back(words: str) -> str:
    where, poles, shows, _ = words.split()
    return f"{where} {poles} {shows}{'' if shows.isalpha() else ' V'}"
