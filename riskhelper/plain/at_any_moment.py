"""What works at every prompt of the plain lines: stop the work, the emergency card, the leak card."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import stopping
from riskhelper.acts.job.assessing import assess_job
from riskhelper.acts.job.cards import emergency_lines, leak_card_lines, stop_lines, stop_without_job
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.job.site_details import site_header
from riskhelper.plain.lines import Lines

STOP, EMERGENCY, LEAK = "stop", "emergency", "leak"
SAYS = "At every prompt: stop stops the work at once; emergency and leak tell the cards."


def listening(context: Context, lines: Lines, number: str = "", milestone: str = "") -> Lines:
    """The same lines, which do these three whatever is asked; with a job for that job."""
    calm = replace(lines, always={})
    acts: Mapping[str, Callable[[], None]] = {
        STOP: partial(_stop, context, calm, number, milestone) if number else partial(calm.say, *stop_without_job()),
        EMERGENCY: partial(_emergency, context, calm, number, milestone),
        LEAK: partial(_leak, context, calm, number, milestone),
    }
    said = {lines.in_language(word.upper()).casefold(): act for word, act in acts.items()}
    return replace(lines, always={**acts, **said})


def stopped_words(context: Context, number: str) -> tuple[str, ...]:
    """That a stop stands on a job, if one does."""
    stop = stopping.standing_stop(resume_job(context, number).history)
    return (f"WORK STOPPED {stop.at:%H:%M}. Only the issuer ends it.",) if stop is not None else ()


def _stop(context: Context, lines: Lines, number: str, milestone: str) -> None:
    """Saves the stop first; who and why may follow."""
    stopping.stop_work(context, number, milestone)
    lines.say("", *stopped_words(context, number), *stop_lines())
    who = lines.ask("Who called the stop? Enter alone leaves it open:")
    why = lines.ask("Why? Enter alone leaves it open:")
    if who or why:
        try:
            stopping.tell_stop(context, number, who, why)
        except Refused as refusal:
            lines.say(f"{refusal}. The stop itself is saved.")
    lines.say("")


def _emergency(context: Context, lines: Lines, number: str, milestone: str) -> None:
    if not number:
        lines.say("", *emergency_lines(None, None, context.header), "")
        return
    state, assessment = assess_job(context, number, milestone)
    lines.say("", *emergency_lines(state, assessment, site_header(context, state)), "")


def _leak(context: Context, lines: Lines, number: str, milestone: str) -> None:
    lines.say("", *leak_card_lines(assess_job(context, number, milestone)[1] if number else None), "")
