"""Differences outside the conditions of hazards and stops: questions, controls, limits, matrix, hold points."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from pydantic import BaseModel

from riskhelper.office.difference import Difference
from riskhelper.office.direction import Direction
from riskhelper.office.example_jobs import Bench, Case, as_they_stand, with_control, without_answer
from riskhelper.office.looks import whole_look
from riskhelper.office.meaning_keys import MeaningKeys
from riskhelper.office.pair_search import Meaning, PairSearch, Sides, Weighed
from riskhelper.office.question_changes import question_changes
from riskhelper.ruleset.model import Check, RuleSet
from riskhelper.ruleset.tree import Constant

STRICTER, LOOSER, DIFFERENT = Direction.STRICTER, Direction.LOOSER, Direction.DIFFERENT


def compared_entries(
    bench: Bench, sides: Sides, domain: Mapping[str, Any], told: Collection[tuple[str, ...]]
) -> Iterator[Difference]:
    """Every difference outside the conditions of hazards and stops; what was told before needs no further example."""
    yield from _stop_attributes(sides)
    yield from _hazard_attributes(sides, domain)
    yield from _controls(bench, sides, domain, told)
    yield from _questions(bench, sides, domain, told)
    yield from _limits(sides)
    look = whole_look(sides.old, sides.new)
    for one in (*_matrix(sides.old, sides.new), *_credit(sides.old, sides.new), *_head(sides, domain)):
        seen = (one.kind, one.name, one.direction.value, one.words) in told
        way = None if one.direction is DIFFERENT else one.direction
        yield one if seen else replace(one, example=bench.first(as_they_stand(bench), look, way))


def reworded_entries(old: RuleSet, new: RuleSet) -> Iterator[str]:
    """Entries both sets hold and whose text differs; whether their meaning does as well is told apart from this."""
    for kind, olds, news in (
        ("question", old.questions, new.questions),
        ("fact", old.facts, new.facts),
        ("hazard", old.hazards, new.hazards),
        ("control", old.controls, new.controls),
        ("stop", old.stops, new.stops),
    ):
        yield from (f"{kind} {name}" for name, entry in olds.items() if name in news and news[name] != entry)


def _way(node: tuple[Weighed, Weighed], sides: Sides, domain: Mapping[str, Any]) -> set[Direction]:
    """Ways in which two conditions differ; both count as settled by what was found."""
    if node[0].key == node[1].key:
        return set()
    search = PairSearch(sides, Meaning(node[0], (), ()), Meaning(node[1], (), ()), domain)
    found = {one.direction for one in search.differences()}
    return found if found or search.exhausted else {DIFFERENT}


def _stop_attributes(sides: Sides) -> Iterator[Difference]:
    for name, old in sides.old.stop_rules.items():
        new = sides.new.stop_rules.get(name)
        if new is None:
            continue
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


def _hazard_attributes(sides: Sides, domain: Mapping[str, Any]) -> Iterator[Difference]:
    for name, old in sides.old.hazard_rules.items():
        new = sides.new.hazard_rules.get(name)
        if new is None:
            continue
        title = new.entry.title
        accepted = [bool(one.entry.administrative_accepted) for one in (old, new)]
        if accepted[0] != accepted[1]:
            words = "administrative measures alone now clear it" if accepted[1] else "they no longer clear it alone"
            yield Difference("hazard", name, title, words, LOOSER if accepted[1] else STRICTER)
        pair = (
            _weighed(old.no_ppe_credit, sides.old_keys),
            _weighed(new.no_ppe_credit, sides.new_keys),
        )
        for way in _way(pair, sides, domain):
            words = "PPE counts for fewer answers" if way is STRICTER else "PPE counts for more answers"
            yield Difference("hazard", name, title, words, way)


def _weighed(check: Check | None, keys: MeaningKeys) -> Weighed:
    return Weighed(Constant(False), "never") if check is None else Weighed(check.node, keys.of_check(check))


def _controls(
    bench: Bench, sides: Sides, domain: Mapping[str, Any], told: Collection[tuple[str, ...]]
) -> Iterator[Difference]:
    old, new = sides.old.controls, sides.new.controls
    for name in dict.fromkeys((*old, *new)):
        one, other = old.get(name), new.get(name)
        look = whole_look(sides.old, sides.new)
        changes: list[tuple[str, Direction]] = []
        entry = other or one
        assert entry is not None
        if one is None or other is None:
            credits = bool(entry.lowers)
            way = DIFFERENT if not credits else STRICTER if other is None else LOOSER
            changes.append(
                (f"{'taken out' if other is None else 'added'}, with{'' if credits else 'out'} credit", way)
            )
        else:
            changes += list(_credit_given(one.lowers, other.lowers))
            if one.kind is not other.kind:
                changes.append((f"kind is {other.kind.value}, before {one.kind.value}", DIFFERENT))
            if one.hold_point != other.hold_point:
                way = Direction.of(sides.new.positions[other.hold_point], sides.old.positions[one.hold_point])
                changes.append((f"proved before {other.hold_point}, before at {one.hold_point}", way))
            if one.evidence != other.evidence:
                changes.append(("evidence asked for differs", DIFFERENT))
            checks = sides.old.control_checks[name], sides.new.control_checks[name]
            usable = (_weighed(checks[0], sides.old_keys), _weighed(checks[1], sides.new_keys))
            for way in _way(usable, sides, domain):
                # A control that is of use for more answers lowers more: the other way round than for a danger.
                looser = way is STRICTER
                changes.append(
                    (f"of use for {'more' if looser else 'fewer'} answers", LOOSER if looser else STRICTER)
                    if way is not DIFFERENT
                    else ("of use for other answers", DIFFERENT)
                )
        for words, way in changes:
            seen = ("control", name, way.value, words) in told
            cases: Iterable[Case] = () if seen else with_control(bench, name)
            shown = bench.first(cases, look, None if way is DIFFERENT else way)
            yield Difference("control", name, entry.do, words, way, shown)


def _credit_given(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[tuple[str, Direction]]:
    for hazard in dict.fromkeys((*old, *new)):
        for scale in ("likelihood", "severity"):
            was, now = (getattr(side.get(hazard), scale, 0) for side in (old, new))
            if was != now:
                way = LOOSER if now > was else STRICTER
                yield f"lowers {scale} of {hazard} by {now}, before by {was}", way


def _questions(
    bench: Bench, sides: Sides, domain: Mapping[str, Any], told: Collection[tuple[str, ...]]
) -> Iterator[Difference]:
    old, new = sides.old.questions, sides.new.questions
    for name in dict.fromkeys((*old, *new)):
        one, other = old.get(name), new.get(name)
        entry = other or one
        assert entry is not None
        changes: list[tuple[str, Direction]] = []
        if one is None or other is None:
            changes.append(("no longer asked", LOOSER) if other is None else ("asked besides", STRICTER))
        else:
            changes += question_changes(sides.new, one, other)
            checks = sides.old.ask_checks[name], sides.new.ask_checks[name]
            asked = (_weighed(checks[0], sides.old_keys), _weighed(checks[1], sides.new_keys))
            for way in _way(asked, sides, domain):
                words = {STRICTER: "asked in more jobs", LOOSER: "asked in fewer jobs"}.get(
                    way, "asked in other jobs"
                )
                changes.append((words, way))
        for words, way in changes:
            seen = ("question", name, way.value, words) in told
            cases: Iterable[Case] = () if seen else without_answer(bench, name)
            shown = bench.first(cases, whole_look(sides.old, sides.new), None if way is DIFFERENT else way)
            yield Difference("question", name, entry.ask, words, way, shown)


def _limits(sides: Sides) -> Iterator[Difference]:
    old, new = sides.old.limits, sides.new.limits
    for name in dict.fromkeys((*old, *new)):
        one, other = old.get(name), new.get(name)
        entry = other or one
        assert entry is not None
        title = entry.title or name
        if one is None or other is None:
            yield Difference("limit", name, title, "taken out" if other is None else "added", DIFFERENT)
        elif (one.is_, one.unit) != (other.is_, other.unit):
            up = Direction.of(one.is_, other.is_)
            way = up if other.worse == "up" or up is DIFFERENT else LOOSER if up is STRICTER else STRICTER
            words = f"{other.is_:g} {other.unit}, before {one.is_:g} {one.unit}"
            yield Difference("limit", name, title, words, way if one.unit == other.unit else DIFFERENT)


def _matrix(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    grave = {"none": 0, "conditions": 1, "stop": 2}
    ids = [[band.id for band in rules.matrix.bands] for rules in (old, new)]
    moved: dict[tuple[str, str, Direction], list[int]] = {}
    for product in sorted({likelihood * severity for likelihood in range(1, 6) for severity in range(1, 6)}):
        one, other = old.band_of[product], new.band_of[product]
        ranks = (
            (ids[0].index(one.id), ids[1].index(other.id))
            if ids[0] == ids[1]
            else (grave[one.verdict], grave[other.verdict])
        )
        if ranks[0] != ranks[1] or one.verdict != other.verdict or one.id != other.id:
            way = Direction.of(grave[one.verdict], grave[other.verdict])
            way = Direction.of(*ranks) if way is DIFFERENT else way
            before, after = (f"{band.words} ({band.verdict})" for band in (one, other))
            moved.setdefault((before, after, way), []).append(product)
    for (before, after, way), products in moved.items():
        cells = ", ".join(map(str, products))
        yield Difference("matrix", "", "the matrix", f"products {cells}: {after}, before {before}", way)
    for one in old.matrix.bands:
        for other in new.matrix.bands:
            if one.id == other.id and one.accepted_by != other.accepted_by:
                words = f"band {other.words} is accepted by {other.accepted_by}, before by {one.accepted_by}"
                yield Difference("matrix", other.id, "the matrix", words, DIFFERENT)


def _credit(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    for kind, most in new.credit.most.items():
        was = old.credit.most.get(kind, 0)
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


def _head(sides: Sides, domain: Mapping[str, Any]) -> Iterator[Difference]:
    old, new = sides.old, sides.new
    for name in dict.fromkeys((*old.hold_points, *new.hold_points)):
        one, other = old.hold_points.get(name), new.hold_points.get(name)
        if one is None or other is None:
            way = LOOSER if other is None else STRICTER
            entry = one or other
            assert entry is not None
            yield Difference("hold point", name, entry.words, "taken out" if other is None else "added", way)
        elif one.released_by != other.released_by:
            words = f"released by {other.released_by}, before by {one.released_by}"
            yield Difference("hold point", name, other.words, words, DIFFERENT)
    shared = [[n for n in a.hold_points if n in b.hold_points] for a, b in ((old, new), (new, old))]
    if shared[0] != shared[1]:
        yield Difference("hold point", "", "the hold points", "stand in another order", DIFFERENT)
    service = (_weighed(old.in_service, sides.old_keys), _weighed(new.in_service, sides.new_keys))
    for way in _way(service, sides, domain):
        yield Difference("ruleset", "", "plant in service", "counts as in service for other answers", way)
    for kind, olds, news in (
        ("step", old.steps, new.steps),
        ("isolation row", old.isolation_rows, new.isolation_rows),
        ("kit", old.kit, new.kit),
    ):
        gone, come = (len(_only(a, b)) for a, b in ((olds, news), (news, olds)))
        if gone or come:
            yield Difference(
                kind, "", f"{kind} list", f"{come} lines added or changed, {gone} no longer there", DIFFERENT
            )


def _only(one: Iterable[BaseModel], other: Iterable[BaseModel]) -> list[str]:
    there = {repr(entry) for entry in other}
    return [repr(entry) for entry in one if repr(entry) not in there]
