"""A second visit confirms what stays true of a plant item by item; what a stop rests on is answered anew (HUM-03)."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.known_plant import KnownPlants, confirm, differs, keep, offered, plant_of, with_plant
from riskhelper.acts.job.plant_files import KnownHazard, PlantFaults, PlantFile, Seen, read_plant, written_plant
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.statement.header import Header
from riskhelper.store.rule_files import shipped_rules
from tests.acts.workbench import Clock, context

SHELF = RuleShelf(shipped_rules())
BORE, LIQUID, WEATHER = "oil.valve_mm", "oil.oil_type", "weather.wind_ms"
ANSWERS = {
    "job.site_name": "Heron Quay",
    "job.plant_id": "T2",
    "job.scope": "oil",
    "oil.valve_kind": "ball",
    BORE: "50",
    LIQUID: "mineral",
}


def bench(folder: Path, clock: Clock | None = None) -> Context:
    return replace(context(folder, clock), rules=SHELF, local_codes=SHELF.local_codes)


def visited(place: Context, number: str, answers: dict[str, str]) -> jobs.JobState:
    state = jobs.open_job(place, jobs.OpenJob("en50110", number))
    for question, typed in answers.items():
        state = answering.answer(place, GiveAnswer(number, "gate", question, typed))
    return state


def known(place: Context) -> KnownPlants:
    return KnownPlants(place.plants)


def test_what_stays_true_is_kept_with_its_day_and_offered_at_the_next_visit(tmp_path: Path) -> None:
    clock = Clock()
    place = bench(tmp_path, clock)
    visited(place, "1", ANSWERS)
    _, changed = keep(place, known(place), "1")
    clock.move(60 * 24 * 90)
    state = visited(place, "2", {"job.site_name": "heron  quay", "job.plant_id": "t2", "job.scope": "oil"})

    item = offered(state, known(place), BORE)

    assert set(changed) == {"oil.valve_kind", BORE, LIQUID}
    assert item is not None
    assert "50 mm" in item.words
    assert "03 February 2031" in item.last_seen
    assert BORE not in state.job.answers, "nothing is taken over unseen"
    assert confirm(place, "2", "gate", item).job.answers[BORE].source.startswith("confirmed on site; before: seen 03")


def test_what_a_stop_rests_on_is_answered_anew_and_then_compared(tmp_path: Path) -> None:
    place = bench(tmp_path)
    visited(place, "1", ANSWERS)
    keep(place, known(place), "1")
    state = visited(place, "2", ANSWERS | {LIQUID: "silicone"})

    assert offered(state, known(place), LIQUID) is None
    assert "another transformer" in differs(state, known(place), LIQUID)
    assert differs(state, known(place), BORE) == ""


def test_another_plant_of_the_same_site_is_offered_nothing(tmp_path: Path) -> None:
    place = bench(tmp_path)
    visited(place, "1", ANSWERS)
    keep(place, known(place), "1")

    state = visited(place, "2", {"job.site_name": "Heron Quay", "job.plant_id": "T3"})

    assert plant_of(state, known(place)) is None
    assert offered(state, known(place), BORE) is None


def test_a_value_the_rules_no_longer_take_is_told_and_not_offered(tmp_path: Path) -> None:
    place = bench(tmp_path)
    assert place.plants is not None
    place.plants.mkdir()
    plant = PlantFile("Heron Quay", "T2", known={BORE: Seen(value="wide", seen=date(2031, 1, 2))})
    (place.plants / "t2.toml").write_bytes(written_plant(plant))
    state = visited(place, "1", {"job.site_name": "Heron Quay", "job.plant_id": "T2"})

    with pytest.raises(PlantFaults, match=r"`wide` for `oil.valve_mm`"):
        offered(state, known(place), BORE)


def test_nothing_is_kept_of_a_job_that_names_no_plant(tmp_path: Path) -> None:
    place = bench(tmp_path)
    visited(place, "1", {"job.scope": "oil"})

    with pytest.raises(Refused, match="does not say site and transformer number"):
        keep(place, known(place), "1")


def test_only_questions_about_the_plant_itself_stay(tmp_path: Path) -> None:
    del tmp_path
    rules = SHELF("en50110")
    staying = {name for name, question in rules.questions.items() if question.of_plant}

    assert staying & {WEATHER, "people.team_n", "plant.tx_now", "oil.head_m"} == set()
    assert all(rules.questions[name].life_min is None and not rules.questions[name].private for name in staying)


def test_a_plant_file_reads_back_the_same_and_completes_the_papers() -> None:
    hazard = KnownHazard(words="Asbestos cement in the duct", seen=date(2030, 5, 6), source="owner's sheet 4")
    plant = PlantFile(
        site="Heron Quay",
        plant="T2",
        address="1 Quay Road",
        emergency_numbers={"Nearest hospital": "board at the gate"},
        plates={"Oil": "8.4 t"},
        hazards=(hazard,),
        known={BORE: Seen(value=50, seen=date(2031, 1, 2)), "job.scope": Seen(value=["oil"], seen=date(2031, 1, 2))},
    )

    assert read_plant("t2.toml", written_plant(plant)) == plant
    header = with_plant(Header(address="", muster_point="north gate"), plant)
    assert (header.address, header.muster_point) == ("1 Quay Road", "north gate")
    assert header.known_hazards == ("Asbestos cement in the duct (seen 06 May 2030, owner's sheet 4)",)


def test_every_fault_of_a_plant_file_is_told_with_its_line() -> None:
    text = b"""schema = "riskhelper.plant/1"
site = "Heron Quay"
plent = "T2"
[known.oil]
valve_mm = { value = 50, seen = "2031-01-02" }
"""
    with pytest.raises(PlantFaults) as caught:
        read_plant("t2.toml", text)

    told = "\n".join(caught.value.faults)
    assert "t2.toml, line 3, `plent`" in told
    assert "`plant`: is missing" in told
    assert "line 5, `known.oil.valve_mm.seen`: should be a day" in told or "`known.oil.valve_mm.seen`" in told
