"""The worked cases under rules/cases: answers and planned controls in; verdict, stops, worst three and reasons out.

The cases were worked by hand from the trade's own scoring sheet before the rules were written; figures in them
are arithmetic on the relations named in riskhelper/calc (standing: derived), the situations are invented.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment, HazardFinding
from riskhelper.evidence import Answer, Job
from riskhelper.interview.order import due_now
from riskhelper.ruleset.entries import CaseEntry, QuestionEntry
from riskhelper.ruleset.model import RuleSet
from tests.content.shipped import NOW, job_of, rules

CASES = rules().cases
FIRST_SCENARIOS = ("winter_dusk_in_service", "cavern_back_feed", "new_bay_not_connected")


def assessed(case: CaseEntry) -> Assessment:
    return assess(rules(case.local), job_of(case), case.at, NOW)


def hazard(assessment: Assessment, name: str) -> HazardFinding:
    return next(finding for finding in assessment.hazards if finding.id == name)


def test_the_three_first_scenarios_are_among_the_cases() -> None:
    assert set(FIRST_SCENARIOS) <= set(CASES)


@pytest.mark.parametrize("name", CASES)
def test_a_case_gives_its_verdict_and_exactly_its_stops(name: str) -> None:
    case = CASES[name]

    result = assessed(case)

    assert result.verdict.words == case.expect["verdict"]
    assert sorted(stop.id for stop in result.stops) == sorted(case.expect["stops"])  # type: ignore[call-overload]
    assert result.defects == ()


@pytest.mark.parametrize("name", CASES)
def test_a_case_gives_its_worst_three_as_found_and_as_planned(name: str) -> None:
    case = CASES[name]
    expected: Any = case.expect["worst"]

    result = assessed(case)

    got = [
        {
            "id": h.id,
            "found": [h.as_found.likelihood, h.as_found.severity],
            "planned": [h.as_planned.likelihood, h.as_planned.severity],
        }
        for h in result.worst
    ]
    assert got == expected


@pytest.mark.parametrize("name", CASES)
def test_a_case_gives_its_conditions_by_hold_point(name: str) -> None:
    case = CASES[name]

    result = assessed(case)

    assert [c.hold_point for c in result.conditions if c.kind == "pending"] == list(case.expect["conditions"])  # type: ignore[call-overload]


@pytest.mark.parametrize("name", [name for name, case in CASES.items() if "reasons" in case.expect])
def test_a_case_gives_exactly_the_reasons_that_decide(name: str) -> None:
    case = CASES[name]
    expected: Any = case.expect["reasons"]

    result = assessed(case)

    for hazard_id, words in expected.items():
        finding = hazard(result, hazard_id)
        fired = {reason.because for reason in (*finding.likelihood_reasons, *finding.severity_reasons)}
        deciding = {
            reason.because for reason in (*finding.likelihood_reasons, *finding.severity_reasons) if reason.decides
        }
        assert set(words) <= fired, (hazard_id, fired)
        assert deciding & {r.because for r in finding.likelihood_reasons} <= set(words), (hazard_id, deciding)


@pytest.mark.parametrize("name", [name for name, case in CASES.items() if "facts" in case.expect])
def test_a_case_gives_its_computed_figures(name: str) -> None:
    case = CASES[name]
    expected: Any = case.expect["facts"]
    result = assessed(case)
    shown = {quantity.id: quantity for quantity in result.quantities}

    for fact, (low, high) in expected.items():
        step = rules(case.local).facts[fact].resolution or 0.01
        value = shown[fact].value
        assert value.low == pytest.approx(low, abs=step * 1.001 + 1e-9), fact
        assert value.high == pytest.approx(high, abs=step * 1.001 + 1e-9), fact


def counted_on(question: QuestionEntry, known: Mapping[str, Answer]) -> Answer:
    """What the plan counts on at a hold point, as an answer."""
    if question.expect_as:
        return known[question.expect_as]
    expect = question.expect
    if question.type == "number":
        assert isinstance(expect, tuple)
        middle = (float(expect[0]) + float(expect[1])) / 2
        return Answer(round(middle / (question.step or 1)) * (question.step or 1))
    first = expect if isinstance(expect, str) else expect[0]  # type: ignore[index]
    return Answer(str(first))


def held_job(case: CaseEntry, rule_set: RuleSet) -> Job:
    """The job with every work answer as counted on and every planned control proved by two."""
    job = job_of(case, proved=case.planned)
    last = rule_set.milestones[-1]
    for _ in range(4):
        answers = dict(job.answers)
        for name in due_now(rule_set, job, last, NOW):
            question = rule_set.questions[name]
            if name not in answers and question.asked_at in rule_set.hold_points and question.type != "text":
                answers[name] = counted_on(question, answers)
        job = Job(answers=answers, planned=job.planned, proved=job.proved, local_code=job.local_code)
    return job


@pytest.mark.parametrize("name", [name for name, case in CASES.items() if "work" in case.expect])
def test_a_case_gives_its_work_verdict_when_all_is_as_counted_on_and_proved(name: str) -> None:
    case = CASES[name]
    expected: Any = case.expect["work"]
    rule_set = rules(case.local)

    result = assess(rule_set, held_job(case, rule_set), rule_set.milestones[-1], NOW)

    assert result.verdict.words == expected["verdict"]
    assert sorted(stop.id for stop in result.stops) == sorted(expected["stops"])
