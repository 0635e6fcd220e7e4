"""Why a stop fires, read aloud: sentences a worker understands, with the value that decides."""

from __future__ import annotations

import re

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment
from tests.content.shipped import NOW, job_of, rules


def assessed(name: str) -> Assessment:
    case = rules().cases[name]
    return assess(rules(case.local), job_of(case), case.at, NOW)


# Written by hand from the answers of each case.
@pytest.mark.parametrize(
    ("case", "stop", "begins", "says"),
    [
        ("basement_sealed_unit", "live.too_close", "Left over beyond the no-closer distance is minus 1.58", "0 m"),
        (
            "basement_sealed_unit",
            "oil.dead_suction",
            "Pressure at the valve",
            "minus 0.7 kPa: that is at or below 0 kPa",
        ),
        ("basement_sealed_unit", "emergency.fire_system", "Has the owner agreed", "The answer is: Not agreed"),
        ("cavern_back_feed", "isolation.back_feed", "One line each", "A station-service winding or supply"),
        ("cavern_back_feed", "oil.open_drain", "Can ", "The answer is: It cannot"),
        ("dockside_grinding_near", "oil.flame_near_oil", "How far away is the", "(10.7 m)"),
        ("dockside_grinding_near", "oil.thread_mismatch", "This does not hold: valve and adapter", "60 degrees"),
    ],
)
def test_a_stop_says_why_in_a_sentence_with_the_value_that_decides(
    case: str, stop: str, begins: str, says: str
) -> None:
    finding = next(found for found in assessed(case).stops if found.id == stop)
    said = [reason.because for reason in finding.reasons]

    assert any(begins in words and says in words[words.index(begins) :] for words in said), said


@pytest.mark.parametrize(
    ("case", "stop", "figure"),
    [
        ("basement_sealed_unit", "live.too_close", "live.margin_m"),
        ("basement_sealed_unit", "oil.dead_suction", "oil.p_after_kpa"),
    ],
)
def test_a_stop_names_the_calculated_figure_that_decides(case: str, stop: str, figure: str) -> None:
    finding = next(found for found in assessed(case).stops if found.id == stop)

    assert figure in {name for reason in finding.reasons for name in reason.facts}


@pytest.mark.parametrize("case", sorted(rules().cases))
def test_no_reason_and_no_working_shows_an_id_or_an_expression(case: str) -> None:
    found = assessed(case)
    said = [reason.because for stop in (*found.stops, *found.later_stops) for reason in stop.reasons]
    said += [words for quantity in found.quantities for words in (quantity.working, quantity.relation)]
    ids = {*rules().questions, *rules().facts, *rules().limits}

    assert said
    for words in said:
        assert not [name for name in re.findall(r"[a-z]+\.[a-z_]+", words) if name in ids]
        assert "==" not in words
