"""The columns say what the slow reference says, on generated rule sets and jobs, unknown and pending too."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskhelper.office.answer_columns import PastJob, columns_of
from riskhelper.office.figures_kept import KeptFigures
from riskhelper.office.judging import OUT_OF_PLAY, judged
from riskhelper.terms import Verdict
from tests.meaning import generate, oracle
from tests.meaning.outcome import loaded
from tests.thoroughness import examples

Text = tuple[generate.RuleText, str, list[Any]]


@st.composite
def many(draw: Any) -> Text:
    """A rule set, a milestone and several jobs of one local code."""
    text = draw(generate.rule_texts())
    milestone = draw(st.sampled_from(generate.MILESTONES))
    jobs = draw(st.lists(generate.jobs(text, milestone), min_size=1, max_size=6))
    return text, milestone, [one for one in jobs if one.local_code == jobs[0].local_code]


def cell(column: Any, row: int) -> Any:
    return (column if getattr(column, "ndim", 0) == 0 else column[row]).item()


def in_columns(text: generate.RuleText, milestone: str, jobs: list[Any]) -> list[dict[str, Any]]:
    """What the columns say of each job."""
    rules = loaded(text, jobs[0].local_code)
    columns = columns_of(rules, [PastJob(job, generate.NOW) for job in jobs])
    found = judged(rules, columns, milestone, KeptFigures())
    bands = [band.id for band in rules.matrix.bands]
    assert not found.broken
    outcomes = []
    for row in range(len(jobs)):
        in_play = {name: h for name, h in found.hazards.items() if cell(h.band, row) != OUT_OF_PLAY}
        outcomes.append(
            {
                "verdict": Verdict(cell(found.verdict, row)).words,
                "stops": {name for name, flags in found.stops.items() if cell(flags, row)},
                "hazards": {
                    name: (cell(h.likelihood, row), cell(h.severity, row), bands[cell(h.band, row)])
                    for name, h in in_play.items()
                },
            }
        )
    return outcomes


def referred(text: generate.RuleText, milestone: str, job: Any) -> dict[str, Any]:
    """What the reference says of a job, in the same form."""
    outcome = oracle.assess(oracle.gathered(text.files), job, milestone, generate.NOW)
    return {
        "verdict": outcome["verdict"],
        "stops": set(outcome["stops"]),
        "hazards": {
            name: (*hazard["as_found"][:2], hazard["residual"][2]) for name, hazard in outcome["hazards"].items()
        },
    }


def check(text: generate.RuleText, milestone: str, jobs: list[Any]) -> None:
    assert in_columns(text, milestone, jobs) == [referred(text, milestone, job) for job in jobs]


@given(many())
@settings(max_examples=examples(150), deadline=None)
def test_columns_and_reference_agree(sample: Text) -> None:
    check(*sample)


@pytest.mark.slow
@given(many())
@settings(max_examples=800, deadline=None)
def test_columns_and_reference_agree_on_many_more(sample: Text) -> None:
    check(*sample)
