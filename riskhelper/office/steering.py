"""Answers inside a range, drawn at random, or moved until a calculated figure comes to lie where it is wanted."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from riskhelper.evidence import Answer, Job
from riskhelper.facts import Reading
from riskhelper.office.looks import MOMENT
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet

ROUNDS = 3


class Draws:
    """Numbers spread without pattern, the same each time: a linear congruential sequence with Knuth's constants."""

    def __init__(self, first: int) -> None:
        self._state = first

    def below(self, most: int) -> int:
        """A whole number from 0 to just below `most`."""
        self._state = (self._state * 6364136223846793005 + 1442695040888963407) % 2**64
        return (self._state >> 33) % most


def within(question: QuestionEntry, value: Any, now: Answer | None) -> Answer:
    """An answer inside what is supposed: the one already given where it lies inside."""
    if question.type == "number":
        low, high = value
        if now is not None and isinstance(now.value, float | int) and low <= now.value <= high:
            return now
        step = question.step or 1.0
        middle = round(round((low + high) / 2 / step) * step, 9)
        return Answer(float(middle if low <= middle <= high else low))
    if question.type == "several":
        must, may = value
        old = now.value if now is not None and isinstance(now.value, Mapping) else {}
        chosen = must | {option for option in may if old.get(option) == "yes"}
        if len(chosen) > 1:
            chosen -= {option for option in question.alone if option not in must}
        return Answer({option: "yes" if option in chosen else "no" for option in question.options})
    if now is not None and now.value in value:
        return now
    return Answer(next(option for option in question.options if option in value))


def drawn(question: QuestionEntry, chance: Draws) -> Answer:
    """A random answer."""
    if question.type == "number":
        return on_step(question, chance.below(steps_of(question) + 1))
    if question.type == "several":
        free = [option for option in question.options if option not in question.alone]
        return Answer({o: "yes" if o in free and chance.below(2) else "no" for o in question.options})
    options = list(question.options)
    return Answer(options[chance.below(len(options))])


def steps_of(question: QuestionEntry) -> int:
    """How many steps lie between the ends of a number."""
    assert question.range is not None
    return round((question.range[1] - question.range[0]) / (question.step or 1.0))


def on_step(question: QuestionEntry, place: int) -> Answer:
    """The number so many steps above the low end."""
    assert question.range is not None
    return Answer(round(question.range[0] + place * (question.step or 1.0), 9))


def flips(question: QuestionEntry, outcome: Callable[[Answer], object], looks_between: int = 0) -> Iterator[Answer]:
    """Both neighbours of each place at which an outcome changes along a number, as far as a few looks show them.

    Looks between the ends stand closer together towards the low end: most limits are small beside what a question
    takes. Without them a change is found where the ends come out differently.
    """
    top, parts = steps_of(question), looks_between + 1
    looks = sorted({round(top * (place / parts) ** 2) for place in range(parts + 1)})
    seen = [outcome(on_step(question, place)) for place in looks]
    for place in range(len(looks) - 1):
        low, high = looks[place], looks[place + 1]
        if seen[place] == seen[place + 1]:
            continue
        while high - low > 1:
            middle = (low + high) // 2
            if outcome(on_step(question, middle)) == seen[place]:
                low = middle
            else:
                high = middle
        yield on_step(question, low)
        yield on_step(question, high)


def steered(
    rules: RuleSet, job: Job, milestone: str, figure: str, span: tuple[float, float], end: int, kept: Collection[str]
) -> dict[str, Answer]:
    """The answers with numbers moved until the low (0) or the high (1) end of a figure lies in a span.

    `kept` names answers that stay. What comes nearest is given where nothing lies inside.
    """
    answers = dict(job.answers)
    inputs = [q for q in sorted(rules.supports[figure]) if rules.questions[q].type == "number" and q not in kept]

    def miss(trial: Mapping[str, Answer]) -> float:
        """By how much the end lies above (more than 0) or below the span; 0 inside it."""
        at = Reading(rules, replace(job, answers=trial), milestone, MOMENT, if_held=True).grid[figure][end]
        return at - span[1] if at > span[1] else min(at - span[0], 0.0)

    best = miss(answers)
    for name in inputs * ROUNDS:
        if best == 0.0:
            break
        question = rules.questions[name]
        at = partial(on_step, question)
        low, high = 0, steps_of(question)
        ends = miss({**answers, name: at(low)}), miss({**answers, name: at(high)})
        if ends[0] * ends[1] > 0 or ends[0] == ends[1]:
            # Out of reach by this number alone: as near as it comes, the next ones may do the rest.
            place = low if abs(ends[0]) <= abs(ends[1]) else high
            if min(map(abs, ends)) < abs(best):
                best, answers = ends[0] if place == low else ends[1], {**answers, name: at(place)}
            continue
        rises = ends[1] > ends[0]
        while high - low > 1:
            middle = (low + high) // 2
            gap = miss({**answers, name: at(middle)})
            if (gap > 0) == rises and gap != 0.0:
                high = middle
            else:
                low = middle
        for place in (low, high):
            gap = miss({**answers, name: at(place)})
            if abs(gap) < abs(best):
                best, answers = gap, {**answers, name: at(place)}
    return answers
