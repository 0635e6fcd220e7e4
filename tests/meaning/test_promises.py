"""The promises about meaning, each over generated rule sets and jobs. Their saboteurs are in `test_saboteurs.py`."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.meaning import checks
from tests.meaning.generate import Sample, samples
from tests.thoroughness import examples

many = settings(
    max_examples=examples(30),
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)


# 1. What is not known counts at the worst it could be.


@given(st.data(), samples())
@many
def test_no_value_inside_its_range_comes_out_worse_than_shown(data: st.DataObject, sample: Sample) -> None:
    checks.nothing_possible_is_worse_than_shown(data, sample)


@given(st.data(), samples())
@many
def test_an_unknown_filled_in_with_anything_never_makes_it_worse_int_06(data: st.DataObject, sample: Sample) -> None:
    checks.filling_in_never_makes_it_worse(data, sample)


@given(st.data(), samples())
@many
def test_a_pending_check_that_turns_out_as_expected_never_makes_it_worse(data: st.DataObject, sample: Sample) -> None:
    checks.pending_as_expected_never_makes_it_worse(data, sample)


@given(st.data(), samples())
@many
def test_time_that_passes_without_answers_never_makes_it_better(data: st.DataObject, sample: Sample) -> None:
    checks.time_without_answers_never_makes_it_better(data, sample)


# 2. A stop wins over everything; one that cannot be ruled out names the answer that would rule it out.


@given(st.data(), samples())
@many
def test_a_stop_wins_over_everything_and_names_what_would_rule_it_out_sco_07(
    data: st.DataObject, sample: Sample
) -> None:
    checks.a_stop_wins_and_names_its_answer(data, sample)


# 3. A rule that cannot be evaluated is a stop, and a defect.


@given(st.data(), samples())
@many
def test_a_rule_that_cannot_be_evaluated_is_a_stop_and_a_defect(data: st.DataObject, sample: Sample) -> None:
    checks.what_cannot_be_evaluated_stops(data, sample)


# 4. Adding, repeating or reordering entries never lowers a rating.


@given(st.data(), samples())
@many
def test_order_and_repetition_of_entries_change_nothing(data: st.DataObject, sample: Sample) -> None:
    checks.order_and_repetition_change_nothing(data, sample)


@given(st.data(), samples())
@many
def test_an_added_entry_never_lowers_a_level(data: st.DataObject, sample: Sample) -> None:
    checks.adding_never_lowers(data, sample)


# 6. The reasons shown are exactly the entries that decide; every number carries its papers.


@given(samples())
@many
def test_the_reasons_shown_are_the_entries_that_decide(sample: Sample) -> None:
    checks.reasons_are_the_entries_that_decide(sample)


@given(samples())
@many
def test_every_number_shown_carries_unit_relation_inputs_and_source(sample: Sample) -> None:
    checks.every_number_carries_its_papers(sample)


# 7. No credit without evidence; weak controls alone clear nothing.


@given(samples())
@many
def test_a_plan_is_not_evidence(sample: Sample) -> None:
    checks.no_credit_without_evidence(sample)


@given(st.data(), samples())
@many
def test_more_evidence_never_makes_it_worse(data: st.DataObject, sample: Sample) -> None:
    checks.more_evidence_never_makes_it_worse(data, sample)


@given(samples())
@many
def test_administrative_controls_and_ppe_alone_never_clear_a_serious_hazard(sample: Sample) -> None:
    checks.weak_controls_alone_clear_nothing(sample)


@given(samples())
@many
def test_administrative_evidence_needs_a_second_person(sample: Sample) -> None:
    checks.evidence_needs_a_second_person(sample)


@given(st.data(), samples())
@many
def test_ppe_gives_no_credit_where_it_may_be_barred(data: st.DataObject, sample: Sample) -> None:
    checks.doubt_about_ppe_bars_its_credit(data, sample)


# 8. No hold point is passed with one of its own questions open.


@given(st.data(), samples())
@many
def test_at_its_hold_point_an_open_question_counts_as_open_and_not_as_expected(
    data: st.DataObject, sample: Sample
) -> None:
    checks.a_due_question_counts_as_open(data, sample)


@given(samples())
@many
def test_no_stop_found_is_said_only_where_nothing_is_open(sample: Sample) -> None:
    checks.no_stop_found_means_nothing_is_open(sample)
