"""Conditions by the hold point at which they fall due, and what must be shown there in full."""

from __future__ import annotations

from riskhelper.assessment.result import Condition, ControlState
from riskhelper.interval import Interval
from riskhelper.interview.reading import readable
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.statement.document import Block, Column, Grid, Heading, Paragraph
from riskhelper.statement.figures import clause, counted, figure, number, sentence
from riskhelper.statement.selection import Selection
from riskhelper.terms import spoken
from riskhelper.units import with_unit

_PLACED = ("pending", "control", "stop_later")


def planned_controls(selection: Selection) -> tuple[ControlState, ...]:
    """Controls that are planned or proved, each once, in the order of their hold points."""
    found: dict[str, ControlState] = {}
    for hazard in selection.assessment.hazards:
        for control in hazard.controls:
            if control.planned or control.proved:
                found.setdefault(control.id, control)
    order = {name: place for place, name in enumerate(selection.rules.milestones)}
    return tuple(sorted(found.values(), key=lambda control: order.get(control.hold_point, len(order))))


def condition_blocks(selection: Selection) -> tuple[Block, ...]:
    """What holds throughout; then by hold point the controls in full, the checks and the stops that wait."""
    conditions = selection.assessment.conditions
    controls = planned_controls(selection)
    order = {name: place for place, name in enumerate(selection.rules.milestones)}
    placed = [c for c in conditions if c.kind in _PLACED]
    named = {due_at(selection, c) for c in placed} | {control.hold_point for control in controls}
    general = [c for c in conditions if c.kind not in _PLACED]
    blocks: list[Block] = [Heading("Controls and other conditions, by the hold point at which they fall due")]
    if general:
        blocks.append(Paragraph("Throughout the work:"))
    blocks += [Paragraph(sentence(c.words), bullet=True) for c in general]
    if not conditions:
        blocks.append(Paragraph("No condition is open at this milestone."))
    if not controls:
        blocks.append(Paragraph("No control is planned. A hazard of 10 or more with nothing planned is a stop."))
    rows: list[tuple[str, ...]] = []
    for name in sorted(named, key=lambda name: order.get(name, -1)):
        rows += _rows(selection, name, placed, [c for c in controls if c.hold_point == name])
    columns = (
        Column("Before", 2.2, strong=True),
        Column("Control, or what else must be true", 7.6),
        Column("Kind", 2.2),
        Column("By whom: evidence", 4),
    )
    if rows:
        blocks.append(Grid(columns, tuple(rows)))
    return tuple(blocks)


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


def _rows(
    selection: Selection, name: str, placed: list[Condition], controls: list[ControlState]
) -> list[tuple[str, ...]]:
    """The controls of a hold point, then its checks and the stops that wait for them."""
    due = [condition for condition in placed if due_at(selection, condition) == name]
    shown = sum(len(condition.ids) or 1 for condition in due if condition.kind == "pending")
    stops = {stop.id: stop.title for stop in selection.assessment.later_stops}
    waiting = [stops.get(i, c.words) for c in due if c.kind == "stop_later" for i in c.ids]
    point = selection.hold_point_words(name)
    released = selection.rules.hold_points[name].released_by if name in selection.rules.hold_points else "issuer"
    rows = [_control_row(selection, control, point) for control in controls]
    if shown or waiting:
        checks = f"{counted(shown, 'check', 'checks')} in its box" if shown else "no check of its own"
        stop = f"; a stop until shown: {'; '.join(clause(words) for words in waiting)}" if waiting else ""
        rows.append((point, checks[:1].upper() + checks[1:] + stop, "check", f"{released}: signature"))
    return rows


def _control_row(selection: Selection, control: ControlState, point: str) -> tuple[str, ...]:
    planned, proof = selection.job.planned.get(control.id), selection.job.proved.get(control.id)
    evidence = _evidence(selection, control.id)
    if control.proved and proof is not None:
        second = f", second person {proof.second}" if proof.second else ""
        evidence = f"{evidence}. Seen: {proof.evidence}, {proof.who}{second}"
    return (
        f"{point} OVERDUE" if control.overdue else point,
        f"{spoken(control.id)}: {clause(control.do)}",
        control.kind.value,
        f"{(planned.by if planned is not None else '') or control.by}: {evidence}",
    )


def due_lines(selection: Selection, hold_point: str) -> tuple[str, ...]:
    """Everything that must be true at a hold point: each check with what the plan counts on, each control by name."""
    lines: list[str] = []
    for condition in selection.assessment.conditions:
        if condition.hold_point != hold_point:
            continue
        checks = [name for name in condition.ids if name in selection.rules.questions]
        if condition.kind == "pending" and checks:
            lines += [_check(selection, selection.rules.questions[name]) for name in checks]
        elif condition.kind == "control":
            lines += _in_place(selection, condition)
        else:
            lines.append(sentence(condition.words))
    return tuple(lines)


def _check(selection: Selection, question: QuestionEntry) -> str:
    expected = counted_on(question)
    same = selection.job.answers.get(question.expect_as)
    if same is not None and not expected:
        expected = f"as answered: {readable(selection.rules.questions[question.expect_as], same)}"
    return f"{question.ask} → {expected}" if expected else f"{question.ask} →"


def _in_place(selection: Selection, condition: Condition) -> list[str]:
    """Controls by name, each with the evidence to be seen."""
    names = [name for name in condition.ids if name in selection.rules.controls]
    return [f"In place: {spoken(name)} → {_evidence(selection, name)}" for name in names] or [
        sentence(condition.words)
    ]


def _evidence(selection: Selection, name: str) -> str:
    planned = selection.job.planned.get(name)
    return (planned.evidence if planned is not None else "") or "; ".join(selection.rules.controls[name].evidence)


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
        return with_unit(number(float(expect), question.step), question.unit)
    return ""


def _reading(question: QuestionEntry, low: float, high: float) -> str:
    """The plan counts on true values; a reading must stay inside by its error."""
    if isinstance(question.error, float) and high - low > 2 * question.error:
        span = figure(Interval(low + question.error, high - question.error), question.unit, question.step)
        return f"a reading of {span}"
    span = figure(Interval(low, high), question.unit, question.step)
    return f"{span}, less the error of the reading at both ends" if question.error is not None else span
