"""Two rule sets over the same jobs, put to the solver: proved alike, or a job on which they differ."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from riskhelper.evidence import Job
from riskhelper.office.answer_columns import fitted
from riskhelper.office.deciding import Decided, Same, Seen, Subject, Undecided
from riskhelper.office.direction import Direction
from riskhelper.office.looks import Ranks, ranks_of
from riskhelper.office.proofs import spans
from riskhelper.office.proofs.answers import AnswerTerms, JobTerms, any_job, keeps_its_step
from riskhelper.office.proofs.bench import SCALES, read_everything
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.jobs import Trial
from riskhelper.office.proofs.logic import (
    Doubtful,
    Ladder,
    Plain,
    conjoined,
    disjoined,
    implied,
    negated,
    outranks,
    same,
)
from riskhelper.office.proofs.outcome import Outcome
from riskhelper.office.proofs.proving import Found, Patience, Proved, Prover, ReadingsDiffer
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet

MOST_S_FOR_ONE = 4.0


@dataclass(frozen=True)
class PairProofs:
    """The jobs that both sets accept, with their outcome under each, and a solver that knows them.

    A job is at a milestone both have and gives answers both take; a question of one set alone is answered there
    alone. Both sets must stand under the same local code.
    """

    old: Outcome
    new: Outcome
    prover: Prover

    @classmethod
    def of(cls, old: RuleSet, new: RuleSet, patience: Patience) -> PairProofs:
        """Both sets side by side."""
        figures, jobs = Figures(), (any_job(old), any_job(new))
        before, after = Outcome.of(old, jobs[0], figures), Outcome.of(new, jobs[1], figures)
        read_everything(before)
        read_everything(after)
        facts = (*jobs[0].facts, *jobs[1].facts, *_alike(old, new, *jobs), *_together(old, new, *jobs))
        prover = Prover(new, replace(jobs[1], facts=facts), figures, patience)
        return cls(before, after, prover)

    def decide(self, subject: Subject, way: Direction) -> Decided:
        """Whether some job goes a way from the old set to the new one; `DIFFERENT` of a fact is any change."""
        ranks = ranks_of(subject)

        def shows(trial: Trial) -> Seen | None:
            job = _one_job(*trial.jobs)
            sides = ((self.old.rules, job), (self.new.rules, job))
            before, after = (ranks(rules, fitted(rules, one), trial.milestone) for rules, one in sides)
            return Seen(job, trial.milestone) if _goes(subject, way, before, after) else None

        try:
            goal = self._goal(subject, way)
            settled = self.prover.settle(goal, (self.new, self.old), shows, MOST_S_FOR_ONE)
        except ReadingsDiffer as fault:
            return Undecided(f"{fault}; that is a fault of this program, not of the rules")
        if isinstance(settled, Proved):
            return Same()
        return settled.example if isinstance(settled, Found) else Undecided(settled.words)

    def _goal(self, subject: Subject, way: Direction) -> Plain:
        if subject.kind == "fact":
            return _differs(*(one.held.value(subject.name) for one in (self.old, self.new)))
        before, after = (tuple(_ladders(one, subject)) for one in (self.old, self.new))
        up = disjoined(outranks(now, was) for was, now in zip(before, after, strict=True))
        down = disjoined(outranks(was, now) for was, now in zip(before, after, strict=True))
        match way:
            case Direction.STRICTER:
                return conjoined((up, negated(down)))
            case Direction.LOOSER:
                return conjoined((down, negated(up)))
            case Direction.DIFFERENT:
                return conjoined((up, down))


def _goes(subject: Subject, way: Direction, before: Ranks, after: Ranks) -> bool:
    if before == after or subject.kind == "fact":
        return before != after
    return Direction.joined(Direction.of(a, b) for a, b in zip(before, after, strict=True) if a != b) is way


def _ladders(outcome: Outcome, subject: Subject) -> Iterator[Ladder]:
    name, held = subject.name, outcome.held
    if subject.kind == "hazard":
        applies = outcome.applies(name)
        for scale in SCALES:
            ladder = outcome.level(name, scale, now=subject.now)
            yield (ladder[0], *(conjoined((applies, rung)) for rung in ladder[1:]))
        return
    barred = outcome.rules.hazard_rules[name].no_ppe_credit if subject.kind == "ppe" else None
    truths: dict[str, Callable[[], Plain]] = {
        "stop": lambda: outcome.condition_stop(name, now=subject.now),
        "control": lambda: held.test(outcome.rules.control_checks[name].node).surely,
        "ppe": lambda: barred is not None and held.test(barred.node).may,
        "question": lambda: negated(held.absent(name)),
        "service": lambda: held.test(outcome.rules.in_service.node).may,
    }
    yield (True, truths[subject.kind]())


def _differs(one: object, other: object) -> Plain:
    """Whether the values of a fact differ."""
    if isinstance(one, spans.Span) and isinstance(other, spans.Span):
        return disjoined(negated(spans.equal(a, b)) for a, b in ((one.low, other.low), (one.high, other.high)))
    if isinstance(one, Doubtful) and isinstance(other, Doubtful):
        return disjoined(negated(same(a, b)) for a, b in ((one.may, other.may), (one.surely, other.surely)))
    return True


def _alike(old: RuleSet, new: RuleSet, old_job: JobTerms, new_job: JobTerms) -> Iterator[Plain]:
    """What makes one answer of the two that each set reads to a question that both ask."""
    for name, question in new.questions.items():
        was = old.questions.get(name)
        if was is not None:
            yield from _one_answer(was, question, old_job.answers[name], new_job.answers[name])


def _one_answer(was: QuestionEntry, now: QuestionEntry, old: AnswerTerms, new: AnswerTerms) -> Iterator[Plain]:
    if was.type != now.type or was.unit != now.unit:
        yield negated(new.given)
    elif now.type == "number" and (was.step != now.step or keeps_its_step(was) != keeps_its_step(now)):
        yield spans.equal(old.number, new.number)
    if tuple(was.options) != tuple(now.options):
        # The first of two options is an unknown of its own: in another order it is another one.
        yield from (same(old.options[option], new.options[option]) for option in old.options.keys() & new.options)
    for one, other in ((old, new), (new, old)):
        for option in one.options.keys() - other.options.keys():
            yield implied(new.given, negated(one.options[option]))
            if one.open_lines:
                yield implied(new.given, negated(one.open_lines[option]))


def _together(old: RuleSet, new: RuleSet, old_job: JobTerms, new_job: JobTerms) -> Iterator[Plain]:
    """A job stands at a milestone both sets have: one of a single set is passed together with the next of both."""
    for rules, other, job in ((old, new, old_job), (new, old, new_job)):
        last: Plain = False
        for name in reversed(rules.milestones):
            here = job.reached[rules.positions[name]]
            if name in other.positions:
                last = here
            else:
                yield implied(here, last)


def _one_job(new: Job, old: Job) -> Job:
    """The job as one: what only the old set asks, promises or proves is added."""
    return replace(
        new,
        answers={**old.answers, **new.answers},
        planned={**old.planned, **new.planned},
        proved={**old.proved, **new.proved},
    )
