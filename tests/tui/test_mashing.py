"""Keys mashed in any order never bring the interface down, never lose an answer, never invent one."""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import Awaitable, Callable
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from riskhelper.acts.job import jobs
from riskhelper.record.entries import STOP_WORK
from tests.acts.workbench import context
from tests.tui.driving import Hand, hand_on

KEYS = (
    *"123456789suk?-.",
    *("enter", "escape", "up", "down", "tab", "shift+tab", "backspace", "space", "home", "end", "pageup", "pagedown"),
    *("f1", "f2", "f3", "f4", "f5", "f6", "f7", "f8", "f10", "ctrl+z"),
)


class Mashing(RuleBasedStateMachine):
    """One hand on the keys of one job; the store is read by another."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name)
        self.loop = asyncio.new_event_loop()
        self.stops = 0
        self.entries = 0
        self.orders: asyncio.Queue[Callable[[Hand], Awaitable[None]] | None] = asyncio.Queue()
        ready: asyncio.Future[Hand] = self.loop.create_future()
        self.life = self.loop.create_task(self.live(ready))
        self.hand: Hand = self.loop.run_until_complete(ready)

    async def live(self, ready: asyncio.Future[Hand]) -> None:
        """The interface from its start to its end, in one task."""
        async with hand_on(self.path) as hand:
            ready.set_result(hand)
            while (order := await self.orders.get()) is not None:
                await order(hand)
                self.orders.task_done()

    def order(self, order: Callable[[Hand], Awaitable[None]]) -> None:
        self.orders.put_nowait(order)
        done = self.loop.create_task(self.orders.join())
        self.loop.run_until_complete(asyncio.wait((done, self.life), return_when=asyncio.FIRST_COMPLETED))
        if self.life.done():
            self.life.result()

    def do(self, *keys: str) -> None:
        self.order(lambda hand: hand.press(*keys))

    @rule(keys=st.lists(st.sampled_from(KEYS), min_size=1, max_size=6))
    def mash(self, keys: list[str]) -> None:
        self.do(*keys)

    @rule(digits=st.integers(-5, 40))
    def write_a_number(self, digits: int) -> None:
        self.order(lambda hand: hand.write(str(digits)))
        self.do("enter")

    @rule()
    def stop(self) -> None:
        self.do("f9")
        self.stops += 1

    @rule(width=st.integers(30, 150), height=st.integers(10, 50))
    def resize(self, width: int, height: int) -> None:
        self.order(lambda hand: hand.resize(width, height))

    @invariant()
    def nothing_is_lost_and_every_stop_is_saved(self) -> None:
        bench = context(self.path)
        saved = bench.store.entries("7")

        assert self.hand.interface.fault is None
        assert len(saved) >= self.entries
        assert sum(entry.draft.act == STOP_WORK for entry in saved) == self.stops
        assert dict(jobs.resume_job(bench, "7").job.answers) == dict(self.hand.session.state.job.answers)
        self.entries = len(saved)

    def teardown(self) -> None:
        if not self.life.done():
            self.orders.put_nowait(None)
            self.loop.run_until_complete(self.life)
        self.loop.close()
        self.folder.cleanup()


TestMashing = Mashing.TestCase
TestMashing.settings = settings(
    max_examples=5, stateful_step_count=8, deadline=None, suppress_health_check=list(HealthCheck)
)
