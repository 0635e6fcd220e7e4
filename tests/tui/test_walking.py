"""A walk over every page with arrows, Enter and Esc alone: no dead end, no dead key, nothing saved by Enter alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.tui.frame import KeyBar, Page
from riskhelper.tui.pages import Sheet, Typing
from riskhelper.tui.rows import Rows
from riskhelper.tui.starting import StartPage
from tests.acts.workbench import context
from tests.tui.driving import NARROW, Hand, hand_on
from tests.tui.test_interview import answered

LEAVES, DEEPEST = "leave", 3
SAVES_BY_ITSELF = ("F9", "Ctrl+Q")
"""Keys that act at once by design: the stop, which is saved before anything is drawn, and leaving."""


def entries(folder: Path) -> int:
    return len(context(folder).store.entries("7"))


def rows_of(page: Page) -> Rows | None:
    found = list(page.query(Rows))
    return found[0] if found else None


class Walk:
    """One hand that opens every row of every page it comes to, and goes back."""

    def __init__(self, hand: Hand, folder: Path) -> None:
        self.hand = hand
        self.folder = folder
        self.seen: dict[str, str] = {}
        self.faults: list[str] = []

    @property
    def page(self) -> Page:
        page = self.hand.interface.screen
        assert isinstance(page, Page)
        return page

    @property
    def name(self) -> str:
        """The page by its kind and what stands in its head."""
        return f"{type(self.page).__name__}: {self.hand.lines()[0].strip()}"

    async def visit(self, way: tuple[tuple[str, int], ...]) -> None:
        """Looks at the page in front, then at what its rows open."""
        if self.name in self.seen or len(way) > DEEPEST:
            return
        self.seen[self.name] = self.hand.flat()
        await self._enter_alone_saves_nothing(way)
        rows = rows_of(self.page)
        for place in range(len(rows.rows) if rows is not None else 0):
            if rows is None or rows.rows[place].name == LEAVES:
                continue
            there = (*way, (rows.rows[place].name, place))
            before, at = entries(self.folder), self.name
            await self.open(there)
            if self.name != at and entries(self.folder) == before:
                await self.visit(there)
                await self._esc_goes_back(there)

    async def open(self, way: tuple[tuple[str, int], ...]) -> None:
        """Goes to a page from the questions, row by row, by arrows and Enter."""
        self.hand.interface.to_questions()
        await self.hand.settle()
        for name, place in way:
            rows = rows_of(self.page)
            if rows is None or place >= len(rows.rows) or rows.rows[place].name != name:
                return  # a row that was there before something was saved
            rows.focus()
            rows.cursor = -1
            await self.hand.press(*["down"] * (place + 1), "enter")
            await self.hand.search()

    async def _enter_alone_saves_nothing(self, way: tuple[tuple[str, int], ...]) -> None:
        """The hand begins on a row that neither saves nor gives anything up."""
        await self.open(way)
        before, at = entries(self.folder), self.name
        await self.hand.press("enter")
        await self.hand.search()
        if entries(self.folder) != before:
            self.faults.append(f"{at}: Enter alone saves")
        await self.open(way)

    async def _esc_goes_back(self, way: tuple[tuple[str, int], ...]) -> None:
        """Esc leads to the page before, or further back; never nowhere."""
        await self.open(way)
        at, depth, asks = self.name, len(self.hand.interface.screen_stack), self.page.has_class("-questions")
        await self.hand.press("escape")
        if not asks and len(self.hand.interface.screen_stack) >= depth:
            self.faults.append(f"{at}: Esc does not go back")


def keys_in_the_foot(hand: Hand) -> list[str]:
    return [key for key, _, _ in hand.interface.screen.query_one(KeyBar)._keys]


@pytest.mark.slow
async def test_every_page_can_be_reached_and_left_and_enter_alone_saves_nothing(tmp_path: Path) -> None:
    """HUM-07: arrows, Enter and Esc are enough; what commits begins on the answer that does not."""
    answered(tmp_path)
    async with hand_on(tmp_path) as hand:
        walk = Walk(hand, tmp_path)
        await walk.visit(())

    assert walk.faults == []
    assert {"AskPage", "ListPage", "Sheet", "Doubt"} <= {name.partition(":")[0] for name in walk.seen}
    assert len(walk.seen) >= 12


@pytest.mark.parametrize(
    "way", [(), ("f1",), ("f3",), ("f5",), ("f6",), ("f7",), ("f8",), ("f10",), ("ctrl+z",), ("f6", "enter")]
)
async def test_every_key_in_the_foot_does_something(tmp_path: Path, way: tuple[str, ...]) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press(*way)
        keys = [key for key in keys_in_the_foot(hand) if key not in SAVES_BY_ITSELF]
        dead = []
        for key in keys:
            before = hand.screen()
            await hand.press({"Esc": "escape", "Enter": "enter", "PgDn": "pagedown"}.get(key, key.lower()))
            if hand.screen() == before and (key, way) != ("F10", ("f10",)):
                dead.append(key)
            hand.interface.to_questions()
            await hand.settle()
            await hand.press(*way)

    assert dead == []


@pytest.mark.parametrize("way", [(), ("f1",), ("f3",), ("f5",), ("f6",), ("f7",), ("f10",), ("f9",)])
async def test_the_foot_fits_eighty_columns_and_names_no_key_twice(tmp_path: Path, way: tuple[str, ...]) -> None:
    answered(tmp_path, "job.site_name")
    async with hand_on(tmp_path, size=NARROW) as hand:
        await hand.press(*way)
        bar = hand.interface.screen.query_one(KeyBar)
        own = keys_in_the_foot(hand)

        assert max(end for _, _, end, _ in bar._spans) <= NARROW[0]
        assert len(own) == len(set(own))


async def test_the_first_page_names_only_keys_that_work_there(tmp_path: Path) -> None:
    async with hand_on(tmp_path, job="", local_code="") as hand:
        assert isinstance(hand.interface.screen, StartPage)
        assert keys_in_the_foot(hand) == ["F1", "F2", "Ctrl+Q"]


async def test_a_sheet_names_the_key_that_reads_on_only_where_there_is_more(tmp_path: Path) -> None:
    answered(tmp_path)
    async with hand_on(tmp_path) as hand:
        await hand.press("f10")
        await hand.touch("Answers from the office")
        assert isinstance(hand.interface.screen, Sheet)
        assert "PgDn" not in hand.screen()
        await hand.press("f1")
        assert "PgDn read on" in hand.flat()
        await hand.press("pagedown")
        assert "AT ANY MOMENT" in hand.flat()


async def test_a_page_of_fields_can_be_left_by_esc_with_nothing_saved(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name")
    async with hand_on(tmp_path) as hand:
        await hand.press("f3")
        assert isinstance(hand.interface.screen, Typing)
        await hand.write("never mind")
        before = entries(tmp_path)
        await hand.press("escape")

        assert entries(tmp_path) == before
        assert not isinstance(hand.interface.screen, Typing)
