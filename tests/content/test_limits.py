"""Every limit at its figure, just below and just above, from the answers that hazard and stop read and no others.

The rows stand in `rules/cases/limits.toml` and were worked by hand; each names the source of its limit.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment
from riskhelper.review.cases import varied_job
from riskhelper.ruleset.entries import EdgeEntry
from riskhelper.terms import Truth
from tests.content.shipped import NOW, rules

EDGES = rules().edges


def rows() -> Iterator[Any]:
    """Each row of each edge under a name that can be read."""
    for edge in EDGES:
        for row in edge.rows:
            yield pytest.param(edge, row, id=f"{edge.name} [{row[0]}]")


def assessed(edge: EdgeEntry, value: object) -> Assessment:
    return assess(rules(edge.local), varied_job(rules(edge.local), edge, value), edge.at, NOW)


@pytest.mark.parametrize(("edge", "row"), list(rows()))
def test_a_hazard_has_its_levels_on_each_side_of_a_limit(edge: EdgeEntry, row: tuple[Any, ...]) -> None:
    value, *expected = row

    found = [h for h in assessed(edge, value).hazards if h.id == edge.hazard]

    if not expected:
        assert found == []
        return
    assert [(h.as_found.likelihood, h.as_found.severity) for h in found] == [tuple(expected[:2])]
    assert [h.applies for h in found] == [Truth.YES]


@pytest.mark.parametrize(("edge", "row"), [p for p in rows() if p.values[0].stop and len(p.values[1]) > 1])
def test_a_stop_fires_on_its_side_of_a_limit_only(edge: EdgeEntry, row: tuple[Any, ...]) -> None:
    value, fires = row[0], row[3]

    stops = {stop.id for stop in assessed(edge, value).stops}

    assert (edge.stop in stops) is fires


def test_every_edge_names_its_source_and_has_both_sides() -> None:
    for edge in EDGES:
        assert edge.source, edge.name
        outcomes = {tuple(row[1:]) for row in edge.rows}
        assert len(outcomes) > 1 or "any distance" in edge.name, edge.name
