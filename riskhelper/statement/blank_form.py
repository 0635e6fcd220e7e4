"""The blank form, for the day the device dies: every question of the rule set with room for an answer."""

from __future__ import annotations

from datetime import datetime

from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement import cautions
from riskhelper.statement.document import Block, Column, Document, Facts, Grid, Heading, Paragraph
from riskhelper.statement.frame import blank_furniture
from riskhelper.statement.header import Header
from riskhelper.terms import PLACE_WORDS, PLACES

_ANSWER = (Column("Question", 5.2), Column("Answer, or not known", 2.6), Column("Who, time", 1.6))
_STOP = (Column("Stop", 2.6, strong=True), Column("Why", 4), Column("Lifted only by", 2.6), Column("Seen", 1))


def blank_form(rules: RuleSet, header: Header, now: datetime) -> Document:
    """Questions in the order of the walk, then every stop with who alone may lift it."""
    blocks: list[Block] = [
        Heading("Blank form"),
        cautions.first_page_notice(),
        Facts(
            (
                ("Site", header.site),
                ("Plant", header.plant),
                ("Work leader", header.work_leader),
                ("Date, time", ""),
                ("Emergency number", ""),
            )
        ),
        Paragraph(
            "Answer every question that belongs to the job. Not known is an answer, and counts at its worst. "
            "A line that names a hold point is answered there and not before. Nothing is filled in from memory."
        ),
    ]
    for place in PLACES:
        rows = tuple(
            (_asked(rules, question), "", "") for question in rules.questions.values() if question.place == place
        )
        if rows:
            blocks += [Heading(PLACE_WORDS[place]), Grid(_ANSWER, rows)]
    stops = tuple((stop.title, stop.because, stop.lifted_by or stop.ruled_by, "") for stop in rules.stops.values())
    blocks += [
        Heading("Stops"),
        Paragraph("Where one of these is true, or cannot be ruled out, the work does not start or go on."),
        Grid(_STOP, stops) if stops else Paragraph("The rule set names no stop."),
        cautions.last_page_notice(),
    ]
    return Document(blank_furniture("Blank form", rules, header), tuple(blocks), now)


def _asked(rules: RuleSet, question: QuestionEntry) -> str:
    point = rules.hold_points.get(question.asked_at)
    words = f"[{point.words}] {question.ask}" if point is not None else question.ask
    notes = []
    if question.unit:
        notes.append(f"in {question.unit}")
    if question.type in ("choice", "several"):
        notes.append("; ".join(question.options.values()))
    if question.private:
        notes.append("private: write only may, or may not")
    return f"{words} ({'; '.join(notes)})" if notes else words
