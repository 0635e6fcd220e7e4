"""How a typed answer is read: accepted range, step, units, options; and how it is read back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation

from riskhelper.evidence import Answer, SeveralMark
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.faults import nearest_name
from riskhelper.units import UnitMismatch, alternatives, converted, spoken, with_unit

MOST_TEXT = 400
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")
_PLACES = Decimal("0.000000001")


class Refused(ValueError):
    """An answer that cannot be taken: what was wrong, what is accepted, what to do."""


def read_value(question: QuestionEntry, qid: str, typed: str, unit: str = "") -> Answer:
    """The answer for what was typed; raises `Refused`. A number may come in any unit of its dimension.

    Options are given by id or by their number on the screen, several of them with blanks or commas between.
    """
    del qid
    text = _CONTROL.sub("", typed).strip()
    if not text:
        raise Refused(f"Nothing was typed. {question.if_unknown}")
    if question.type == "number":
        return _number(question, text, unit or question.unit)
    if question.type == "text":
        if len(text) > MOST_TEXT:
            raise Refused(f"The text has {len(text)} characters; at most {MOST_TEXT} fit. Shorten it.")
        if " ".join(text.casefold().split()) in question.names_nothing:
            raise Refused(f"`{text}` could be any of them. {question.if_unknown}")
        return Answer(text, typed=text)
    if question.type == "several":
        return _several(question, text)
    return Answer(_option(question, text), typed=text)


def _option(question: QuestionEntry, text: str) -> str:
    options = list(question.options)
    word = text.strip().lower().replace(" ", "_").replace("-", "_")
    for option in options:
        if option.lower() == word:
            return option
    if word.isascii() and word.isdigit() and len(word) <= 4 and 1 <= int(word) <= len(options):
        return options[int(word) - 1]
    hint = nearest_name(word, options)
    raise Refused(
        f"`{text[:60]}` is not one of the answers: {', '.join(options)}."
        + (f" Did you mean `{hint}`?" if hint else " Choose one of them.")
    )


def _several(question: QuestionEntry, text: str) -> Answer:
    words = [word for word in re.split(r"[\s,;+]+", text) if word]
    chosen = list(dict.fromkeys(_option(question, word) for word in words))
    marks: dict[str, SeveralMark] = {option: "yes" if option in chosen else "no" for option in question.options}
    check_alone(question, marks)
    return Answer(marks, typed=text)


def check_alone(question: QuestionEntry, marks: Mapping[str, SeveralMark]) -> None:
    """Refuse an option that excludes the rest together with any other, and an answer with nothing in it."""
    said = [option for option, mark in marks.items() if mark != "no"]
    for option in question.alone:
        if marks.get(option) == "yes" and len(said) > 1:
            others = ", ".join(o for o in said if o != option)
            raise Refused(f"`{option}` excludes the rest, but {others} was given too. Leave out one of the two.")
    if not said:
        raise Refused(f"Nothing was chosen. Choose at least one of {', '.join(question.options)}.")


def _number(question: QuestionEntry, text: str, unit: str) -> Answer:
    assert question.range is not None
    try:
        if "_" in text:
            raise InvalidOperation
        typed = Decimal(text.replace(",", ".").replace("\N{MINUS SIGN}", "-"))
    except InvalidOperation:
        raise Refused(f"`{text[:60]}` is not a number. Write digits, for instance {_example(question)}.") from None
    if not typed.is_finite() or abs(typed) > Decimal(10) ** 12:
        raise Refused(f"`{text[:60]}` is no number one can measure. Write what the instrument shows.")
    low, high = question.range
    try:
        value = float(typed) if unit == question.unit else converted(float(typed), unit, question.unit)
    except UnitMismatch:
        raise Refused(
            f"`{unit}` is no unit for this. Use {' or '.join(map(spoken, alternatives(question.unit)))}."
        ) from None
    value = float(Decimal(repr(value)).quantize(_PLACES))
    if not low <= value <= high:
        wanted = with_unit(f"{signed(low)} to {signed(high)}", question.unit)
        raise Refused(f"It must be {wanted}; you entered {with_unit(text, unit)}. {question.if_unknown}")
    if unit == question.unit and question.step:
        steps = typed / Decimal(repr(question.step))
        if steps != steps.to_integral_value():
            raise Refused(
                f"Write it in steps of {with_unit(f'{question.step:g}', question.unit)}; you entered {text}."
            )
    return Answer(value, typed=text, unit=unit)


def _example(question: QuestionEntry) -> str:
    low, high = question.usual or question.range or (0.0, 0.0)
    step = question.step or 1.0
    return f"{round((low + high) / 2 / step) * step:g}"


def outside_usual(question: QuestionEntry, answer: Answer) -> str:
    """The sentence that asks for confirmation of an unusual number, or nothing."""
    if question.usual is None or not isinstance(answer.value, float):
        return ""
    low, high = question.usual
    if low <= answer.value <= high:
        return ""
    usual = with_unit(f"{signed(low)} to {signed(high)}", question.unit)
    return f"Usual is {usual}. You wrote {readable(question, answer)}. Is that right?"


def signed(number: float) -> str:
    """A number with its sign said, not drawn.

    >>> signed(-12), signed(0.5)
    ('minus 12', '0.5')
    """
    return f"minus {abs(number):g}" if number < 0 else f"{number:g}"


def _digits(value: float, places: int) -> str:
    """A number as a person writes it, with no more than so many places."""
    return f"{value:.{places}f}".rstrip("0").rstrip(".")


def readable(question: QuestionEntry, answer: Answer) -> str:
    """An answer as read back: the sentence of the option, or the number in words that tell its sense."""
    value = answer.value
    if value is None:
        return "not known"
    if isinstance(value, Mapping):
        said = [question.options.get(o, o) for o, mark in value.items() if mark == "yes"]
        open_lines = [question.options.get(o, o) for o, mark in value.items() if mark == "not_known"]
        if not open_lines:
            return "; ".join(said)
        return f"{'; '.join(said) or 'None is sure'} (not known: {'; '.join(open_lines)})"
    if isinstance(value, str):
        return question.options.get(value, value)
    converted_here = bool(answer.unit) and answer.unit != question.unit
    sign = "minus " if value < 0 else ""
    words = with_unit(f"{sign}{_digits(abs(value), 3 if converted_here else 9)}", question.unit)
    if converted_here:
        words = f"{with_unit(answer.typed, answer.unit)}, that is {words}"
    sense = question.says.get("negative" if value < 0 else "zero" if value == 0 else "positive", "")
    return f"{words}: {sense}" if sense else words
