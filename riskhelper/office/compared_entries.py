"""Differences in controls, questions, limits and facts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from riskhelper.assessment.credit import STRONG
from riskhelper.office.compared_ratings import weighed
from riskhelper.office.deciding import Subject
from riskhelper.office.difference import Difference
from riskhelper.office.direction import Direction
from riskhelper.office.example_jobs import with_control, without_answer
from riskhelper.office.looks import whole_look
from riskhelper.office.question_changes import question_changes
from riskhelper.office.settling import Pair, changed_fact, differences_of, ways_of_truth
from riskhelper.ruleset.entries import ControlEntry, FactEntry

STRICTER, LOOSER, DIFFERENT = Direction.STRICTER, Direction.LOOSER, Direction.DIFFERENT
Change = tuple[str, Direction]


def compared_entries(pair: Pair) -> Iterator[Difference]:
    """Every control, question, limit and fact of either set."""
    old, new = pair.sides.old, pair.sides.new
    for name in dict.fromkeys((*old.controls, *new.controls)):
        yield from _control(pair, name)
    for name in dict.fromkeys((*old.questions, *new.questions)):
        yield from _question(pair, name)
    orders = [[n for n in a.questions if n in b.questions] for a, b in ((old, new), (new, old))]
    moved = [name for was, name in zip(*orders, strict=True) if was != name]
    if moved:
        yield Difference("question", "", "the questions", f"stand in another order from `{moved[0]}` on", DIFFERENT)
    yield from _limits(pair)
    for name in dict.fromkeys((*old.facts, *new.facts)):
        yield from _fact(pair, name)


def _control(pair: Pair, name: str) -> Iterator[Difference]:
    old, new = pair.sides.old, pair.sides.new
    one, other = old.controls.get(name), new.controls.get(name)
    entry = other or one
    assert entry is not None
    for words, way in _control_changes(pair, one, other):
        look = whole_look(old, new)
        shown = pair.example(("control", name, words), way, look, lambda: with_control(pair.bench, name))
        yield Difference("control", name, entry.do, words, way, shown)
    if one is None or other is None:
        return
    checks = old.control_checks[name], new.control_checks[name]
    nodes = weighed(checks[0], pair.keys[0]), weighed(checks[1], pair.keys[1])
    # A control that is of use for more answers lowers more: the other way round than for a danger.
    turned = {STRICTER: LOOSER, LOOSER: STRICTER}
    said = {LOOSER: "of use for more answers", STRICTER: "of use for fewer answers"}
    ways = [replace(w, direction=turned[w.direction]) for w in ways_of_truth(pair, Subject("control", name), nodes)]
    yield from differences_of("control", name, entry.do, ways, lambda way: said[way.direction], "its use is")


def _control_changes(pair: Pair, one: ControlEntry | None, other: ControlEntry | None) -> Iterator[Change]:
    if one is None or other is None:
        entry = other or one
        assert entry is not None
        way = DIFFERENT if not entry.lowers else STRICTER if other is None else LOOSER
        credit = "with credit" if entry.lowers else "without credit"
        yield f"{'taken out' if other is None else 'added'}, {credit}", way
        return
    yield from _credit_given(one.lowers, other.lowers)
    if one.kind is not other.kind:
        strong = [control.kind in STRONG for control in (one, other)]
        way = DIFFERENT if strong[0] == strong[1] else LOOSER if strong[1] else STRICTER
        yield f"kind is {other.kind.value}, before {one.kind.value}", way
    if one.hold_point != other.hold_point:
        # Both places are told in the order of the new set; a place it no longer has cannot be ranked.
        places = [pair.sides.new.positions.get(point) for point in (one.hold_point, other.hold_point)]
        way = DIFFERENT if None in places else Direction.of(-(places[0] or 0), -(places[1] or 0))
        yield f"proved before {other.hold_point}, before at {one.hold_point}", way
    if one.by != other.by:
        yield f"done by {other.by}, before by {one.by}", DIFFERENT
    gone, come = (tuple(e for e in a.evidence if e not in b.evidence) for a, b in ((one, other), (other, one)))
    if gone or come:
        parts = [f"no longer {'; '.join(gone)}" if gone else "", f"besides {'; '.join(come)}" if come else ""]
        way = LOOSER if not come else STRICTER if not gone else DIFFERENT
        yield f"evidence asked for: {', '.join(filter(None, parts))}", way


def _credit_given(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[Change]:
    for hazard in dict.fromkeys((*old, *new)):
        for scale in ("likelihood", "severity"):
            was, now = (getattr(side.get(hazard), scale, 0) for side in (old, new))
            if was != now:
                way = LOOSER if now > was else STRICTER
                yield f"lowers {scale} of {hazard} by {now}, before by {was}", way


def _question(pair: Pair, name: str) -> Iterator[Difference]:
    old, new = pair.sides.old, pair.sides.new
    one, other = old.questions.get(name), new.questions.get(name)
    entry = other or one
    assert entry is not None
    changes: list[Change] = []
    if one is None or other is None:
        changes.append(("no longer asked", LOOSER) if other is None else ("asked besides", STRICTER))
    else:
        changes += question_changes(new, one, other)
    for words, way in changes:
        look = whole_look(old, new)
        shown = pair.example(("question", name, words), way, look, lambda: without_answer(pair.bench, name))
        yield Difference("question", name, entry.ask, words, way, shown)
    if one is None or other is None:
        return
    checks = old.ask_checks[name], new.ask_checks[name]
    nodes = weighed(checks[0], pair.keys[0]), weighed(checks[1], pair.keys[1])
    said = {STRICTER: "asked in more jobs", LOOSER: "asked in fewer jobs"}
    ways = ways_of_truth(pair, Subject("question", name), nodes)
    yield from differences_of("question", name, entry.ask, ways, lambda way: said[way.direction], "it is asked")


def _limits(pair: Pair) -> Iterator[Difference]:
    old, new = pair.sides.old.limits, pair.sides.new.limits
    for name in dict.fromkeys((*old, *new)):
        one, other = old.get(name), new.get(name)
        entry = other or one
        assert entry is not None
        title = entry.title or name
        if one is None or other is None:
            yield Difference("limit", name, title, "taken out" if other is None else "added", DIFFERENT)
            continue
        if (one.is_, one.unit) != (other.is_, other.unit):
            up = Direction.of(one.is_, other.is_)
            way = up if other.worse == "up" or up is DIFFERENT else LOOSER if up is STRICTER else STRICTER
            words = f"{other.is_:g} {other.unit}, before {one.is_:g} {one.unit}"
            yield Difference("limit", name, title, words, way if one.unit == other.unit else DIFFERENT)
        if one.worse != other.worse:
            words = f"a supplement may only move it {other.worse}, before only {one.worse}"
            yield Difference("limit", name, title, words, DIFFERENT)


def _fact(pair: Pair, name: str) -> Iterator[Difference]:
    """A fact written otherwise itself; one that only reads what changed is told there."""
    old, new = pair.sides.old, pair.sides.new
    one, other = old.facts.get(name), new.facts.get(name)
    entry = other or one
    assert entry is not None
    title = entry.title or name.rpartition(".")[2].replace("_", " ")
    if one is None or other is None:
        yield Difference("fact", name, title, "taken out" if other is None else "added", DIFFERENT)
        return
    if one.shown_if != other.shown_if:
        words = f"printed if {other.shown_if or 'always'}, before if {one.shown_if or 'always'}"
        yield Difference("fact", name, title, words, DIFFERENT)
    if _says(one) == _says(other):
        return
    if old.types[name] != new.types[name]:
        words = f"{_grid(other)}, before {_grid(one)}"
        yield Difference("fact", name, title, words, DIFFERENT)
    keys = tuple(side.of_name(name) for side in (pair.sides.old_keys, pair.sides.new_keys))
    if keys[0] != keys[1] and _how(one) != _how(other):
        way = pair.once(("fact", name, keys), lambda: changed_fact(pair, name))
        yield from differences_of(
            "fact", name, title, [way] if way is not None else [], lambda _: _worked_out(one, other), "it is"
        )


def _says(fact: FactEntry) -> object:
    return _how(fact), fact.unit, fact.resolution


def _how(fact: FactEntry) -> object:
    return fact.is_, fact.table, fact.calc, fact.from_


def _grid(fact: FactEntry) -> str:
    steps = f"compared in steps of {fact.resolution:g} {fact.unit}".rstrip() if fact.resolution else "not compared"
    return steps if fact.resolution or not fact.unit else f"{steps}, in {fact.unit}"


def _worked_out(one: FactEntry, other: FactEntry) -> str:
    return f"worked out as {_formula(other)}, before as {_formula(one)}"


def _formula(fact: FactEntry) -> str:
    if fact.is_ is not None:
        return fact.is_
    if fact.calc is not None:
        return f"{fact.calc}({', '.join(f'{name} = {value}' for name, value in fact.from_.items())})"
    return ", ".join(f"{name} {value}" for name, value in (fact.table or {}).items())
