"""A worse answer, or one that is not known: does anything come out milder?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from riskhelper.office.proofs.answers import AnswerTerms, fresh_answer, legal
from riskhelper.office.proofs.bench import Bench, Cause, milder, rank, seen_milder
from riskhelper.office.proofs.finding import Example, ProofFinding, Result, Unsettled
from riskhelper.office.proofs.jobs import Trial
from riskhelper.office.proofs.logic import Plain, conjoined, disjoined, negated
from riskhelper.office.proofs.near_cases import graver_trials, unknown_trials
from riskhelper.office.proofs.outcome import Outcome
from riskhelper.office.proofs.proving import Found, Proved
from riskhelper.office.proofs.senses import Senses
from riskhelper.office.proofs.spans import exactly, less, less_or_equal
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.terms import EARLY_MILESTONES

MOST_S_FOR_CONDITIONS = 2.0
MOST_S_FOR_AN_ENTRY = 15.0


@dataclass(frozen=True)
class _Step:
    """From one answer to another, everything else alike: the answers, what holds of them, how they are told."""

    before: AnswerTerms
    after: AnswerTerms
    facts: tuple[Plain, ...]
    told: str


def worse_answers(bench: Bench) -> Iterator[Result]:
    """Every entry that comes out milder when an answer gets graver, in the order its question gives."""
    for name, question in bench.rules.questions.items():
        for step in _graver(name, question):
            yield from _compared(bench, name, step, "worse_rated_lower")


def unknown_answers(bench: Bench) -> Iterator[Result]:
    """Every entry that comes out milder when a question is not known than with a value that counts as possible."""
    for name, question in bench.rules.questions.items():
        if question.type != "text":
            yield from _compared(bench, name, _unknown(name, question), "unknown_milder")


def _graver(name: str, question: QuestionEntry) -> Iterator[_Step]:
    if isinstance(question.graver, str):
        before, after = (fresh_answer(name, question, tag) for tag in (" before", " after"))
        mild, grave = before.number, after.number
        if question.graver == "down":
            mild, grave = grave, mild
        facts = (*legal(question, before), *legal(question, after), less(mild, grave))
        yield _Step(_given(before), _given(after), facts, f"`{name}` goes {question.graver}")
        return
    for one, other in zip(question.graver, question.graver[1:], strict=False):
        told = f"`{name}` from `{one}` to `{other}`"
        yield _Step(_option(question, one), _option(question, other), (), told)


def _option(question: QuestionEntry, option: str) -> AnswerTerms:
    return AnswerTerms(True, False, {one: one == option for one in question.options})


def _given(answer: AnswerTerms) -> AnswerTerms:
    return replace(answer, given=True, said_not_known=False)


def _unknown(name: str, question: QuestionEntry) -> _Step:
    before = fresh_answer(name, question, " before")
    facts = [*legal(question, before)]
    if question.if_not_known is not None:
        # A value outside the range that counts is not compared, unless the question itself calls it usual.
        spans = [question.if_not_known.range, *([question.usual] if question.usual else [])]
        inside = [
            conjoined((less_or_equal(exactly(low), before.number), less_or_equal(before.number, exactly(high))))
            for low, high in spans
        ]
        facts.append(disjoined(inside))
    after = replace(before, given=False, said_not_known=True)
    return _Step(_given(before), after, tuple(facts), f"`{name}` is not known")


def _compared(bench: Bench, name: str, step: _Step, kind: str) -> Iterator[Result]:
    affected = bench.dependence.affected_by[name]
    open_entries = dict(_left_open(bench, name, kind))
    if not open_entries:
        return
    facts = [*step.facts]
    if bench.rules.questions[name].asked_at not in EARLY_MILESTONES:
        facts.append(bench.job.reached[bench.rules.due_positions[name]])
    with bench.prover.apart():
        before, after = bench.with_answer(name, step.before), bench.with_answer(name, step.after)
        bench.prover.suppose(facts)
        if _all_follow(bench, before, after, [cause for causes in open_entries.values() for cause in causes]):
            return
        looser = milder(before, after, bench.hazards_on(affected), bench.stops_on(affected))
        for entry, causes in open_entries.items():
            if entry in looser and not _all_follow(bench, before, after, causes):
                yield from _entry(bench, entry, looser[entry], (before, after), step, kind, name)


def _entry(
    bench: Bench, entry: str, goal: Plain, outcomes: tuple[Outcome, Outcome], step: _Step, kind: str, name: str
) -> Iterator[Result]:
    def shows(trial: Trial) -> Example | None:
        ranks = [rank(bench.rules, job, trial.milestone, entry) for job in trial.jobs]
        if ranks[0] <= ranks[1]:
            return None
        before, after = (bench.assessed(job, trial.milestone) for job in trial.jobs)
        seen = seen_milder(before, after)
        return Example(trial.milestone, trial.jobs, (f"{entry}: {seen[entry]}",)) if entry in seen else None

    trials = (graver_trials if kind == "worse_rated_lower" else unknown_trials)(bench.rules, name)
    near = next((example for trial in trials if (example := shows(trial)) is not None), None)
    settled = Found(near) if near is not None else bench.prover.settle(goal, outcomes, shows, MOST_S_FOR_AN_ENTRY)
    if isinstance(settled, Found):
        yield ProofFinding(kind, entry, f"{step.told}, and it gets milder", settled.example)
    elif not isinstance(settled, Proved):
        yield Unsettled(kind, f"question {name}", f"{step.told}, {entry}: {settled.words}")


def _left_open(bench: Bench, name: str, kind: str) -> Iterator[tuple[str, list[Cause]]]:
    """Entries whose conditions do not show by themselves that nothing gets milder, with those that do not."""
    senses = Senses(bench.rules, bench.dependence, name)
    affected = bench.dependence.affected_by[name]
    follows = senses.widens_only if kind == "unknown_milder" else senses.truer_only
    for entry, causes in bench.causes_by_question[name].items():
        left = [one for one in causes if one.question in affected - {name} or not follows(one.node)]
        if left:
            yield entry, left


def _all_follow(bench: Bench, before: Outcome, after: Outcome, causes: list[Cause]) -> bool:
    """Whether each cause, taken by itself, fires after whenever it fired before: then so does their sum."""
    goal = disjoined(conjoined((one.fires(before), negated(one.fires(after)))) for one in causes)
    return bench.prover.is_impossible(goal, MOST_S_FOR_CONDITIONS)
