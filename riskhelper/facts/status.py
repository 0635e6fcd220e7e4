"""The status of each answer: given, not known, pending, not asked; and which answers have aged."""

from __future__ import annotations

from datetime import datetime, timedelta

from riskhelper.evidence import Answer, Job
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.terms import EARLY_MILESTONES, Status


def is_stale(question: QuestionEntry, answer: Answer, now: datetime) -> bool:
    """Whether an answer is older than the life of its question. An answer without a moment counts as of now."""
    if question.life_min is None or answer.at is None:
        return False
    return now - answer.at > timedelta(minutes=question.life_min)


def status_if_asked(question: QuestionEntry, answer: Answer | None, due: bool, now: datetime) -> Status:
    """Status of a question that is asked or may be.

    "Not known" said before a hold point leaves its question pending: there it can still be seen.
    """
    if answer is not None and answer.is_known and not is_stale(question, answer, now):
        return Status.GIVEN
    said_so = answer is not None and not answer.is_known and question.asked_at in EARLY_MILESTONES
    return Status.NOT_KNOWN if due or said_so else Status.PENDING


def usable(job: Job, question: QuestionEntry, name: str, now: datetime) -> Answer | None:
    """The answer that counts, if there is one."""
    answer = job.answers.get(name)
    if answer is None or not answer.is_known or is_stale(question, answer, now):
        return None
    return answer
