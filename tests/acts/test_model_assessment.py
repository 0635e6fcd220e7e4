"""What an earlier visit saw is a model for the next: confirmed there item by item, or it counts for nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from riskhelper.acts.context import Context
from riskhelper.acts.job import jobs
from riskhelper.acts.job.answer_files import AnswerFile
from riskhelper.acts.job.from_file import enter
from riskhelper.acts.job.known_plant import KnownPlants, confirm, keep, offered
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.assessment.assess import assess
from riskhelper.evidence import Job
from riskhelper.review.cases import case_job
from riskhelper.ruleset.reading import load_rules
from riskhelper.store.rule_files import rule_files, shipped_rules
from riskhelper.terms import APPROVAL, GATE, Verdict
from tests.acts.workbench import START, context

SHELF = RuleShelf(shipped_rules())
CASE = "arcade_roof_sealed"


def entered(place: Context, job: Job, number: str) -> jobs.JobState:
    return enter(place, AnswerFile(replace(job, number=number, local_code="en50110"), GATE))


def test_requirement_gov_06_nothing_of_a_model_counts_before_it_is_confirmed_at_this_site(tmp_path: Path) -> None:
    """GOV-06: a model assessment is adapted and confirmed for each site; with none confirmed the plan stops."""
    place = replace(context(tmp_path), rules=SHELF, local_codes=SHELF.local_codes)
    rules = load_rules(rule_files(shipped_rules()), "en50110", prove_guards=False)
    job = case_job(rules, rules.cases[CASE])
    first = entered(place, job, "1")
    assert assess(first.rules, first.job, APPROVAL, START).verdict is not Verdict.STOP
    _, kept = keep(place, KnownPlants(place.plants), "1")
    own = {name: answer for name, answer in job.answers.items() if name not in kept}

    second = entered(place, replace(job, answers=own), "2")

    plants = KnownPlants(place.plants)
    items = [item for name in kept if (item := offered(second, plants, name)) is not None]
    assert items
    assert not set(kept) & second.job.answers.keys()
    model = assess(second.rules, second.job, APPROVAL, START)
    assert model.verdict is Verdict.STOP
    assert {item.question for item in items} <= set(model.unknowns)

    for item in items:
        second = confirm(place, "2", GATE, item)

    for item in items:
        assert second.job.answers[item.question].source == f"confirmed on site; before: {item.last_seen}"
    confirmed = assess(second.rules, second.job, APPROVAL, START)
    assert not {item.question for item in items} & set(confirmed.unknowns)
    anew = set(kept) - {item.question for item in items}
    assert anew <= set(confirmed.unknowns)  # what a stop rests on is never taken over: it is answered anew
    assert {stop.id for stop in confirmed.stops} <= {stop.id for stop in model.stops}
