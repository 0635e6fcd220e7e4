"""Findings in plain lines and as JSON: no figure from memory goes out without saying so."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

from riskhelper.acts.job.as_json import assessment_json
from riskhelper.acts.job.findings import full_lines
from riskhelper.acts.job.from_file import take
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job
from riskhelper.store.rule_files import shipped_rules
from riskhelper.terms import Standing
from tests.acts.workbench import START

DEMO = Path(__file__).parents[2] / "demo" / "transformer_at_dusk" / "answers.toml"
TAKEN = take(DEMO, RuleShelf(shipped_rules()))
FOUND = assess(TAKEN.rules, TAKEN.file.job, TAKEN.file.milestone, START)
SHOWN = {shown.id: shown for shown in FOUND.quantities}


def test_each_number_is_followed_by_its_documents_and_their_standing() -> None:
    lines = full_lines(TAKEN.rules, FOUND)
    for shown in FOUND.quantities:
        after = lines[lines.index(f"- {shown.title}: {shown.working}") + 1]

        assert after.startswith("  Source: ")
        assert after.endswith(f"({shown.standing.value})")
        assert not any(f" {source}" in after for source in TAKEN.rules.sources), "an id is no title"


def test_a_figure_that_rests_on_one_to_be_confirmed_is_itself_to_be_confirmed() -> None:
    assert TAKEN.rules.sources["liquid_density"].standing is Standing.MEMORY
    assert SHOWN["oil.flow_l_per_s"].standing is Standing.MEMORY  # reads that density
    assert SHOWN["oil.fill_time_s"].standing is Standing.MEMORY  # reads the flow
    assert SHOWN["live.clear_m"].standing is Standing.PUBLISHED  # reads a published limit
    assert SHOWN["lift.drop_j"].standing is Standing.PUBLISHED


def test_a_row_from_memory_marks_what_is_read_from_it_though_its_table_is_published() -> None:
    """Table R-6 as seen holds the rows to 169 kV; those above are recalled (`row_standing`)."""
    shelf = RuleShelf(shipped_rules())
    rules, standings = shelf("us269"), {}
    for nominal_kv in (132.0, 220.0):
        answers = {**TAKEN.file.job.answers, "live.near_kv": Answer(nominal_kv), "plant.tx_kv": Answer(nominal_kv)}
        found = assess(rules, Job(answers, local_code="us269"), "gate", START)
        standings[nominal_kv] = {shown.id: shown.standing for shown in found.quantities}["live.no_closer_m"]

    assert standings == {132.0: Standing.PUBLISHED, 220.0: Standing.MEMORY}


def test_json_names_every_listed_document_it_cites() -> None:
    told = json.loads(json.dumps(assessment_json(TAKEN.rules, TAKEN.file.job, FOUND)))
    cited = {shown["source"] for shown in told["quantities"]} & set(TAKEN.rules.sources)

    assert cited <= set(told["sources"])
    assert told["sources"]["liquid_density"]["standing"] == "to be confirmed"
    assert {"value", "unit", "standing", "source", "working", "inputs", "assumed"} <= set(told["quantities"][0])


def test_a_stop_says_what_makes_it_fire_and_not_for_which_jobs_it_is_meant() -> None:
    rules, file = TAKEN.rules, TAKEN.file
    heard = {"weather.thunder": Answer("heard"), "weather.thunder_min": Answer(5.0), "people.team_n": Answer(1.0)}
    job = replace(file.job, answers={**file.job.answers, **heard})
    stops = {stop.id: stop for stop in assess(rules, job, "permit_taken", START).stops}

    asked = {name: question.ask for name, question in rules.questions.items()}
    assert [reason.because for reason in stops["weather.thunder"].reasons] == [
        f"{asked['weather.thunder_min']} 5 min: that is below the minutes to wait after the last thunder (30 min); "
        f"and {asked['weather.thunder']} The answer is: We have heard it"
    ]
    alone = stops["emergency.alone"].reasons[0]
    assert alone.holds
    assert alone.because.endswith(f"; and {asked['people.team_n']} 1: that is below 2")
