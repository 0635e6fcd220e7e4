"""Past jobs through a rule set, column by column, against the same rules written by hand in NumPy.

10,000 jobs, or 100,000 where `THOROUGH` is set. Both start from the same columns of answers and must give the same
verdicts, bands and stops; the time to lay out jobs as columns, and the memory of the whole replay, are told apart.
"""

from __future__ import annotations

import os
import statistics
import time
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any

import numpy as np

from riskhelper.evidence import Answer, Job, PlannedControl
from riskhelper.office.answer_columns import AnswerColumn, JobColumns, PastJob, bits_type, columns_of
from riskhelper.office.figures_kept import KeptFigures
from riskhelper.office.judging import judged
from riskhelper.office.replaying import BLOCK, replay
from riskhelper.ruleset.model import RuleSet
from tests.bench import plain_columns
from tests.bench.bench_assess import PLANNED, rules
from tests.thoroughness import VARIABLE

COUNT = 100_000 if os.environ.get(VARIABLE) else 10_000
ROUNDS = 15
AIM = 3.0
MOMENT = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)


def drawn(ruleset: RuleSet, count: int) -> dict[str, Any]:
    """Random answers, one column each: numbers on their step, choices as places, a column an option of several."""
    chance = np.random.default_rng(7)
    found: dict[str, Any] = {}
    for name, question in ruleset.questions.items():
        if question.type == "number":
            assert question.range is not None
            assert question.step is not None
            steps = round((question.range[1] - question.range[0]) / question.step)
            found[name] = np.round(question.range[0] + chance.integers(0, steps + 1, count) * question.step, 9)
        elif question.type == "several":
            for option in question.options:
                found[f"{name} {option}"] = chance.random(count) < 0.6
        else:
            found[name] = chance.integers(0, len(question.options), count).astype(np.int8)
    return found


def laid_out(ruleset: RuleSet, answers: dict[str, Any], count: int) -> JobColumns:
    """The same answers as the replay lays them out."""
    columns: dict[str, AnswerColumn] = {}
    for name, question in ruleset.questions.items():
        if question.type == "number":
            value, may = answers[name], None
        elif question.type == "several":
            kind = bits_type(question)
            value = sum(
                (answers[f"{name} {option}"].astype(kind) << kind(n) for n, option in enumerate(question.options)),
                start=np.zeros(count, dtype=kind),
            )
            may = value
        else:
            kind = bits_type(question)
            value, may = np.left_shift(kind(1), answers[name].astype(kind)), None
        columns[name] = AnswerColumn(np.True_, np.False_, value, may)
    planned = {name: np.bool_(name in PLANNED) for name in ruleset.controls}
    nothing = dict.fromkeys(ruleset.controls, np.False_)
    return JobColumns(count, columns, planned, nothing, {}, dict.fromkeys(ruleset.stops, np.False_))


def jobs(ruleset: RuleSet, answers: dict[str, Any], count: int) -> Iterator[PastJob]:
    """The same answers as jobs, made one by one."""
    planned = {name: PlannedControl() for name in PLANNED}
    for row in range(count):
        if row % BLOCK == 0:  # only as many at once as the replay takes
            lists = {name: column[row : row + BLOCK].tolist() for name, column in answers.items()}
        place = row % BLOCK
        given: dict[str, Answer] = {}
        for name, question in ruleset.questions.items():
            if question.type == "number":
                given[name] = Answer(lists[name][place])
            elif question.type == "several":
                given[name] = Answer({o: "yes" if lists[f"{name} {o}"][place] else "no" for o in question.options})
            else:
                given[name] = Answer(list(question.options)[lists[name][place]])
        yield PastJob(Job(given, planned, number=str(row), local_code="none"), MOMENT)


def seconds(act: Callable[[], Any]) -> float:
    """Processor time of one act."""
    start = time.process_time()
    act()
    return time.process_time() - start


def check_that_both_say_the_same(ruleset: RuleSet, answers: dict[str, Any], columns: JobColumns) -> None:
    ours = judged(ruleset, columns, "approval", KeptFigures())
    verdict, bands, stops = plain_columns.judged(answers)

    assert (ours.verdict == verdict).all()
    for name, band in bands.items():
        assert (np.broadcast_to(ours.hazards[name].band, band.shape) == band).all(), name
    for name, flags in stops.items():
        assert (np.broadcast_to(ours.stops.get(name, np.False_), flags.shape) == flags).all(), name


def main() -> None:
    """Prints the ratio, after checking that both sides say the same of every job."""
    ruleset = rules()
    answers = drawn(ruleset, COUNT)
    columns = laid_out(ruleset, answers, COUNT)
    check_that_both_say_the_same(ruleset, answers, columns)
    few = columns_of(ruleset, list(jobs(ruleset, {n: c[:50] for n, c in answers.items()}, 50)))
    assert all((few.answers[n].value == columns.answers[n].value[:50]).all() for n in ruleset.questions)

    pairs = [
        (
            seconds(lambda: plain_columns.judged(answers)),
            seconds(lambda: judged(ruleset, columns, "approval", KeptFigures())),
        )
        for _ in range(ROUNDS)
    ]
    hand, ours = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(f"replay of {COUNT} jobs, {len(ruleset.hazard_rules)} hazards, {len(ruleset.stop_rules)} stops:")
    print(f"  columns to verdicts: {COUNT / ours:,.0f} jobs a second, {ours / hand:.2f} times the hand-written NumPy")
    print(f"  (aim: at most {AIM:g} times its time)")
    whole = seconds(lambda: replay(ruleset, ruleset, jobs(ruleset, answers, COUNT), "approval"))
    print(f"  from jobs to a comparison of two sets: {COUNT / whole:,.0f} jobs a second")
    tracemalloc.start()
    replay(ruleset, ruleset, jobs(ruleset, answers, COUNT), "approval")
    peak = tracemalloc.get_traced_memory()[1]
    answers_held = sum(column.nbytes for column in answers.values())
    print(
        f"  peak memory {peak / 1e6:.0f} MB with blocks of {BLOCK}, drawn answers {answers_held / 1e6:.0f} MB aside"
    )


if __name__ == "__main__":
    main()
