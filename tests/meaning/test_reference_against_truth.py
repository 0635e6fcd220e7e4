"""The slow reference itself, held against exact worlds by brute force."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.meaning import brute, generate, oracle
from tests.thoroughness import examples


@given(st.data(), generate.samples())
@settings(max_examples=examples(30), deadline=None)
def test_no_possible_world_is_worse_than_the_reference_says(data: st.DataObject, sample: generate.Sample) -> None:
    rules = oracle.gathered(sample.text.files)
    outcome = oracle.assess(rules, sample.job, sample.milestone, generate.NOW)
    choices = brute.possible(rules, sample.job, sample.milestone, generate.NOW, held=True)
    for _ in range(6):
        truth = brute.Truth(rules, data.draw(brute.worlds(choices)))
        assert truth.stops() <= set(outcome["stops"]) | outcome["ruled"]
        for hid, (likelihood, severity) in truth.hazards().items():
            found = outcome["hazards"][hid]["as_found"]
            assert likelihood <= found[0]
            assert severity <= found[1]


@given(st.data(), generate.samples())
@settings(max_examples=examples(30), deadline=None)
def test_where_nothing_is_open_the_reference_says_what_is_so(data: st.DataObject, sample: generate.Sample) -> None:
    entries = {
        name: {key: value for key, value in entry.items() if key != "error"}
        for name, entry in sample.text.entries["question"].items()
    }
    cells = {name: entry for name, entry in sample.text.entries["fact"].items() if "table" not in entry}
    everything = {
        name: generate.Answer(data.draw(generate.legal_values(entry)), at=generate.NOW)
        for name, entry in entries.items()
    }
    rules = oracle.gathered(sample.text.files)
    for name in rules["question"]:
        rules["question"][name].pop("error", None)
    if len(cells) < len(rules["fact"]):
        return  # a table may hold a range even for one option
    for name in rules["fact"]:
        rules["fact"][name].pop("resolution", None)
    job = generate.Job(answers=everything, local_code="none")
    last = generate.MILESTONES[-1]
    choices = brute.possible(rules, job, last, generate.NOW, held=True)
    truth = brute.Truth(rules, data.draw(brute.worlds(choices)))
    outcome = oracle.assess(rules, job, last, generate.NOW)
    conditional = {sid for sid, entry in rules["stop"].items() if {"stops_if", "stops_unless"} & entry.keys()}
    assert set(outcome["stops"]) & conditional == truth.stops()
    found = {hid: hazard["as_found"][:2] for hid, hazard in outcome["hazards"].items()}
    assert found == truth.hazards()
