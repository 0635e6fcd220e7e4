"""How the pages of the signed acts look at three sizes in three themes; `standing = recorded`."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest

from riskhelper.tui import themes
from tests.tui.driving import MIDDLE, NARROW, WIDE
from tests.tui.permits_driving import LEADER, MATE, Before, Site, on_site

SNAPSHOTS = Path(__file__).parent / "snapshots"


async def stopped(page: Site) -> None:
    await page.to_permit()
    await page.hand.press("f9", "escape")


async def signing(page: Site) -> None:
    await page.to_permit()
    await page.choose("Crew")
    await page.choose("Brief")
    await page.write(subjects=("the hazards", "the order of work"))


async def handover(page: Site) -> None:
    await page.to_permit()
    await page.choose("Handover")


async def writing(page: Site) -> None:
    await page.to_permit()
    await page.choose("Suspend")


async def crew(page: Site) -> None:
    await page.to_permit()
    await page.choose("Crew")


async def isolation(page: Site) -> None:
    await page.to_sheet()
    await page.choose("Isolation register")


async def proving(page: Site) -> None:
    await page.to_point()
    await page.choose("Prove it")
    await page.hand.write("VT-88")
    await page.hand.press("enter")


async def people(page: Site) -> None:
    await page.to_sheet()
    await page.choose("Register of people")


async def zone(page: Site) -> None:
    await page.to_sheet()
    await page.choose("EMERGENCY")


async def why_not(page: Site) -> None:
    await page.to_permit()
    await page.hand.press("question_mark")


PAGES: dict[str, Callable[[Site], Awaitable[None]]] = {
    "sheet": Site.to_sheet,
    "permit": Site.to_permit,
    "why-not": why_not,
    "crew": crew,
    "handover": handover,
    "writing": writing,
    "signing": signing,
    "isolation": isolation,
    "point": Site.to_point,
    "proving": proving,
    "people": people,
    "zone": zone,
    "stopped": stopped,
}


@pytest.mark.parametrize(
    "theme", [themes.NAMES[0], *(pytest.param(name, marks=pytest.mark.slow) for name in themes.NAMES[1:])]
)
@pytest.mark.parametrize("size", [NARROW, MIDDLE, WIDE], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_pages_look_as_recorded(tmp_path: Path, size: tuple[int, int], theme: str) -> None:
    """The words are the same in every theme, so that nothing is said by colour; `standing = recorded`."""
    differ, missing = [], []
    async with on_site(tmp_path, Before.in_force, size=size, theme=theme) as page:
        for name, go in PAGES.items():
            await go(page)
            shown, file = page.hand.screen(), SNAPSHOTS / f"permits-{name}-{size[0]}x{size[1]}.txt"
            if not file.exists():
                file.write_text(shown, encoding="utf-8")
                missing.append(file.name)
            elif shown != file.read_text(encoding="utf-8"):
                differ.append(f"{file.name}:\n{shown}")

    assert missing == [], "recorded now: read them, then run again"
    assert differ == []


@pytest.mark.parametrize("size", [NARROW, MIDDLE, WIDE], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_state_holder_and_crew_are_in_sight_on_the_page_of_a_permit(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with on_site(tmp_path, Before.in_force, size=size) as page:
        flat = page.hand.flat()

    for words in ("I N F O R C E", "to 23:30", f"It is held by {LEADER}.", f"Signed on: {MATE}."):
        assert words in flat
