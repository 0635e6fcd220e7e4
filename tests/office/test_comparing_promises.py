"""Where a comparison finds no difference, no job shows one: on generated rule sets changed in one place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from hypothesis import event, given, settings
from hypothesis import strategies as st

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Job
from riskhelper.office.comparing import compare
from riskhelper.office.deciding import Subject
from riskhelper.office.difference import Difference
from riskhelper.office.direction import Direction
from riskhelper.office.looks import MOMENT, Ranks, look_of, ranks_of
from riskhelper.ruleset.model import RuleSet
from tests.meaning import generate
from tests.meaning.outcome import loaded
from tests.office.with_proofs import proofs
from tests.thoroughness import examples

FLIPS = ((" < ", " <= "), (" >= ", " > "), ("== 'yes'", "!= 'yes'"), (" and ", " or "), ("not (", "("))
CONDITIONS = ("if", "unless", "applies_if", "stops_if", "stops_unless", "no_ppe_credit")
NUMBER = re.compile(r"(?<![\w.])-?\d+(\.\d+)?(?![\w.])")
Place = tuple[str | int, ...]


@dataclass(frozen=True)
class Sample:
    """A set, the same changed in one place, and jobs with where they stand."""

    old: generate.RuleText
    new: generate.RuleText
    jobs: list[tuple[str, Job]]


def places_in(entry: Any, keys: tuple[str, ...], path: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every value under one of some keys, with its place."""
    pairs = entry.items() if isinstance(entry, Mapping) else enumerate(entry) if isinstance(entry, list) else ()
    for key, value in pairs:
        if key in keys:
            yield (*path, key), value
        else:
            yield from places_in(value, keys, (*path, key))


def with_value(entry: Any, path: Place, value: Any) -> Any:
    """The entry with another value at a place."""
    if not path:
        return value
    key, rest = path[0], path[1:]
    if isinstance(entry, list):
        return [with_value(each, rest, value) if place == key else each for place, each in enumerate(entry)]
    return {**entry, key: with_value(entry[key], rest, value)}


def written_otherwise(draw: Any, text: str) -> str:
    """A condition with one sign flipped, one number moved, one part said twice, or only put the other way round."""
    numbers = list(NUMBER.finditer(text))
    way = draw(st.sampled_from(["flip", "flip", "number", "doubt", "twice", "double negation"]))
    if way == "number" and numbers:
        one = draw(st.sampled_from(numbers))
        moved = round(float(one.group()) + draw(st.sampled_from([-1, 1])), 6)
        return f"{text[: one.start()]}{moved:g}{text[one.end() :]}"
    if way == "doubt":  # the same for every exact answer
        return f"({text}) or not (({text}) or not ({text}))"
    if way == "twice":
        return f"({text}) and ({text})"
    if way == "double negation":
        return f"not (not ({text}))"
    was, now = draw(st.sampled_from(FLIPS))
    return text.replace(was, now, 1)


def moved(draw: Any, key: str | int, value: float) -> Any:
    """Another figure in its place."""
    if key == "resolution":
        return 0.1 if value == 0.5 else 0.05
    other = value + draw(st.sampled_from([-1, 1]))
    return min(max(other, 1), 4) if key in ("level", "least", "by") else other


@st.composite
def samples(draw: Any) -> Sample:
    """A set and the same with one entry written otherwise; answers given, unknown or still pending."""
    text = draw(generate.rule_texts())
    kind = draw(st.sampled_from(["hazard", "hazard", "stop", "control", "fact", "limit"]))
    named = [(name, path, value) for name, e in text.entries[kind].items() for path, value in changeable(kind, e)]
    changed = text
    if named:
        name, path, value = draw(st.sampled_from(named))
        other = written_otherwise(draw, value) if isinstance(value, str) else moved(draw, path[-1], value)
        entries = {**text.entries[kind], name: with_value(text.entries[kind][name], path, other)}
        changed = replace(text, entries={**text.entries, kind: entries})
    milestone = st.sampled_from(generate.MILESTONES)
    jobs = draw(st.lists(milestone.flatmap(lambda at: st.tuples(st.just(at), generate.jobs(text, at))), min_size=4))
    return Sample(text, changed, jobs)


def changeable(kind: str, entry: Mapping[str, Any]) -> Iterator[tuple[Place, Any]]:
    """What is changed of an entry: a condition, a level, a limit, the steps in which a figure is compared."""
    yield from places_in(entry, CONDITIONS)
    if kind == "hazard":
        yield from places_in(entry, ("level", "least", "by"))
    elif kind == "limit" or (kind == "fact" and "is" in entry and "resolution" not in entry):
        yield ("is",), entry["is"]
    elif kind == "fact":
        yield ("resolution",), entry["resolution"]


def differences(sample: Sample) -> tuple[RuleSet, RuleSet, list[Difference]]:
    old, new = loaded(sample.old), loaded(sample.new)
    return old, new, list(compare({"none": old}, {"none": new}, proofs).differences)


def subjects(rules: RuleSet) -> Iterator[Subject]:
    for name in rules.hazards:
        yield Subject("hazard", name)
        yield Subject("hazard", name, now=True)
    for name, rule in rules.stop_rules.items():
        if rule.check is not None:
            yield Subject("stop", name)
            yield Subject("stop", name, now=True)
    yield from (Subject("control", name) for name in rules.controls)


def way_of(before: Ranks, after: Ranks) -> Direction:
    return Direction.joined(Direction.of(a, b) for a, b in zip(before, after, strict=True) if a != b)


TURNED = {Direction.STRICTER: Direction.LOOSER, Direction.LOOSER: Direction.STRICTER}


def check_jobs(sample: Sample) -> None:
    """Whatever a job shows was told, in its direction; the reading NOW counts where nothing differs IF HELD."""
    old, new, told = differences(sample)
    unsettled = {(one.kind, one.name) for one in told if not one.settled}
    ways = {(one.kind, one.name, one.direction) for one in told if one.settled}
    event("not settled" if unsettled else "settled")
    for milestone, job in sample.jobs:
        for subject in subjects(old):
            key, ranks = (subject.kind, subject.name), ranks_of(subject)
            before, after = ranks(old, job, milestone), ranks(new, job, milestone)
            if before == after or key in unsettled:
                continue
            way = way_of(before, after)
            if subject.now:
                assert key in {(kind, name) for kind, name, _ in ways}, (subject, before, after)
            else:
                way = TURNED[way] if subject.kind == "control" else way
                assert (*key, way) in ways, (subject, before, after, told)


@given(samples())
@settings(max_examples=examples(60), deadline=None)
def test_where_no_difference_is_found_no_job_shows_one(sample: Sample) -> None:
    check_jobs(sample)


@given(samples())
@settings(max_examples=examples(30), deadline=None)
def test_every_difference_settled_has_an_example_that_shows_it(sample: Sample) -> None:
    old, new, told = differences(sample)

    for one in told:
        if one.kind in ("hazard", "stop") and one.settled and "PPE" not in one.words:
            assert one.example is not None
            look = look_of(Subject(one.kind, one.name, now="pending" in one.words))  # type: ignore[arg-type]
            shown = [assess(rules, one.example.job, one.example.milestone, MOMENT) for rules in (old, new)]
            before, after = (look.ranks(each) for each in shown)
            assert before != after
            assert way_of(before, after) is one.direction
