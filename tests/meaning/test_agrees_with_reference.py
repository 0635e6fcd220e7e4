"""The program says what the slow reference says, on generated rule sets and jobs."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings

from tests.meaning import generate, oracle
from tests.meaning.outcome import assessed, plain


def referred(sample: generate.Sample) -> dict[str, Any]:
    """What the reference says, in the form both are compared in."""
    rules = oracle.gathered(sample.text.files)
    outcome = oracle.assess(rules, sample.job, sample.milestone, generate.NOW)
    for hazard in outcome["hazards"].values():
        del hazard["residual"]
    return outcome


@given(generate.samples())
@settings(max_examples=200, deadline=None)
def test_program_and_reference_agree_on_every_part_of_the_outcome(sample: generate.Sample) -> None:
    assert plain(assessed(sample)) == referred(sample)


@pytest.mark.slow
@given(generate.samples())
@settings(max_examples=1000, deadline=None)
def test_program_and_reference_agree_on_many_more(sample: generate.Sample) -> None:
    assert plain(assessed(sample)) == referred(sample)
