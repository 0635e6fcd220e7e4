"""Drives the interface key by key without a terminal, and reads what stands on its screen."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import cast

from textual.geometry import Offset
from textual.pilot import Pilot

from riskhelper.acts.context import Context
from riskhelper.statement.header import Header
from riskhelper.tui.app import Interface, Wanted
from riskhelper.tui.session import Session
from tests.acts.workbench import Clock, context

NARROW, MIDDLE, WIDE = (80, 24), (100, 30), (140, 45)
SPECIAL = {" ": "space", "-": "minus", ".": "full_stop", ",": "comma", "?": "question_mark"}


@dataclass
class Hand:
    """A hand on the keys."""

    interface: Interface
    pilot: Pilot[None]

    async def press(self, *keys: str) -> None:
        """Presses keys; each has done its work before the next."""
        for key in keys:
            self.interface.simulate_key(key)
            await self.settle()

    async def write(self, words: str) -> None:
        """Types words, character by character."""
        await self.press(*(SPECIAL.get(character, character) for character in words))

    async def touch(self, words: str) -> None:
        """Touches the first place on the screen where these words stand."""
        for y, line in enumerate(self.lines()):
            if words in line:
                await self.pilot.click(offset=Offset(line.index(words) + 1, y))
                await self.settle()
                return
        raise AssertionError(f"`{words}` is nowhere on the screen:\n{self.screen()}")

    async def settle(self) -> None:
        """Waits until nothing more happens."""
        await self.pilot.pause(0)
        await self.interface.workers.wait_for_complete(
            [worker for worker in self.interface.workers if worker.group != "change"]
        )
        await self.pilot.pause(0)

    async def search(self) -> None:
        """Waits until a search for acts is done."""
        await self.interface.workers.wait_for_complete()
        await self.pilot.pause(0)

    def lines(self) -> list[str]:
        """The screen, line by line."""
        strips = self.interface.screen._compositor.render_strips()
        return ["".join(segment.text for segment in strip).rstrip() for strip in strips]

    def screen(self) -> str:
        """The screen as text."""
        return "\n".join(self.lines()) + "\n"

    def flat(self) -> str:
        """The words of the screen without line breaks and ruling, so that sentences are found whole."""
        kept = self.screen().translate({ord(mark): " " for mark in "│┃╏║─━╍┼┏┓┗┛┌┐└┘"})
        return " ".join(kept.split())

    @property
    def session(self) -> Session:
        return self.interface.session


def session_on(bench: Context, folder: Path, milestone: str = "gate") -> Session:
    return Session(bench, milestone, Header(), folder / "papers", "A4")


@asynccontextmanager
async def hand_on(
    folder: Path,
    *,
    size: tuple[int, int] = NARROW,
    job: str = "7",
    local_code: str = "dale",
    milestone: str = "gate",
    clock: Clock | None = None,
    rehearsal: bool = False,
    theme: str = "",
    units: dict[str, str] | None = None,
) -> AsyncIterator[Hand]:
    """The interface on the small rule set."""
    bench = context(folder, clock, rehearsal=rehearsal, **(units or {}))
    async with hand_in(session_on(bench, folder, milestone), Wanted(job, local_code), size, theme) as hand:
        yield hand


@asynccontextmanager
async def hand_in(
    session: Session, wanted: Wanted, size: tuple[int, int] = NARROW, theme: str = ""
) -> AsyncIterator[Hand]:
    """The interface on a sitting."""
    interface = Interface(session, wanted)
    async with interface.run_test(size=size) as pilot:
        if theme:
            interface.theme = theme
        hand = Hand(interface, cast("Pilot[None]", pilot))
        await hand.settle()
        yield hand
