"""Whether the plan of a job is still the one that was signed, which stops stand, and which hold points are open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.job.stopping import standing_stop
from riskhelper.assessment.assess import assess
from riskhelper.assessment.passing import Passing, may_pass
from riskhelper.assessment.result import Condition, StopFinding
from riskhelper.evidence import Answer, Job, Ruling
from riskhelper.facts.reading import holds
from riskhelper.facts.within import is_inside
from riskhelper.permit.document import Permit, Road
from riskhelper.permit.plan_guards import READY_POINT
from riskhelper.permit.rulings import complete
from riskhelper.permit.side_by_side import MARK_LENGTH, Pair, Pairs
from riskhelper.record.canonical import Content, digest
from riskhelper.record.contents import answer_content
from riskhelper.record.entries import Entry
from riskhelper.record.moments import utc_text
from riskhelper.record.replay import replayed
from riskhelper.ruleset.clashing import kinds_in
from riskhelper.ruleset.entries import IsolationRowEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import APPROVAL, NOT_NAMED, StopKind, Truth


def plan_digest(state: JobState) -> str:
    """One digest over what a signature means: rule sets, answers up to approval, controls counted on.

    Nothing personal goes in, so that nobody can find it out by trying, once its text is destroyed: of a private
    answer only when it was given, of the others neither who gave them nor remarks.
    """
    parts: list[Content] = [[part.name, part.number, part.digest] for part in state.history.parts]
    answers: list[Content] = [
        _without_persons(state.rules, q, a) for q, a in sorted(_planned_answers(state.rules, state.job).items())
    ]
    return digest([parts, answers, [*sorted(state.job.planned)]])


def _without_persons(rules: RuleSet, question: str, answer: Answer) -> Content:
    if rules.questions[question].private:
        return {"question": question, "at": utc_text(answer.at) if answer.at is not None else ""}
    return answer_content(question, replace(answer, source="", note=""))


def plan_changed(state: JobState, entries: tuple[Entry, ...], requested: int, now: datetime) -> tuple[str, ...]:
    """What lies outside the plan as it was requested at an entry, in words; empty where nothing does.

    An answer up to approval may differ by the error of its reading, one given at a hold point lies in what the plan
    expects there; anything else is a change, whether a stop fires or not.
    """
    signed = [entry for entry in entries if entry.order <= requested]
    then, signed_at = replayed(signed).job, signed[-1].moment
    answers = [
        answer_words(state.rules, q)
        for q in sorted(set(then.answers) | set(state.job.answers))
        if then.answers.get(q) != state.job.answers.get(q)
        and (q not in state.rules.questions or not is_inside(state.rules, then, signed_at, state.job, q, now))
    ]
    controls = sorted(set(then.planned) ^ set(state.job.planned))
    rules = [f"rule set part {name}" for name in state.rules_changed]
    return (*answers, *(f"the control {name}" for name in controls), *rules)


def answer_words(rules: RuleSet, question: str) -> str:
    """An answer that changed, in words; a private one is not named."""
    entry = rules.questions.get(question)
    if entry is None:
        return f"the answer to {question}, which these rules do not ask"
    if entry.private:
        return "an answer given in private"
    return f"the {'reading' if entry.asked_at in rules.hold_points else 'answer to'} {question}"


def answered_by(state: JobState) -> dict[str, frozenset[str]]:
    """Who answered the checks of each hold point."""
    found: dict[str, set[str]] = {name: set() for name in state.rules.hold_points}
    for question, answer in state.job.answers.items():
        entry = state.rules.questions.get(question)
        if entry is not None and entry.asked_at in found and answer.who:
            found[entry.asked_at].add(answer.who)
    return {name: frozenset(who) for name, who in found.items()}


def authors(state: JobState) -> frozenset[str]:
    """Who gave the answers of the plan; an answer without a name counts as one by somebody not named."""
    return frozenset(answer.who or NOT_NAMED for answer in state.job.answers.values())


def decisions(state: JobState, permit: Permit, now: datetime, held: Mapping[str, Passing]) -> dict[str, StopFinding]:
    """The decision stops that stand at the furthest point reached or would stand at a hold point still to come."""
    reached = assess(state.rules, state.job, _reached(state, permit), now)
    ahead = (passing.assessment for name, passing in held.items() if name not in permit.passed)
    found = (stop for assessment in (reached, *ahead) for stop in assessment.stops)
    return {stop.id: stop for stop in found if stop.kind is StopKind.DECISION}


def rulings_of(rules: RuleSet, permits: Iterable[Permit]) -> dict[str, Ruling]:
    """What was ruled on the stops of a job under the present revision of its permits, by everybody named."""
    found: dict[str, Ruling] = {}
    for permit in permits:
        for stop in dict.fromkeys(ruled.stop for ruled in permit.rulings):
            signed = complete(permit.rulings, stop)
            if permit.closed or not signed or stop not in rules.stops:
                continue
            found[stop] = Ruling(
                by_role=rules.stops[stop].ruled_by,
                who=" and ".join(ruled.who for ruled in signed),
                reason="; ".join(dict.fromkeys(ruled.reason for ruled in signed)),
                evidence="; ".join(dict.fromkeys(ruled.evidence for ruled in signed)),
                scope="; ".join(dict.fromkeys(ruled.scope for ruled in signed)),
                until=min(ruled.until for ruled in signed),
            )
    return found


def stops_standing(state: JobState, permit: Permit, now: datetime) -> tuple[str, ...]:
    """Titles of the stops of the plan, at the furthest hold point reached, and a stop called by a person."""
    titles = tuple(stop.title for stop in assess(state.rules, state.job, _reached(state, permit), now).stops)
    called = standing_stop(state.history)
    return (*titles, f"stop called in entry {called.entry}") if called is not None else titles


def conditions_of(state: JobState, now: datetime) -> dict[str, str]:
    """The conditions of the plan at approval in words, each by a mark that changes with anything it says."""
    found = assess(state.rules, state.job, APPROVAL, now).conditions
    return {condition_mark(each): each.words for each in found}


def condition_mark(condition: Condition) -> str:
    """The mark by which a condition is acknowledged."""
    return digest([condition.kind, condition.hold_point, condition.words, [*condition.ids]])[:MARK_LENGTH]


def pairs_of(rules: RuleSet) -> Pairs:
    """Which kinds of work may meet, by the rule set of the job."""
    return {kinds_in(name): Pair(one.ban, one.because, one.safeguards) for name, one in rules.clashes.items()}


def rests_on_drawing(state: JobState, now: datetime) -> bool:
    """Whether the plan rests on a drawing of the plant, or may."""
    condition = state.rules.head.rests_on_drawing
    return condition is not None and holds(state.rules, state.job, condition, APPROVAL, now) is not Truth.NO


def isolation_plan(state: JobState, permit: Permit, now: datetime) -> tuple[IsolationRowEntry, ...]:
    """Rows of the isolation plan that apply to this job on this road, or may."""
    rules, job = state.rules, state.job
    return tuple(
        row
        for row in rules.isolation_rows
        if (row.road == "both" or permit.road is Road.WORK)
        and holds(rules, job, row.if_, APPROVAL, now) is not Truth.NO
    )


def isolation_gaps(state: JobState, permit: Permit, now: datetime) -> tuple[str, ...]:
    """What those rows leave out, in words."""
    rows = isolation_plan(state, permit, now)
    return tuple(f"{row.point} does not say {', '.join(row.gaps)}" for row in rows if row.gaps)


def passings(state: JobState, permit: Permit, now: datetime) -> dict[str, Passing]:
    """Whether each hold point of the job may be passed; worked out once and handed to what asks for it."""
    return {name: may_pass(state.rules, state.job, name, now) for name in _points(state, permit, now)}


def open_at(held: Mapping[str, Passing]) -> dict[str, tuple[str, ...]]:
    """For each hold point of the job what is open there: its checks, else the stops. Empty: it may be passed."""
    found: dict[str, tuple[str, ...]] = {}
    for name, passing in held.items():
        stops = tuple(stop.title for stop in passing.assessment.stops)
        found[name] = () if passing.allowed else passing.open_checks or stops
    return found


def _points(state: JobState, permit: Permit, now: datetime) -> tuple[str, ...]:
    """Hold points of this job on this road."""
    other_road = {point for road, point in READY_POINT.items() if road is not permit.road}
    return tuple(
        name
        for name, point in state.rules.hold_points.items()
        if name not in other_road
        and (point.if_ is None or holds(state.rules, state.job, point.if_, name, now) is not Truth.NO)
    )


def _reached(state: JobState, permit: Permit) -> str:
    """The furthest milestone reached."""
    return max((APPROVAL, *permit.passed), key=lambda name: state.rules.positions[name])


def _planned_answers(rules: RuleSet, job: Job) -> dict[str, Answer]:
    last = rules.positions[APPROVAL]
    return {q: answer for q, answer in job.answers.items() if q in rules.questions and rules.due_positions[q] <= last}
