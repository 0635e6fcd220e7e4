"""What changes in a question besides its words, and which way."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from riskhelper.facts.reading import not_known
from riskhelper.office.changed_fields import changed_fields
from riskhelper.office.direction import Direction
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet

STRICTER, LOOSER, DIFFERENT = Direction.STRICTER, Direction.LOOSER, Direction.DIFFERENT
Change = tuple[str, Direction]
PLAIN = frozenset({"step", "place", "names_nothing", "graver", "says"})


def question_changes(new: RuleSet, one: QuestionEntry, other: QuestionEntry) -> Iterator[Change]:
    """Every change of meaning between two forms of a question, but for when it is asked."""
    if one.type != other.type:
        yield f"answered by {other.type}, before by {one.type}", DIFFERENT
        return
    yield from _answers(one, other)
    yield from _doubt(one, other)
    if one.asked_at != other.asked_at:
        yield f"asked at {other.asked_at}, before at {one.asked_at}", DIFFERENT
    if one.not_known_stops != other.not_known_stops:
        if not other.not_known_stops:
            yield "not knowing it is no longer a stop", LOOSER
        elif not one.not_known_stops:
            yield f"not knowing it is a stop: {new.stops[other.not_known_stops].title}", STRICTER
        else:
            yield f"not knowing it fires another stop: {new.stops[other.not_known_stops].title}", DIFFERENT
    elif one.not_known_stops and one.not_known_stops_if != other.not_known_stops_if:
        yield "not knowing it is a stop in other jobs", DIFFERENT
    for key, words, set_way in (
        ("private", "kept private", DIFFERENT),
        ("is_control", "counted as the description of a control", DIFFERENT),
        ("early", "may be answered before its hold point", LOOSER),
        ("of_plant", "kept of the plant from one visit to the next", LOOSER),
    ):
        if getattr(one, key) != getattr(other, key):
            now = getattr(other, key)
            turned = {LOOSER: STRICTER}.get(set_way, set_way)
            yield f"{'' if now else 'no longer '}{words}", set_way if now else turned
    if one.not_asked != other.not_asked:
        was, now = ("open" if each.not_asked is None else each.not_asked for each in (one, other))
        yield f"counts as {now} where it is not asked, before as {was}", DIFFERENT
    for field, words in changed_fields(one, other):
        if field in PLAIN:
            yield words, DIFFERENT


def _answers(one: QuestionEntry, other: QuestionEntry) -> Iterator[Change]:
    gone, come = (sorted(set(a.options) - set(b.options)) for a, b in ((one, other), (other, one)))
    if gone or come:
        words = [f"answer {', '.join(come)} added" if come else "", f"answer {', '.join(gone)} gone" if gone else ""]
        yield "; ".join(filter(None, words)), DIFFERENT
    elif tuple(one.options) != tuple(other.options):
        yield f"answers stand in the order {', '.join(other.options)}; before {', '.join(one.options)}", DIFFERENT
    if one.alone != other.alone:
        yield f"what excludes the rest: {_names(other.alone)}, before {_names(one.alone)}", DIFFERENT
    if one.range != other.range:
        yield f"takes {_span(other.range)} {other.unit}, before {_span(one.range)} {one.unit}", DIFFERENT
    if one.usual != other.usual:
        yield (
            f"confirmed outside {_span(other.usual)}, before outside {_span(one.usual)}",
            _usual(one.usual, other.usual),
        )
    if one.unit != other.unit:
        yield f"asked in {other.unit}, before in {one.unit}", DIFFERENT


def _doubt(one: QuestionEntry, other: QuestionEntry) -> Iterator[Change]:
    if one.type == "number":
        was, now = not_known(one), not_known(other)
        if was != now:
            yield f"not known counts as {_span(now)}, before {_span(was)}", _spread(was, now)
    if one.error != other.error:
        plain = all(isinstance(each, float | int | None) for each in (one.error, other.error))
        way = Direction.of(float(one.error or 0), float(other.error or 0)) if plain else DIFFERENT
        yield f"measured to within {_error(other)}, before {_error(one)}", way
    if one.life_min != other.life_min:
        way = Direction.of(-(one.life_min or 10**9), -(other.life_min or 10**9))
        yield f"an answer holds {_life(other)}, before {_life(one)}", way
    if one.expect != other.expect or one.expect_as != other.expect_as:
        known = one.expect is not None and other.expect is not None
        way = _expectation(one.expect, other.expect) if known else DIFFERENT
        now, was = (_names(each.expect) if each.expect is not None else each.expect_as for each in (other, one))
        yield f"the plan counts on {now or 'nothing'}, before on {was or 'nothing'}", way


def _expectation(was: Any, now: Any) -> Direction:
    if all(isinstance(each, tuple) and all(isinstance(x, float | int) for x in each) for each in (was, now)):
        return _spread(was, now)
    old, new = ({each} if isinstance(each, str) else set(each) for each in (was, now))
    return STRICTER if old < new else LOOSER if new < old else DIFFERENT


def _spread(was: tuple[float, float], now: tuple[float, float]) -> Direction:
    """More values possible is stricter: the worst of them counts."""
    if now[0] <= was[0] and now[1] >= was[1]:
        return STRICTER
    return LOOSER if now[0] >= was[0] and now[1] <= was[1] else DIFFERENT


def _usual(was: tuple[float, float] | None, now: tuple[float, float] | None) -> Direction:
    """More that is to be confirmed is stricter."""
    if was is None or now is None:
        return STRICTER if was is None else LOOSER
    turned = {STRICTER: LOOSER, LOOSER: STRICTER}
    way = _spread(was, now)
    return turned.get(way, way)


def _names(value: Any) -> str:
    if isinstance(value, tuple) and len(value) == 2 and all(isinstance(each, float | int) for each in value):
        return _span(value)
    return ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def _span(span: tuple[float, float] | None) -> str:
    return "anything" if span is None else f"{span[0]:g} to {span[1]:g}"


def _error(question: QuestionEntry) -> str:
    if question.error is None:
        return "no error"
    return question.error if isinstance(question.error, str) else f"{question.error:g} {question.unit}".rstrip()


def _life(question: QuestionEntry) -> str:
    return "for good" if question.life_min is None else f"{question.life_min} min"
