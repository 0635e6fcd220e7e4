"""The interview read in German: question, fixed words, verdict, keys and cards, with one seam where widgets draw."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Context
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.store.rule_files import shipped_rules
from riskhelper.tui.app import Wanted
from tests.acts.test_known_plant import visited
from tests.acts.workbench import context
from tests.tui.driving import NARROW, hand_in

SHELF = RuleShelf(shipped_rules(), "de")
FIRST = {"job.site_name": "Heron Quay", "job.plant_id": "T2"}


def bench(folder: Path) -> Context:
    place = replace(context(folder), rules=SHELF, local_codes=SHELF.local_codes)
    visited(place, "1", FIRST)
    return place


@pytest.mark.parametrize("size", [NARROW, (140, 45)])
async def test_question_choices_verdict_and_keys_are_german(tmp_path: Path, size: tuple[int, int]) -> None:
    wanted = Wanted(tmp_path / "papers", "1", "en50110", "gate")
    async with hand_in(bench(tmp_path), wanted, size) as hand:
        shown = hand.flat()

    for words in (
        "Wo steht der Transformator?",
        "Warum: Der Ort bestimmt die Fluchtwege",
        "1 In einer Freiluftanlage",
        "F2 Ich weiß es nicht.",
        "STOPP",
        "nicht ausgeschlossen",
        "F1 Tasten",
        "F10 mehr",
        "F7 NOTFALL",
        ">WAGEN<",
    ):
        assert words in shown
    assert "I do not know" not in shown


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("f1", "Ziffer oder Buchstabe wählt die Zeile."),
        ("f7", "Stromschlag: nicht berühren. Abschalten, rufen, wiederbeleben, Defibrillator."),
        ("f8", "ANLAGE IN BETRIEB"),
        ("f9", "Der Stopp ist gespeichert. Er gilt jetzt; niemand muss zustimmen."),
    ],
)
async def test_keys_and_cards_are_german(tmp_path: Path, key: str, words: str) -> None:
    async with hand_in(bench(tmp_path), Wanted(tmp_path / "papers", "1", "en50110", "gate")) as hand:
        await hand.press(key)

        assert words in hand.flat()


async def test_a_choice_by_digit_saves_the_same_answer_as_in_any_language(tmp_path: Path) -> None:
    async with hand_in(bench(tmp_path), Wanted(tmp_path / "papers", "1", "en50110", "gate")) as hand:
        await hand.press("1")
        given = hand.session.answer_to("job.place")

    assert given is not None
    assert given.value == "open_yard"
