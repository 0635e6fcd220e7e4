"""Drives the pages about rule sets: rows chosen by their words, fields written one after the other."""

from __future__ import annotations

from dataclasses import dataclass

from riskhelper.tui.permits.writing import WritePage
from riskhelper.tui.rows import Rows
from tests.tui.driving import Hand


@dataclass
class Desk:
    """A hand on the pages about rule sets."""

    hand: Hand

    async def choose(self, words: str) -> None:
        """Chooses the row that begins with these words."""
        rows = self.hand.interface.screen.query_one(Rows)
        found = next(
            (row for row in rows.rows if row.words.startswith(words) or f"{row.mark}: {row.words}".startswith(words)),
            None,
        )
        assert found is not None, f"no row `{words}` among {[row.words for row in rows.rows]}\n{self.hand.screen()}"
        rows.cursor = rows.rows.index(found)
        rows.focus()
        await self.hand.press("enter")

    async def write(self, *typed: str) -> None:
        """Answers what is asked: words are typed where a field waits, else a row is chosen by them."""
        for each in typed:
            assert isinstance(self.hand.interface.screen, WritePage), self.hand.screen()
            if self.hand.interface.screen.query("#written:focus"):
                await self.hand.write(each)
                await self.hand.press("enter")
            else:
                await self.choose(each)
