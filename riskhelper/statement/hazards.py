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
        Column("Band", 3),
        Column("What it demands", 6),
        Column("Accepted by", 1.8),
    )
    blocks.append(
        Paragraph(
            "Likelihood and severity run from 1 to 5; their product puts the hazard into a band. Scores are never "
            "added across hazards. As planned counts controls that are only promised. As proved counts recorded "
            "evidence alone, and every check that is still ahead at its worst. A number without a reason is the "
            "least this hazard ever has."
        )
    )
    blocks += [Grid(columns, rows, small=True), _levels(selection)]
    serious = [hazard for hazard in hazards if hazard.as_found.product >= _IN_FULL_FROM]
    lesser = [hazard for hazard in hazards if hazard.as_found.product < _IN_FULL_FROM]
    if serious:
        blocks.append(Heading(f"Hazards of {_IN_FULL_FROM} and more as found", 2))
        blocks.append(Paragraph("Full disc as found, open diamond as planned, full square as proved.", small=True))
    blocks += [_in_full(selection, hazard) for hazard in serious]
    if lesser:
        blocks += [Heading(f"Hazards below {_IN_FULL_FROM} as found", 2), _lesser(lesser)]
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
    columns = (Column("Level", 1, strong=True), Column("Likelihood", 5.5), Column("Severity", 5.5))
    return Grid(columns, rows, small=True)


def _in_full(selection: Selection, hazard: HazardFinding) -> RatingRuler:
    lines = [
        f"{sentence(hazard.who[:1].upper() + hazard.who[1:])} {sentence(hazard.harm)} "
        f"{_raised('Likelihood', hazard.as_found.likelihood, hazard.likelihood_reasons)} "
        f"{_raised('Severity', hazard.as_found.severity, hazard.severity_reasons)}",
        f"Controls: {_answered(hazard)}.",
    ]
    others = [c for c in hazard.controls if not (c.planned or c.proved) and c.usable]
    if others and not any(c.planned or c.proved for c in hazard.controls):
        lines.append(f"Could be planned: {'; '.join(clause(control.do) for control in others)}.")
    lines += [f"Held: {sentence(h)}" for h in dict.fromkeys((hazard.as_planned.held, hazard.as_proved.held)) if h]
    if hazard.administrative_accepted:
        lines.append(f"Administrative control accepted, because: {sentence(hazard.administrative_accepted)}")
    return RatingRuler(
        _title(hazard),
        tuple(lines),
        tuple(BandMark(band.up_to, band.id.replace("_", " ")) for band in selection.rules.matrix.bands),
        _reading(selection, "as found", hazard.as_found),
        _reading(selection, "as planned", hazard.as_planned),
        _reading(selection, "as proved", hazard.as_proved),
    )


def _lesser(hazards: Sequence[HazardFinding]) -> Grid:
    columns = (
        Column("Hazard", 4.9, strong=True),
        Column("Found", 1.1),
        Column("Planned", 1.1),
        Column("Proved", 1.1),
        Column("Raised by", 3.9),
        Column("Controls", 1.7),
    )
    return Grid(columns, tuple(_lesser_row(hazard) for hazard in hazards), small=True)


def _lesser_row(hazard: HazardFinding) -> tuple[str, ...]:
    reasons = [why(reason) for reason in (*hazard.likelihood_reasons, *hazard.severity_reasons)]
    ratings = (hazard.as_found, hazard.as_planned, hazard.as_proved)
    return (
        _title(hazard),
        *(f"{rating.likelihood}×{rating.severity}={rating.product}" for rating in ratings),
        "; ".join(clause(words) for words in dict.fromkeys(reasons)) or "–",
        _answered(hazard),
    )


def _title(hazard: HazardFinding) -> str:
    return hazard.title if hazard.applies is Truth.YES else f"{hazard.title} (cannot be ruled out)"


def _answered(hazard: HazardFinding) -> str:
    named = [
        spoken(control.id) + (" (proved)" if control.proved else "")
        for control in hazard.controls
        if control.planned or control.proved
    ]
    return "; ".join(named) or "none planned"


def _reading(selection: Selection, label: str, rating: Rating) -> Reading:
    band = next(b for b in selection.rules.matrix.bands if b.id == rating.band)
    words = f"{rating.likelihood} × {rating.severity} = {rating.product}, {band.id.replace('_', ' ')}"
    return Reading(label, rating.product, words)


def _raised(scale: str, level: int, reasons: Sequence[Reason]) -> str:
    shown = dict.fromkeys(why(reason) for reason in sorted(reasons, key=lambda reason: not reason.decides))
    return f"{scale} {level}: {'; '.join(clause(words) for words in shown)}." if shown else f"{scale} {level}."
