"""Whether the plan of a job is still the one that was signed, which stops stand, and which hold points are open."""

from __future__ import annotations

from datetime import datetime

from riskhelper.acts.jobs import JobState
from riskhelper.acts.stopping import standing_stop
from riskhelper.assessment.assess import assess
from riskhelper.assessment.passing import may_pass
from riskhelper.assessment.result import Condition
from riskhelper.evidence import Answer, Job
from riskhelper.facts.reading import holds
from riskhelper.permit.document import Permit
from riskhelper.permit.plan_guards import READY_POINT
from riskhelper.record.canonical import Content, digest
from riskhelper.record.contents import answer_content
from riskhelper.record.entries import Entry
from riskhelper.record.replay import replayed
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import APPROVAL, Truth

MARK_LENGTH = 8

LIVE_WORK_TABLE = "live_work"
"""The role by which a local code names its list of grounds for work on live parts."""


def plan_digest(state: JobState) -> str:
    """One digest over what a signature means: rule sets, answers up to approval, controls counted on."""
    parts: list[Content] = [[part.name, part.number, part.digest] for part in state.history.parts]
    answers: list[Content] = [
        answer_content(q, a) for q, a in sorted(_planned_answers(state.rules, state.job).items())
    ]
    return digest([parts, answers, [*sorted(state.job.planned)]])


def plan_changed(state: JobState, entries: tuple[Entry, ...], requested: int) -> tuple[str, ...]:
    """What differs from the plan as it was requested at an entry, in words; empty where nothing does."""
    then = replayed([entry for entry in entries if entry.number <= requested]).job
    was, now = _planned_answers(state.rules, then), _planned_answers(state.rules, state.job)
    answers = [f"the answer to {q}" for q in sorted(was | now) if _value(was.get(q)) != _value(now.get(q))]
    controls = sorted(set(then.planned) ^ set(state.job.planned))
    rules = [f"rule set part {name}" for name in state.rules_changed]
    return (*answers, *(f"the control {name}" for name in controls), *rules)


def stops_standing(state: JobState, permit: Permit, now: datetime) -> tuple[str, ...]:
    """Titles of the stops of the plan, at the furthest hold point reached, and a stop called by a person."""
    rules = state.rules
    reached = [APPROVAL, *permit.passed]
    milestone = max(reached, key=lambda name: rules.positions[name])
    titles = tuple(stop.title for stop in assess(rules, state.job, milestone, now).stops)
    called = standing_stop(state.history)
    return (*titles, f"stop called in entry {called.entry}") if called is not None else titles


def conditions_of(state: JobState, now: datetime) -> dict[str, str]:
    """The conditions of the plan at approval in words, each by a mark that changes with anything it says."""
    found = assess(state.rules, state.job, APPROVAL, now).conditions
    return {_mark(each): each.words for each in found}


def _mark(condition: Condition) -> str:
    return digest([condition.kind, condition.hold_point, condition.words, [*condition.ids]])[:MARK_LENGTH]


def live_grounds(state: JobState, now: datetime) -> dict[str, str] | None:
    """The grounds the local code lists, in words, where the plan works on exposed live parts or may; else none."""
    rules, condition = state.rules, state.rules.head.live_work
    if condition is None or holds(rules, state.job, condition, APPROVAL, now) is Truth.NO:
        return None
    listed = rules.tables.get(LIVE_WORK_TABLE)
    return {} if listed is None else {str(ground): str(words) for ground, words in listed.rows}


def open_at(state: JobState, permit: Permit, now: datetime) -> dict[str, tuple[str, ...]]:
    """For each hold point of the job what is open there: its checks, else the stops. Empty: it may be passed."""
    found: dict[str, tuple[str, ...]] = {}
    other_road = {point for road, point in READY_POINT.items() if road is not permit.road}
    for name, point in state.rules.hold_points.items():
        applies = point.if_ is None or holds(state.rules, state.job, point.if_, name, now) is not Truth.NO
        if not applies or name in other_road:
            continue
        passing = may_pass(state.rules, state.job, name, now)
        stops = tuple(stop.title for stop in passing.assessment.stops)
        found[name] = () if passing.allowed else passing.open_checks or stops
    return found


def _planned_answers(rules: RuleSet, job: Job) -> dict[str, Answer]:
    last = rules.positions[APPROVAL]
    return {q: answer for q, answer in job.answers.items() if q in rules.questions and rules.due_positions[q] <= last}


def _value(answer: Answer | None) -> object:
    return None if answer is None else (answer.value,)
