"""How the pages look at three sizes in three themes, and that no theme hides anything (DIS-07, HUM-07)."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from riskhelper.tui import themes
from tests.tui.driving import MIDDLE, NARROW, WIDE, hand_on
from tests.tui.test_interview import answered

SNAPSHOTS = Path(__file__).parent / "snapshots"
PAGES: dict[str, tuple[str, ...]] = {
    "question": (),
    "findings": ("f6",),
    "stopped": ("f9",),
    "answers": ("f5",),
    "emergency": ("f7",),
}


def luminance(colour: str) -> float:
    """Relative luminance as the web accessibility guidelines (WCAG 2.2, "relative luminance") define it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, WCAG 2.2 "contrast ratio"."""
    bright, dim = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def test_the_contrast_of_black_on_white_is_that_of_the_guideline() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("name", list(themes.PALETTES))
def test_every_ink_stands_out_from_every_ground_by_seven_to_one(name: str) -> None:
    palette = themes.PALETTES[name]
    inks, grounds = (palette.ink, palette.quiet), (palette.ground, palette.strip)

    for ink, ground in itertools.product(inks, grounds):
        assert contrast(ink, ground) >= 7.0


@pytest.mark.parametrize(
    "theme", [themes.NAMES[0], *(pytest.param(name, marks=pytest.mark.slow) for name in themes.NAMES[1:])]
)
@pytest.mark.parametrize("size", [NARROW, MIDDLE, WIDE], ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("page", list(PAGES))
async def test_a_page_looks_as_recorded(tmp_path: Path, page: str, size: tuple[int, int], theme: str) -> None:
    """The words are the same in every theme, so that nothing is said by colour; `standing = recorded`."""
    answered(tmp_path, "job.site_name", "job.plant_id", "pump.state")
    async with hand_on(tmp_path, size=size, theme=theme, rehearsal=False) as hand:
        await hand.press(*PAGES[page])
        shown = hand.screen()
    file = SNAPSHOTS / f"{page}-{size[0]}x{size[1]}.txt"
    if not file.exists():
        file.parent.mkdir(exist_ok=True)
        file.write_text(shown, encoding="utf-8")
        pytest.fail(f"{file.name} was missing and is recorded now: read it, then run again")

    assert shown == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("theme", themes.NAMES)
async def test_every_colour_on_the_screen_is_an_ink_or_a_ground_of_the_theme(tmp_path: Path, theme: str) -> None:
    palette = themes.PALETTES.get(theme)
    allowed = {palette.ink, palette.quiet, palette.ground, palette.strip} if palette else set()
    answered(tmp_path, "job.site_name")
    async with hand_on(tmp_path, size=WIDE, theme=theme) as hand:
        seen = {
            colour.name if colour.triplet is None else colour.triplet.hex
            for strip in hand.interface.screen._compositor.render_strips()
            for segment in strip
            if segment.style is not None
            for colour in (segment.style.color, segment.style.bgcolor)
            if colour is not None
        }

    assert seen <= allowed | {"default"}


async def test_no_colour_is_obeyed_from_the_first_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with hand_on(tmp_path) as hand:
        assert hand.interface.theme == themes.ONE_COLOUR
        await hand.press("f10")

        assert "Look:" not in hand.flat()


@pytest.mark.parametrize("size", [NARROW, MIDDLE, WIDE])
async def test_the_verdict_is_in_sight_on_every_page(tmp_path: Path, size: tuple[int, int]) -> None:
    answered(tmp_path, "job.site_name")
    async with hand_on(tmp_path, size=size) as hand:
        for key in ("f1", "f3", "f5", "f6", "f7", "f8", "f10"):
            await hand.press(key)

            assert " STOP ━" in hand.screen()
            await hand.press("escape")
