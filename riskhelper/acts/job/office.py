"""Answers given in the office: shown with source and date; those a stop reads are picked again at the gate."""

from __future__ import annotations

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState
from riskhelper.interview.order import due_now
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import OFFICE

SOURCE = "office"


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


def _is_from_office(state: JobState, question: str) -> bool:
    answer = state.job.answers.get(question)
    return answer is not None and answer.is_known and answer.source.startswith(SOURCE)
