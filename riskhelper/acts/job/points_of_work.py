"""The points of the work at which questions are asked: the gate, the approval, each hold point, with what is open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.job.jobs import JobState
from riskhelper.facts.reading import holds
from riskhelper.interview.order import stale, statuses
from riskhelper.terms import APPROVAL, GATE, Status, Truth

EARLY_WORDS = {GATE: "GATE", APPROVAL: "APPROVAL OF THE PLAN"}


@dataclass(frozen=True, slots=True)
class PointOfWork:
    """A point the work can have come to: its name, its words, and the questions asked there that are open."""

    name: str
    words: str
    open: tuple[str, ...]


def points_of_work(state: JobState, now: datetime) -> tuple[PointOfWork, ...]:
    """The points of this job from the gate on; a hold point that its work surely does not have is left out."""
    rules, job = state.rules, state.job
    found = statuses(rules, job, rules.milestones[-1], now)
    answered = set(job.answers) - set(stale(rules, job, now))
    open_ = [q for q, status in found.items() if status is not Status.NOT_ASKED and q not in answered]
    points = []
    for name in rules.milestones[rules.positions[GATE] :]:
        point = rules.hold_points.get(name)
        if point is not None and point.if_ and holds(rules, job, point.if_, name, now) is Truth.NO:
            continue
        waiting = tuple(q for q in open_ if rules.questions[q].asked_at == name)
        points.append(PointOfWork(name, point_words(state, name), waiting))
    return tuple(points)


def point_words(state: JobState, name: str) -> str:
    """A point of the work in the words it has on the papers."""
    point = state.rules.hold_points.get(name)
    return point.words if point is not None else EARLY_WORDS.get(name, name.upper())
