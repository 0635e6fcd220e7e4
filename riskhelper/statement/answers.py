"""The answers a plan rests on, in the order of the walk; private ones only as their consequence."""

from __future__ import annotations

from collections import Counter

from riskhelper.evidence import Answer
from riskhelper.interview.reading import readable
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.statement.document import Block, Heading, Listing, Paragraph
from riskhelper.statement.selection import Selection
from riskhelper.terms import Status

_USUAL_ORIGIN_FROM = 3


def answer_blocks(selection: Selection) -> tuple[Block, ...]:
    """Question, answer, and status with source and date where they differ from the rest."""
    given = [name for name in selection.rules.questions if _belongs(selection, name)]
    origins = Counter(_origin(selection.job.answers.get(name)) for name in given)
    usual = next((o for o, many in origins.most_common(1) if o and many >= _USUAL_ORIGIN_FROM), "")
    rows = tuple(_row(selection, name, usual) for name in given)
    if not rows:
        return ()
    origin = f"Source and date, where none is named: {usual}." if usual else ""
    return (
        Heading("Answers this plan rests on"),
        Paragraph(f"All are given unless marked. What is due at a hold point stands in its box. {origin}".strip()),
        Listing(rows),
    )


def _belongs(selection: Selection, name: str) -> bool:
    return selection.assessment.statuses.get(name) in (Status.GIVEN, Status.NOT_KNOWN)


def _row(selection: Selection, name: str, usual: str) -> tuple[str, str]:
    question, answer = selection.rules.questions[name], selection.job.answers.get(name)
    status = selection.assessment.statuses[name]
    words = "NOT KNOWN" if answer is None or status is Status.NOT_KNOWN else _words(selection, name, question, answer)
    marks = []
    if name in selection.assessment.stale:
        marks.append("TOO OLD")
    origin = _origin(answer)
    if origin and origin != usual:
        marks.append(origin)
    if answer is not None and answer.note and not question.private:
        words = f"{words} ({answer.note})"
    return (question.ask, "; ".join((words, *marks)))


def _words(selection: Selection, name: str, question: QuestionEntry, answer: Answer) -> str:
    if not question.private:
        return readable(question, answer)
    stops = [
        stop.title
        for stop in selection.assessment.stops
        if (rule := selection.rules.stop_rules.get(stop.id)) is not None
        and rule.check is not None
        and name in selection.rules.support_of(rule.check.node)
    ]
    return f"private: may not ({'; '.join(stops)})" if stops else "private: nothing stops on it"


def _origin(answer: Answer | None) -> str:
    """Where an answer came from and on which day."""
    if answer is None:
        return ""
    day = answer.at.date().isoformat() if answer.at is not None else ""
    return ", ".join(part for part in (answer.source, answer.who, day) if part)
