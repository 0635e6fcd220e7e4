"""Past jobs through a proposed rule set: which verdicts, bands and stops change, and which entry did it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

import numpy as np
from numpy.typing import NDArray

from riskhelper.office.answer_columns import PastJob, columns_of
from riskhelper.office.direction import Direction
from riskhelper.office.figures_kept import KeptFigures
from riskhelper.office.judging import OUT_OF_PLAY, HazardColumn, Judged, judged
from riskhelper.office.one_by_one import mended
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Verdict

BLOCK = 8_192
EACH = 64  # jobs between two words about how far it has come
NOT_IN_PLAY = "not in play"
STANDS, NOT_THERE = "stands", "does not stand"
Rows = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Change:
    """One way in which jobs come out differently.

    `what` is verdict, hazard or stop; `entries` say which entry came or went; `answers` are the questions these read,
    private ones left out.
    """

    what: str
    name: str
    before: str
    after: str
    direction: Direction
    entries: tuple[str, ...] = ()
    answers: tuple[str, ...] = ()


@dataclass(slots=True)
class Changed:
    """How many jobs a change touches, and the first of them."""

    change: Change
    example: PastJob
    count: int = 0


@dataclass(slots=True)
class Replay:
    """What a replay found. `bands` counts jobs by the worst band before and after, `verdicts` by verdict."""

    milestone: str
    count: int = 0
    stricter: int = 0
    looser: int = 0
    changed: int = 0
    stopped_early: bool = False
    verdicts: dict[tuple[str, str], int] = field(default_factory=dict)
    bands: dict[tuple[str, str], int] = field(default_factory=dict)
    changes: dict[Change, Changed] = field(default_factory=dict)


def replay(
    old: RuleSet,
    new: RuleSet,
    jobs: Iterable[PastJob],
    milestone: str,
    *,
    go_on: Callable[[int], bool] = lambda _: True,
    each: Callable[[str, Change], None] = lambda *_: None,
) -> Replay:
    """Jobs assessed under two rule sets at a milestone of both, block by block.

    `go_on` is told now and then how many jobs are read, and ends the replay by giving false: what was read by then is
    still compared. `each` gets every job number with each of its changes.
    """
    found = Replay(milestone)
    kept_old, kept_new = KeptFigures(), KeptFigures()
    waiting = iter(jobs)
    while block := list(_told_of(islice(waiting, BLOCK), found, go_on)):
        before = mended(old, block, milestone, judged(old, columns_of(old, block), milestone, kept_old))
        after = mended(new, block, milestone, judged(new, columns_of(new, block), milestone, kept_new))
        _Block(old, new, block, before, after, found, each).compare()
        if found.stopped_early:
            break
    return found


def _told_of(jobs: Iterator[PastJob], found: Replay, go_on: Callable[[int], bool]) -> Iterator[PastJob]:
    """The jobs one by one, until somebody ends it: reading them takes longer than assessing them."""
    for place, job in enumerate(jobs, start=1):
        yield job
        if place % EACH == 0 and not go_on(found.count + place):
            found.stopped_early = True
            return


class _Block:
    """One block of jobs under two rule sets."""

    def __init__(
        self,
        old: RuleSet,
        new: RuleSet,
        jobs: list[PastJob],
        before: Judged,
        after: Judged,
        found: Replay,
        each: Callable[[str, Change], None],
    ) -> None:
        self.old, self.new = old, new
        self.jobs = jobs
        self.before, self.after = before, after
        self.found, self.each = found, each
        self.marks = {way: np.zeros(len(jobs), dtype=np.bool_) for way in Direction}

    def compare(self) -> None:
        self._verdicts()
        self._stops()
        self._hazards()
        self._worst_bands()
        self.found.count += len(self.jobs)
        stricter, looser = self.marks[Direction.STRICTER], self.marks[Direction.LOOSER]
        self.found.stricter += int(stricter.sum())
        self.found.looser += int(looser.sum())
        self.found.changed += int((stricter | looser | self.marks[Direction.DIFFERENT]).sum())

    def _note(self, change: Change, rows: Rows) -> None:
        self.marks[change.direction][rows] = True
        held = self.found.changes.setdefault(change, Changed(change, self.jobs[int(rows[0])]))
        held.count += len(rows)
        for row in rows.tolist():
            self.each(self.jobs[row].job.number, change)

    def _verdicts(self) -> None:
        for (one, other), rows in _pairs(self.before.verdict, self.after.verdict):
            words = Verdict(one).words, Verdict(other).words
            self.found.verdicts[words] = self.found.verdicts.get(words, 0) + len(rows)
            if one != other:
                self._note(Change("verdict", "", *words, Direction.of(one, other)), rows)

    def _stops(self) -> None:
        for name in dict.fromkeys((*self.before.stops, *self.after.stops)):
            was = self._whole(self.before.stops.get(name, np.False_))
            now = self._whole(self.after.stops.get(name, np.False_))
            for rows, words, rules, way in (
                (np.flatnonzero(was & ~now), (STANDS, NOT_THERE), self.old, Direction.LOOSER),
                (np.flatnonzero(now & ~was), (NOT_THERE, STANDS), self.new, Direction.STRICTER),
            ):
                if len(rows):
                    check = rules.stop_rules[name].check
                    read = rules.support_of(check.node) if check is not None else frozenset()
                    entry = (f"stop {rules.stops[name].title}",)
                    self._note(Change("stop", name, *words, way, entry, _public(rules, read)), rows)

    def _hazards(self) -> None:
        ranks = _ranks(self.old, self.new)
        for name in dict.fromkeys((*self.before.hazards, *self.after.hazards)):
            one, other = self.before.hazards.get(name), self.after.hazards.get(name)
            was, now = self._bands(one), self._bands(other)
            ranked = ranks[0][was], ranks[1][now]
            different = np.flatnonzero(ranked[0] != ranked[1])
            if not len(different):
                continue
            for entries, answers, among in self._causes(name, one, other, different):
                for (first, second), rows in _pairs(was[among], now[among]):
                    at = among[rows]
                    way = Direction.of(int(ranks[0][first]), int(ranks[1][second]))
                    words = _band_words(self.old, first), _band_words(self.new, second)
                    self._note(Change("hazard", name, *words, way, entries, answers), at)

    def _causes(
        self, name: str, one: HazardColumn | None, other: HazardColumn | None, rows: Rows
    ) -> Iterator[tuple[tuple[str, ...], tuple[str, ...], Rows]]:
        """Rows by the raising entries that hold under one set only: their words, what they read, the rows."""
        was, now = _fired(self.old, name, one), _fired(self.new, name, other)
        keys = list(dict.fromkeys((*was, *now)))
        columns = []
        for key in keys:
            flags = [self._whole(side.get(key, np.False_))[rows] for side in (was, now)]
            columns += [flags[0] & ~flags[1], flags[1] & ~flags[0]]
        if not columns:
            yield (), (), rows
            return
        ways, place = np.unique(np.array(columns), axis=1, return_inverse=True)
        for number in range(ways.shape[1]):
            gone, come = ways[0::2, number], ways[1::2, number]
            words: list[str] = []
            read: set[str] = set()
            for key, went, came in zip(keys, gone, come, strict=True):
                if went or came:
                    rules = self.old if went else self.new
                    words.append(f"{'no longer' if went else 'now'}: {key[0]} {key[1]}")
                    read.update(_public(rules, _read_by(rules, name, key)))
            yield tuple(words), tuple(sorted(read)), rows[np.flatnonzero(place.reshape(-1) == number)]

    def _worst_bands(self) -> None:
        worst = [self._worst(self.before), self._worst(self.after)]
        for (one, other), rows in _pairs(*worst):
            words = _band_words(self.old, one), _band_words(self.new, other)
            self.found.bands[words] = self.found.bands.get(words, 0) + len(rows)

    def _worst(self, side: Judged) -> NDArray[np.int8]:
        found = np.full(len(self.jobs), OUT_OF_PLAY, dtype=np.int8)
        for column in side.hazards.values():
            found = np.maximum(found, column.band)
        return found

    def _bands(self, column: HazardColumn | None) -> NDArray[np.int8]:
        return self._whole(np.int8(OUT_OF_PLAY) if column is None else column.band)

    def _whole(self, values: Any) -> NDArray[Any]:
        return np.broadcast_to(values, len(self.jobs))


def _pairs(one: NDArray[Any], other: NDArray[Any]) -> Iterator[tuple[tuple[int, int], Rows]]:
    """Every pair of values that stand side by side, with its rows."""
    code = one.astype(np.int64) * 256 + other.astype(np.int64)
    for pair in np.unique(code).tolist():
        rows = np.flatnonzero(code == pair)
        yield (int(one[rows[0]]), int(other[rows[0]])), rows


def _ranks(old: RuleSet, new: RuleSet) -> tuple[NDArray[np.int16], NDArray[np.int16]]:
    """Ranks of the bands of both sets on one scale; the last cell is a hazard not in play."""
    if [band.id for band in old.matrix.bands] == [band.id for band in new.matrix.bands]:
        ladder = np.array([*range(len(old.matrix.bands)), OUT_OF_PLAY], dtype=np.int16)
        return ladder, ladder
    grave = {"none": 0, "conditions": 1, "stop": 2}

    def ladder_of(rules: RuleSet) -> NDArray[np.int16]:
        return np.array([*(grave[band.verdict] for band in rules.matrix.bands), OUT_OF_PLAY], dtype=np.int16)

    return ladder_of(old), ladder_of(new)


def _band_words(rules: RuleSet, place: int) -> str:
    return NOT_IN_PLAY if place == OUT_OF_PLAY else rules.matrix.bands[place].words


def _fired(rules: RuleSet, hazard: str, column: HazardColumn | None) -> Mapping[tuple[str, str, int], Any]:
    """Fired entries of a hazard by scale, reason and weight: the same entry keeps its key in another place."""
    if column is None:
        return {}
    rule = rules.hazard_rules[hazard]
    found: dict[tuple[str, str, int], Any] = {}
    for scale, raises in (("likelihood", rule.likelihood), ("severity", rule.severity)):
        for one in raises:
            key = (scale, one.because, one.level or -one.by)
            found[key] = found.get(key, np.False_) | column.fired[one.at]
    return found


def _read_by(rules: RuleSet, hazard: str, key: tuple[str, str, int]) -> frozenset[str]:
    rule = rules.hazard_rules[hazard]
    raises = rule.likelihood if key[0] == "likelihood" else rule.severity
    nodes = [one.check.node for one in raises if (one.because, one.level or -one.by) == key[1:]]
    return frozenset().union(*(rules.support_of(node) for node in nodes))


def _public(rules: RuleSet, names: frozenset[str]) -> tuple[str, ...]:
    return tuple(name for name in rules.questions if name in names and not rules.questions[name].private)
