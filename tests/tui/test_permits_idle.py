"""Left alone, the interface hides its content; a key holder goes on; stop and cards still work; nothing is lost.

ELE-03, 21 CFR 11.200(a)(1) (published): a session that was broken asks for name and passphrase before it goes on.
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path

from riskhelper.record.entries import STOP_WORK
from riskhelper.tui.app import Wanted
from riskhelper.tui.permits.idle import LockPage
from tests.acts.crew import Crew, passphrase
from tests.acts.test_permits import in_force
from tests.acts.workbench import context
from tests.tui.driving import Hand, hand_in
from tests.tui.permits_driving import on_site


@dataclass
class Watch:
    """Seconds, moved by hand."""

    now_s: float = 0.0

    def __call__(self) -> float:
        return self.now_s


@dataclass
class Left:
    """An interface that nobody touches."""

    hand: Hand
    made: Crew
    watch: Watch

    async def leave_alone(self, minutes: float) -> None:
        self.watch.now_s += minutes * 60
        self.hand.interface.idling.look()
        await self.hand.settle()

    @property
    def hidden(self) -> bool:
        return isinstance(self.hand.interface.screen, LockPage)

    async def open(self, words: str) -> None:
        """The first key holder types a passphrase."""
        await self.hand.press("1")
        await self.hand.write(words)
        await self.hand.press("enter")
        await self.hand.search()


@asynccontextmanager
async def left(folder: Path, *keys: str) -> AsyncIterator[Left]:
    made = in_force(folder)
    async with hand_in(made.bench, Wanted(folder / "papers", lock_after_min=10)) as hand:
        watch = Watch()
        hand.interface.idling.watch = watch
        hand.interface.idling._touched = 0.0
        await hand.press(*keys)
        yield Left(hand, made, watch)


async def test_content_is_hidden_after_the_time_and_not_before(tmp_path: Path) -> None:
    async with left(tmp_path, "f12", "1") as page:
        await page.leave_alone(9.9)
        assert not page.hidden
        await page.leave_alone(0.2)

        assert page.hidden
        assert "7/1" not in page.hand.screen()
        assert "P2" not in page.hand.screen()


async def test_a_touch_begins_the_time_anew(tmp_path: Path) -> None:
    async with left(tmp_path, "f12") as page:
        await page.leave_alone(9)
        await page.hand.press("down")
        await page.leave_alone(9)

        assert not page.hidden


async def test_no_key_leads_past_the_page(tmp_path: Path) -> None:
    async with left(tmp_path, "f12", "1") as page:
        await page.leave_alone(11)
        for key in ("escape", "f1", "f4", "f5", "f6", "f10", "f12", "ctrl+z", "question_mark"):
            await page.hand.press(key)

            assert page.hidden, key


async def test_a_key_holder_goes_on_where_it_stood_and_a_wrong_passphrase_does_not(tmp_path: Path) -> None:
    async with left(tmp_path, "f12", "1") as page:
        before = page.hand.screen()
        await page.leave_alone(11)
        await page.open("not the words")
        assert page.hidden
        assert "That does not open the key of the worker." in page.hand.flat()
        await page.hand.press("up")
        await page.open(passphrase("the worker"))

        assert page.hand.screen() == before


async def test_stop_and_cards_work_over_the_page_and_the_stop_is_of_the_job_that_was_in_front(tmp_path: Path) -> None:
    async with left(tmp_path, "f12", "1") as page:
        await page.leave_alone(11)
        await page.hand.press("f7")
        assert "Emergency card" in page.hand.screen()
        await page.hand.press("escape", "f8")
        assert "Leak card" in page.hand.screen()
        await page.hand.press("escape", "f9")
        saved = context(tmp_path, rehearsal=True).store.entries("7")

        assert saved[-1].draft.act == STOP_WORK
        await page.hand.press("escape")
        assert page.hidden


async def test_what_was_typed_is_still_there(tmp_path: Path) -> None:
    async with left(tmp_path, "f12", "1", "3") as page:
        await page.hand.write("thunder near")
        await page.leave_alone(11)
        await page.open(passphrase("the worker"))

        assert "thunder near" in page.hand.screen()


async def test_without_a_key_holder_nothing_is_hidden(tmp_path: Path) -> None:
    """A page nobody could open would take the interface away from those who stand there."""
    async with left(tmp_path, "f12") as page:
        for key in (tmp_path / "keys").glob("*.key"):
            key.unlink()
        await page.leave_alone(11)

        assert not page.hidden


async def test_a_key_hides_everything_at_once(tmp_path: Path) -> None:
    """Somebody who leaves the machine for a minute does not wait for it to hide by itself."""
    async with on_site(tmp_path) as page:
        await page.hand.press("ctrl+l")
        assert "Hidden" in page.hand.flat()
        assert "Permit 7/1" not in page.hand.flat()
