"""The bank as it is walked: how much is asked at the gate, and what every question and step carries.

Bounds of length are ours: an ordinary yard job must be asked through at the gate before the crew grows cold.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from riskhelper.interview.order import due_now
from riskhelper.ruleset.entries import Scale
from riskhelper.ruleset.model import RuleSet
from tests.content.shipped import NOW, files, job_of, rules

MOST_AT_THE_GATE = 45
"""Questions a crew answers standing at the gate (common practice: it must fit into half an hour)."""

CODES = tuple(
    sorted(name.removeprefix("local/").removesuffix(".toml") for name in files() if name.startswith("local/"))
)
CASES = rules().cases
QUESTIONS = rules().questions
AGEING_MIN = {
    "job.control_ok": 60,
    "weather.thunder": 60,
    "weather.weather": 60,
    "weather.wind_ms": 60,
    "weather.air_c": 60,
    "weather.thunder_min": 60,
    "oil.gas_kpa": 15,
    "oil.dial_after": 15,
    "people.awake_h": 720,
    "people.unwell": 720,
    "people.drowsy": 720,
    "weather.after_dark": 720,
    "weather.daylight_h": 720,
    "weather.light_ok": 720,
}
"""Answers that age, and the longest life in minutes each may have: common practice; the 12 h of one shift is ours."""


def reasons(hazard: str, scale: Scale) -> Iterator[tuple[str, str]]:
    """The reasons of one scale of a hazard, each with its words."""
    yield from ((f"{hazard}: {entry.because}", entry.because) for entry in scale.at_least)
    yield from ((f"{hazard}: {entry.because}", entry.because) for entry in scale.add)


def spoken_texts(rule_set: RuleSet) -> Iterator[tuple[str, str]]:
    """Everything of a rule set that is read aloud, with where it stands."""
    for name, question in rule_set.questions.items():
        for key in ("ask", "why", "if_unknown", "can_change", "worse"):
            yield f"{name}.{key}", getattr(question, key)
        for option, words in question.options.items():
            yield f"{name}.{option}", words
    for name, hazard in rule_set.hazards.items():
        yield from ((f"{name}.title", hazard.title), (f"{name}.who", hazard.who), (f"{name}.harm", hazard.harm))
        for scale in (hazard.likelihood, hazard.severity):
            yield from reasons(name, scale)
    for name, control in rule_set.controls.items():
        yield f"{name}.do", control.do
    for name, stop in rule_set.stops.items():
        yield from ((f"{name}.title", stop.title), (f"{name}.because", stop.because), (f"{name}.act", stop.act))
    for place, step in enumerate(rule_set.steps):
        yield from ((f"step {place}.{key}", getattr(step, key)) for key in ("do", "error_likely", "check"))
    for point in rule_set.head.hold_points:
        yield f"{point.id}.text", point.text


TEXTS = dict(spoken_texts(rules()))


@pytest.mark.parametrize("code", CODES)
def test_every_shipped_code_loads_with_its_guards_proved(code: str) -> None:
    assert rules(code).local_code == code


@pytest.mark.parametrize("name", CASES)
def test_a_worked_case_asks_at_most_so_many_questions_at_the_gate(name: str) -> None:
    case = CASES[name]
    rule_set = rules(case.local)

    asked = due_now(rule_set, job_of(case), "gate", NOW)
    at_the_gate = [question for question in asked if rule_set.questions[question].asked_at == "gate"]

    assert 20 <= len(at_the_gate) <= MOST_AT_THE_GATE


@pytest.mark.parametrize("name", QUESTIONS)
def test_a_question_says_why_what_is_worse_and_what_to_do_when_not_known(name: str) -> None:
    question = QUESTIONS[name]

    assert question.ask.count("?") >= 1
    assert question.why.endswith(".")
    assert question.worse
    assert question.source
    # An act in the world: somebody to ask, something to read, look at, count or leave.
    acts = r"\b(ask|read|look|call|count|measure|take|walk|stop|try|keep|leave|treat|shut|dry|plan|phone)\b"
    assert re.search(acts, question.if_unknown, re.IGNORECASE), question.if_unknown


@pytest.mark.parametrize("name", [n for n, q in QUESTIONS.items() if q.type == "number"])
def test_a_number_lies_on_its_step_with_its_usual_range_inside(name: str) -> None:
    question = QUESTIONS[name]
    assert question.range is not None
    assert question.usual is not None
    assert question.step is not None

    low, high = question.range
    assert low <= question.usual[0] <= question.usual[1] <= high
    for bound in (*question.range, *question.usual):
        assert round(bound / question.step) * question.step == pytest.approx(bound, abs=1e-9)


@pytest.mark.parametrize(("name", "life_min"), AGEING_MIN.items())
def test_an_answer_that_ages_carries_a_life_no_longer_than_the_trade_allows(name: str, life_min: int) -> None:
    life = QUESTIONS[name].life_min

    assert life is not None
    assert 0 < life <= life_min


@pytest.mark.parametrize("name", [n for n, q in QUESTIONS.items() if q.options])
def test_an_answer_on_a_key_is_short_without_a_full_stop_and_unlike_its_neighbours(name: str) -> None:
    words = list(QUESTIONS[name].options.values())

    assert len(set(words)) == len(words)
    assert not [w for w in words if w.endswith((".", "?", "!")) or len(w.split()) > 11]
    assert not [w for w in words if w.lower() in {"yes", "no", "ok", "none", "unknown", "don't know"}]


@pytest.mark.parametrize("where", TEXTS)
def test_no_sentence_is_longer_than_a_breath(where: str) -> None:
    sentences = re.split(r"(?<=[.?!:;])\s+", TEXTS[where])

    assert max(len(sentence.split()) for sentence in sentences) <= 22


@pytest.mark.parametrize("where", TEXTS)
def test_no_text_promises_what_nobody_can(where: str) -> None:
    forbidden = r"\b(un)?safe(ly)?\b|\bsafety\b(?! (observer|officer))"

    assert not re.search(forbidden, TEXTS[where], re.IGNORECASE)


REASONS = dict(
    reason
    for name, hazard in rules().hazards.items()
    for scale in (hazard.likelihood, hazard.severity)
    for reason in reasons(name, scale)
)


@pytest.mark.parametrize("where", REASONS)
def test_a_reason_can_be_read_alone_after_the_title_of_its_hazard(where: str) -> None:
    words = REASONS[where]

    assert not words.endswith(".")
    assert 3 <= len(words.split()) <= 16
    first = words.split()[0]
    assert first == first.lower() or first in {"PCB", "SF6"}


def test_every_control_stands_on_a_step() -> None:
    on_steps = {control for step in rules().steps for control in step.controls}

    assert set(rules().controls) - on_steps == set()


def test_a_step_that_carries_a_control_comes_no_later_than_the_hold_point_it_is_due_at() -> None:
    """Evidence cannot be due before the step that brings it about."""
    rule_set = rules()
    order = list(rule_set.hold_points)
    passed = -1
    late = []
    for step in rule_set.steps:
        late += [control for control in step.controls if order.index(rule_set.controls[control].hold_point) < passed]
        if step.hold_point:
            passed = max(passed, order.index(step.hold_point))
    assert late == []


def test_a_hold_point_is_released_on_a_step_of_its_own() -> None:
    released = {step.hold_point for step in rules().steps if step.hold_point}

    assert released == set(rules().hold_points)


TRAPS = {
    "approving is not issuing": r"Approval is not a permit",
    "dry contacts stay live": r"Dry contacts stay live",
    "pressure does not stop air rising": r"Air rises into the tank against any pressure",
    "static head says nothing on a pump's suction side": r"On the suction side of a pump it says nothing",
    "a sealed tank goes to suction as it cools": r"a sealed tank that cools goes to suction",
    "an open bore fills any tray in seconds": r"an open bore fills it in seconds",
    "a low-side tie left closed back-feeds": r"The low-side tie is left closed\. It feeds back",
    "oil locked between two shut valves": r"Never a full adapter shut at both ends",
}


@pytest.mark.parametrize("trap", TRAPS)
def test_each_trap_of_the_trade_is_said_on_a_step(trap: str) -> None:
    steps = [f"{step.do} {step.error_likely} {step.check}" for step in rules().steps]

    assert [step for step in steps if re.search(TRAPS[trap], step)]


def test_no_rule_file_names_a_test_for_not_knowing() -> None:
    """Not knowing is a state of an answer, never an option; a rule that could see it could reward it."""
    for name, data in files().items():
        assert not re.search(rb"'(dk|unknown|not_known|dont_know)'", data), name
