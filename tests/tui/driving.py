"""Drives the interface key by key without a terminal, and reads what stands on its screen."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from textual import events
from textual.geometry import Offset
from textual.pilot import Pilot
from textual.worker import WorkerFailed

from riskhelper.acts.context import Context
from riskhelper.tui.app import Interface, Wanted
from riskhelper.tui.ask import READ_AFTER_S, AskPage
from riskhelper.tui.session import Session
from riskhelper.tui.starting import StartPage, WaitPage
from tests.acts.workbench import Clock, context

NARROW, MIDDLE, WIDE = (80, 24), (100, 30), (140, 45)
HOPS = 9  # a key goes through application, rows, their boxes and the page; then the page draws
SPECIAL = {" ": "space", "-": "minus", ".": "full_stop", ",": "comma", "?": "question_mark"}


@dataclass
class Hand:
    """A hand on the keys."""

    interface: Interface
    pilot: Pilot[None]

    async def press(self, *keys: str) -> None:
        """Presses keys; each has done its work before the next."""
        for key in keys:
            await self._key(key, key if len(key) == 1 else None)

    async def write(self, words: str) -> None:
        """Types words, character by character."""
        for character in words:
            await self._key(SPECIAL.get(character, character), character)

    async def _key(self, key: str, character: str | None) -> None:
        self.interface.post_message(events.Key(key, character))
        await self.settle()

    async def touch(self, words: str) -> None:
        """Touches the first place on the screen where these words stand."""
        for y, line in enumerate(self.lines()):
            if words in line:
                await self.pilot.click(offset=Offset(line.index(words) + 1, y))
                await self.settle()
                return
        raise AssertionError(f"`{words}` is nowhere on the screen:\n{self.screen()}")

    async def resize(self, width: int, height: int) -> None:
        """Gives the terminal another size."""
        await self.pilot.resize_terminal(width, height)
        await self.settle()

    async def settle(self) -> None:
        """Waits until nothing more happens; a search for acts may go on."""
        for _ in range(HOPS):
            await self.pilot._wait_for_screen()
        while self.interface.fault is None and self._reading():
            await asyncio.sleep(0.002)
        for _ in range(HOPS):
            await self.pilot._wait_for_screen()
        for _ in range(400):  # the verdict is worked out once the question is on the screen
            sitting = self.interface.sitting
            if not isinstance(self.interface.screen, AskPage) or sitting is None or not sitting.is_behind:
                break
            await asyncio.sleep(0.005)
        await self.pilot._wait_for_screen()
        if self.interface.screen.query("#field"):
            await asyncio.sleep(READ_AFTER_S * 1.5)
            await self.pilot._wait_for_screen()
        for _ in range(200):  # a page to be read to its end looks for it once the words are drawn
            told = self.interface.screen.query("#told")
            if getattr(self.interface.screen, "at_end", True) or not told or told.first().max_scroll_y:
                break
            await asyncio.sleep(0.005)
        await self.pilot.pause(0)

    def _reading(self) -> bool:
        page = self.interface.screen
        return isinstance(page, WaitPage) or (isinstance(page, StartPage) and page.jobs is None)

    async def search(self) -> None:
        """Waits until the work beside the interface is done; a refusal of it is told on the page."""
        with suppress(WorkerFailed):
            await self.interface.workers.wait_for_complete()
        await self.settle()

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
    wanted = Wanted(folder / "papers", job, local_code, milestone, kept=folder / "state", rehearsal=rehearsal)
    async with hand_in(bench, wanted, size, theme) as hand:
        yield hand


@asynccontextmanager
async def hand_in(
    bench: Context, wanted: Wanted, size: tuple[int, int] = NARROW, theme: str = ""
) -> AsyncIterator[Hand]:
    """The interface on a context."""
    interface = Interface(lambda: bench, wanted)
    try:
        async with interface.run_test(size=size) as pilot:
            if theme:
                interface.theme = theme
            hand = Hand(interface, pilot)
            await hand.settle()
            yield hand
    finally:
        if interface.fault is not None:
            raise interface.fault
