"""Checks on single questions: options, range, step, what the plan expects, what counts when nobody asks."""

from __future__ import annotations

from collections.abc import Sequence

from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.faults import nearest_name
from riskhelper.ruleset.references import check_names, check_source, check_unit
from riskhelper.terms import GATE, OFFICE

_NO_OPTIONS = ("dont_know", "do_not_know", "dk", "unknown", "not_known", "unsure", "not_sure")
_SENSES = ("negative", "zero", "positive")
_ONLY_NUMBERS = ("range", "usual", "if_not_known", "step", "error", "says")


def check_question(
    found: Collected, name: str, question: entries.QuestionEntry, points: Sequence[str] | None
) -> None:
    """Note every fault of a question. `points` are the hold points, `None` where the head cannot be read."""
    check_source(found, "question", name, question.source)
    _check_options(found, name, question)
    if question.type == "number":
        _check_number(found, name, question)
    else:
        for key in _ONLY_NUMBERS:
            if getattr(question, key):
                found.fault("question", name, key, "only a number has it; leave it out")
        if question.unit:
            found.fault("question", name, "unit", "only a number has it; leave it out")
    _check_graver(found, name, question)
    _check_expect(found, name, question)
    _check_not_asked(found, name, question)
    if question.not_known_stops:
        check_names(found, "question", name, "not_known_stops", [question.not_known_stops], found.names("stop"))
    elif question.not_known_stops_if != "True":
        found.fault("question", name, "not_known_stops_if", "has no meaning without `not_known_stops`")
    if question.life_min is not None and question.life_min <= 0:
        found.fault("question", name, "life_min", "must be above 0")
    if question.of_plant and (question.life_min is not None or question.private or question.type == "text"):
        message = "only an answer in figures or choices that neither ages nor is private stays true of a plant"
        found.fault("question", name, "of_plant", message)
    if points is not None:
        check_names(found, "question", name, "asked_at", [question.asked_at], [OFFICE, GATE, *points])
        _check_stage(found, name, question, points)


def _check_stage(found: Collected, name: str, question: entries.QuestionEntry, points: Sequence[str]) -> None:
    at_hold_point = question.asked_at in points
    expects = question.expect is not None or bool(question.expect_as)
    if at_hold_point and question.type != "text" and not expects:
        found.fault("question", name, "expect", "is missing; a question at a hold point says what the plan counts on")
    if at_hold_point and question.of_plant:
        found.fault("question", name, "of_plant", "what a hold point asks is seen anew at each visit; leave it out")
    if question.asked_at in (OFFICE, GATE):
        if expects:
            found.fault("question", name, "expect", "belongs to a question asked at a hold point")
        if question.is_control:
            message = "an answer that describes a control is asked at a hold point, where a named person releases it"
            found.fault("question", name, "is_control", message)
        if question.early:
            found.fault("question", name, "early", "only a question of a hold point can be answered early")


def _check_options(found: Collected, name: str, question: entries.QuestionEntry) -> None:
    def fault(key: str, message: str) -> None:
        found.fault("question", name, key, message)

    if question.type in ("choice", "several") and len(question.options) < 2:
        fault("options", "a choice needs at least two options")
    if question.type == "yes_no" and set(question.options) != {"yes", "no"}:
        fault("options", "a yes-or-no question has the two options `yes` and `no`, each with its sentence")
    if question.type in ("number", "text") and question.options:
        fault("options", f"a {question.type} has no options; leave them out")
    for option in question.options:
        if option in _NO_OPTIONS:
            fault("options", f"`{option}`: not knowing is a key everywhere, never an option; leave it out")
    if question.private and question.type != "yes_no":
        fault("private", "a private question is answered yes or no, so that only its consequence is kept")
    if question.names_nothing and question.type != "text":
        fault("names_nothing", "only a question for words has it")
    if question.alone and question.type != "several":
        fault("alone", "only a question with several answers has it")
    elif question.alone:
        check_names(found, "question", name, "alone", question.alone, question.options)


def _check_graver(found: Collected, name: str, question: entries.QuestionEntry) -> None:
    graver = question.graver
    if not graver:
        return
    if question.type == "number":
        if not isinstance(graver, str):
            found.fault("question", name, "graver", 'a number gets graver `"up"` or `"down"`')
    elif question.type not in ("choice", "yes_no"):
        found.fault("question", name, "graver", "only a number or a choice has an order; leave it out")
    elif isinstance(graver, str) or len(set(graver)) != len(graver) or len(graver) < 2:
        found.fault("question", name, "graver", "is a list of two or more options, the mildest first, each once")
    else:
        check_names(found, "question", name, "graver", graver, question.options)


def _check_number(found: Collected, name: str, question: entries.QuestionEntry) -> None:
    def fault(key: str, message: str) -> None:
        found.fault("question", name, key, message)

    check_unit(found, "question", name, question.unit)
    if isinstance(question.error, float) and question.error < 0:
        fault("error", "is a plus or minus; write it without a sign")
    for sense in question.says:
        if sense not in _SENSES:
            found.fault("question", name, "says", f"`{sense}` is not one of {', '.join(_SENSES)}")
    if question.step is None or question.step <= 0:
        fault("step", "a number needs a `step` above 0 on which answers lie")
    if question.range is None or not question.range[0] < question.range[1]:
        fault("range", "a number needs `range = [low, high]`, the first below the second")
        found.broken.add(("question", name))
        return
    low, high = question.range
    for key, span in (
        ("usual", question.usual),
        ("if_not_known", question.if_not_known and question.if_not_known.range),
        ("expect", _span(question.expect)),
    ):
        if span and not (low <= span[0] <= span[1] <= high):
            fault(key, f"must be `[low, high]` inside the accepted range {low:g} to {high:g}")


def _span(expect: object) -> entries.Span | None:
    if isinstance(expect, tuple) and len(expect) == 2 and all(isinstance(x, float | int) for x in expect):
        return (float(expect[0]), float(expect[1]))
    return None


def _check_expect(found: Collected, name: str, question: entries.QuestionEntry) -> None:
    if question.expect_as:
        _check_expect_as(found, name, question)
    expect = question.expect
    if expect is None:
        return
    if question.type == "number":
        if _span(expect) is None:
            found.fault("question", name, "expect", "a number expects a range of true values, `[low, high]`")
        return
    for word in expect if isinstance(expect, tuple) else (expect,):
        if str(word) not in question.options:
            hint = nearest_name(str(word), question.options)
            found.fault("question", name, "expect", f"`{word}` is no option", hint)


def _check_expect_as(found: Collected, name: str, question: entries.QuestionEntry) -> None:
    if question.expect is not None:
        found.fault("question", name, "expect_as", "stands beside `expect`; give one of the two")
    check_names(found, "question", name, "expect_as", [question.expect_as], found.names("question"))
    other = found.named["question"].get(question.expect_as)
    if not isinstance(other, entries.QuestionEntry):
        return
    if other.type != question.type or other.unit != question.unit or set(other.options) != set(question.options):
        message = f"`{question.expect_as}` takes other answers; the two must have the same type, unit and options"
        found.fault("question", name, "expect_as", message)


def _check_not_asked(found: Collected, name: str, question: entries.QuestionEntry) -> None:
    value = question.not_asked
    if value is None:
        return
    if question.type == "number":
        low, high = question.range or (0.0, 0.0)
        if not isinstance(value, float | int) or not low <= value <= high:
            found.fault("question", name, "not_asked", f"`{value}` must be a number from {low:g} to {high:g}")
    elif str(value) not in question.options:
        hint = nearest_name(str(value), question.options)
        found.fault("question", name, "not_asked", f"`{value}` is no option", hint)
