"""EIP-01: the written plan of isolation, row by row, from the rule set to the paper and the guard."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.permit.permit_papers import DrawPermit, document
from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job
from riskhelper.paper.text import to_text
from riskhelper.ruleset.entries import ISOLATION_PARTS
from riskhelper.statement.header import Header
from riskhelper.statement.isolation import NOT_WRITTEN, isolation_sheet
from riskhelper.statement.permit_sheet import CopyShown
from riskhelper.terms import APPROVAL
from tests.acts import small_rules
from tests.acts.test_permits import did, drawn_up
from tests.content.shipped import NOW, rules

ROW = """
[[isolation_row]]
point = "Feeder"
if = "True"
device = "links out"
proved_by = "detector, source before and after"
purpose = "keeps mains off the pump"
shut_down = "pump stopped at its board"
secured = "lock and tag"
by = "isolator"
"""
ANSWERS = {
    "plant.tx_during": Answer("isolated_earthed"),
    "job.scope": Answer({"mount": "yes", "oil": "yes", "wire": "yes"}),
}


def test_every_row_of_the_shipped_plan_says_every_part() -> None:
    """29 CFR 1910.147(c)(4)(ii) (published); what each row says is common practice."""
    shipped = rules("en50110")

    assert len(shipped.isolation_rows) == 19
    assert [row.point for row in shipped.isolation_rows if row.gaps] == []


def test_the_paper_shows_each_part_and_who_places_removes_and_hands_on() -> None:
    shipped, job = rules("en50110"), Job(ANSWERS)
    text = " ".join(
        to_text(isolation_sheet(shipped, job, assess(shipped, job, APPROVAL, NOW), Header(), NOW)).split()
    )
    (row,) = (row for row in shipped.isolation_rows if row.point == "High-voltage side")

    for words in (row.purpose, row.shut_down, row.device, row.secured):
        assert words.split(",")[0] in text
    assert "Who places and removes" in text
    assert "Switching person to switching person" in text
    assert NOT_WRITTEN not in text


def test_a_part_left_out_stands_as_a_gap_on_the_paper() -> None:
    shipped, job = rules("en50110"), Job(ANSWERS)
    rows = tuple(row.model_copy(update={"secured": ""}) for row in shipped.isolation_rows)
    gapped = replace(shipped, isolation_rows=rows)
    text = " ".join(to_text(isolation_sheet(gapped, job, assess(shipped, job, APPROVAL, NOW), Header(), NOW)).split())

    assert f"Secure: {NOT_WRITTEN}" in text


@pytest.mark.parametrize("whole", [True, False])
def test_nobody_begins_to_isolate_on_a_row_with_a_gap(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, whole: bool
) -> None:
    """EIP-01: the guard names row and part."""
    row = ROW + ('transferred = "isolator to isolator"\n' if whole else "")
    monkeypatch.setitem(small_rules.FILES, "steps.toml", small_rules.STEPS + row)
    made = drawn_up(tmp_path)
    for role, act in (("requester", "request"), ("evaluator", "evaluate"), ("issuer", "approve")):
        did(made, role, act)
    paper = to_text(document(made.bench, DrawPermit("7/1", "points", Path()), CopyShown()))
    if whole:
        assert did(made, "isolator", "isolate").points_touched
        assert "isolator to isolator" in " ".join(paper.split())
        assert NOT_WRITTEN not in paper
    else:
        with pytest.raises(Refused, match=f"Feeder does not say {ISOLATION_PARTS['transferred']}"):
            did(made, "isolator", "isolate")
        assert NOT_WRITTEN in " ".join(paper.split())
