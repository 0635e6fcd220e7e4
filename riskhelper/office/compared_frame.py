"""Differences in the frame: the matrix, what controls are credited, hold points, when the plant is in service."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from riskhelper.office.changed_fields import changed_fields
from riskhelper.office.compared_ratings import weighed
from riskhelper.office.deciding import Subject
from riskhelper.office.difference import Difference
from riskhelper.office.direction import Direction
from riskhelper.office.example_jobs import as_they_stand
from riskhelper.office.looks import whole_look
from riskhelper.office.settling import Pair, differences_of, ways_of_truth
from riskhelper.ruleset.model import RuleSet

STRICTER, LOOSER, DIFFERENT = Direction.STRICTER, Direction.LOOSER, Direction.DIFFERENT
NOT_OF_THE_HEAD = frozenset({"name", "number", "language", "in_force", "plant_in_service", "hold_points"})
GRAVE: Mapping[str, int] = {"none": 0, "conditions": 1, "stop": 2}


def compared_frame(pair: Pair) -> Iterator[Difference]:
    """Every difference there, with a worked case that comes out otherwise where one does."""
    old, new = pair.sides.old, pair.sides.new
    look = whole_look(old, new)
    for one in (*_matrix(old, new), *_credit(old, new), *_hold_points(old, new), *_head(old, new)):
        key = (one.kind, one.name, one.words, one.direction)
        yield replace(one, example=pair.example(key, one.direction, look, lambda: as_they_stand(pair.bench)))
    nodes = weighed(old.in_service, pair.keys[0]), weighed(new.in_service, pair.keys[1])
    said = {
        STRICTER: "the plant counts as in service for more answers",
        LOOSER: "the plant counts as in service for fewer answers",
    }
    ways = ways_of_truth(pair, Subject("service"), nodes)
    words = "it counts as in service"
    yield from differences_of("ruleset", "", "plant in service", ways, lambda way: said[way.direction], words)


def _matrix(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    ids = [[band.id for band in rules.matrix.bands] for rules in (old, new)]
    moved: dict[tuple[str, str, Direction], list[int]] = {}
    for product in sorted({likelihood * severity for likelihood in range(1, 6) for severity in range(1, 6)}):
        one, other = old.band_of[product], new.band_of[product]
        ranks = (
            (ids[0].index(one.id), ids[1].index(other.id))
            if ids[0] == ids[1]
            else (GRAVE[one.verdict], GRAVE[other.verdict])
        )
        if ranks[0] != ranks[1] or one.verdict != other.verdict or one.id != other.id:
            way = Direction.of(GRAVE[one.verdict], GRAVE[other.verdict])
            way = Direction.of(*ranks) if way is DIFFERENT else way
            before, after = (f"{band.words} ({band.verdict})" for band in (one, other))
            moved.setdefault((before, after, way), []).append(product)
    for (before, after, way), products in moved.items():
        cells = f"product {products[0]}" if len(products) == 1 else f"products {', '.join(map(str, products))}"
        yield Difference("matrix", "", "the matrix", f"{cells}: {after}, before {before}", way)
    for one in old.matrix.bands:
        for other in new.matrix.bands:
            if one.id == other.id and one.accepted_by != other.accepted_by:
                words = f"band {other.words} is accepted by {other.accepted_by}, before by {one.accepted_by}"
                yield Difference("matrix", other.id, "the matrix", words, DIFFERENT)


def _credit(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    for kind in dict.fromkeys((*old.credit.most, *new.credit.most)):
        was, most = (rules.credit.most.get(kind, 0) for rules in (old, new))
        if was != most:
            words = f"{kind.value} controls together lower at most {most}, before {was}"
            yield Difference("credit", kind.value, "the credit rules", words, LOOSER if most > was else STRICTER)
    if old.credit.weak_bands != new.credit.weak_bands:
        words = f"weak controls move at most {new.credit.weak_bands} bands, before {old.credit.weak_bands}"
        way = LOOSER if new.credit.weak_bands > old.credit.weak_bands else STRICTER
        yield Difference("credit", "weak_bands", "the credit rules", words, way)
    if old.credit.serious_from != new.credit.serious_from:
        words = f"serious from band {new.credit.serious_from}, before from {old.credit.serious_from}"
        reach = [next(b.up_to for b in r.matrix.bands if b.id == r.credit.serious_from) for r in (old, new)]
        way = LOOSER if reach[1] > reach[0] else STRICTER
        yield Difference("credit", "serious_from", "the credit rules", words, way)


def _hold_points(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    for name in dict.fromkeys((*old.hold_points, *new.hold_points)):
        one, other = old.hold_points.get(name), new.hold_points.get(name)
        if one is None or other is None:
            entry = one or other
            assert entry is not None
            words, way = ("taken out", LOOSER) if other is None else ("added", STRICTER)
            yield Difference("hold point", name, entry.words, words, way)
            continue
        if one.released_by != other.released_by:
            words = f"released by {other.released_by}, before by {one.released_by}"
            yield Difference("hold point", name, other.words, words, DIFFERENT)
        if one.if_ != other.if_:
            always = "always"
            words = f"counts if {other.if_ or always}, before if {one.if_ or always}"
            way = STRICTER if other.if_ is None else LOOSER if one.if_ is None else DIFFERENT
            yield Difference("hold point", name, other.words, words, way)
    shared = [[n for n in a.hold_points if n in b.hold_points] for a, b in ((old, new), (new, old))]
    if shared[0] != shared[1]:
        words = f"stand in the order {', '.join(shared[1])}; before {', '.join(shared[0])}"
        yield Difference("hold point", "", "the hold points", words, DIFFERENT)


def _head(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    """The head, but for what is compared by its meaning, and for name, number and dates of the set itself."""
    for field, words in changed_fields(old.head, new.head, NOT_OF_THE_HEAD):
        way = DIFFERENT
        if field == "review_by":
            way = LOOSER if new.head.review_by > old.head.review_by else STRICTER
        elif None in (was := getattr(old.head, field), getattr(new.head, field)):
            way = STRICTER if was is None else LOOSER
        yield Difference("ruleset", field, "the head of the set", words, way)
