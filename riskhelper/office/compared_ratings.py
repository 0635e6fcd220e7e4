"""Differences in hazards and stops: how grave they come out, when they fire, and what clears or lifts them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from riskhelper.office.deciding import Subject
from riskhelper.office.difference import Difference
from riskhelper.office.direction import Direction
from riskhelper.office.meaning_keys import MeaningKeys
from riskhelper.office.pair_search import Meaning, PairSearch, Weighed
from riskhelper.office.settling import (
    Pair,
    Way,
    differences_of,
    first_example,
    ways_of_rating,
    ways_of_truth,
)
from riskhelper.ruleset.model import Check, HazardRule, StopRule
from riskhelper.ruleset.tree import Constant

STRICTER, LOOSER, DIFFERENT = Direction.STRICTER, Direction.LOOSER, Direction.DIFFERENT
NEVER = Weighed(Constant(False), "never")
WORDS = {
    ("hazard", STRICTER): "rated graver for some answers",
    ("hazard", LOOSER): "rated milder for some answers",
    ("hazard", DIFFERENT): "likelihood and severity move apart for some answers",
    ("stop", STRICTER): "fires for answers for which it did not",
    ("stop", LOOSER): "no longer fires for answers for which it did",
}
NOW = "alike if the plan is held, but while checks are pending "


def compared_ratings(pair: Pair) -> Iterator[Difference]:
    """Every hazard and every stop of either set."""
    for name in dict.fromkeys((*pair.sides.old.hazard_rules, *pair.sides.new.hazard_rules)):
        one, other = (rules.hazard_rules.get(name) for rules in (pair.sides.old, pair.sides.new))
        yield from _entry(pair, Subject("hazard", name), one, other)
        if one is not None and other is not None:
            yield from _cleared(pair, name, one, other)
    for name in dict.fromkeys((*pair.sides.old.stop_rules, *pair.sides.new.stop_rules)):
        before, after = (rules.stop_rules.get(name) for rules in (pair.sides.old, pair.sides.new))
        yield from _entry(pair, Subject("stop", name), before, after)
        if before is not None and after is not None:
            yield from _lifted(name, before, after)


def _entry(
    pair: Pair, subject: Subject, one: HazardRule | StopRule | None, other: HazardRule | StopRule | None
) -> Iterator[Difference]:
    entry = other or one
    assert entry is not None
    keys = tuple(_key(_meaning(rule, side)) for rule, side in zip((one, other), pair.keys, strict=True))
    key = (subject, one is None, other is None, *keys)
    if one is not None and other is not None and keys[0] == keys[1]:
        return
    meanings = _meaning(one, pair.sides.old_keys), _meaning(other, pair.sides.new_keys)
    search = PairSearch(pair.sides, *meanings, pair.domain)
    if one is None or other is None:
        way, words = (LOOSER, "taken out") if other is None else (STRICTER, "added")
        example = pair.once(key, lambda: first_example(pair, search, subject, way))
        yield Difference(subject.kind, subject.name, entry.entry.title, words, way, example)
        return
    ways = pair.once(key, lambda: ways_of_rating(pair, subject, search))
    words_of = partial(_words, subject.kind)
    yield from differences_of(subject.kind, subject.name, entry.entry.title, ways, words_of)


def _words(kind: str, way: Way) -> str:
    return f"{NOW if way.now else ''}{WORDS[kind, way.direction]}"


def _cleared(pair: Pair, name: str, old: HazardRule, new: HazardRule) -> Iterator[Difference]:
    title = new.entry.title
    accepted = [bool(one.entry.administrative_accepted) for one in (old, new)]
    if accepted[0] != accepted[1]:
        words = "administrative measures alone now clear it" if accepted[1] else "they no longer clear it alone"
        yield Difference("hazard", name, title, words, LOOSER if accepted[1] else STRICTER)
    if old.entry.stops != new.entry.stops:
        stops = [", ".join(one.entry.stops) or "none" for one in (old, new)]
        yield Difference("hazard", name, title, f"shown beside the stops {stops[1]}, before {stops[0]}", DIFFERENT)
    nodes = weighed(old.no_ppe_credit, pair.keys[0]), weighed(new.no_ppe_credit, pair.keys[1])
    said = {STRICTER: "PPE counts for fewer answers", LOOSER: "PPE counts for more answers"}
    ways = ways_of_truth(pair, Subject("ppe", name), nodes)
    yield from differences_of("hazard", name, title, ways, lambda way: said[way.direction], "its credit of PPE is")


def _lifted(name: str, old: StopRule, new: StopRule) -> Iterator[Difference]:
    title = new.entry.title
    lifts = [one.entry.lifted_by or f"a ruling of {one.entry.ruled_by}" for one in (old, new)]
    if lifts[0] != lifts[1]:
        way = DIFFERENT
        if bool(old.entry.ruled_by) != bool(new.entry.ruled_by):
            way = LOOSER if new.entry.ruled_by else STRICTER
        yield Difference("stop", name, title, f"lifted by {lifts[1]}, before by {lifts[0]}", way)
    if old.entry.fires_on != new.entry.fires_on:
        words = f"fires on {new.entry.fires_on or 'its condition alone'}"
        yield Difference("stop", name, title, words, DIFFERENT)


def weighed(check: Check | None, keys: MeaningKeys) -> Weighed:
    """A condition with its key; one that never holds where there is none."""
    return NEVER if check is None else Weighed(check.node, keys.of_check(check))


def _meaning(rule: HazardRule | StopRule | None, keys: MeaningKeys) -> Meaning:
    match rule:
        case HazardRule():
            scales = ((0, rule.likelihood), (1, rule.severity))
            raises = tuple(
                Weighed(one.check.node, keys.of_check(one.check), scale, one.level, one.by)
                for scale, raised in scales
                for one in raised
            )
            least = (rule.entry.likelihood.least, rule.entry.severity.least)
            return Meaning(Weighed(rule.applies.node, keys.of_check(rule.applies)), least, raises)
        case StopRule() if rule.check is not None:
            return Meaning(Weighed(rule.check.node, keys.of_check(rule.check)), (), ())
        case _:
            return Meaning(NEVER, (), ())


def _key(meaning: Meaning) -> object:
    return meaning.applies.key, meaning.least, tuple(sorted((w.key, w.scale, w.level, w.by) for w in meaning.raises))
