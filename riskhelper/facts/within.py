"""Whether an answer lies inside what a plan was signed for: the given answers, and what was expected of the rest."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from riskhelper.evidence import Job
from riskhelper.facts.reading import Reading, exact
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import APPROVAL


def is_inside(rules: RuleSet, signed: Job, signed_at: datetime, now: Job, name: str, moment: datetime) -> bool:
    """Whether the answer of a job now lies inside the plan as it was signed.

    Where the plan rests on a given number, a new one may differ by the error of the reading. Where it expects a
    range, the reading with its error stays in the range. What was not known or not expected counts at its worst, so
    any answer is inside. A known answer that is known no longer is outside.
    """
    question, was, answer = rules.questions[name], signed.answers.get(name), now.answers.get(name)
    covered = Reading(rules, signed, APPROVAL, signed_at, if_held=True).question_value(name)
    if answer is None or answer.value is None:
        return was is None or not was.is_known
    if was is not None and was.is_known:
        return _covers(covered, exact(question, answer.value))
    found = Reading(rules, now, APPROVAL, answer.at or moment, if_held=False).question_value(name)
    return _covers(covered, found)


def _covers(covered: Any, found: Any) -> bool:
    """Whether a value of either shape (options, span, lines sure and lines possible) holds the other."""
    if isinstance(covered, frozenset):
        return bool(found <= covered)
    return bool(covered[0] <= found[0] and found[1] <= covered[1])
