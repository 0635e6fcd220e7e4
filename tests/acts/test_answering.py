"""Answers are saved as typed, refused in words, taken back without being lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer, PlanControl, ProveControl
from riskhelper.acts.job.jobs import OpenJob
from riskhelper.store.logbook import FILE
from tests.acts.workbench import context


@pytest.fixture
def bench(tmp_path: Path) -> Context:
    opened = context(tmp_path)
    jobs.open_job(opened, OpenJob("dale", "7"))
    return opened


def given(question: str, typed: str, unit: str = "") -> GiveAnswer:
    return GiveAnswer("7", "gate", question, typed, unit)


def test_a_number_is_saved_beside_what_was_typed(bench: Context) -> None:
    answering.answer(bench, given("pump.head_m", "10", "ft"))
    saved = jobs.resume_job(bench, "7").job.answers["pump.head_m"]

    assert saved.value == pytest.approx(3.048)
    assert (saved.typed, saved.unit, saved.who) == ("10", "ft", "Ada Quist")


def test_the_unit_of_the_site_is_meant_where_none_is_typed(tmp_path: Path) -> None:
    bench = context(tmp_path, length="ft")
    jobs.open_job(bench, OpenJob("dale", "7"))
    answering.answer(bench, given("pump.head_m", "10"))

    assert jobs.resume_job(bench, "7").job.answers["pump.head_m"].value == pytest.approx(3.048)


@pytest.mark.parametrize(
    ("question", "typed"),
    [
        ("pump.head_m", "150"),
        ("pump.head_m", "nan"),
        ("pump.head_m", "inf"),
        ("pump.head_m", "1e400"),
        ("pump.head_m", "three"),
        ("pump.head_m", "3.14159"),
        ("pump.head_m", "3 kPa"),
        ("pump.head_m", ""),
        ("pump.state", "flying"),
        ("pump.feeds", "mains, none_of_these"),
        ("pump.feeds", "moon"),
        ("job.plant_id", ""),
        ("job.plant_id", "P2\x1b[2J"),
        ("job.plant_id", "P" * 100_000),
        ("pump.hed_m", "3"),
    ],
)
def test_what_cannot_be_an_answer_is_refused_in_one_sentence_and_nothing_is_saved(
    bench: Context, question: str, typed: str
) -> None:
    before = bench.store.entries("7")
    with pytest.raises(Refused) as refused:
        answering.answer(bench, given(question, typed))

    assert 20 < len(str(refused.value)) < 400
    assert "\x1b" not in str(refused.value)
    assert bench.store.entries("7") == before


def test_a_look_saves_nothing_and_says_what_an_answer_would_mean(bench: Context) -> None:
    answering.answer(bench, given("pump.state", "stopped"))
    answering.answer(bench, given("pump.feeds", "mains"))
    before = bench.store.entries("7")
    looked = answering.look_at(bench, given("pump.state", "running"))

    assert looked.falls_away == ("pump.feeds",)
    assert bench.store.entries("7") == before


def test_outside_the_usual_range_is_said_before_it_is_saved(bench: Context) -> None:
    assert answering.look_at(bench, given("pump.head_m", "20")).outside_usual
    assert not answering.look_at(bench, given("pump.head_m", "3")).outside_usual


def test_an_answer_that_falls_away_is_kept(bench: Context) -> None:
    for question, typed in (("pump.state", "stopped"), ("pump.feeds", "mains"), ("pump.state", "running")):
        answering.answer(bench, given(question, typed))

    assert jobs.resume_job(bench, "7").job.answers["pump.feeds"].value == {
        "mains": "yes",
        "standby": "no",
        "none_of_these": "no",
    }


def test_a_question_of_a_hold_point_is_refused_before_it(bench: Context) -> None:
    with pytest.raises(Refused, match="Too early: `Is the drip dry\\?` can only be seen at hold point VALVE HOLDS"):
        answering.answer(bench, given("pump.drip_dry", "yes"))


def test_not_known_is_an_answer_of_its_own(bench: Context) -> None:
    state = answering.not_known(bench, "7", "gate", "pump.head_m")

    assert state.job.answers["pump.head_m"].value is None


def test_a_note_is_kept_and_an_empty_one_refused(bench: Context) -> None:
    answering.note(bench, "7", " gate key with the farmer ", "job.site_name")

    assert [note.text for note in jobs.resume_job(bench, "7").history.notes] == ["gate key with the farmer"]
    with pytest.raises(Refused, match="A note needs words"):
        answering.note(bench, "7", "  ")


def test_take_back_goes_to_the_beginning_and_then_says_so(bench: Context) -> None:
    answering.answer(bench, given("job.plant_id", "P2"))
    answering.answer(bench, given("job.plant_id", "P3"))

    assert [answering.take_back(bench, "7").number for _ in range(2)] == [3, 2]
    assert jobs.resume_job(bench, "7").job.answers == {}
    with pytest.raises(Refused, match="Nothing is left to take back"):
        answering.take_back(bench, "7")


def test_after_the_hand_over_nothing_earlier_is_taken_back(bench: Context) -> None:
    answering.answer(bench, given("job.plant_id", "P2"))
    jobs.request_plan(bench, "7", "gate")

    with pytest.raises(Refused, match="The plan was handed over"):
        answering.take_back(bench, "7")


def test_a_control_is_planned_with_the_evidence_of_the_rules_where_none_is_named(bench: Context) -> None:
    state = answering.plan(bench, PlanControl("7", "pump.second_valve"))

    assert state.job.planned["pump.second_valve"].evidence == "seen shut by two people"
    assert state.job.planned["pump.second_valve"].by == "work leader"
    assert answering.leave_out(bench, "7", "pump.second_valve").job.planned == {}


def test_a_control_is_proved_only_by_words(bench: Context) -> None:
    with pytest.raises(Refused, match="A control is proved by evidence"):
        answering.prove(bench, ProveControl("7", "pump.second_valve", "  "))
    state = answering.prove(bench, ProveControl("7", "pump.second_valve", "photo 4", "Bo Lind"))

    assert state.job.proved["pump.second_valve"].second == "Bo Lind"


def test_an_unknown_control_names_the_nearest(bench: Context) -> None:
    with pytest.raises(
        Refused, match=r"No control `pump.second_valv` in these rules. Did you mean `pump.second_valve`\?"
    ):
        answering.plan(bench, PlanControl("7", "pump.second_valv"))


def test_the_log_names_acts_and_refusals_but_no_answers_and_no_names(bench: Context, tmp_path: Path) -> None:
    answering.answer(bench, given("job.plant_id", "PUMP-SEVEN"))
    answering.note(bench, "7", "the farmer has the key")
    with pytest.raises(Refused):
        answering.answer(bench, given("pump.head_m", "666"))
    log = (tmp_path / "log" / FILE).read_text(encoding="utf-8")

    assert "act: answer, entry 2" in log
    assert "refused: answer, not accepted" in log
    assert not any(word in log for word in ("PUMP-SEVEN", "farmer", "666", "Ada"))
