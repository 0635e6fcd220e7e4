"""Conditions by the hold point at which they fall due, and what must be shown there in full."""

from __future__ import annotations

from riskhelper.assessment.result import Condition
from riskhelper.evidence import Interval
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.statement.document import Block, Column, Grid, Heading, Paragraph
from riskhelper.statement.figures import clause, figure, number, sentence
from riskhelper.statement.selection import Selection
from riskhelper.terms import spoken

_PLACED = ("pending", "control", "stop_later")


def condition_blocks(selection: Selection) -> tuple[Block, ...]:
    """One row a hold point, then what holds throughout."""
    conditions = selection.assessment.conditions
    if not conditions:
        return (Heading("Conditions"), Paragraph("No condition is open at this milestone."))
    order = {name: place for place, name in enumerate(selection.rules.milestones)}
    placed = [c for c in conditions if c.kind in _PLACED]
    names = sorted({due_at(selection, c) for c in placed}, key=lambda name: order.get(name, -1))
    columns = (
        Column("Due at", 2.3, strong=True),
        Column("To be shown", 1.5),
        Column("Controls in place by then", 4),
        Column("Stops until it is shown", 3.6),
    )
    general = [c for c in conditions if c.kind not in _PLACED]
    return (
        Heading("Conditions, by the hold point at which they fall due"),
        *([Paragraph("Throughout the work:")] if general else []),
        *(Paragraph(sentence(c.words), bullet=True) for c in general),
        Paragraph("The box of each hold point, among the steps, lists in full what must be true there."),
        *([Grid(columns, tuple(_row(selection, name, placed) for name in names))] if names else []),
    )


def due_at(selection: Selection, condition: Condition) -> str:
    """The hold point of a condition; a stop that waits belongs where the first of its answers is due."""
    if condition.kind != "stop_later":
        return condition.hold_point
    asked = {
        name
        for stop in selection.assessment.later_stops
        if stop.id in condition.ids
        for reason in stop.reasons
        for name in reason.rests_on
        if name in selection.assessment.pending
    }
    points = {selection.rules.questions[name].asked_at for name in asked}
    return min(points, key=selection.rules.milestones.index, default="")


def _row(selection: Selection, name: str, placed: list[Condition]) -> tuple[str, ...]:
    due = [condition for condition in placed if due_at(selection, condition) == name]
    shown = sum(len(condition.ids) or 1 for condition in due if condition.kind == "pending")
    stops = {stop.id: stop.title for stop in selection.assessment.later_stops}
    waiting = [
        stops.get(i, condition.words) for condition in due if condition.kind == "stop_later" for i in condition.ids
    ]
    return (
        selection.hold_point_words(name),
        ("1 check" if shown == 1 else f"{shown} checks") if shown else "–",
        "; ".join(_control(selection, c) for c in due if c.kind == "control") or "–",
        "; ".join(clause(words) for words in waiting) or "–",
    )


def _control(selection: Selection, condition: Condition) -> str:
    names = [spoken(name) for name in condition.ids if name in selection.rules.controls]
    return ", ".join(names) or clause(condition.words)


def due_lines(selection: Selection, hold_point: str) -> tuple[str, ...]:
    """Everything that must be true at a hold point: each check with what the plan counts on, each control in full."""
    lines: list[str] = []
    for condition in selection.assessment.conditions:
        if condition.hold_point != hold_point:
            continue
        checks = [name for name in condition.ids if name in selection.rules.questions]
        if condition.kind == "pending" and checks:
            lines += [_check(selection.rules.questions[name]) for name in checks]
        elif condition.kind == "control":
            lines.append(f"{_control(selection, condition)}: {sentence(condition.words)}")
        else:
            lines.append(sentence(condition.words))
    return tuple(lines)


def _check(question: QuestionEntry) -> str:
    expected = counted_on(question)
    return f"{question.ask} The plan counts on: {expected}." if expected else question.ask


def counted_on(question: QuestionEntry) -> str:
    """What the plan expects of an answer, in the words of its keys."""
    expect = question.expect
    if isinstance(expect, str):
        return clause(question.options.get(expect, expect))
    if isinstance(expect, tuple) and question.type == "number":
        return _reading(question, float(expect[0]), float(expect[1]))
    if isinstance(expect, tuple):
        return " / ".join(clause(question.options.get(str(value), str(value))) for value in expect)
    if expect is not None:
        return f"{number(float(expect), question.step)} {question.unit}".strip()
    return ""


def _reading(question: QuestionEntry, low: float, high: float) -> str:
    """The plan counts on true values; a reading must stay inside by its error."""
    if isinstance(question.error, float) and high - low > 2 * question.error:
        span = figure(Interval(low + question.error, high - question.error), question.unit, question.step)
        return f"a reading of {span}"
    span = figure(Interval(low, high), question.unit, question.step)
    return f"{span}, less the error of the reading at both ends" if question.error is not None else span
