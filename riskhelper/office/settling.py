"""Whether one thing differs between two rule sets: found with a job, proved alike, or not settled."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from riskhelper.office.deciding import Decided, Decider, Same, Seen, Subject, Undecided
from riskhelper.office.difference import Difference, ExampleJob
from riskhelper.office.direction import Direction
from riskhelper.office.example_jobs import (
    Bench,
    Case,
    drawn_jobs,
    edge_jobs,
    jobs_like,
    left_open,
    supposed_jobs,
)
from riskhelper.office.looks import Look, ReadingLook, look_of, reading_look_of
from riskhelper.office.meaning_keys import MeaningKeys
from riskhelper.office.pair_search import Found, Meaning, PairSearch, Sides, Weighed
from riskhelper.office.table_rows import rows_that_moved
from riskhelper.ruleset.model import RuleSet

MOST_REGIONS = 12  # regions of answers turned into jobs, before the solver is asked
MORE_REGIONS = 24  # spread over all of them, where it did not find a job either
MOST_EDGES = 4
LOOKS_AT_A_ROW = 8
MOST_DRAWN = 200
EXTRA = "pip install 'riskhelper[office]'"
Known = dict[object, Any]


class WithoutSolver:
    """Settles nothing: what ranges of answers and jobs tried do not show stays open."""

    def decide(self, subject: Subject, way: Direction) -> Decided:
        """Says what would settle it."""
        del subject, way
        return Undecided(f"a proof takes the solver: {EXTRA}")


@dataclass(frozen=True)
class Pair:
    """Two sets under one local code with what differences are found by.

    `known` keeps what was found for the same meanings under an earlier local code.
    """

    bench: Bench
    sides: Sides
    domain: Mapping[str, Any]
    decider_of: Callable[[RuleSet, RuleSet], Decider] | None
    known: Known

    @cached_property
    def keys(self) -> tuple[MeaningKeys, MeaningKeys]:
        """What tells whether two meanings are the same for every answer, uncertain ones too."""
        return MeaningKeys(self.sides.old, answers_too=True), MeaningKeys(self.sides.new, answers_too=True)

    @cached_property
    def decider(self) -> Decider:
        """Made when the first question is asked: most pairs of sets are alike under most local codes."""
        return WithoutSolver() if self.decider_of is None else self.decider_of(self.sides.old, self.sides.new)

    def once(self, key: object, find: Callable[[], Any]) -> Any:
        """What was found before under this key, or is found now."""
        if key not in self.known:
            self.known[key] = find()
        return self.known[key]

    def example(
        self,
        key: tuple[object, ...],
        way: Direction,
        look: Look | ReadingLook,
        cases: Callable[[], Iterable[Case]],
    ) -> ExampleJob | None:
        """The first case that shows a difference going a way; `DIFFERENT` takes any."""
        wanted = None if way is Direction.DIFFERENT else way
        found: ExampleJob | None = self.once(("example", *key), lambda: self.bench.first(cases(), look, wanted))
        return found


@dataclass(frozen=True, slots=True)
class Way:
    """One way in which a thing differs. `undecided` says how far the search came where it is not settled.

    `now` marks what differs only as long as something is pending.
    """

    direction: Direction
    example: ExampleJob | None = None
    undecided: str = ""
    now: bool = False


def ways_of_rating(pair: Pair, subject: Subject, search: PairSearch) -> list[Way]:
    """Ways in which a hazard or a stop comes out otherwise, each proved, found with a job, or not settled."""
    look = look_of(subject)
    regions, names = list(search.differences()), _read(pair.sides, search)
    rows = rows_that_moved(pair.sides.old, pair.sides.new, names)
    found: list[Way] = []
    for way in ways_for(subject):
        those = [region for region in regions if region.direction is way]
        example = _first(pair.bench, those[:MOST_REGIONS], look, way)
        if example is None and rows:
            cases = edge_jobs(pair.bench, rows, names, look, LOOKS_AT_A_ROW)
            example = pair.bench.first(cases, look, way)
        if example is not None:
            found.append(Way(way, example))
            continue
        decided = pair.decider.decide(subject, way)
        if isinstance(decided, Undecided):
            example = _first(pair.bench, those[MOST_REGIONS :: 1 + len(those) // MORE_REGIONS], look, way)
            example = example or pair.bench.first(_tried(pair.bench, search, names, look), look, way)
            how_far = _how_far(search, bool(those), decided.words)
            found.append(Way(way, example) if example is not None else Way(way, undecided=how_far))
        elif isinstance(decided, Seen):
            found.append(Way(way, pair.bench.first(jobs_like(pair.bench, decided), look, way)))
    return found or list(_pending(pair, replace(subject, now=True)))


def ways_for(subject: Subject) -> Sequence[Direction]:
    """Ways a thing can go: a hazard has two scales, which can move apart."""
    return tuple(Direction) if subject.kind == "hazard" else (Direction.STRICTER, Direction.LOOSER)


def _first(bench: Bench, regions: Iterable[Found], look: Look | ReadingLook, way: Direction) -> ExampleJob | None:
    """The first job met inside some ranges of answers."""
    cases = (case for region in regions for case in supposed_jobs(bench, region.supposed))
    return bench.first(cases, look, way)


def _how_far(search: PairSearch, met: bool, words: str) -> str:
    if met:
        return f"some ranges of answers differ, and no job was found among them; {words}"
    if search.exhausted:
        return f"alike for every exact answer; where an answer is uncertain or not known, {words}"
    return f"{search.tries} ranges of answers and {MOST_DRAWN} jobs tried show none; {words}"


def _pending(pair: Pair, subject: Subject) -> Iterator[Way]:
    """What differs NOW, where nothing differs if the plan is held."""
    look = look_of(subject)
    for way in ways_for(subject):
        decided = pair.decider.decide(subject, way)
        if isinstance(decided, Seen):
            yield Way(way, pair.bench.first(jobs_like(pair.bench, decided), look, way), now=True)
        elif isinstance(decided, Undecided):
            yield Way(
                way, undecided=f"alike if the plan is held; while checks are pending, {decided.words}", now=True
            )


def ways_of_truth(pair: Pair, subject: Subject, nodes: tuple[Weighed, Weighed]) -> list[Way]:
    """Ways in which a condition outside hazards and stops differs; `STRICTER` is true for more answers."""
    if nodes[0].key == nodes[1].key:
        return []
    found: list[Way] = pair.once((subject, nodes[0].key, nodes[1].key), lambda: _truth(pair, subject, nodes))
    return found


def _truth(pair: Pair, subject: Subject, nodes: tuple[Weighed, Weighed]) -> list[Way]:
    look = reading_look_of(subject)
    found, searched = [], None
    for way in ways_for(subject):
        decided = pair.decider.decide(subject, way)
        if isinstance(decided, Seen):
            found.append(Way(way, pair.bench.first(jobs_like(pair.bench, decided), look, way)))
        elif isinstance(decided, Undecided):
            if searched is None:
                old, new = (Meaning(node, (), ()) for node in nodes)
                searched = PairSearch(pair.sides, old, new, pair.domain)
                regions = list(searched.differences())
            those = [region for region in regions if region.direction is way]
            example = _first(pair.bench, those[:MORE_REGIONS], look, way)
            undecided = "" if example is not None else _how_far(searched, bool(those), decided.words)
            found.append(Way(way, example, undecided))
    return found


def changed_fact(pair: Pair, name: str) -> Way | None:
    """Whether a fact comes out otherwise for some job."""
    subject = Subject("fact", name)
    decided = pair.decider.decide(subject, Direction.DIFFERENT)
    if isinstance(decided, Same):
        return None
    if isinstance(decided, Undecided):
        return Way(Direction.DIFFERENT, undecided=decided.words)
    look = reading_look_of(subject)
    return Way(Direction.DIFFERENT, pair.bench.first(jobs_like(pair.bench, decided), look, None))


def differences_of(
    kind: str, name: str, title: str, ways: Iterable[Way], words: Callable[[Way], str], what: str = "it comes out"
) -> Iterator[Difference]:
    """The ways as differences; what is not settled is one of its own, that says so."""
    open_ways = []
    for way in ways:
        if way.undecided:
            open_ways.append(way)
        else:
            yield Difference(kind, name, title, words(way), way.direction, way.example)
    if open_ways:
        told = dict.fromkeys(way.direction.value for way in open_ways)
        direction = open_ways[0].direction if len(open_ways) == 1 else Direction.DIFFERENT
        how_far = "; ".join(dict.fromkeys(way.undecided for way in open_ways))
        said = f"not settled whether {what} {' or '.join(told)}: {how_far}"
        yield Difference(kind, name, title, said, direction, settled=False)


def first_example(pair: Pair, search: PairSearch, subject: Subject, way: Direction) -> ExampleJob | None:
    """A job that shows an entry of one set alone."""
    look = look_of(subject)
    regions = itertools.islice(search.differences(), MOST_REGIONS)
    names = _read(pair.sides, search)
    return _first(pair.bench, regions, look, way) or pair.bench.first(
        _tried(pair.bench, search, names, look), look, way
    )


def _tried(bench: Bench, search: PairSearch, names: frozenset[str], look: Look) -> Iterator[Case]:
    """Jobs tried where neither a region of answers nor the solver gave an example."""
    old, new = bench.old.questions, bench.new.questions
    changed = [name for name in sorted(names) if name in old and name in new and old[name] != new[name]]
    yield from left_open(bench, changed, names, look)
    yield from edge_jobs(bench, search.open[:MOST_EDGES] or [{}], names, look)
    yield from drawn_jobs(bench, names, MOST_DRAWN)


def _read(sides: Sides, search: PairSearch) -> frozenset[str]:
    """Questions that either meaning rests on."""
    return frozenset().union(
        *(sides.old.support_of(node) for node in search.nodes[0]), *(sides.new.support_of(n) for n in search.nodes[1])
    )
