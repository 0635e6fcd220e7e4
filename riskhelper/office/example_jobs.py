"""Jobs that show a difference: a worked case with a few answers changed, assessed in the ordinary way."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job, PlannedControl
from riskhelper.interview.reading import readable
from riskhelper.office.answer_columns import fitted
from riskhelper.office.difference import ExampleJob
from riskhelper.office.direction import Direction
from riskhelper.office.looks import MOMENT, Look, Ranks
from riskhelper.office.steering import Draws, drawn, flips, steered, within
from riskhelper.review.cases import case_job
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import GATE

MOST_BACKGROUNDS = 24


@dataclass(frozen=True, slots=True)
class Case:
    """A job to look at, where it stands, and what was changed in which worked case, in words."""

    job: Job
    milestone: str
    told: tuple[str, ...] = ()


@dataclass(frozen=True)
class Bench:
    """Two rule sets side by side, with the worked cases on which differences are shown."""

    old: RuleSet
    new: RuleSet
    backgrounds: tuple[Case, ...]

    def first(self, cases: Iterable[Case], look: Look, wanted: Direction | None) -> ExampleJob | None:
        """The first job on which what is looked at goes the wanted way (none: any way)."""
        for case in cases:
            jobs = [fitted(rules, case.job) for rules in (self.old, self.new)]
            if look.quick is not None:
                quick = [look.quick(r, j, case.milestone) for r, j in zip((self.old, self.new), jobs, strict=True)]
                if not _goes(quick[0], quick[1], wanted):
                    continue
            pair = [assess(r, j, case.milestone, MOMENT) for r, j in zip((self.old, self.new), jobs, strict=True)]
            if _goes(look.ranks(pair[0]), look.ranks(pair[1]), wanted):
                words = [f"{look.words(one)}; {one.verdict.words}" for one in pair]
                return ExampleJob(case.job, case.milestone, words[0], words[1], case.told)
        return None


def _goes(before: Ranks, after: Ranks, wanted: Direction | None) -> bool:
    if before == after:
        return False
    way = Direction.joined(Direction.of(a, b) for a, b in zip(before, after, strict=True) if a != b)
    return wanted is None or way is wanted


def bench_of(old: RuleSet, new: RuleSet) -> Bench:
    """Both sets with the worked cases of either under this local code."""
    found: dict[str, Case] = {}
    for rules in (old, new):
        for name, case in rules.cases.items():
            if case.local == rules.local_code and case.at in old.positions and case.at in new.positions:
                found.setdefault(name, Case(case_job(rules, case), case.at, (f"Worked case: {case.title}.",)))
    found.setdefault("", Case(Job(local_code=new.local_code), GATE, ("A job with nothing answered.",)))
    return Bench(old, new, tuple(itertools.islice(found.values(), MOST_BACKGROUNDS)))


def supposed_jobs(bench: Bench, supposed: Mapping[str, Any]) -> Iterator[Case]:
    """Worked cases with answers as supposed, and with others moved until supposed figures are met."""
    questions = {**bench.old.questions, **bench.new.questions}
    fixed = {name: value for name, value in supposed.items() if name in questions}
    figures = {name: value for name, value in supposed.items() if name not in questions}
    for background in bench.backgrounds:
        answers = dict(background.job.answers)
        for name, value in fixed.items():
            answers[name] = within(questions[name], value, answers.get(name))
        yield _changed(bench, background, answers)
        for name, span in figures.items():
            side, _, figure = name.rpartition(" ")
            rules = bench.old if side == "old" else bench.new
            for end in (0, 1):
                job = replace(background.job, answers=answers)
                yield _changed(bench, background, steered(rules, job, background.milestone, figure, span, end, fixed))


def drawn_jobs(bench: Bench, names: frozenset[str], tries: int) -> Iterator[Case]:
    """Worked cases with some of these answers drawn at random, the same way each time."""
    questions = {**bench.old.questions, **bench.new.questions}
    asked = [name for name in sorted(names) if name in questions and questions[name].type != "text"]
    chance = Draws(len(asked))
    for _ in range(tries):
        background = bench.backgrounds[chance.below(len(bench.backgrounds))]
        answers = dict(background.job.answers)
        answers.update({name: drawn(questions[name], chance) for name in asked if chance.below(3) == 0})
        yield _changed(bench, background, answers)


def edge_jobs(
    bench: Bench, regions: Sequence[Mapping[str, Any]], names: frozenset[str], look: Look
) -> Iterator[Case]:
    """Worked cases inside regions, one number at a time moved to where the outcome changes under either set."""
    questions = {**bench.old.questions, **bench.new.questions}
    numbers = [name for name in sorted(names) if name in questions and questions[name].type == "number"]
    for supposed, background in itertools.product(regions, bench.backgrounds):
        answers = dict(background.job.answers)
        for name, value in supposed.items():
            if name in questions:
                answers[name] = within(questions[name], value, answers.get(name))
        case = replace(background, job=replace(background.job, answers=answers))
        for name, rules in itertools.product(numbers, (bench.old, bench.new)):
            for answer in flips(questions[name], partial(_outcome, look, rules, case, name)):
                yield _changed(bench, background, {**answers, name: answer})


def _outcome(look: Look, rules: RuleSet, case: Case, name: str, answer: Answer) -> Ranks:
    assert look.quick is not None
    job = replace(case.job, answers={**case.job.answers, name: answer})
    return look.quick(rules, fitted(rules, job), case.milestone)


def without_answer(bench: Bench, question: str) -> Iterator[Case]:
    """Worked cases in which nobody can say the answer to a question, or nobody was asked it yet."""
    entry = bench.new.questions.get(question) or bench.old.questions[question]
    for background in bench.backgrounds:
        job = background.job
        answers = {name: answer for name, answer in job.answers.items() if name != question}
        for changed, words in (({**answers, question: Answer(None)}, "Not known."), (answers, "Not answered.")):
            told = (*background.told, f"{entry.ask} {words}")
            yield Case(replace(job, answers=changed), background.milestone, told)


def with_control(bench: Bench, control: str) -> Iterator[Case]:
    """Worked cases in which a control is planned beside what is planned already, or alone."""
    for background in bench.backgrounds:
        for planned in ({**background.job.planned, control: PlannedControl()}, {control: PlannedControl()}):
            entry = bench.new.controls.get(control) or bench.old.controls[control]
            told = (*background.told, f"Planned: {entry.do}")
            yield Case(replace(background.job, planned=planned), background.milestone, told)


def _changed(bench: Bench, background: Case, answers: Mapping[str, Answer]) -> Case:
    questions = {**bench.old.questions, **bench.new.questions}
    was = background.job.answers
    told = [
        f"{questions[name].ask} {readable(questions[name], answer)}"
        for name, answer in answers.items()
        if name not in was or was[name].value != answer.value
    ]
    return Case(replace(background.job, answers=answers), background.milestone, (*background.told, *told))
