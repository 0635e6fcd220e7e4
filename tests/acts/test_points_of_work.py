"""The points of the work a sitting can stand at, with what is open at each."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.job.points_of_work import points_of_work
from riskhelper.interview.order import due_now
from tests.acts.crew import crew, ready_job


def test_each_hold_point_of_the_job_is_offered_with_the_questions_asked_there(tmp_path: Path) -> None:
    made = crew(tmp_path)
    ready_job(made)
    state, now = resume_job(made.bench, "7"), made.bench.clock()
    points = {point.name: point for point in points_of_work(state, now)}

    assert list(points)[:2] == ["gate", "approval"]
    assert set(points) - {"gate", "approval"} <= set(state.rules.hold_points)
    assert points["gate"].open == ()
    open_anywhere = {q for point in points.values() for q in point.open}
    assert open_anywhere
    assert open_anywhere == set(due_now(state.rules, state.job, state.rules.milestones[-1], now)) - set(
        state.job.answers
    )
