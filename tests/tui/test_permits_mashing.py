"""Keys mashed over the signed acts: nothing is signed without a passphrase, nothing breaks, stops are saved."""

from __future__ import annotations

import asyncio
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from riskhelper.record.entries import PERMIT, POINT
from tests.tui.permits_driving import Before, on_site

KEYS = (
    *"1234567890abcdefgh?-.",
    *("enter", "escape", "up", "down", "tab", "backspace", "space", "home", "end", "pageup", "pagedown"),
    *("f1", "f4", "f7", "f8", "f10", "f12"),
)


async def mashed(folder: Path, keys: list[str]) -> None:
    async with on_site(folder, Before.in_force) as page:
        before = page.bench.store.size()
        for key in keys:
            await page.hand.press(key)
        await page.hand.search()
        added = page.bench.store.every()[before:]

        assert page.hand.interface.fault is None
        assert [entry.draft.act for entry in added if entry.draft.act.startswith((PERMIT, POINT))] == []


@settings(max_examples=4, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(st.sampled_from(KEYS), min_size=10, max_size=40))
def test_no_run_of_keys_signs_anything(keys: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        asyncio.run(mashed(Path(folder), keys))
