"""What the plan of a job says of parts left live: grounds of the local code, shock, arc, distances, equipment."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from riskhelper.acts.job.jobs import JobState
from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment, QuantityShown
from riskhelper.facts.reading import holds
from riskhelper.interview.reading import readable
from riskhelper.permit.live_work import BOUNDARIES, EQUIPMENT, FLASH, SHOCK
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.figures import clause, figure
from riskhelper.terms import APPROVAL, Status, Truth

LIVE_WORK_TABLE = "live_work"
"""The role by which a local code names its list of grounds for work on live parts."""
_NO_CONTACT = "no contact"


@dataclass(frozen=True)
class LivePlan:
    """The plan of work on live parts: `grounds` the local code lists, what is `shown` on its authorisation by name
    there, and why the rest is not."""

    grounds: dict[str, str]
    shown: dict[str, str] = field(default_factory=dict)
    gaps: dict[str, str] = field(default_factory=dict)


def live_grounds(state: JobState, now: datetime) -> dict[str, str] | None:
    """The grounds the local code lists, in words, where the plan works on exposed live parts or may; else none."""
    rules, condition = state.rules, state.rules.head.live_work
    if condition is None or holds(rules, state.job, condition, APPROVAL, now) is Truth.NO:
        return None
    listed = rules.tables.get(LIVE_WORK_TABLE)
    return {} if listed is None else {str(ground): str(words) for ground, words in listed.rows}


def live_plan(state: JobState, now: datetime) -> LivePlan | None:
    """What the plan says of the work on live parts; none where it leaves none."""
    grounds = live_grounds(state, now)
    if grounds is None:
        return None
    named = state.rules.head.live_work_shown
    if named is None:
        return LivePlan(grounds, gaps=dict.fromkeys((SHOCK, FLASH, EQUIPMENT), "the rule set names no answer for it"))
    found = assess(state.rules, state.job, APPROVAL, now)
    plan = LivePlan(grounds)
    for name, ids in ((SHOCK, named.shock), (FLASH, named.flash), (BOUNDARIES, named.boundaries)):
        _add(plan, name, (_said(state, found, each) for each in ids))
    _add(plan, EQUIPMENT, (_worn(state, each) for each in named.equipment))
    return plan


def _add(plan: LivePlan, name: str, parts: Iterable[tuple[str, str]]) -> None:
    """All of them in words; where one is lacking, what is."""
    listed = list(parts)
    lacking = [lack for _, lack in listed if lack]
    if lacking or not listed:
        plan.gaps[name] = "; ".join(lacking) or "the rule set names no answer for it"
    else:
        plan.shown[name] = "; ".join(words for words, _ in listed)


def _said(state: JobState, found: Assessment, name: str) -> tuple[str, str]:
    """An answer or a figure in words, and why there is none."""
    question = state.rules.questions.get(name)
    if question is None:
        return _figure(state.rules, found, name)
    if found.statuses.get(name) is not Status.GIVEN:
        return "", f"not known: {question.ask}"
    said = readable(question, state.job.answers[name])
    return (said if question.options else f"{clause(question.ask).rstrip('?')}: {said}"), ""


def _figure(rules: RuleSet, found: Assessment, name: str) -> tuple[str, str]:
    shown = next((each for each in found.quantities if each.id == name), None)
    if shown is None or shown.outside:
        return "", f"no figure: {shown.outside if shown is not None else rules.facts[name].title}"
    return f"{shown.title}: {_metres(rules, shown)}", ""


def _metres(rules: RuleSet, shown: QuantityShown) -> str:
    words = figure(shown.value, shown.unit, rules.facts[shown.id].resolution)
    return f"{words}, {_NO_CONTACT}" if shown.value.high == 0 else words


def _worn(state: JobState, name: str) -> tuple[str, str]:
    control = state.rules.controls[name]
    counted = name in state.job.planned or name in state.job.proved
    return (clause(control.do), "") if counted else ("", f"not planned: {control.do}")
