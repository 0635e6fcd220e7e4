"""A second visit on the screen: what an earlier one saw is offered after looking, never under the hand (HUM-03)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Context
from riskhelper.acts.job.known_plant import KnownPlants, keep
from riskhelper.tui.app import Wanted
from riskhelper.tui.ask import AskPage
from tests.acts.test_known_plant import ANSWERS, BORE, LIQUID, bench, visited
from tests.acts.workbench import Clock
from tests.tui.driving import Hand, hand_in

KIND = "oil.valve_kind"
SECOND = {"job.site_name": "Heron Quay", "job.plant_id": "T2", "job.scope": "oil"}


def second_visit(folder: Path, more: dict[str, str] | None = None) -> Context:
    """Three months after a first visit that was kept."""
    clock = Clock()
    place = bench(folder, clock)
    visited(place, "1", ANSWERS)
    keep(place, KnownPlants(place.plants), "1")
    clock.move(60 * 24 * 90)
    visited(place, "2", {**SECOND, **(more or {})})
    return place


def wanted(folder: Path, job: str = "2") -> Wanted:
    return Wanted(folder / "papers", job, "en50110", "gate", kept=folder / "state")


async def ask(hand: Hand, question: str) -> None:
    hand.session.asked_again = question
    page = hand.interface.screen
    assert isinstance(page, AskPage)
    await page.show_question()
    await hand.settle()


@pytest.mark.parametrize(("question", "words"), [(BORE, "50 mm"), (KIND, "Ball valve")])
async def test_what_was_seen_before_is_a_row_with_its_day(tmp_path: Path, question: str, words: str) -> None:
    place = second_visit(tmp_path)
    async with hand_in(place, wanted(tmp_path)) as hand:
        await ask(hand, question)
        shown = hand.flat()

        assert f"Still so, I have looked: {words} (seen 03 February 2031" in shown
        assert shown.index("Still so") < shown.index("I do not know.")
        await hand.press("=")
        given = hand.session.answer_to(question)

    assert given is not None
    assert given.source.startswith("confirmed on site; before: seen 03 February 2031")


@pytest.mark.parametrize("question", [BORE, KIND])
async def test_neither_the_hand_nor_its_first_move_reaches_it(tmp_path: Path, question: str) -> None:
    place = second_visit(tmp_path)
    async with hand_in(place, wanted(tmp_path)) as hand:
        await ask(hand, question)
        await hand.press("enter", "down", "enter")
        given = hand.session.answer_to(question)

    assert given is None or not given.source.startswith("confirmed")


async def test_an_answer_that_is_not_what_was_seen_is_told_on_the_next_question(tmp_path: Path) -> None:
    place = second_visit(tmp_path)
    async with hand_in(place, wanted(tmp_path)) as hand:
        await ask(hand, LIQUID)
        await hand.press("2")
        shown = hand.flat()

        assert hand.session.warns
        assert "At an earlier visit it was Mineral oil (seen 03 February 2031" in shown
        assert "read its number plate again." in shown


async def test_a_plant_file_with_faults_is_told_of_and_the_interview_goes_on(tmp_path: Path) -> None:
    place = second_visit(tmp_path)
    assert place.plants is not None
    (place.plants / "bad.toml").write_text("site = 1\n", encoding="utf-8")
    async with hand_in(place, wanted(tmp_path)) as hand:
        await ask(hand, KIND)

        assert "Nothing of an earlier visit is offered." in hand.flat()
        assert "bad.toml" in hand.flat()
        await hand.press("1")
        assert hand.session.answer_to(KIND) is not None


async def test_what_stays_true_is_kept_from_the_screen(tmp_path: Path) -> None:
    place = bench(tmp_path)
    visited(place, "1", ANSWERS)
    async with hand_in(place, wanted(tmp_path, "1")) as hand:
        assert hand.session.knows_of_plant
        hand.interface.go("keep_plant")
        await hand.settle()

        assert "Kept: 3 answers are new or changed." in hand.flat()
    assert KnownPlants(place.plants).of("Heron Quay", "T2") is not None


async def test_without_a_folder_for_plant_files_nothing_is_kept_and_that_is_said(tmp_path: Path) -> None:
    place = replace(bench(tmp_path), plants=None)
    visited(place, "1", ANSWERS)
    async with hand_in(place, wanted(tmp_path, "1")) as hand:
        hand.interface.go("keep_plant")
        await hand.settle()

        assert "No folder for plant files is set on this machine." in hand.flat()
