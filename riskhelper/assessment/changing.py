"""What would change a stop or a hazard's band, in acts in the world; and what to find out first."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

from riskhelper.assessment.hazards import HazardRater
from riskhelper.assessment.ranking import grave_answers
from riskhelper.assessment.result import Assessment
from riskhelper.assessment.stops import found_stop
from riskhelper.assessment.wording import number_words
from riskhelper.evidence import Answer, Job, PlannedControl, SeveralMark
from riskhelper.facts import Reading
from riskhelper.ruleset import tree
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import Check, RuleSet
from riskhelper.terms import Status
from riskhelper.units import with_unit

MOST_ACTS = 3
_MOST_TRIES = 3000
_MOST_LEVERS = {1: 60, 2: 24, 3: 10}


@dataclass(frozen=True, slots=True)
class Act:
    """One act in the world: bring a control about, change a circumstance, or find something out."""

    kind: Literal["control", "change", "find_out"]
    words: str
    about: str


@dataclass(frozen=True, slots=True)
class Change:
    """Ways to reach a target: each a handful of acts. With none found, `who` alone can help or more is missing."""

    ways: tuple[tuple[Act, ...], ...]
    who: str = ""
    more_is_missing: bool = False


@dataclass(frozen=True, slots=True)
class _Lever:
    act: Act
    settings: tuple[Answer | PlannedControl, ...]


def what_would_change(rules: RuleSet, job: Job, milestone: str, now: datetime, target: str) -> Change:
    """The smallest sets of acts that make a stop fall or bring a hazard to a milder band, at most three acts each.

    `target` is the id of a stop or a hazard of the set; `KeyError` otherwise. The acts come from the target's own
    inputs, higher kinds of control first.
    """
    search = _Search(rules, job, milestone, now, target)
    levers = search.levers()
    for size in range(1, MOST_ACTS + 1):
        ways = tuple(search.ways(levers[: _MOST_LEVERS[size]], size))
        if ways:
            return Change(ways)
    rule = rules.stop_rules.get(target)
    who = (rule.entry.ruled_by or rule.entry.lifted_by) if rule else ""
    return Change((), who, more_is_missing=bool(levers))


class _Search:
    def __init__(self, rules: RuleSet, job: Job, milestone: str, now: datetime, target: str) -> None:
        self._rules, self._job, self._milestone, self._now, self._target = rules, job, milestone, now, target
        self._stop = rules.stop_rules.get(target)
        self._hazard = None if self._stop else rules.hazard_rules[target]
        self._bands = [band.id for band in rules.matrix.bands]
        self._tries = 0
        self._before = self._rank(job)

    def _rank(self, job: Job) -> int:
        """How bad the target is: 0 for a stop that is gone, the number of the band for a hazard."""
        held = Reading(self._rules, job, self._milestone, self._now, if_held=True)
        if self._stop is not None:
            return 0 if found_stop(self._target, self._stop, held) is None else 1
        assert self._hazard is not None
        rater = HazardRater(self._rules, job, self._rules.positions[self._milestone], held, held)
        hazard = rater.rate(self._target, self._hazard)
        return -1 if hazard is None else self._bands.index(hazard.counted.band)

    def reached(self, job: Job) -> bool:
        """Whether the target is better than it was."""
        self._tries += 1
        return self._rank(job) < self._before

    def levers(self) -> list[_Lever]:
        """Controls not yet counted on, then what can be changed, then what can be found out."""
        controls = self._rules.controls_of.get(self._target, ()) if self._hazard else ()
        found = [
            _Lever(Act("control", self._rules.controls[c].do, c), (PlannedControl(),))
            for c in controls
            if c not in self._job.planned and c not in self._job.proved
        ]
        reading = Reading(self._rules, self._job, self._milestone, self._now, if_held=False)
        change, find = [], []
        for name in self._rules.questions:
            if name not in self._support():
                continue
            question = self._rules.questions[name]
            status = reading.status(name)
            settings = tuple(self._settings(name, question))
            if status is Status.GIVEN and question.can_change:
                change.append(_Lever(Act("change", question.can_change, name), settings))
            elif status in (Status.NOT_KNOWN, Status.PENDING) or self._open_lines(name):
                find.append(_Lever(Act("find_out", question.if_unknown, name), settings))
        return [*found, *change, *find]

    def _open_lines(self, name: str) -> bool:
        answer = self._job.answers.get(name)
        return answer is not None and bool(answer.open_lines)

    def _checks(self) -> Iterator[Check]:
        if self._stop is not None:
            if self._stop.check is not None:
                yield self._stop.check
        elif self._hazard is not None:
            yield self._hazard.applies
            for one in (*self._hazard.likelihood, *self._hazard.severity):
                yield one.check

    def _support(self) -> frozenset[str]:
        named = frozenset(self._stop.named_by) if self._stop else frozenset()
        return named.union(*(self._rules.support_of(check.node) for check in self._checks()))

    def _settings(self, name: str, question: QuestionEntry) -> Iterator[Answer]:
        if question.type == "several":
            yield from self._several_settings(name, question)
        elif question.type != "number":
            yield from (Answer(option) for option in question.options)
        elif question.range is not None:
            yield from (Answer(value) for value in self._numbers(name, question.range, question.step or 1.0))

    def _numbers(self, name: str, accepted: tuple[float, float], step: float) -> list[float]:
        """Ends of the range, each limit a rule names with its neighbours, and the middle of each piece between."""
        low, high = accepted
        cuts = sorted({c for c in self._cuts(name) if low < c < high})
        near = [c + d for c in cuts for d in (-step, 0.0, step)]
        ends = [low, *cuts, high]
        middles = [(one + other) / 2 for one, other in itertools.pairwise(ends)]
        on_steps = (round(round(value / step) * step, 9) for value in (*near, *middles))
        return list(dict.fromkeys([float(low), float(high), *(v for v in on_steps if low <= v <= high)]))

    def _several_settings(self, name: str, question: QuestionEntry) -> Iterator[Answer]:
        answer = self._job.answers.get(name)
        known: Mapping[str, SeveralMark] = answer.value if answer and isinstance(answer.value, Mapping) else {}
        open_lines = [o for o in question.options if known.get(o, "not_known") == "not_known"]
        for mark in ("no", "yes"):
            marks: dict[str, SeveralMark] = {o: known.get(o, "no") for o in question.options}
            marks.update(dict.fromkeys(open_lines, "yes" if mark == "yes" else "no"))
            yield Answer(marks)

    def _cuts(self, name: str) -> set[float]:
        """Numbers the target compares this question with, through yes-or-no facts too."""
        found: set[float] = set()
        waiting, seen = [check.node for check in self._checks()], set[str]()
        for root in waiting:
            for node in tree.walk(root):
                if isinstance(node, tree.Compare) and tree.Value(name) in (node.left, node.right):
                    found.update(self._figures(node))
                elif isinstance(node, tree.Holds) and node.name not in seen:
                    seen.add(node.name)
                    check = self._rules.derived[node.name].check
                    waiting += [check.node] if check is not None else []
        return found

    def _figures(self, node: tree.Compare) -> Iterator[float]:
        for side in (node.left, node.right):
            if isinstance(side, tree.PlainNumber):
                yield side.value
            elif isinstance(side, tree.Value) and side.name in self._rules.limits:
                yield self._rules.limits[side.name].is_

    def ways(self, levers: list[_Lever], size: int) -> Iterator[tuple[Act, ...]]:
        """Every combination of that many levers that reaches the target, with the setting that does."""
        for chosen in itertools.combinations(levers, size):
            for settings in itertools.product(*(lever.settings for lever in chosen)):
                if self._tries > _MOST_TRIES:
                    return
                if self.reached(self._with(chosen, settings)):
                    yield tuple(self._told(chosen, settings, place) for place in range(size))
                    break

    def _with(self, chosen: tuple[_Lever, ...], settings: tuple[Answer | PlannedControl, ...]) -> Job:
        answers, planned = dict(self._job.answers), dict(self._job.planned)
        for lever, setting in zip(chosen, settings, strict=True):
            if isinstance(setting, Answer):
                answers[lever.act.about] = setting
            else:
                planned[lever.act.about] = setting
        return replace(self._job, answers=answers, planned=planned)

    def _told(self, chosen: tuple[_Lever, ...], settings: tuple[Answer | PlannedControl, ...], place: int) -> Act:
        """The act in words; a number with the limits between which it helps, the other acts of the way done."""
        lever, setting = chosen[place], settings[place]
        if not isinstance(setting, Answer) or not isinstance(setting.value, float):
            return lever.act
        question = self._rules.questions[lever.act.about]
        assert question.range is not None

        def helps(value: float) -> bool:
            return self.reached(self._with(chosen, (*settings[:place], Answer(value), *settings[place + 1 :])))

        low, high = (_furthest(setting.value, float(end), question.step or 1.0, helps) for end in question.range)
        unit = question.unit
        parts = [f"at least {with_unit(number_words(low), unit)}"] if low > question.range[0] else []
        parts += [f"at most {with_unit(number_words(high), unit)}"] if high < question.range[1] else []
        words = f"{lever.act.words} It helps {' and '.join(parts)}." if parts else lever.act.words
        return replace(lever.act, words=words)


def _furthest(good: float, end: float, step: float, helps: Callable[[float], bool]) -> float:
    """The value nearest an end of the range that still helps, on the question's own steps."""
    if helps(end):
        return end
    inside, outside = round(good / step), round(end / step)
    while abs(inside - outside) > 1:
        middle = (inside + outside) // 2
        if helps(round(middle * step, 9)):
            inside = middle
        else:
            outside = middle
    return round(inside * step, 9)


def find_out_first(assessment: Assessment) -> tuple[str, ...]:
    """Questions not known, those that would change the verdict most first.

    Order: answers that have aged last, as they are read again in any case; those that keep a stop open first, by the
    severity of what it guards against; then stops that rest on this answer alone, stops it has a part in, the points
    of likelihood times severity that hazards would lose without the entries resting on it, and the order of the walk.
    """
    alone: dict[str, int] = {}
    part: dict[str, int] = {}
    points: dict[str, int] = {}
    for stop in assessment.stops:
        resting = {q for reason in stop.reasons for q in reason.rests_on}
        for question in resting:
            part[question] = part.get(question, 0) + 1
        if len(resting) == 1 and not stop.holds:
            only = next(iter(resting))
            alone[only] = alone.get(only, 0) + 1
    for hazard in assessment.hazards:
        for reason in (*hazard.likelihood_reasons, *hazard.severity_reasons):
            for question in reason.rests_on:
                weight = (reason.level or reason.by) * (5 if reason.decides else 1)
                points[question] = points.get(question, 0) + weight
    walk = {name: place for place, name in enumerate(assessment.statuses)}
    asked = [n for n in walk if assessment.statuses[n] is Status.NOT_KNOWN or alone.get(n) or part.get(n)]
    asked = [n for n in asked if assessment.statuses[n] is not Status.PENDING]
    aged, grave = frozenset(assessment.aged), grave_answers(assessment)

    def key(name: str) -> tuple[bool, int, int, int, int, int]:
        counts = (-grave.get(name, -1), -alone.get(name, 0), -part.get(name, 0), -points.get(name, 0))
        return (name in aged, *counts, walk[name])

    return tuple(sorted(asked, key=key))
