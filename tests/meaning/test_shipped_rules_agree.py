"""The program says what the slow reference says about the shipped rules, on the worked cases and around them."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job
from tests.content.shipped import NOW, files, job_of
from tests.content.shipped import rules as shipped
from tests.meaning import oracle
from tests.meaning.outcome import plain


def written(code: str) -> oracle.Rules:
    """The shipped files as the reference reads them; tables and tightened limits are those of the local code."""
    apart = ("local/", "cases/", "tables/", "words/")
    base = {name: text for name, text in files().items() if not name.startswith(apart)}
    rules, loaded = oracle.gathered(base), shipped(code)
    rules["published"] = loaded.tables
    for name, limit in loaded.limits.items():
        rules["limit"][name] = {"is": limit.is_}
    return rules


def referred(rules: oracle.Rules, job: Job, milestone: str) -> dict[str, Any]:
    """What the reference says."""
    outcome = oracle.assess(rules, job, milestone, NOW)
    for hazard in outcome["hazards"].values():
        del hazard["residual"]
    return outcome


def blanked(job: Job, name: str) -> Job:
    """The same job with some answers not known, some missing and some promises left out."""
    chance = random.Random(name)
    answers = dict(job.answers)
    for question in chance.sample(sorted(answers), 6):
        if chance.random() < 0.5:
            del answers[question]
        else:
            answers[question] = Answer(None, at=NOW)
    planned = {control: plan for control, plan in job.planned.items() if chance.random() < 0.8}
    return replace(job, answers=answers, planned=planned)


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(shipped().cases))
def test_a_case_and_its_neighbours_agree_in_every_part(name: str) -> None:
    case = shipped().cases[name]
    rules, loaded = written(case.local), shipped(case.local)
    job = job_of(case)
    last = loaded.milestones[-1]
    for one, milestone in ((job, case.at), (job, last), (blanked(job, name), case.at), (blanked(job, name), last)):
        assert plain(assess(loaded, one, milestone, NOW)) == referred(rules, one, milestone)
