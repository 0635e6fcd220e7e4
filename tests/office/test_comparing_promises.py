"""Where a comparison finds no difference, no job shows one: on generated rule sets changed in one place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Job
from riskhelper.office.comparing import compare
from riskhelper.office.looks import MOMENT, hazard_look, stop_look
from riskhelper.ruleset.model import RuleSet
from tests.meaning import generate
from tests.meaning.outcome import loaded
from tests.thoroughness import examples

Pair = tuple[generate.RuleText, generate.RuleText, list[Job]]
FLIPS = ((" < ", " <= "), (" >= ", " > "), ("== 'yes'", "!= 'yes'"), (" and ", " or "), ("not (", "("))


def texts_in(entry: Mapping[str, Any], path: tuple[str | int, ...] = ()) -> list[tuple[tuple[str | int, ...], str]]:
    """Every condition of an entry with its place."""
    found: list[tuple[tuple[str | int, ...], str]] = []
    for key, value in entry.items():
        if key in ("if", "unless", "applies_if", "stops_if", "stops_unless"):
            found.append(((*path, key), value))
        elif isinstance(value, Mapping):
            found += texts_in(value, (*path, key))
        elif isinstance(value, list):
            for place, each in enumerate(value):
                found += texts_in(each, (*path, key, place)) if isinstance(each, Mapping) else []
    return found


def with_text(entry: Any, path: tuple[str | int, ...], text: str) -> Any:
    """The entry with another condition at a place."""
    if not path:
        return text
    key, rest = path[0], path[1:]
    if isinstance(entry, list):
        return [with_text(each, rest, text) if place == key else each for place, each in enumerate(entry)]
    return {**entry, key: with_text(entry[key], rest, text)}


@st.composite
def pairs(draw: Any) -> Pair:
    """A set, the same with one condition written otherwise, and jobs with every answer given exactly."""
    text = draw(generate.rule_texts())
    kind = draw(st.sampled_from(["hazard", "stop"]))
    names = [name for name, entry in text.entries[kind].items() if texts_in(entry)]
    name = draw(st.sampled_from(names)) if names else None
    changed = text
    if name is not None:
        entry = text.entries[kind][name]
        path, words = draw(st.sampled_from(texts_in(entry)))
        was, now = draw(st.sampled_from(FLIPS))
        other = re.sub(re.escape(was), now, words, count=1)
        entries = {**text.entries, kind: {**text.entries[kind], name: with_text(entry, path, other)}}
        changed = replace(text, entries=entries)
    jobs = draw(st.lists(generate.jobs(text, "box_dead"), min_size=4, max_size=8))
    return text, changed, jobs


def exact_levels(rules: RuleSet, job: Job) -> dict[tuple[str, str], tuple[int, ...]]:
    """Levels of each hazard as found, and whether each stop fires by its condition."""
    shown = assess(rules, job, "box_dead", MOMENT)
    found = {("hazard", name): hazard_look(name).ranks(shown) for name in rules.hazards}
    for name, rule in rules.stop_rules.items():
        if rule.check is not None:
            quick = stop_look(name).quick
            assert quick is not None
            found["stop", name] = quick(rules, job, "box_dead")
    return found


@given(pairs())
@settings(max_examples=60, deadline=None)  # beyond a few answers it searches, and a search can miss
def test_where_no_difference_is_found_no_job_shows_one(sample: Pair) -> None:
    old, new = loaded(sample[0]), loaded(sample[1])

    told = {(one.kind, one.name) for one in compare({"none": old}, {"none": new}).differences}

    for job in sample[2]:
        before, after = exact_levels(old, job), exact_levels(new, job)
        assert {key for key in before if before[key] != after[key]} <= told


@given(pairs())
@settings(max_examples=examples(30), deadline=None)
def test_every_example_shows_its_difference(sample: Pair) -> None:
    old, new = loaded(sample[0]), loaded(sample[1])

    for one in compare({"none": old}, {"none": new}).differences:
        if one.example is not None and one.kind in ("hazard", "stop"):
            look = (hazard_look if one.kind == "hazard" else stop_look)(one.name)
            pair = [look.ranks(assess(rules, one.example.job, one.example.milestone, MOMENT)) for rules in (old, new)]
            assert pair[0] != pair[1]
