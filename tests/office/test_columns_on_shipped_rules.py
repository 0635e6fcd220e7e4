"""The columns say of every worked case what the ordinary assessment says, however much is open."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.assessment.hazards import HazardRater
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.office.answer_columns import PastJob, columns_of
from riskhelper.office.figures_kept import KeptFigures
from riskhelper.office.judging import judged
from riskhelper.review.cases import case_job
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules, local_codes
from riskhelper.store.rule_files import rule_files, shipped_rules

NOW = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
FILES = rule_files(shipped_rules())


@cache
def rules_under(code: str) -> RuleSet:
    return load_rules(FILES, code, prove_guards=False)


@cache
def jobs_of(code: str) -> tuple[Job, ...]:
    """Worked cases as if under this local code, and the same with answers taken away or not known."""
    rules, chance = rules_under(code), random.Random(11)
    found = [replace(case_job(rules, case), local_code=code) for case in rules.cases.values()]
    for job in tuple(found):
        for _ in range(1):
            kept = {name: answer for name, answer in job.answers.items() if chance.random() > 0.1}
            unknown = {n: replace(a, value=None) if chance.random() < 0.05 else a for n, a in kept.items()}
            found.append(replace(job, answers=unknown))
    return tuple(found)


@pytest.mark.parametrize("code", list(local_codes(FILES)))
@pytest.mark.parametrize("milestone", ["gate", "approval", "valve_holds"])
def test_columns_and_assessment_agree_on_the_worked_cases(code: str, milestone: str) -> None:
    rules, jobs = rules_under(code), jobs_of(code)
    found = judged(rules, columns_of(rules, [PastJob(job, NOW) for job in jobs]), milestone, KeptFigures())

    assert jobs
    for row, job in enumerate(jobs):
        shown = assess(rules, job, milestone, NOW)
        stops = {name for name, flags in found.stops.items() if flags.flat[row if flags.ndim else 0]}
        assert int(found.verdict[row]) == int(shown.verdict)
        assert stops == {stop.id for stop in shown.stops}


def test_levels_and_counted_bands_agree_on_the_worked_cases() -> None:
    code, milestone = next(iter(local_codes(FILES))), "valve_holds"
    rules, jobs = rules_under(code), jobs_of(code)
    found = judged(rules, columns_of(rules, [PastJob(job, NOW) for job in jobs]), milestone, KeptFigures())
    bands = [band.id for band in rules.matrix.bands]

    for row, job in enumerate(jobs):
        present = Reading(rules, job, milestone, NOW, if_held=False)
        rater = HazardRater(
            rules, job, rules.positions[milestone], Reading(rules, job, milestone, NOW, if_held=True), present
        )
        for name, rule in rules.hazard_rules.items():
            rated = rater.rate(name, rule)
            if rated is None:
                continue
            column = found.hazards[name]
            levels = [int(c.flat[row if c.ndim else 0]) for c in (column.likelihood, column.severity, column.band)]
            as_found = rated.finding.as_found
            assert levels == [as_found.likelihood, as_found.severity, bands.index(rated.counted.band)]
