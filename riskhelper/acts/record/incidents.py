"""Report an incident at a job, close its inquiry: while one is open nothing of the job is destroyed."""

from __future__ import annotations

from riskhelper.acts.context import MOST_WORDS, Context, checked_words
from riskhelper.acts.job.jobs import unknown_job
from riskhelper.acts.register.signing import Signing, append_signed, moment, site
from riskhelper.permit.persons import SAFETY_OFFICER
from riskhelper.record.canonical import Content
from riskhelper.record.entries import CLOSE_INCIDENT, REPORT_INCIDENT, Entry


def report(context: Context, job: str, what: str) -> Entry:
    """Saves that something happened at a job; anybody may."""
    words = checked_words("What happened", what, MOST_WORDS)
    if job not in context.store.jobs():
        raise context.refused(REPORT_INCIDENT, "number", unknown_job(context, job))
    if not words:
        raise context.refused(REPORT_INCIDENT, "empty", "Write what happened, in a sentence")
    return context.append(job, REPORT_INCIDENT, {"what": words})


def close(signing: Signing, job: str, outcome: str) -> int:
    """Signs that the inquiry into every incident of a job is over; gives how many were open."""
    context, found = signing.context, site(signing.context)
    words = checked_words("The outcome", outcome, MOST_WORDS)
    lacking = signing.person.lack(SAFETY_OFFICER, "", 0, moment(context, found))
    if signing.role != SAFETY_OFFICER or lacking:
        raise context.refused(
            CLOSE_INCIDENT, "role", f"An inquiry is closed in the role {SAFETY_OFFICER}. {lacking}".strip()
        )
    open_ones = [where for where, each in found.incidents.get(job, {}).items() if each.closed is None]
    if not open_ones or not words:
        lack = "No incident is open on this job" if not open_ones else "Write the outcome of the inquiry"
        raise context.refused(CLOSE_INCIDENT, "not possible", lack)
    for log, number in open_ones:
        content: dict[str, Content] = {"log": log, "entry": number, "outcome": words}
        append_signed(context, signing.hand, job, signing.role, CLOSE_INCIDENT, content, context.store.size())
    return len(open_ones)
