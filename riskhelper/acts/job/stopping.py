"""Stop the work at once; who called it and why may follow; the issuer's word ends it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.context import MOST_NAME, MOST_WORDS, Context, checked_words
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.register.signing import site
from riskhelper.record.canonical import Content
from riskhelper.record.contents import text_of
from riskhelper.record.entries import END_STOP, STOP_WORK, TELL_STOP, Entry
from riskhelper.record.replay import History


@dataclass(frozen=True, slots=True)
class StandingStop:
    """A stop called by a person that nobody has ended."""

    entry: int
    at: datetime
    called_by: str = ""
    reason: str = ""


def stop_work(context: Context, job: str, milestone: str) -> Entry:
    """Saves the stop. It needs nothing else: no name, no reason, no rule set, and is refused never."""
    return context.append(job, STOP_WORK, {"milestone": milestone})


def tell_stop(context: Context, job: str, called_by: str, reason: str) -> Entry:
    """Saves who called the stop and why."""
    name = checked_words("The name", called_by, MOST_NAME)
    why = checked_words("The reason", reason, MOST_WORDS)
    if not name and not why:
        raise context.refused(TELL_STOP, "empty", "Type who called the stop, or why. The stop itself is saved")
    return context.append(job, TELL_STOP, {"called_by": name, "reason": why})


def end_stop(context: Context, job: str, ended_by: str, words: str) -> Entry:
    """Writes down that the issuer has ended the stop, in the issuer's words. Where the job has a permit, the issuer
    signs that on the permit, and words written by somebody else end nothing."""
    content = ended(context, job, ended_by, words)
    if any(permit.job == job and not permit.closed for permit in site(context).permits.values()):
        raise context.refused(
            END_STOP, "signature", "This job has a permit: its issuer ends the stop there, with a signature (F12)"
        )
    return context.append(job, END_STOP, content)


def ended(context: Context, job: str, ended_by: str, words: str) -> Mapping[str, Content]:
    """What is written where a stop is ended; refused where none stands, or without a name and words."""
    if standing_stop(resume_job(context, job).history) is None:
        raise context.refused(END_STOP, "no stop", "No stop is standing on this job; nothing to end")
    name = checked_words("The issuer's name", ended_by, MOST_NAME)
    said = checked_words("The issuer's words", words, MOST_WORDS)
    if not name or not said:
        raise context.refused(END_STOP, "empty", "Type the issuer's name and what the issuer said, word for word")
    return {"ended_by": name, "words": said}


def standing_stop(history: History) -> StandingStop | None:
    """The stop that stands, with what was told about it since."""
    found: StandingStop | None = None
    for entry in history.counting:
        if entry.draft.act == STOP_WORK:
            found = StandingStop(entry.number, entry.moment) if found is None else found
        elif entry.draft.act == TELL_STOP and found is not None:
            found = StandingStop(found.entry, found.at, text_of(entry, "called_by"), text_of(entry, "reason"))
        elif entry.draft.act == END_STOP:
            found = None
    return found
