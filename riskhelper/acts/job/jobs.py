"""Open a job, list jobs, take one up again, hand its plan over."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from riskhelper import __version__
from riskhelper.acts.context import MOST_NAME, Context, checked_words
from riskhelper.evidence import Job
from riskhelper.permit import course
from riskhelper.record.canonical import Content
from riskhelper.record.contents import NotReadable
from riskhelper.record.entries import OPEN, PERMIT, REHEARSE, REQUEST_PLAN, SET_UP_REGISTER, log_name
from riskhelper.record.moments import NotAMoment
from riskhelper.record.replay import History, replayed
from riskhelper.ruleset.faults import nearest_name
from riskhelper.store.sqlite import StoreFault

if TYPE_CHECKING:
    from riskhelper.ruleset.model import RuleSet

_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._/-]{0,39}")
RULED = PERMIT + "rule"
_COUNTED = re.compile(r"(\d{4})((?:-[a-z]+)?)-(\d+)")


@dataclass(frozen=True, slots=True)
class OpenJob:
    """Input: the number (empty: the next one) and the local code, fixed from here on."""

    local_code: str
    number: str = ""


PLAN_DECIDED = {
    course.REQUEST: "permit asked for",
    course.EVALUATE: "plan evaluated",
    course.APPROVE: "plan APPROVED",
    course.RETURN: "plan GIVEN BACK",
    course.REFUSE: "plan REFUSED",
}


@dataclass(frozen=True, slots=True)
class JobLine:
    """One job in a list."""

    number: str
    local_code: str
    opened: datetime
    last: datetime
    answers: int
    plan: str
    """What became of its plan, in words; empty while it is not handed over."""


@dataclass(frozen=True)
class JobState:
    """A job as it stands: its history and the rules it was opened under."""

    history: History
    rules: RuleSet

    @property
    def job(self) -> Job:
        """What an assessment reads."""
        return self.history.job

    @property
    def number(self) -> str:
        """Its number."""
        return self.history.job.number

    @property
    def rules_changed(self) -> tuple[str, ...]:
        """Parts of the rule set that differ from those the job was opened under."""
        was = {part.name: part.digest for part in self.history.parts}
        now = {part.name: part.digest for part in self.rules.parts}
        return tuple(sorted(name for name in was | now if was.get(name) != now.get(name)))

    def paused(self, now: datetime) -> timedelta:
        """Time since the latest entry; none where the clock was set back."""
        return max(now - self.history.last, timedelta(0))


def open_job(context: Context, given: OpenJob) -> JobState:
    """Opens a job under a local code, which stays fixed."""
    known = context.store.jobs()
    number = checked_words("The job number", given.number, MOST_NAME) or _next_number(
        known, _mark(context), context.clock()
    )
    if not _NUMBER.fullmatch(number):
        raise context.refused(
            OPEN,
            "number",
            f"Job number `{number}`: use letters, digits, blanks and . _ / - , at most 40, a letter or digit first",
        )
    if number in known:
        raise context.refused(
            OPEN, "number", f"Job `{number}` is open already. Take it up again, or choose another number"
        )
    if given.local_code not in context.local_codes:
        raise context.refused(OPEN, "local code", unknown_local_code(context, given.local_code))
    rules = context.rules(given.local_code)
    parts: list[Content] = [
        {"name": part.name, "number": str(part.number), "digest": part.digest} for part in rules.parts
    ]
    context.append(
        number,
        OPEN,
        {
            "local_code": given.local_code,
            "rules": parts,
            "rehearsal": context.rehearsal,
            "program": __version__,
        },
    )
    return resume_job(context, number)


def unknown_local_code(context: Context, code: str) -> str:
    """The words for a local code nobody knows, or none given."""
    known = ", ".join(f"`{name}`" for name in sorted(context.local_codes))
    if not code:
        return f"A job is opened under a local code; known are {known}. Name one: the site tells which applies"
    hint = nearest_name(code, context.local_codes)
    return f"Local code `{code}` is not known; known are {known}." + (f" Did you mean `{hint}`?" if hint else "")


def resume_job(context: Context, number: str) -> JobState:
    """The job of that number as it stands."""
    if number not in context.store.jobs():
        raise context.refused("resume", "number", unknown_job(context, number))
    history = _history(context, number)
    rules = context.rules(history.job.local_code)
    if any(entry.draft.act == RULED for entry in history.counting):
        from riskhelper.acts.plan.plan_signed import rulings_of  # it reads jobs; most jobs hold no ruling
        from riskhelper.acts.register.signing import site

        permits = [permit for permit in site(context).permits.values() if permit.job == number]
        history = replace(history, job=replace(history.job, rulings=rulings_of(rules, permits)))
    return JobState(history, rules)


def unknown_job(context: Context, number: str) -> str:
    """The words for a job number nobody knows."""
    hint = nearest_name(number, context.store.jobs())
    return f"No job `{number}` in this store." + (
        f" Did you mean `{hint}`?" if hint else " Open it first, or look at the list of jobs"
    )


def list_jobs(context: Context) -> tuple[JobLine, ...]:
    """Every job, the one worked on last first."""
    lines = []
    counts = PERMIT if context.store.marks((SET_UP_REGISTER,)) else REHEARSE
    for number in context.store.jobs():
        history = _history(context, number)
        lines.append(
            JobLine(
                number=number,
                local_code=history.job.local_code,
                opened=history.opened,
                last=history.last,
                answers=len(history.job.answers),
                plan=_plan_words(history, counts),
            )
        )
    return tuple(sorted(lines, key=lambda line: line.last, reverse=True))


def _plan_words(history: History, counts: str) -> str:
    """What became of the plan of a job: handed over, then what was done on it last and by whom; `counts` begins the
    acts that count here, signed or rehearsed."""
    if not history.plan_requested:
        return ""
    for entry in reversed(history.counting):
        name = entry.draft.act.removeprefix(counts)
        if name != entry.draft.act and name in PLAN_DECIDED:
            return f"{PLAN_DECIDED[name]} by {entry.draft.who}"
    return "plan handed over"


def request_plan(context: Context, number: str, milestone: str) -> JobState:
    """Hands the plan over to be read: from here on nothing earlier can be taken back."""
    state = resume_job(context, number)
    if state.history.plan_requested:
        raise context.refused(REQUEST_PLAN, "twice", f"The plan of job `{number}` was handed over already")
    context.append(number, REQUEST_PLAN, {"milestone": milestone, "after_entry": state.history.last_number})
    return resume_job(context, number)


def _history(context: Context, number: str) -> History:
    try:
        return replayed(context.store.entries(number))
    except (NotReadable, NotAMoment) as fault:
        raise StoreFault(f"Job `{number}`: {fault}") from fault


def _mark(context: Context) -> str:
    """What keeps job numbers of several stores apart: the first word of this store's name, once there are others."""
    return f"-{log_name(context.store.log).partition('-')[0]}" if context.store.carried() else ""


def _next_number(known: tuple[str, ...], mark: str, now: datetime) -> str:
    year = f"{now.year:04d}"
    found = [match for number in known if (match := _COUNTED.fullmatch(number))]
    taken = [int(match[3]) for match in found if (match[1], match[2]) == (year, mark)]
    return f"{year}{mark}-{max(taken, default=0) + 1:04d}"
