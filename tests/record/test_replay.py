"""A job is what its entries add up to; what is taken back stays in the record and no longer counts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskhelper.evidence import Answer, PlannedControl
from riskhelper.record.canonical import Content
from riskhelper.record.contents import NotReadable, answer_content
from riskhelper.record.entries import (
    ANSWER,
    LEAVE_OUT,
    NOTE,
    OPEN,
    PLAN,
    PROVE,
    REQUEST_PLAN,
    TAKE_BACK,
    Entry,
    drafted,
)
from riskhelper.record.replay import replayed

NOW = datetime(2031, 2, 3, 16, 30, tzinfo=UTC)
OPENING: Mapping[str, Content] = {
    "local_code": "en50110",
    "rules": [{"name": "base", "number": "3", "digest": "ab"}],
    "rehearsal": False,
    "program": "0.1.0",
}


def recorded(*acts: tuple[str, Mapping[str, Content]]) -> tuple[Entry, ...]:
    """Entries of a job, a minute apart, the opening first."""
    entries = []
    for number, (act, content) in enumerate(((OPEN, OPENING), *acts), start=1):
        draft = drafted(
            job="7",
            who="Ada Quist",
            role="work leader",
            act=act,
            content=content,
            entered=NOW + timedelta(minutes=number),
        )
        entries.append(Entry(number, draft, draft.meaning, draft.digest))
    return tuple(entries)


def answer(question: str, value: float | str | None) -> tuple[str, Mapping[str, Content]]:
    return ANSWER, answer_content(question, Answer(value=value))


def values(entries: Sequence[Entry]) -> dict[str, object]:
    return {question: answer.value for question, answer in replayed(entries).job.answers.items()}


def test_the_latest_answer_counts_and_the_earlier_stays_in_the_record() -> None:
    entries = recorded(answer("oil.head_m", 3.1), answer("oil.head_m", 2.4))

    assert values(entries) == {"oil.head_m": 2.4}
    assert len(entries) == 3


@pytest.mark.parametrize(
    "given",
    [
        Answer(value=-12.5, typed="-1.8", unit="psi", source="dial"),
        Answer(value="mineral", typed="1"),
        Answer(value=None),
        Answer(value={"lv": "yes", "ups": "not_known", "heater": "no"}),
        Answer(value=0.1 + 0.2),
    ],
)
def test_an_answer_comes_back_as_given_with_who_and_when(given: Answer) -> None:
    entries = recorded((ANSWER, answer_content("plant.x", given)))

    back = replayed(entries).job.answers["plant.x"]

    assert back == replace(given, who="Ada Quist", at=NOW + timedelta(minutes=2))


def test_an_entry_taken_back_no_longer_counts() -> None:
    entries = recorded(answer("a.b", "yes"), answer("a.b", "no"), (TAKE_BACK, {"entry": 3}))

    assert values(entries) == {"a.b": "yes"}


@given(st.lists(st.sampled_from(["a.b", "c.d", "e.f"]), max_size=12))
def test_undo_goes_back_to_the_beginning_step_by_step(questions: list[str]) -> None:
    acts = [answer(question, float(place)) for place, question in enumerate(questions)]
    entries = list(recorded(*acts))
    for step in range(len(acts), 0, -1):
        assert values(entries) == values(recorded(*acts[:step]))
        undoable = replayed(entries).undoable
        assert undoable is not None
        draft = drafted(job="7", who="Ada", role="", act=TAKE_BACK, content={"entry": undoable.number}, entered=NOW)
        entries.append(Entry(len(entries) + 1, draft, draft.meaning, draft.digest))

    assert values(entries) == {}
    assert replayed(entries).undoable is None


def test_nothing_before_the_plan_was_handed_over_can_be_taken_back() -> None:
    entries = recorded(answer("a.b", "yes"), (REQUEST_PLAN, {"milestone": "gate", "after_entry": 2}))

    assert replayed(entries).undoable is None
    assert replayed(entries).plan_requested


def test_a_later_answer_can_be_taken_back_down_to_the_hand_over() -> None:
    entries = recorded(
        answer("a.b", "yes"), (REQUEST_PLAN, {"milestone": "gate", "after_entry": 2}), answer("a.b", "no")
    )
    undoable = replayed(entries).undoable

    assert undoable is not None
    assert undoable.number == 4


def test_controls_are_planned_left_out_and_proved() -> None:
    plan = (PLAN, {"control": "oil.second_valve", "by": "Ada", "evidence": "photo"})
    kept = replayed(recorded(plan)).job
    dropped = replayed(recorded(plan, (LEAVE_OUT, {"control": "oil.second_valve"}))).job
    proof: Mapping[str, Content] = {"control": "oil.second_valve", "evidence": "photo 12", "second": "Bo Lind"}
    proved = replayed(recorded(plan, (PROVE, proof))).job

    assert kept.planned == {"oil.second_valve": PlannedControl("Ada", "photo")}
    assert dropped.planned == {}
    assert (proved.proved["oil.second_valve"].second, proved.proved["oil.second_valve"].entry) == ("Bo Lind", 3)


def test_a_note_stands_beside_its_answer_and_changes_no_value() -> None:
    entries = recorded(answer("a.b", "yes"), (NOTE, {"question": "a.b", "text": "seen from the ladder"}))
    history = replayed(entries)

    assert history.job.answers["a.b"].note == "seen from the ladder"
    assert values(entries) == {"a.b": "yes"}
    assert [note.text for note in history.notes] == ["seen from the ladder"]


def test_content_that_does_not_match_its_digest_is_named() -> None:
    entries = recorded(answer("a.b", "yes"))
    changed = replace(entries[1], digest="0" * 64)

    with pytest.raises(NotReadable, match=r"entry 2 does not match its digest: expected 00000000"):
        replayed((entries[0], changed))


def test_a_form_of_entry_this_program_does_not_know_is_named() -> None:
    draft = replace(recorded(answer("a.b", "yes"))[1].draft, schema="riskhelper.entry/9")

    with pytest.raises(NotReadable, match="entry 2 has a form this program does not know"):
        replayed((*recorded(), Entry(2, draft, draft.meaning, draft.digest)))


@pytest.mark.parametrize(
    "value",
    [
        {"number": "nan"},
        {"number": "many"},
        {"number": 3},
        {"lines": {"lv": "maybe"}},
        {"words": "a", "number": "1"},
        "yes",
        {"mystery": "x"},
    ],
)
def test_an_answer_written_in_an_unknown_way_is_named(value: Content) -> None:
    content = {**answer_content("a.b", Answer(value="yes")), "value": value}

    with pytest.raises(NotReadable, match="entry 2: the answer is written in a way"):
        replayed(recorded((ANSWER, content)))


def test_entries_without_an_opening_are_no_job() -> None:
    with pytest.raises(NotReadable, match="no opening entry"):
        replayed(recorded(answer("a.b", "yes"))[1:])
