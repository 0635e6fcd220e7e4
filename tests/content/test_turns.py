"""Every stop turned by one answer: it fires, it just does not, and what it does when nobody knows.

The turns stand in `rules/cases/turns.toml`, written by hand from the sentence of each stop.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.review.cases import varied_job
from riskhelper.ruleset.entries import TurnEntry
from tests.content.shipped import NOW, rules

TURNS = rules().turns


def fires(turn: TurnEntry, value: object) -> bool:
    rule_set = rules(turn.local)
    return turn.stop in {stop.id for stop in assess(rule_set, varied_job(rule_set, turn, value), turn.at, NOW).stops}


def rows() -> Iterator[Any]:
    """Each answer of each turn under a name that can be read."""
    for turn in TURNS:
        for value in turn.fires:
            yield pytest.param(turn, value, True, id=f"{turn.stop}: {turn.vary} = {value}")
        for value in turn.silent:
            yield pytest.param(turn, value, False, id=f"{turn.stop}: {turn.vary} = {value}, silent")
        yield pytest.param(turn, None, turn.not_known == "fires", id=f"{turn.stop}: {turn.vary} not known")


@pytest.mark.parametrize(("turn", "value", "expected"), list(rows()))
def test_one_answer_turns_a_stop(turn: TurnEntry, value: object, expected: bool) -> None:
    assert fires(turn, value) is expected
