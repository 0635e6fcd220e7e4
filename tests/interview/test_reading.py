"""How typed answers are read, refused and read back. Conversions are by definition: 1 ft = 0.3048 m, 1 in = 25.4 mm,
1 bar = 100 kPa, degF = degC * 9/5 + 32."""

from __future__ import annotations

from typing import Any

import pytest

from riskhelper.evidence import Answer
from riskhelper.interview.reading import Refused, outside_usual, read_value, readable
from riskhelper.ruleset.entries import QuestionEntry

COMMON: dict[str, Any] = {
    "ask": "?",
    "why": "rules read it",
    "place": "gate",
    "asked_at": "gate",
    "if_unknown": "Measure it again.",
}


def question(kind: str, **keys: Any) -> QuestionEntry:
    return QuestionEntry.model_validate({**COMMON, "type": kind, **keys})


HEIGHT = question("number", range=[-5, 12], usual=[0, 6], step=0.1, unit="m")
PRESSURE = question(
    "number", range=[-100, 200], step=0.5, unit="kPa", says={"negative": "sucks air in", "zero": "level"}
)
WARMTH = question("number", range=[-40, 120], step=1, unit="degC")
HEADS = question("number", range=[0, 20], step=1, unit="")
VALVE = question("choice", options={"ball_valve": "Ball valve.", "gate_valve": "Gate valve.", "cock": "Cock."})
TASKS = question(
    "several",
    options={"mount": "Hang the unit.", "wire": "Wire it.", "oil": "Open oil.", "nothing_else": "Nothing else."},
    alone=["nothing_else"],
)
NAME = question("text")


def refused(asked: QuestionEntry, typed: str, unit: str = "") -> str:
    with pytest.raises(Refused) as told:
        read_value(asked, "some.question", typed, unit)
    return str(told.value)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("3", 3.0),
        ("3.1", 3.1),
        ("3,1", 3.1),
        (" 3.1 ", 3.1),
        ("-2.5", -2.5),
        ("\N{MINUS SIGN}2.5", -2.5),
        ("+2.5", 2.5),
        ("0.30", 0.3),
        ("-5", -5.0),
        ("12", 12.0),
    ],
)
def test_a_number_is_read_with_comma_or_point_and_any_minus(typed: str, value: float) -> None:
    assert read_value(HEIGHT, "some.height_m", typed).value == value


@pytest.mark.parametrize(
    ("asked", "typed", "unit", "value"),
    [
        (HEIGHT, "10", "ft", 3.048),
        (HEIGHT, "2500", "mm", 2.5),
        (PRESSURE, "1.5", "bar", 150.0),
        (PRESSURE, "-0,25", "bar", -25.0),
        (WARMTH, "212", "degF", 100.0),
        (WARMTH, "-40", "degF", -40.0),
    ],
)
def test_a_number_in_another_unit_is_counted_in_the_question_s_own_and_kept_as_typed(
    asked: QuestionEntry, typed: str, unit: str, value: float
) -> None:
    answer = read_value(asked, "some.number", typed, unit)

    assert answer.value == pytest.approx(value, abs=1e-9)
    assert (answer.typed, answer.unit) == (typed, unit)


@pytest.mark.parametrize(
    ("typed", "unit", "told"),
    [
        ("12.1", "", "It must be minus 5 to 12 m; you entered 12.1 m. Measure it again."),
        ("-5.1", "", "It must be minus 5 to 12 m; you entered -5.1 m. Measure it again."),
        ("40", "ft", "It must be minus 5 to 12 m; you entered 40 ft. Measure it again."),
        ("3.15", "", "Write it in steps of 0.1 m; you entered 3.15."),
        ("3", "kPa", "`kPa` is no unit for this. Use m or mm or cm or ft or in."),
        ("3", "furlong", "`furlong` is no unit for this. Use m or mm or cm or ft or in."),
        ("three", "", "`three` is not a number. Write digits, for instance 3."),
        ("3.1.2", "", "`3.1.2` is not a number. Write digits, for instance 3."),
        ("1_0", "", "`1_0` is not a number. Write digits, for instance 3."),
        ("nan", "", "`nan` is no number one can measure. Write what the instrument shows."),
        ("sNaN", "", "`sNaN` is no number one can measure. Write what the instrument shows."),
        ("-inf", "", "`-inf` is no number one can measure. Write what the instrument shows."),
        ("1e400", "", "`1e400` is no number one can measure. Write what the instrument shows."),
        ("", "", "Nothing was typed. Measure it again."),
        ("\x1b\x07", "", "Nothing was typed. Measure it again."),
    ],
)
def test_a_number_that_cannot_be_taken_is_told_with_what_is_accepted(typed: str, unit: str, told: str) -> None:
    assert refused(HEIGHT, typed, unit) == told


def test_a_count_takes_whole_numbers_only() -> None:
    assert read_value(HEADS, "some.heads", "3").value == 3.0
    assert refused(HEADS, "3.5") == "Write it in steps of 1; you entered 3.5."


def test_a_very_long_number_is_refused_and_not_worked_on() -> None:
    assert "no number one can measure" in refused(HEIGHT, "9" * 100_000)


@pytest.mark.parametrize(
    ("typed", "option"),
    [
        ("cock", "cock"),
        ("COCK", "cock"),
        ("ball_valve", "ball_valve"),
        ("ball valve", "ball_valve"),
        ("Gate-Valve", "gate_valve"),
        ("1", "ball_valve"),
        ("3", "cock"),
        ("03", "cock"),
    ],
)
def test_an_option_is_read_by_its_id_or_its_number(typed: str, option: str) -> None:
    assert read_value(VALVE, "some.valve", typed).value == option


@pytest.mark.parametrize("typed", ["0", "4", "-1", "1.0", "0000012", "10000001", "²", "b", "yes"])
def test_what_is_no_option_is_refused_with_those_there_are(typed: str) -> None:
    assert f"`{typed}` is not one of the answers: ball_valve, gate_valve, cock." in refused(VALVE, typed)


def test_a_near_miss_is_named() -> None:
    assert refused(VALVE, "bal_valve").endswith("Did you mean `ball_valve`?")


@pytest.mark.parametrize("typed", ["mount oil", "oil, mount", "1 3", "1,oil", "mount;oil", "oil+1+1"])
def test_several_options_are_read_by_id_or_number_with_blanks_or_commas(typed: str) -> None:
    assert read_value(TASKS, "some.tasks", typed).value == {
        "mount": "yes",
        "wire": "no",
        "oil": "yes",
        "nothing_else": "no",
    }


def test_an_option_that_excludes_the_rest_is_not_taken_with_any_other() -> None:
    assert read_value(TASKS, "some.tasks", "4").value == {
        "mount": "no",
        "wire": "no",
        "oil": "no",
        "nothing_else": "yes",
    }
    assert refused(TASKS, "wire nothing_else") == (
        "`nothing_else` excludes the rest, but wire was given too. Leave out one of the two."
    )


def test_separators_alone_choose_nothing() -> None:
    assert refused(TASKS, ", ;") == "Nothing was chosen. Choose at least one of mount, wire, oil, nothing_else."


def test_text_loses_control_characters_and_has_a_longest_length() -> None:
    assert read_value(NAME, "some.name", " \x1b[31mCrag\x07 End ").value == "[31mCrag End"
    assert refused(NAME, "a" * 401) == "The text has 401 characters; at most 400 fit. Shorten it."


@pytest.mark.parametrize(
    ("asked", "answer", "words"),
    [
        (PRESSURE, Answer(-10.5, "-10.5", "kPa"), "minus 10.5 kPa: sucks air in"),
        (PRESSURE, Answer(0.0, "0", "kPa"), "0 kPa: level"),
        (PRESSURE, Answer(25.0, "25", "kPa"), "25 kPa"),
        (HEIGHT, Answer(3.048, "10", "ft"), "10 ft, that is 3.048 m"),
        (question("number", range=[0, 5e6], step=1, unit="V"), Answer(1320001.0, "1320001", "V"), "1320001 V"),
        (VALVE, Answer("cock"), "Cock."),
        (VALVE, Answer(None), "not known"),
        (TASKS, Answer({"mount": "yes", "oil": "not_known", "wire": "no"}), "Hang the unit. (not known: Open oil.)"),
        (TASKS, Answer({"mount": "no", "oil": "not_known", "wire": "no"}), "None is sure (not known: Open oil.)"),
        (WARMTH, Answer(-5.0, typed="-5", unit="degC"), "minus 5 °C"),
        (WARMTH, Answer(100.0, typed="212", unit="degF"), "212 °F, that is 100 °C"),
        (NAME, Answer("Crag End"), "Crag End"),
    ],
)
def test_an_answer_is_read_back_in_words_that_tell_its_sense(
    asked: QuestionEntry, answer: Answer, words: str
) -> None:
    assert readable(asked, answer) == words


@pytest.mark.parametrize(("value", "asks"), [(0.0, False), (6.0, False), (6.1, True), (-0.1, True), (12.0, True)])
def test_an_unusual_number_is_asked_again_from_just_outside_the_usual_range(value: float, asks: bool) -> None:
    assert bool(outside_usual(HEIGHT, Answer(value))) is asks


def test_the_question_about_an_unusual_number_names_both() -> None:
    answer = read_value(HEIGHT, "some.height_m", "30", "ft")

    assert outside_usual(HEIGHT, answer) == "Usual is 0 to 6 m. You wrote 30 ft, that is 9.144 m. Is that right?"
