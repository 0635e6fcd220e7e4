"""When a plan counts as work on exposed live parts, under the shipped rules: when it says so, or does not say."""

from __future__ import annotations

import pytest

from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.plan.live_plan import live_grounds
from riskhelper.evidence import Answer, Job
from riskhelper.record.replay import History
from tests.content.shipped import NOW, rules

PARTS = ("mount", "oil", "wire", "comms", "alarms", "remove")


def grounds(code: str, scope: str, cover_live: str | None) -> dict[str, str] | None:
    answers = {"job.scope": Answer({part: "yes" if part == scope else "no" for part in PARTS})}
    if cover_live is not None:
        answers["mains.cover_live"] = Answer(cover_live)
    history = History(Job(answers), NOW, NOW, 1, (), (), (), plan_requested=True)
    return live_grounds(JobState(history, rules(code)), NOW)


@pytest.mark.parametrize("cover_live", ["yes", None])
def test_a_cover_off_over_live_parts_asks_for_a_ground_also_where_nobody_knows(cover_live: str | None) -> None:
    """CTL-04: 29 CFR 1910.333(a)(1) lists two grounds, WHS Regulation 2011 (NSW) 157(1) four (published)."""
    us, en, none = (grounds(code, "wire", cover_live) for code in ("us269", "en50110", "none"))

    assert us is not None
    assert en is not None
    assert (len(us), len(en), none) == (2, 4, {})


def test_a_plan_that_works_dead_or_wires_nothing_asks_for_none() -> None:
    assert grounds("us269", "wire", "no") is None
    assert grounds("us269", "oil", "yes") is None
