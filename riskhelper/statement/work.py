"""Controls, people, things to bring, and the ordered steps with their hold points."""

from __future__ import annotations

from collections.abc import Iterable

from riskhelper.assessment.result import ControlState
from riskhelper.ruleset.entries import HoldPointEntry, StepEntry
from riskhelper.statement import cautions
from riskhelper.statement.document import Block, Column, Grid, Heading, HoldBox, Paragraph, Step, Steps
from riskhelper.statement.due import due_lines
from riskhelper.statement.figures import clause
from riskhelper.statement.selection import Selection
from riskhelper.terms import PLACE_WORDS, Truth, spoken


def planned_controls(selection: Selection) -> tuple[ControlState, ...]:
    """Controls that are planned or proved, each once, in the order of their hold points."""
    found: dict[str, ControlState] = {}
    for hazard in selection.assessment.hazards:
        for control in hazard.controls:
            if control.planned or control.proved:
                found.setdefault(control.id, control)
    order = {name: place for place, name in enumerate(selection.rules.milestones)}
    return tuple(sorted(found.values(), key=lambda control: order.get(control.hold_point, len(order))))


def control_blocks(selection: Selection) -> tuple[Block, ...]:
    """Controls with owner, evidence and hold point; then how they are put in, watched and reviewed."""
    rows = tuple(_control(selection, control) for control in planned_controls(selection))
    columns = (
        Column("Control", 4.2),
        Column("Kind", 2.3),
        Column("Put in by", 1.9),
        Column("Evidence", 2.4),
        Column("Before", 1.8, strong=True),
        Column("Seen, time", 1.8),
    )
    none = Paragraph("No control is planned. A hazard of 10 or more with nothing planned is a stop.")
    return (
        Heading("Controls"),
        Grid(columns, rows) if rows else none,
        Heading("How the controls are put in, watched and reviewed"),
        Paragraph(
            "Put in: by the person named, proved by the evidence named, before the hold point named. A promise is "
            "not evidence: a control without it counts for nothing once its hold point is reached.",
            bullet=True,
        ),
        Paragraph(
            "Watched: the work leader goes through this list at each hold point, after each break and when anybody "
            "joins; what ages is read again in the times below.",
            bullet=True,
        ),
        Paragraph(f"Reviewed: {cautions.DEPARTED}", bullet=True),
        *_ageing(selection),
    )


def _control(selection: Selection, control: ControlState) -> tuple[str, ...]:
    planned = selection.job.planned.get(control.id)
    proof = selection.job.proved.get(control.id)
    by = (planned.by if planned is not None else "") or control.by
    evidence = (planned.evidence if planned is not None else "") or "; ".join(control.evidence)
    seen = ""
    if control.proved and proof is not None:
        second = f", second person {proof.second}" if proof.second else ""
        seen = f"{proof.evidence}, {proof.who}{second}"
    overdue = " OVERDUE" if control.overdue else ""
    return (
        f"{spoken(control.id)}: {clause(control.do)}",
        control.kind.value,
        by,
        evidence,
        selection.hold_point_words(control.hold_point) + overdue,
        seen,
    )


def _ageing(selection: Selection) -> tuple[Block, ...]:
    rows = tuple(
        (question.ask, f"{question.life_min} min", "", "", "")
        for name, question in selection.rules.questions.items()
        if question.life_min is not None and selection.is_asked(name)
    )
    if not rows:
        return ()
    columns = (
        Column("Read or ask again", 4.5),
        Column("After at most", 1.6, strong=True),
        Column("Time, found", 1.5),
        Column("Time, found", 1.5),
        Column("Time, found", 1.5),
    )
    return (Grid(columns, rows),)


def step_blocks(selection: Selection) -> tuple[Block, ...]:
    """All steps of this job in order; each hold point stands after the last step that leads to it."""
    items: list[Step | HoldBox] = []
    points = selection.hold_points_by_id
    last = {step.hold_point: place for place, (step, _) in enumerate(selection.steps) if step.hold_point}
    for place, (entry, maybe) in enumerate(selection.steps):
        items.append(_step(selection, entry, maybe, place + 1))
        if entry.hold_point in points and last[entry.hold_point] == place:
            items.append(_hold(selection, *points.pop(entry.hold_point)))
    items += [_hold(selection, point, maybe) for point, maybe in points.values()]
    return (
        Heading("Steps in the order of work"),
        Paragraph("Keep the order. At a hold point everything waits until the named person has signed."),
        Steps(tuple(items)),
    )


def _step(selection: Selection, entry: StepEntry, maybe: bool, number: int) -> Step:
    applying = {hazard.id: hazard.title for hazard in selection.assessment.hazards}
    planned = {control.id: spoken(control.id) for control in planned_controls(selection)}
    return Step(
        number,
        PLACE_WORDS[entry.place],
        entry.do,
        entry.who,
        entry.tools,
        tuple(applying[name] for name in entry.hazards if name in applying),
        tuple(planned[name] for name in entry.controls if name in planned),
        entry.error_likely,
        entry.check,
        maybe,
    )


def _hold(selection: Selection, point: HoldPointEntry, maybe: bool) -> HoldBox:
    return HoldBox(point.words, point.released_by, point.text, due_lines(selection, point.id), maybe)


def kit_blocks(selection: Selection) -> tuple[Block, ...]:
    """Equipment: the kit of the rule set and the tools of the steps, each once, with room to tick off by hand."""
    listed: dict[str, bool] = {}
    for kit in selection.rules.kit:
        truth = selection.applies(kit.if_)
        if truth is not Truth.NO:
            listed.setdefault(kit.item, truth is Truth.CANNOT_TELL)
    for step, maybe in selection.steps:
        for tool in step.tools:
            listed.setdefault(tool, maybe)
    rows = tuple((f"{item} (if it applies)" if maybe else item, "", "") for item, maybe in listed.items())
    columns = (Column("Bring", 6), Column("Number, test date", 2.5), Column("Aboard, initials", 2))
    return (Heading("Equipment and kit"), Grid(columns, rows or (("", "", ""),)))


def people_blocks(selection: Selection) -> tuple[Block, ...]:
    """Which roles this job needs, what each does, the local title, and room for name and authority."""
    duties: dict[str, list[str]] = {}
    for point, _ in selection.hold_points:
        duties.setdefault(point.released_by, []).append(f"releases {point.words}")
    for role in _roles(selection):
        duties.setdefault(role, [])
    numbers: dict[str, list[str]] = {}
    for place, (step, _) in enumerate(selection.steps, start=1):
        numbers.setdefault(step.who, []).append(str(place))
    for role, steps in numbers.items():
        duties.setdefault(role, []).append(f"{'step' if len(steps) == 1 else 'steps'} {', '.join(steps)}")
    local = selection.rules.local.roles if selection.rules.local is not None else {}
    rows = tuple(
        (role, "; ".join(parts) or "named in a stop or a control", local.get(role, "as local law says"), "", "")
        for role, parts in duties.items()
    )
    columns = (
        Column("Who", 2.6, strong=True),
        Column("Does", 3.2),
        Column("Title and qualification", 2.6),
        Column("Name", 1.8),
        Column("Authority no., valid to", 1.8),
    )
    return (
        Heading("People and qualifications needed"),
        Paragraph("The licensed or authorised persons of the place decide; a name goes in only with its paper seen."),
        Grid(columns, rows, roomy=True),
    )


def _roles(selection: Selection) -> Iterable[str]:
    yield "work leader"
    yield "issuer"
    for stop in selection.assessment.stops:
        yield stop.who
    for control in planned_controls(selection):
        yield control.by
