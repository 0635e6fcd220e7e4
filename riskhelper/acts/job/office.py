"""Answers given in the office: shown with source and date; those a stop reads are picked again at the gate."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState
from riskhelper.evidence import Answer
from riskhelper.facts.status import is_stale
from riskhelper.interview.order import due_now
from riskhelper.interview.reading import readable
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.figures import sentence
from riskhelper.terms import OFFICE

SOURCE = "office"
AGAIN = "a stop reads this: look for yourself first"
DAY = "%d %b %Y %H:%M"


def source_at(milestone: str) -> str:
    """What an answer given at a milestone says about where it comes from."""
    return SOURCE if milestone == OFFICE else ""


def from_office(state: JobState) -> tuple[str, ...]:
    """Questions whose answer that counts was given in the office, in the order of the walk."""
    return tuple(q for q in state.rules.questions if _is_from_office(state, q))


def to_pick_again(context: Context, state: JobState, milestone: str) -> tuple[str, ...]:
    """Office answers that a stop reads and nobody has seen for themselves, in the order of the walk."""
    if milestone == OFFICE:
        return ()
    wanted = frozenset(from_office(state)) & read_by_stops(state.rules)
    return tuple(q for q in due_now(state.rules, state.job, milestone, context.clock()) if q in wanted)


def read_by_stops(rules: RuleSet) -> frozenset[str]:
    """Questions that a stop of the set rests on."""
    found: set[str] = set()
    for rule in rules.stop_rules.values():
        found.update(rule.named_by)
        if rule.check is not None:
            found |= rules.support_of(rule.check.node)
    return frozenset(found)


def office_lines(state: JobState, hidden: Sequence[str]) -> list[str]:
    """The office answers, each with source, person and day; a hidden one is looked at again first."""
    lines: list[str] = []
    for name in from_office(state):
        answer = state.job.answers[name]
        lines += [state.rules.questions[name].ask, f"    {_said(state, name, hidden, AGAIN)} ({_known(answer)})"]
    return lines or ["No answer of this job comes from the office."]


def answer_words(state: JobState, name: str, hidden: Sequence[str], now: datetime) -> str:
    """What was answered, as a list of answers says it, marked where it has aged; a hidden one is not told."""
    answer = state.job.answers.get(name)
    aged = answer is not None and is_stale(state.rules.questions[name], answer, now)
    said = _said(state, name, hidden, "answered in the office; to be looked at again")
    return f"TOO OLD, ask again: {said}" if aged else said


def compared_words(there: str, when: datetime | None, here: str, *, same: bool) -> str:
    """Office answer and the one picked at the gate, side by side, after it was picked."""
    dated = f" on {when:{DAY}}" if when else ""
    if same:
        return f"The office gave the same answer{dated}: {sentence(here)}"
    return f"The office said{dated}: {sentence(there)} You say: {sentence(here)} Yours counts. Tell the office."


def _said(state: JobState, name: str, hidden: Sequence[str], instead: str) -> str:
    answer = state.job.answers.get(name)
    if answer is None:
        return "not answered yet"
    return instead if name in hidden else readable(state.rules.questions[name], answer)


def _known(answer: Answer) -> str:
    return ", ".join(p for p in (answer.source, answer.who, f"{answer.at:{DAY}}" if answer.at else "") if p)


def _is_from_office(state: JobState, question: str) -> bool:
    answer = state.job.answers.get(question)
    return answer is not None and answer.is_known and answer.source.startswith(SOURCE)
