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
from riskhelper.office.deciding import Seen
from riskhelper.office.difference import ExampleJob
from riskhelper.office.direction import Direction
from riskhelper.office.looks import MOMENT, Look, Ranks, ReadingLook
from riskhelper.office.steering import Draws, drawn, flips, steered, within
from riskhelper.review.cases import case_job
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import EARLY_MILESTONES, GATE

MOST_BACKGROUNDS = 24


@dataclass(frozen=True, slots=True)
class Case:
    """A job to look at, where it stands, and what was changed in which worked case.

    `title` names the worked case, `was` holds its answers, `told` says what else was changed, in words.
    """

    job: Job
    milestone: str
    title: str
    was: Mapping[str, Answer]
    told: tuple[str, ...] = ()

    def answered(self, answers: Mapping[str, Answer]) -> Case:
        """The same case with other answers."""
        return replace(self, job=replace(self.job, answers=answers))

    @property
    def changed(self) -> tuple[str, ...]:
        """Questions answered otherwise than in the worked case."""
        now = self.job.answers
        return tuple(n for n, a in now.items() if n not in self.was or self.was[n].value != a.value)


@dataclass(frozen=True)
class Bench:
    """Two rule sets side by side, with the worked cases on which differences are shown."""

    old: RuleSet
    new: RuleSet
    backgrounds: tuple[Case, ...]

    def first(self, cases: Iterable[Case], look: Look | ReadingLook, wanted: Direction | None) -> ExampleJob | None:
        """The first job on which what is looked at goes the wanted way (none: any way), with few answers changed."""
        for case in cases:
            if self._may_show(case, look, wanted):
                found = self._shown(self._shortened(case, look, wanted), look, wanted)
                found = found or self._shown(case, look, wanted)
                if found is not None:
                    return found
        return None

    def _may_show(self, case: Case, look: Look | ReadingLook, wanted: Direction | None) -> bool:
        if look.quick is None:
            return True
        pair = [look.quick(rules, fitted(rules, case.job), case.milestone) for rules in (self.old, self.new)]
        return _goes(pair[0], pair[1], wanted)

    def _shortened(self, case: Case, look: Look | ReadingLook, wanted: Direction | None) -> Case:
        """The case with every answer put back that the difference does not need."""
        for name in case.changed if look.quick is not None else ():
            back = {n: a for n, a in case.job.answers.items() if n != name}
            shorter = case.answered({**back, **({name: case.was[name]} if name in case.was else {})})
            if self._may_show(shorter, look, wanted):
                case = shorter
        return case

    def _shown(self, case: Case, look: Look | ReadingLook, wanted: Direction | None) -> ExampleJob | None:
        pair = []
        for rules in (self.old, self.new):
            job = fitted(rules, case.job)
            shown = assess(rules, job, case.milestone, MOMENT)
            pair.append((*look.tell(rules, job, case.milestone, shown), shown.verdict.words))
        if not _goes(pair[0][0], pair[1][0], wanted):
            return None
        words = [f"{said}; verdict {verdict}" for _, said, verdict in pair]
        questions = {**self.old.questions, **self.new.questions}
        changed = [name for name in questions if name in set(case.changed)]
        told = [f"{questions[n].ask} {readable(questions[n], case.job.answers[n])}" for n in changed]
        return ExampleJob(case.job, case.milestone, words[0], words[1], (case.title, *case.told, *told))


def _goes(before: Ranks, after: Ranks, wanted: Direction | None) -> bool:
    if before == after:
        return False
    way = Direction.joined(Direction.of(a, b) for a, b in zip(before, after, strict=True) if a != b)
    return wanted is None or way is wanted


def bench_of(old: RuleSet, new: RuleSet) -> Bench:
    """Both sets with the worked cases of either, those of this local code first."""
    found: dict[str, Case] = {}
    code = new.local_code
    cases = {**old.cases, **new.cases}
    for name, case in sorted(cases.items(), key=lambda each: each[1].local != code):
        rules = new if name in new.cases else old
        if case.at in old.positions and case.at in new.positions:
            job = replace(case_job(rules, case), local_code=code)
            found[name] = Case(job, case.at, f"Worked case: {case.title}.", job.answers)
    found.setdefault("", Case(Job(local_code=code), GATE, "A job with nothing else answered.", {}))
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
        yield background.answered(answers)
        for name, span in figures.items():
            side, _, figure = name.rpartition(" ")
            rules = bench.old if side == "old" else bench.new
            for end in (0, 1):
                job = replace(background.job, answers=answers)
                yield background.answered(steered(rules, job, background.milestone, figure, span, end, fixed))


def jobs_like(bench: Bench, seen: Seen) -> Iterator[Case]:
    """Worked cases answered as the job that was seen, where it stands and where they do; then that job itself."""
    for background in bench.backgrounds:
        answers = {**background.job.answers, **seen.job.answers}
        for milestone in dict.fromkeys((background.milestone, seen.milestone)):
            yield replace(background, milestone=milestone).answered(_in_time(bench, answers, milestone))
    yield Case(replace(seen.job, local_code=bench.new.local_code), seen.milestone, "A job of its own.", {})


def _in_time(bench: Bench, answers: Mapping[str, Answer], milestone: str) -> dict[str, Answer]:
    """The answers that can have been given where a job stands."""
    found = {}
    for name, answer in answers.items():
        rules = bench.new if name in bench.new.questions else bench.old
        question = rules.questions[name]
        early = question.early or question.asked_at in EARLY_MILESTONES
        if early or rules.due_positions[name] <= rules.positions[milestone]:
            found[name] = answer
    return found


def drawn_jobs(bench: Bench, names: frozenset[str], tries: int) -> Iterator[Case]:
    """Worked cases with some of these answers drawn at random, the same way each time."""
    questions = {**bench.old.questions, **bench.new.questions}
    asked = [name for name in sorted(names) if name in questions and questions[name].type != "text"]
    chance = Draws(len(asked))
    for _ in range(tries):
        background = bench.backgrounds[chance.below(len(bench.backgrounds))]
        answers = dict(background.job.answers)
        answers.update({name: drawn(questions[name], chance) for name in asked if chance.below(3) == 0})
        yield background.answered(answers)


def edge_jobs(
    bench: Bench, regions: Sequence[Mapping[str, Any]], names: frozenset[str], look: Look, looks_between: int = 0
) -> Iterator[Case]:
    """Worked cases inside regions, one number at a time moved to where the outcome changes under either set."""
    questions = {**bench.old.questions, **bench.new.questions}
    for supposed, background in itertools.product(regions, bench.backgrounds):
        answers = dict(background.job.answers)
        for name, value in supposed.items():
            if name in questions:
                answers[name] = within(questions[name], value, answers.get(name))
        yield from at_edges(bench, background.answered(answers), names, look, looks_between)


def left_open(bench: Bench, asked: Iterable[str], names: frozenset[str], look: Look) -> Iterator[Case]:
    """Worked cases in which nobody answered one of some questions, as they stand and moved to their edges."""
    for name in asked:
        for case in without_answer(bench, name):
            yield case
            yield from at_edges(bench, case, names - {name}, look, 0)


def at_edges(bench: Bench, case: Case, names: frozenset[str], look: Look, looks_between: int) -> Iterator[Case]:
    """A case with one number at a time moved to where the outcome changes under either set."""
    questions = {**bench.old.questions, **bench.new.questions}
    numbers = [name for name in sorted(names) if name in questions and questions[name].type == "number"]
    for name, rules in itertools.product(numbers, (bench.old, bench.new)):
        for answer in flips(questions[name], partial(_outcome, look, rules, case, name), looks_between):
            yield case.answered({**case.job.answers, name: answer})


def _outcome(look: Look, rules: RuleSet, case: Case, name: str, answer: Answer) -> Ranks:
    assert look.quick is not None
    job = case.answered({**case.job.answers, name: answer}).job
    return look.quick(rules, fitted(rules, job), case.milestone)


def without_answer(bench: Bench, question: str) -> Iterator[Case]:
    """Worked cases in which nobody can say the answer to a question, or nobody was asked it yet."""
    entry = bench.new.questions.get(question) or bench.old.questions[question]
    for background in bench.backgrounds:
        answers = {name: answer for name, answer in background.job.answers.items() if name != question}
        yield background.answered({**answers, question: Answer(None)})
        yield replace(background.answered(answers), told=(f"{entry.ask} Not answered.",))


def with_control(bench: Bench, control: str) -> Iterator[Case]:
    """Worked cases in which a control is planned beside what is planned already, or alone."""
    entry = bench.new.controls.get(control) or bench.old.controls[control]
    for background in bench.backgrounds:
        for planned in ({**background.job.planned, control: PlannedControl()}, {control: PlannedControl()}):
            job = replace(background.job, planned=planned)
            yield replace(background, job=job, told=(f"Planned: {entry.do}",))


def as_they_stand(bench: Bench) -> Iterator[Case]:
    """Worked cases with what they plan, with nothing planned, and with every control planned."""
    every = {name: PlannedControl() for name in bench.new.controls if name in bench.old.controls}
    for background in bench.backgrounds:
        yield background
        for planned, words in ((every, "Every control planned."), ({}, "No control planned.")):
            job = replace(background.job, planned=planned)
            yield replace(background, job=job, told=(words,))
