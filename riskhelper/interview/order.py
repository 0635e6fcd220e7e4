"""What is asked, in the order of the walk; what comes next; what a change would take away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from riskhelper.evidence import Answer, Job
from riskhelper.facts import Reading
from riskhelper.facts.status import is_stale
from riskhelper.ruleset.meaning import CANNOT_TELL
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Status


def statuses(rules: RuleSet, job: Job, milestone: str, now: datetime) -> Mapping[str, Status]:
    """Status of every question, in the order of the walk."""
    reading = Reading(rules, job, milestone, now, if_held=False)
    return {name: reading.status(name) for name in rules.questions}


def due_now(rules: RuleSet, job: Job, milestone: str, now: datetime) -> tuple[str, ...]:
    """Questions asked at or before a milestone, whether answered or not."""
    position = rules.positions[milestone]
    found = statuses(rules, job, milestone, now)
    return tuple(
        name
        for name, status in found.items()
        if status is not Status.NOT_ASKED and rules.due_positions[name] <= position
    )


def about_how_many(rules: RuleSet, job: Job, milestone: str, now: datetime) -> int:
    """How many questions there will be about: those that are asked, and half of those nobody can tell yet."""
    reading = Reading(rules, job, milestone, now, if_held=False)
    asked = {name: reading.asked(name) for name in due_now(rules, job, milestone, now)}
    open_ones = sum(1 for name, told in asked.items() if told == CANNOT_TELL and name not in job.answers)
    return len(asked) - open_ones // 2


def next_question(rules: RuleSet, job: Job, milestone: str, now: datetime) -> str | None:
    """The first question due that nobody has dealt with: no answer yet, or an answer that has aged.

    A question answered "not known" is dealt with until it is asked for again by name.
    """
    for name in due_now(rules, job, milestone, now):
        answer = job.answers.get(name)
        if answer is None or is_stale(rules.questions[name], answer, now):
            return name
    return None


def stale(rules: RuleSet, job: Job, now: datetime) -> tuple[str, ...]:
    """Answers older than their life, in the order of the walk."""
    return tuple(
        name
        for name, question in rules.questions.items()
        if name in job.answers and is_stale(question, job.answers[name], now)
    )


def falls_away(
    rules: RuleSet, job: Job, milestone: str, now: datetime, question: str, answer: Answer
) -> tuple[str, ...]:
    """Questions with an answer that would no longer be asked after a change. Their answers are kept."""
    changed = replace(job, answers={**job.answers, question: answer})
    before, after = statuses(rules, job, milestone, now), statuses(rules, changed, milestone, now)
    return tuple(
        name
        for name in job.answers
        if name != question and before.get(name) is not Status.NOT_ASKED and after.get(name) is Status.NOT_ASKED
    )


def too_early(rules: RuleSet, name: str, milestone: str) -> bool:
    """Whether a question belongs to a hold point not yet reached and cannot be seen before it."""
    later = rules.due_positions[name] > rules.positions[milestone]
    at_hold_point = rules.questions[name].asked_at in rules.hold_points
    return later and at_hold_point and not rules.questions[name].early
