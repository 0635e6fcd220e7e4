"""Proving dead on the screen: the tester on its source, on the points, on its source again, each with its reading."""

from __future__ import annotations

from collections.abc import Callable, MutableMapping
from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from riskhelper.permit.points import Point
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows

NEXT = "?next"
ONE_PHASE_V = 250
"""Above it an AC point is taken as three-phase: 230 V to earth and 400 V between phases (common practice)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to read: on what, between which poles, in which words it is asked."""

    on: str
    poles: str
    ask: str


def steps_of(point: Point) -> tuple[Step, ...]:
    """Source, points pole to pole and pole to earth, source. AC has three phases, or one and a neutral."""
    pairs: tuple[str, ...]
    if point.current == "DC":
        pairs = ("plus-minus", "plus-earth", "minus-earth")
    elif point.voltage_v > ONE_PHASE_V:
        pairs = ("L1-L2", "L2-L3", "L3-L1", "L1-earth", "L2-earth", "L3-earth")
    else:
        pairs = ("L-N", "L-earth", "N-earth")
    on_points = tuple(Step("points", pair, f"The tester on the point, {pair}: how many volts?") for pair in pairs)
    source = f"the proving source, {point.current}"
    first = Step("source", pairs[0], f"First the tester on {source}: how many volts?")
    last = Step("source", pairs[0], f"The tester on {source} once more: how many volts?")
    return (first, *on_points, last)


class ProvePage(SitePage):
    """Asks for the serial and then each reading in its order; each is kept with the moment it was typed."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("Enter", "go on", "choose"),
        ("Esc", "one step back", "back"),
    )

    def __init__(self, title: str, point: Point, draft: MutableMapping[str, str], then: Callable[[], None]) -> None:
        super().__init__()
        self.TITLE_WORDS = title
        self._point = point
        self._draft = draft
        self._then = then
        self._steps = steps_of(point)
        self._read: list[str] = []
        self._serial = draft.get("tester", "")
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
        return self._place == len(self._steps)

    def _ask(self) -> None:
        self.show_frame(count=f"{self._place + 1} of {len(self._steps) + 1}")
        self.refuse([])
        step = self._steps[self._place - 1] if self._place else None
        asked = step.ask if step is not None else "Which serial has the tester?"
        caution = (
            "High voltage is proved by the switching person with a detector for that voltage."
            if self._point.needs_earth
            else "A tester that shows nothing on its source proves nothing."
        )
        done = [(f"{words.rsplit(' ', 1)[0]} V", "") for words in self._read]
        self.tell([(asked, "bold"), (caution, ""), ("", ""), *done])
        box = self.query_one("#written", Input)
        box.value = "" if step is not None else self._serial
        box.border_title = "Write the volts" if step is not None else "Write the serial"
        rows = self.query_one(Rows)
        rows.show([Row(NEXT, "Go on.", "Ent")])
        rows.styles.height = 2
        box.focus()

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """Going on."""
        event.stop()
        self.action_choose()

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        """Enter in the field goes on."""
        event.stop()
        self.action_choose()

    def action_choose(self) -> None:
        """Keeps what was typed, and goes on where it will do."""
        typed = self.query_one("#written", Input).value.strip().replace(",", ".")
        if not self._place:
            if not typed:
                self.refuse(["Write the serial of the tester: it stands beside every reading."])
                return
            self._serial = self._draft["tester"] = typed
        elif not self._keep(typed):
            return
        if not self.at_end:
            self._place += 1
            self._ask()
        else:
            self._draft["readings"] = "; ".join(self._read)
            self._then()

    def _keep(self, typed: str) -> bool:
        step = self._steps[self._place - 1]
        try:
            volts = float(typed)
        except ValueError:
            self.refuse([f"The reading should be volts such as 231 or 0; you wrote `{typed}`."])
            return False
        if step.on == "points" and volts:
            self.refuse(["The tester shows voltage: the point is live. Stop, go back, and find where it comes from."])
            return False
        if step.on == "source" and volts <= 0:
            self.refuse(["The tester shows nothing on its source: it proves nothing. Take another tester."])
            return False
        at = self.interface.context.clock().replace(microsecond=0).isoformat()
        self._read = [*self._read[: self._place - 1], f"{step.on} {step.poles} {volts:g} {at}"]
        return True

    async def action_back(self) -> None:
        """To the thing asked before; from the first one back to the page before."""
        if self._place:
            self._place -= 1
            self._read = self._read[: max(self._place - 1, 0)]
            self._ask()
        else:
            self.dismiss()
