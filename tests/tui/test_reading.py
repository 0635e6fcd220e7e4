"""What is read on a screen: sheets at any width, words where there is no room, groups of rows, keys pressed early."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from textual import events

from riskhelper.acts.job.kept_page import KeptPage
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.ruleset.spoken_forms import fixed_sentences
from riskhelper.store.rule_files import shipped_rules
from riskhelper.tui.app import KEYS_NOT_TAKEN, Wanted
from riskhelper.tui.ask import AskPage
from riskhelper.tui.reading import WIDEST, hanging
from riskhelper.tui.starting import WaitPage
from riskhelper.tui.wording import cut
from tests.acts.workbench import context
from tests.tui.driving import MIDDLE, NARROW, WIDE, hand_in, hand_on
from tests.tui.test_interview import answered

TINY = (40, 15)


@pytest.mark.parametrize("size", [NARROW, MIDDLE, WIDE])
async def test_the_statement_is_as_wide_as_its_sheet_and_no_line_is_wrapped_twice(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """A line made for one width and wrapped again at another leaves single words alone on their lines."""
    answered(tmp_path)
    async with hand_on(tmp_path, size=size) as hand:
        await hand.press("3")
        sheet = hand.interface.screen.query_one("Reading")
        width = sheet.size.width
        made = hand.session.statement_lines(min(width, WIDEST))
        shown = [line.rstrip() for line in sheet.render().plain.split("\n")]  # type: ignore[union-attr]

    assert width > size[0] - 10
    assert shown == [line.rstrip() for line in made]


@pytest.mark.parametrize("width", range(12, 60, 7))
def test_what_hangs_under_a_dash_stays_there_and_no_word_is_lost(width: int) -> None:
    line = "- shut the tank valve, then blank its outlet and look for drips"
    rows = hanging(line, width)

    assert " ".join(" ".join(rows).split()) == line
    assert all(row.startswith("  ") for row in rows[1:])
    assert max(map(len, rows)) <= width


def test_words_cut_short_end_in_three_dots_and_in_no_more() -> None:
    assert cut("Ruled out: Weather over the limit. Poor light: 20 became 8. More.", 40) == (
        "Ruled out: Weather over the limit..."
    )
    assert cut("Unbreakablewordwithoutanyblank", 12) == "Unbreakab..."


async def test_where_words_do_not_fit_three_dots_say_so(tmp_path: Path) -> None:
    answered(tmp_path)
    async with hand_on(tmp_path, size=TINY) as hand:
        await hand.press("f9", "escape", "f6")

        assert "..." in hand.screen()


async def test_at_forty_columns_a_dial_shows_every_unit_and_suction_is_read_back_whole(tmp_path: Path) -> None:
    shelf = RuleShelf(shipped_rules())
    bench = replace(context(tmp_path), rules=shelf, local_codes=shelf.local_codes)
    async with hand_in(bench, Wanted(tmp_path / "papers", "7", "en50110"), TINY) as hand:
        hand.session.asked_again = "oil.gas_kpa"
        page = hand.interface.screen
        assert isinstance(page, AskPage)
        await page.show_question()
        await hand.settle()
        assert "kPa Pa mbar bar psi mmHg" in hand.screen()
        assert "Press u for the unit the dial shows" in hand.flat()
        await hand.write("-12uuu")

        assert "that is minus 1.2 kPa: SUCTION." in hand.flat()


async def test_left_and_right_go_from_place_to_place(tmp_path: Path) -> None:
    answered(tmp_path)
    async with hand_on(tmp_path) as hand:
        await hand.press("f5", "home", "right")
        assert "▶  4 │ Do you hear thunder?" in hand.screen()
        await hand.press("right")
        assert "▶  6 │ How high does the water stand" in hand.screen()
        await hand.press("left")
        assert "▶  4 │ Do you hear thunder?" in hand.screen()


async def test_the_list_of_answers_begins_on_the_question_where_one_is(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press("f5")

        assert "▶  3 │ What will the pump do while you work?" in hand.screen()


def held(kept: str, *keys: str) -> WaitPage:
    page = WaitPage(None, "7")
    page.kept = KeptPage("7", kept, "Ask?", "Why.", (), 1) if kept else None
    page.keys_held = [events.Key(key, key if len(key) == 1 else None) for key in keys]
    return page


@pytest.mark.parametrize(
    ("kept", "kind", "keys", "taken"),
    [
        ("job.site_name", "text", ("a", "enter"), 2),  # it stood there to be read: every key counts
        ("", "text", ("a", "b", "enter", "c"), 2),  # into the field, which saves nothing; Enter does not
        ("", "number", ("1", ".", "5", "enter"), 3),
        ("", "number", ("?",), 0),  # would be saved as not known
        ("", "number", ("=", "1"), 0),  # would confirm an earlier visit
        ("", "choice", ("1",), 0),  # nobody answers a question unseen
        ("other.question", "choice", ("1",), 0),
    ],
)
def test_keys_pressed_before_a_question_stands_save_nothing_unseen(
    kept: str, kind: str, keys: tuple[str, ...], taken: int
) -> None:
    page = held(kept, *keys)

    assert page.keys_for("job.site_name", kind) == page.keys_held[:taken]


async def test_what_is_typed_while_the_rules_of_a_new_job_load_stands_in_the_field(tmp_path: Path) -> None:
    bench = context(tmp_path)
    async with hand_in(bench, Wanted(tmp_path / "papers", kept=tmp_path / "state")) as hand:
        await hand.press("enter")
        hand.interface.load_then_open("dale", "7")
        for character in "Crag":
            hand.interface.post_message(events.Key(character, character))
        hand.interface.post_message(events.Key("enter", None))
        await hand.settle()

        assert hand.interface.screen.query_one("#field").value == "Crag"  # type: ignore[attr-defined]
        assert KEYS_NOT_TAKEN in hand.flat()
        assert not hand.session.state.job.answers


async def test_the_first_page_speaks_the_language_asked_for(tmp_path: Path) -> None:
    shelf = RuleShelf(shipped_rules(), "de")
    wanted = Wanted(tmp_path / "papers", say=fixed_sentences(shelf.words).say)
    async with hand_in(context(tmp_path), wanted) as hand:
        shown = hand.flat()

    for words in ("Welcher Auftrag?", "Nummer des Auftrags", "Diese Nummer nehmen.", "F1 Tasten", "F7 NOTFALL"):
        assert words in shown
    for words in ("Which job", "Take this number", "verdict follows"):
        assert words not in shown
