"""Hazards as blocks: one ruler each, what raises it, and what answers it."""

from __future__ import annotations

from collections.abc import Sequence

from riskhelper.assessment.result import HazardFinding, Rating, Reason
from riskhelper.ruleset.entries import BandEntry
from riskhelper.statement.document import (
    BandMark,
    Block,
    Column,
    Grid,
    Heading,
    Paragraph,
    RatingRuler,
    Reading,
)
from riskhelper.statement.figures import clause, sentence
from riskhelper.statement.findings import why
from riskhelper.statement.selection import Selection
from riskhelper.terms import Truth, spoken

_IN_FULL_FROM = 10


def hazard_blocks(selection: Selection) -> tuple[Block, ...]:
    """Each hazard with its ruler, what raises it and what answers it."""
    hazards = selection.assessment.hazards
    blocks: list[Block] = [Heading("Hazards and risks: as found, as planned, as proved")]
    bands = selection.rules.matrix.bands
    rows = tuple((str(band.up_to), _band(band), band.demands, band.accepted_by) for band in bands)
    columns = (
        Column("Up to", 1, strong=True),
        Column("Band", 3.5),
        Column("What it demands", 4),
        Column("Accepted by", 2.5),
    )
    blocks.append(
        Paragraph(
            "Likelihood and severity run from 1 to 5; their product puts the hazard into a band. Scores are never "
            "added across hazards. As planned counts controls that are only promised. As proved counts recorded "
            "evidence alone, and every check that is still ahead at its worst."
        )
    )
    blocks += [Grid(columns, rows), _levels(selection)]
    serious = [hazard for hazard in hazards if hazard.as_found.product >= _IN_FULL_FROM]
    lesser = [hazard for hazard in hazards if hazard.as_found.product < _IN_FULL_FROM]
    for hazard in serious:
        blocks += _hazard(selection, hazard)
    if lesser:
        blocks += [
            Heading(f"Hazards below {_IN_FULL_FROM} as found", 2),
            Paragraph("On one line each: full disc as found, open diamond as planned, full square as proved."),
        ]
    for hazard in lesser:
        blocks += _lesser_hazard(selection, hazard)
    if not hazards:
        blocks.append(Paragraph("No hazard of the rule set applies to what was answered."))
    return tuple(blocks)


def _band(band: BandEntry) -> str:
    name = band.id.replace("_", " ")
    return band.words if band.words.startswith(name) else f"{name}: {band.words}"


def _levels(selection: Selection) -> Grid:
    matrix = selection.rules.matrix
    levels = zip(matrix.likelihood, matrix.severity, strict=True)
    rows = tuple((str(level), *words) for level, words in enumerate(levels, start=1))
    return Grid((Column("Level", 1, strong=True), Column("Likelihood", 5), Column("Severity", 5)), rows)


def _hazard(selection: Selection, hazard: HazardFinding) -> tuple[Block, ...]:
    others = [c for c in hazard.controls if not (c.planned or c.proved) and c.usable]
    blocks: list[Block] = [
        Heading(_title(hazard), 2),
        Paragraph(f"Who is harmed and how: {clause(hazard.who)}; {sentence(hazard.harm)}"),
        _ruler(selection, hazard),
        Paragraph(_raised("Likelihood", hazard.as_found.likelihood, hazard.likelihood_reasons), bullet=True),
        Paragraph(_raised("Severity", hazard.as_found.severity, hazard.severity_reasons), bullet=True),
        Paragraph(_answered(hazard), bullet=True),
    ]
    if others and not any(c.planned or c.proved for c in hazard.controls):
        offered = "; ".join(clause(control.do) for control in others)
        blocks.append(Paragraph(f"Could be planned: {offered}.", bullet=True))
    for held in dict.fromkeys((hazard.as_planned.held, hazard.as_proved.held)):
        if held:
            blocks.append(Paragraph(f"Held: {sentence(held)}", bullet=True))
    if hazard.administrative_accepted:
        accepted = sentence(hazard.administrative_accepted)
        blocks.append(Paragraph(f"Administrative control accepted, because: {accepted}", bullet=True))
    return tuple(blocks)


def _lesser_hazard(selection: Selection, hazard: HazardFinding) -> tuple[Block, ...]:
    reasons = [why(reason) for reason in (*hazard.likelihood_reasons, *hazard.severity_reasons)]
    raised = "; ".join(clause(words) for words in dict.fromkeys(reasons))
    words = f"{sentence(hazard.harm)}{f' Raised by: {raised}.' if raised else ''} {_answered(hazard)}"
    return (_ruler(selection, hazard, _title(hazard)), Paragraph(words, bullet=True))


def _title(hazard: HazardFinding) -> str:
    return hazard.title if hazard.applies is Truth.YES else f"{hazard.title} (cannot be ruled out)"


def _answered(hazard: HazardFinding) -> str:
    named = [
        spoken(control.id) + (" (proved)" if control.proved else "")
        for control in hazard.controls
        if control.planned or control.proved
    ]
    return f"Controls: {'; '.join(named)}." if named else "Controls: none planned."


def _ruler(selection: Selection, hazard: HazardFinding, title: str = "") -> RatingRuler:
    return RatingRuler(
        tuple(BandMark(band.up_to, band.id.replace("_", " ")) for band in selection.rules.matrix.bands),
        _reading(selection, "as found", hazard.as_found),
        _reading(selection, "as planned", hazard.as_planned),
        _reading(selection, "as proved", hazard.as_proved),
        title,
    )


def _reading(selection: Selection, label: str, rating: Rating) -> Reading:
    band = next(b for b in selection.rules.matrix.bands if b.id == rating.band)
    words = f"{rating.likelihood} × {rating.severity} = {rating.product}, {band.id.replace('_', ' ')}"
    return Reading(label, rating.product, words)


def _raised(scale: str, level: int, reasons: Sequence[Reason]) -> str:
    shown = dict.fromkeys(why(reason) for reason in sorted(reasons, key=lambda reason: not reason.decides))
    return (
        f"{scale} {level}: {'; '.join(clause(words) for words in shown)}."
        if shown
        else f"{scale} {level}: the least this hazard ever has."
    )
