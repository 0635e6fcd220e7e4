"""The briefing sheet: what everybody must have heard, and a line for everybody who did."""

from __future__ import annotations

from datetime import datetime

from riskhelper.assessment.result import Assessment, HazardFinding
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement import cautions
from riskhelper.statement.document import Block, Column, Document, Facts, Grid, Heading, Paragraph
from riskhelper.statement.emergency import half_way_state, leak_lines
from riskhelper.statement.figures import clause, sentence
from riskhelper.statement.findings import verdict_line
from riskhelper.statement.frame import furniture
from riskhelper.statement.header import Header
from riskhelper.statement.selection import Selection
from riskhelper.statement.summary import first_words

_ROWS = 4
_LEAK_LINES = 2
_CONTROLS_SHOWN = 2
_WORDS_SHOWN = 120
_TITLE_SHOWN = 44


def briefing_sheet(rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """One page, read aloud at the work before the start, after each break and to everybody who joins."""
    selection = Selection(rules, job, assessment, now)
    hazards = tuple((first_words(hazard.title, _TITLE_SHOWN), _answer(hazard)) for hazard in assessment.worst)
    points = " - ".join(point.words for point, _ in selection.hold_points)
    blocks: tuple[Block, ...] = (
        Heading("Briefing sheet"),
        cautions.one_page_notice(),
        Paragraph(f"{assessment.verdict.words}. {verdict_line(selection)}", strong=True),
        Heading("The worst that can happen, and what answers it", 2),
        Facts(hazards or (("Hazards", "none of the rule set applies to what was answered"),)),
        Heading("Where everything waits for a signature", 2),
        Paragraph(points or "No hold point is set for this job."),
        Heading("Stop, half-way state, leak", 2),
        Paragraph("STOP is said by anybody, works at once, and needs no reason."),
        Paragraph(half_way_state()),
        Paragraph(" ".join(leak_lines(selection.stays_in_service)[:_LEAK_LINES])),
        Facts((("Muster point, call for help", header.muster_point),)),
        *signing_on_blocks(_ROWS, fills_page=True),
    )
    return Document(furniture("Briefing sheet", selection, header), blocks, now)


def _answer(hazard: HazardFinding) -> str:
    planned = [clause(control.do) for control in hazard.controls if control.planned or control.proved]
    words = "; ".join(planned[:_CONTROLS_SHOWN]) or "no control is planned"
    return first_words(f"{sentence(hazard.harm)} Answer: {words}", _WORDS_SHOWN)


def signing_on_blocks(rows: int, *, fills_page: bool = False) -> tuple[Block, ...]:
    """Room for everybody who was briefed to sign on and off."""
    return (
        Heading("Briefed and signed on"),
        Paragraph("Briefed on stops, limits, half-way state, leak and muster point. Everybody signs in person."),
        Grid(
            (
                Column("Name", 3),
                Column("Signature", 3),
                Column("On, time", 1.6),
                Column("Off, time", 1.6),
                Column("Own lock no.", 1.8),
            ),
            (("", "", "", "", ""),) * rows,
            roomy=True,
            fills_page=fills_page,
        ),
    )
