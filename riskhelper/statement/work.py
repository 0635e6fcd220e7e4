"""Controls, people, things to bring, and the ordered steps with their hold points."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from riskhelper.ruleset.entries import HoldPointEntry, StepEntry
from riskhelper.statement import cautions
from riskhelper.statement.day_line import SHIFT_MIN
from riskhelper.statement.document import Block, Column, Grid, Heading, HoldBox, Listing, Paragraph, Step, Steps
from riskhelper.statement.due import due_lines, planned_controls
from riskhelper.statement.selection import Selection
from riskhelper.terms import PLACE_WORDS, Truth, spoken

_JOINT = re.compile(r",| and | or | with | in service| gives")


def control_care_blocks(selection: Selection) -> tuple[Block, ...]:
    """How the controls are put in, watched and reviewed; they themselves stand by their hold points."""
    return (
        Heading("How the controls are put in, watched and reviewed"),
        Paragraph(
            "Put in: by the person named, proved by the evidence named, before the hold point named. A promise is "
            "not evidence: a control without it counts for nothing once its hold point is reached.",
            bullet=True,
        ),
        Paragraph(
            "Watched: the work leader goes through them at each hold point, after each break and when anybody "
            "joins; what ages is read again in the times below.",
            bullet=True,
        ),
        Paragraph(f"Reviewed: {cautions.DEPARTED}", bullet=True),
        *_ageing(selection),
    )


def _ageing(selection: Selection) -> tuple[Block, ...]:
    rows = tuple(
        (question.ask, f"{question.life_min} min", "", "", "")
        for name, question in selection.rules.questions.items()
        if 0 < (question.life_min or 0) < SHIFT_MIN and selection.is_asked(name)
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
    applying = {hazard.id: spoken(hazard.id) for hazard in selection.assessment.hazards}
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
    items = tuple((f"{item} (if it applies)" if maybe else item, "") for item, maybe in listed.items())
    return (
        Heading("Equipment and kit"),
        Paragraph("Tick what is aboard; behind it its number and test date."),
        Listing(items, ticked=True) if items else Paragraph("The rule set names nothing to bring."),
    )


def people_blocks(selection: Selection) -> tuple[Block, ...]:
    """Which roles this job needs, what each does, the local title, and room for name and authority."""
    local = selection.rules.local.roles if selection.rules.local is not None else {}
    rows = tuple(
        (f"{role} ({local.get(role, 'as local law says')}): {'; '.join(duties)}", "")
        for role, duties in duties_of(selection).items()
    )
    columns = (Column("Who (title and qualification): does what", 5), Column("Name; authority no., valid to", 2.6))
    return (
        Heading("People and qualifications needed"),
        Paragraph("The licensed or authorised persons of the place decide; a name goes in only with its paper seen."),
        Grid(columns, rows, roomy=True, panes=2),
    )


def duties_of(selection: Selection) -> dict[str, list[str]]:
    """What each role does; who is named together with others stands in each role's own row."""
    tasks: list[tuple[str, str, str]] = [(p.released_by, "releases", p.words) for p, _ in selection.hold_points]
    tasks += [(step.who, "steps", str(place)) for place, (step, _) in enumerate(selection.steps, start=1)]
    for control in planned_controls(selection):
        planned = selection.job.planned.get(control.id)
        by = (planned.by if planned is not None else "") or control.by
        tasks.append((by, "sees to", spoken(control.id)))
    tasks += [(stop.who, "may lift", stop.title) for stop in selection.assessment.stops]
    local = selection.rules.local.roles if selection.rules.local is not None else {}
    single = {
        name for name in ("work leader", "issuer", *local, *(who for who, _, _ in tasks)) if not _JOINT.search(name)
    }
    found: dict[str, dict[str, list[str]]] = {"work leader": {}, "issuer": {}}
    for who, kind, what in tasks:
        named = (
            [role for role in sorted(single) if re.search(rf"\b{re.escape(role)}\b", who)]
            if _JOINT.search(who)
            else []
        )
        for role in named or [who]:
            found.setdefault(role, {}).setdefault(kind, []).append(what)
    return {
        role: [_duty(kind, what) for kind, what in kinds.items()]
        or ["leads the work" if role == "work leader" else "issues"]
        for role, kinds in found.items()
    }


def _duty(kind: str, what: Sequence[str]) -> str:
    if kind == "steps":
        return f"{'step' if len(what) == 1 else 'steps'} {_runs(what)}"
    return f"{kind} {len(what)} controls" if kind == "sees to" and len(what) > 1 else f"{kind} {', '.join(what)}"


def _runs(numbers: Iterable[str]) -> str:
    """Numbers in order, three and more in a row as a run.

    >>> _runs(["1", "2", "3", "5", "7", "8"])
    '1 to 3, 5, 7, 8'
    """
    runs: list[list[int]] = []
    for number in map(int, numbers):
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return ", ".join(told)
