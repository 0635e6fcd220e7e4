"""Verdict, stops, conditions, unknowns, numbers and hazards as blocks of a paper."""

from __future__ import annotations

from riskhelper.assessment.result import QuantityShown, Reason, StopFinding
from riskhelper.assessment.wording import plain_name
from riskhelper.statement.document import (
    Block,
    Border,
    Column,
    Grid,
    Heading,
    Notice,
    Paragraph,
    Together,
)
from riskhelper.statement.figures import clause, counted, figure, moment, sentence
from riskhelper.statement.pictures import pictures
from riskhelper.statement.selection import Selection
from riskhelper.terms import EARLY_MILESTONES, Standing, StopKind, Verdict, spoken

_BORDERS = {
    Verdict.STOP: Border.DOUBLE,
    Verdict.CONDITIONS: Border.DASHED,
    Verdict.NO_STOP_FOUND: Border.SINGLE,
}
_MEANING = {
    Verdict.STOP: "Work must not start or go on until every stop below is lifted by the person named beside it.",
    Verdict.CONDITIONS: "The plan holds only with every condition below met, at its hold point, by the person named.",
    Verdict.NO_STOP_FOUND: "Among what was asked nothing stops the work. That is all these words mean.",
}
_CHECK_FIRST = (Standing.MEMORY,)


def verdict_line(selection: Selection) -> str:
    """Which verdict, as of when, and how much stands behind it, in one sentence."""
    assessment = selection.assessment
    early = assessment.milestone in EARLY_MILESTONES
    kind = "Plan verdict" if early else "Work verdict"
    place = assessment.milestone if early else selection.hold_point_words(assessment.milestone)
    return (
        f"{kind} ({place}), as of {moment(selection.now)}: {counted(len(assessment.stops), 'stop', 'stops')}, "
        f"{counted(len(assessment.conditions), 'condition', 'conditions')}, "
        f"{counted(len(assessment.unknowns), 'answer not known', 'answers not known')}."
    )


def verdict_notice(selection: Selection) -> Notice:
    """The verdict in large words; the frame tells it apart on a bad copy."""
    assessment = selection.assessment
    stops = assessment.stops
    lines = [_MEANING[assessment.verdict], verdict_line(selection)]
    if stops:
        lines.append("Stops: " + "; ".join(clause(stop.title) for stop in stops) + ".")
    worst = [f"{h.title} {h.as_found.product}, as planned {h.as_planned.product}" for h in assessment.worst]
    if worst:
        lines.append("Worst hazards by likelihood times severity (1 to 25), as found: " + "; ".join(worst) + ".")
    return Notice(assessment.verdict.words, tuple(lines), _BORDERS[assessment.verdict], large=True)


def why(reason: Reason) -> str:
    """One reason in a line: what it says, and whether it holds or only cannot be ruled out."""
    if reason.too_close:
        return f"{clause(reason.because)} (too close to call: a better measurement is needed)"
    if reason.holds:
        return reason.because
    rests = ", ".join(plain_name(name) for name in reason.rests_on)
    return (
        f"{clause(reason.because)} (cannot be ruled out: {rests})"
        if rests
        else f"{clause(reason.because)} (cannot be ruled out)"
    )


def stop_blocks(selection: Selection) -> tuple[Block, ...]:
    """Each stop: kind, why, what to do, who alone may lift it."""
    blocks: list[Block] = [Heading("Stops")]
    blocks += [_stop(selection, stop) for stop in selection.assessment.stops]
    for defect in selection.assessment.defects:
        words = f"A rule could not be worked out: {defect.entry}"
        lines = (
            defect.words,
            "This counts as a stop. Report it to the safety officer; only a mended rule set lifts it.",
        )
        blocks.append(Notice(words, lines, Border.DOUBLE))
    if len(blocks) == 1:
        blocks.append(Paragraph("No stop was found among what was asked. What was not asked has not been looked at."))
    ruled = selection.assessment.ruled
    if ruled:
        blocks.append(Heading("Stops turned into conditions by a signed ruling", 2))
        columns = (Column("Stop", 2, strong=True), Column("Ruling", 4), Column("By", 2))
        blocks.append(Grid(columns, tuple((stop.title, stop.ruling, stop.who) for stop in ruled)))
    return tuple(blocks)


def _stop(selection: Selection, stop: StopFinding) -> Notice:
    kind = (
        "LIMIT: it goes only when the fact changes"
        if stop.kind is StopKind.LIMIT
        else "DECISION: it goes when the fact changes, or by the signed ruling of the person named"
    )
    reasons = [
        text for text in dict.fromkeys(why(reason) for reason in stop.reasons if reason.holds) if text != stop.because
    ]
    open_answers = dict.fromkeys(name for reason in stop.reasons if not reason.holds for name in reason.rests_on)
    holds = "This holds." if stop.holds else "This cannot be ruled out, and so it stops."
    lines = [
        f"{kind}.",
        f"Why: {sentence(stop.because)} {holds}",
        *([f"What it rests on: {' '.join(sentence(reason) for reason in reasons)}"] if reasons else []),
        *(f"Not ruled out until this is known: {selection.asked(name)}" for name in open_answers),
        f"What to do: {sentence(stop.act)}",
        f"Only this person may lift it: {sentence(stop.who)}",
        f"Source: {sentence(selection.places_cited(stop.source))}",
    ]
    return Notice(f"STOP: {stop.title}", tuple(lines), Border.DOUBLE)


def unknown_blocks(selection: Selection) -> tuple[Block, ...]:
    """What nobody could say, counted at its worst, and what to do about it."""
    assessment = selection.assessment
    rows = [(selection.asked(name), selection.rules.questions[name].if_unknown, "") for name in assessment.unknowns]
    rows += [
        (selection.asked(name), "The answer is too old: ask or read it again.", "")
        for name in assessment.stale
        if name not in assessment.unknowns
    ]
    if not rows:
        return (Heading("Not known"), Paragraph("Every question due so far has an answer."))
    return (
        Heading("Not known, and counted at its worst"),
        Grid((Column("Question", 4), Column("What to do", 4), Column("Found, by whom", 2)), tuple(rows)),
    )


def number_blocks(selection: Selection) -> tuple[Block, ...]:
    """Each figure with one line of working, its source and a mark where an input was assumed."""
    rows = tuple(_number(selection, quantity) for quantity in selection.quantities)
    if not rows:
        return (Heading("Numbers"), Paragraph("No figure was worked out for this job."))
    columns = (
        Column("Figure", 2.9),
        Column("Value", 2.15, strong=True),
        Column("Working", 6.4),
        Column("Ref.", 1.05),
        Column("Mark", 1.85, strong=True),
    )
    intro = Paragraph(
        "Numbers in brackets name the references at the end. What only helps to work out another figure is left out."
    )
    return (Heading("Numbers"), intro, Grid(columns, rows), *(Together((p,)) for p in pictures(selection)))


def title_of(quantity: QuantityShown) -> str:
    """The name of a figure, with a capital."""
    title = quantity.title or spoken(quantity.id)
    return title[:1].upper() + title[1:]


def value_of(selection: Selection, quantity: QuantityShown) -> str:
    """A figure on its grid, with its unit."""
    entry = selection.rules.facts.get(quantity.id)
    return figure(quantity.value, quantity.unit, entry.resolution if entry is not None else None)


def _number(selection: Selection, quantity: QuantityShown) -> tuple[str, ...]:
    marks = []
    if quantity.assumed:
        marks.append("ASSUMED: " + ", ".join(plain_name(name) for name in quantity.assumed))
    if quantity.standing in _CHECK_FIRST:
        marks.append("TO BE CONFIRMED")
    if quantity.outside:
        marks.append(f"OUTSIDE ITS LIMITS, counted at its worst: {quantity.outside}")
    given = "; ".join(f"{name} {value}" for name, value in quantity.inputs.items())
    return (
        title_of(quantity),
        value_of(selection, quantity),
        f"{quantity.relation}; {given}" if given else quantity.relation,
        selection.cited_behind(quantity),
        "; ".join(marks) or "–",
    )
