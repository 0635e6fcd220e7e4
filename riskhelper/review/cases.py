"""Worked cases as jobs and readings: what each of them makes of a rule set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime

from riskhelper.evidence import Answer, Job, PlannedControl, SeveralMark
from riskhelper.facts import Reading
from riskhelper.ruleset.entries import CaseEntry, EdgeEntry, QuestionEntry, TurnEntry
from riskhelper.ruleset.model import RuleSet

_MOMENT = datetime(2000, 1, 1, tzinfo=UTC)  # no answer of a case carries a moment, so none can age


def case_job(rules: RuleSet, case: CaseEntry) -> Job:
    """The job of a worked case: its answers, what nobody knows, the controls it plans."""
    answers = {name: _answer(rules.questions[name], cell) for name, cell in case.answers.items()}
    for line in case.not_known:
        name, _, option = line.partition(":")
        given = answers[name].value if option and name in answers else None
        if option and not isinstance(given, str | float):
            marks: dict[str, SeveralMark] = dict(given or dict.fromkeys(rules.questions[name].options, "no"))
            answers[name] = Answer({**marks, option: "not_known"})
        else:
            answers[name] = Answer(None)
    planned = {control: PlannedControl() for control in case.planned}
    return Job(answers=answers, planned=planned, local_code=case.local)


def varied_job(rules: RuleSet, entry: EdgeEntry | TurnEntry, value: object) -> Job:
    """The job of an edge or a turn: what is given, and the answer that is varied; `None` says nobody knows it."""
    cells = {**entry.given, entry.vary: value}
    answers = {name: _answer(rules.questions[name], cell) for name, cell in cells.items()}
    return Job(answers=answers, local_code=entry.local)


def _answer(question: QuestionEntry, cell: object) -> Answer:
    if cell is None:
        return Answer(None)
    if isinstance(cell, list | tuple):
        return Answer({option: "yes" if option in cell else "no" for option in question.options})
    if isinstance(cell, int | float):
        return Answer(float(cell))
    return Answer(str(cell))


def case_readings(codes: Mapping[str, RuleSet]) -> Iterator[Reading]:
    """Each worked case and each row of an edge under its local code, read as if its plan is held.

    `codes` holds the set by local code.
    """
    for rules in codes.values():
        for case in rules.cases.values():
            if case.local == rules.local_code:
                yield Reading(rules, case_job(rules, case), case.at, _MOMENT, if_held=True)
        for edge in rules.edges:
            if edge.local == rules.local_code:
                for row in edge.rows:
                    yield Reading(rules, varied_job(rules, edge, row[0]), edge.at, _MOMENT, if_held=True)
