"""Each promise against evaluators that break it in one line: the property test must catch every one of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from typing import Any
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from riskhelper.assessment import assess, hazards, stops
from riskhelper.evidence import Proof
from riskhelper.facts import reading
from riskhelper.ruleset import compiling
from riskhelper.ruleset.meaning import NO, YES
from riskhelper.terms import Status
from tests.meaning import checks
from tests.meaning.generate import Sample, samples

Check = Callable[[Any, Sample], None]
Saboteur = Callable[[], Any]


def alone(check: Callable[[Sample], None]) -> Check:
    """A check that draws nothing more."""
    return lambda _, sample: check(sample)


def _middle_of_the_range(question: Any) -> Any:
    value = reading.whole(question)
    if question.type == "number":
        return ((value[0] + value[1]) / 2,) * 2
    return value if question.type == "several" else frozenset(sorted(value)[:1])


def _only_what_is_sure(least: int, raises: Any, values: Any) -> Any:
    fired = [(one, truth) for one in raises if (truth := one.check.test(values)) == YES]
    return min(5, max([least, *(r.level for r, _ in fired)]) + sum(r.by for r, _ in fired)), fired


def _last_case_decides(least: int, raises: Any, values: Any) -> Any:
    fired = [(one, truth) for one in raises if (truth := one.check.test(values)) != NO]
    cases = [r.level for r, _ in fired if r.level]
    return min(5, max(least, cases[-1] if cases else 0) + sum(r.by for r, _ in fired)), fired


def _aggravators_lower(least: int, raises: Any, values: Any) -> Any:
    fired = [(one, truth) for one in raises if (truth := one.check.test(values)) != NO]
    return max(1, max([least, *(r.level for r, _ in fired)]) - sum(r.by for r, _ in fired)), fired


def _as_expected_for_ever(self: Any, name: str, question: Any) -> Any:
    answer = reading.usable(self._job, question, name, self._now)
    if answer is not None:
        return self._given(question, answer)
    if question.expect is not None or question.expect_as:
        return self._expected(question)
    return reading.not_known(question)


def _without_pending(*inputs: Any) -> Any:
    return (c for c in REAL_CONDITIONS(*inputs) if c.kind != "pending")


def _plan_is_evidence(rules: Any, job: Any, milestone: str, now: Any) -> Any:
    promised = {name: Proof("promised", "Ona", "Ivo") for name in job.planned}
    return REAL_ASSESS(rules, replace(job, proved={**promised, **job.proved}), milestone, now)


def _without_sources(*inputs: Any) -> Any:
    shown = REAL_ASSESS(*inputs)
    return replace(shown, quantities=tuple(replace(quantity, source="") for quantity in shown.quantities))


def _controls_lift_stops(name: str, rule: Any, values: Any) -> Any:
    return None if values._job.planned else REAL_STOP(name, rule, values)


def _sure_stops_only(name: str, rule: Any, values: Any) -> Any:
    found = REAL_STOP(name, rule, values)
    return found if found is not None and found.holds else None


def _nameless(check: Any, values: Any) -> Any:
    return tuple(replace(reason, rests_on=()) for reason in REAL_REASONS(check, values))


REAL_ASSESS, REAL_CONDITIONS, REAL_STOP = assess.assess, assess.conditions, assess.found_stop
REAL_REASONS, REAL_RATED, REAL_TOLD = stops.stop_reasons, hazards.rated, hazards._reasons

# name of the fault: (what it replaces, with what, the check that must catch it)
FAULTS: Mapping[str, tuple[Any, str, Any, Check]] = {
    "1: an unknown counts at the middle of its range": (
        reading,
        "not_known",
        _middle_of_the_range,
        checks.filling_in_never_makes_it_worse,
    ),
    "1: an unknown may hide a world worse than shown": (
        reading,
        "not_known",
        _middle_of_the_range,
        checks.nothing_possible_is_worse_than_shown,
    ),
    "1: cannot tell counts as no in a case": (
        hazards,
        "level",
        _only_what_is_sure,
        checks.nothing_possible_is_worse_than_shown,
    ),
    "1: the error of a reading is left out": (
        reading.Reading,
        "_margin",
        lambda *_: 0.0,
        checks.nothing_possible_is_worse_than_shown,
    ),
    "1: a check that is due counts as expected": (
        reading.Reading,
        "_value_if_asked",
        _as_expected_for_ever,
        checks.nothing_possible_is_worse_than_shown,
    ),
    "2: a stop that cannot be ruled out is none": (
        assess,
        "found_stop",
        _sure_stops_only,
        checks.a_stop_wins_and_names_its_answer,
    ),
    "2: a planned control lifts a stop": (
        assess,
        "found_stop",
        _controls_lift_stops,
        checks.a_stop_wins_and_names_its_answer,
    ),
    "2: an undecided stop names no answer": (
        stops,
        "stop_reasons",
        _nameless,
        checks.a_stop_wins_and_names_its_answer,
    ),
    "3: a rule that fails is passed over": (
        assess,
        "_unevaluated",
        lambda _: [],
        checks.what_cannot_be_evaluated_stops,
    ),
    "4: an aggravator said twice counts twice": (
        compiling,
        "_distinct",
        tuple,
        checks.order_and_repetition_change_nothing,
    ),
    "4: the last case decides": (
        hazards,
        "level",
        _last_case_decides,
        checks.order_and_repetition_change_nothing,
    ),
    "4: an added aggravator lowers": (hazards, "level", _aggravators_lower, checks.adding_never_lowers),
    "6: one of several reasons is left out": (
        hazards,
        "_reasons",
        lambda fired, *rest: REAL_TOLD(fired, *rest)[1:],
        alone(checks.reasons_are_the_entries_that_decide),
    ),
    "6: what cannot be ruled out is told as sure": (
        hazards,
        "_reasons",
        lambda *inputs: tuple(replace(reason, holds=True) for reason in REAL_TOLD(*inputs)),
        alone(checks.reasons_are_the_entries_that_decide),
    ),
    "6: a number without its source": (
        assess,
        "assess",
        _without_sources,
        alone(checks.every_number_carries_its_papers),
    ),
    "7: a plan counts as evidence": (
        assess,
        "assess",
        _plan_is_evidence,
        alone(checks.no_credit_without_evidence),
    ),
    "7: no floor for weak controls": (
        hazards,
        "rated",
        lambda *inputs, **_: REAL_RATED(*inputs, administrative_accepted=True),
        alone(checks.weak_controls_alone_clear_nothing),
    ),
    "7: one person's word proves an administrative control": (
        hazards,
        "is_proved",
        lambda _, proof: proof is not None,
        alone(checks.evidence_needs_a_second_person),
    ),
    "7: doubt about PPE lets its credit through": (
        hazards.HazardRater,
        "_ppe_counts",
        staticmethod(lambda rule, values: rule.no_ppe_credit is None or rule.no_ppe_credit.test(values) != YES),
        checks.doubt_about_ppe_bars_its_credit,
    ),
    "8: a check that is due counts as expected": (
        reading.Reading,
        "_value_if_asked",
        _as_expected_for_ever,
        checks.a_due_question_counts_as_open,
    ),
    "8: an open question stays pending at its own hold point": (
        reading,
        "status_if_asked",
        lambda *_: Status.PENDING,
        checks.a_due_question_counts_as_open,
    ),
    "8: pending checks let the mildest verdict pass": (
        assess,
        "conditions",
        _without_pending,
        alone(checks.no_stop_found_means_nothing_is_open),
    ),
}


@contextmanager
def sabotaged(place: Any, name: str, replacement: Any) -> Iterator[None]:
    """The program with one function replaced."""
    with patch.object(place, name, replacement):
        yield


@pytest.mark.parametrize("fault", FAULTS)
def test_the_fault_is_caught(fault: str) -> None:
    place, name, replacement, check = FAULTS[fault]

    @given(st.data(), samples())
    @settings(
        max_examples=1500,
        phases=[Phase.generate],
        database=None,
        deadline=None,
        derandomize=True,
        report_multiple_bugs=False,
        suppress_health_check=list(HealthCheck),
    )
    def run(data: st.DataObject, sample: Sample) -> None:
        check(data, sample)

    with sabotaged(place, name, replacement), pytest.raises(AssertionError):
        run()
