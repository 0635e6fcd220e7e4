"""The summary: what an issuer reads in ten seconds, on one page."""

from __future__ import annotations

from collections import Counter
from datetime import datetime

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement import cautions
from riskhelper.statement.document import Block, Document, Facts, Heading, Notice, Paragraph
from riskhelper.statement.due import due_at
from riskhelper.statement.findings import title_of, value_of, verdict_line, verdict_notice
from riskhelper.statement.frame import furniture
from riskhelper.statement.header import Header
from riskhelper.statement.over_shift import shift_blocks
from riskhelper.statement.selection import Selection

_STOPS_SHOWN = 3
_UNKNOWNS_SHOWN = 2
_NUMBERS_SHOWN = 3
_LINE = 50
_SENTENCE = 170


def first_words(words: str, length: int) -> str:
    """At most `length` characters, cut between words; the cut shows as three dots."""
    if len(words) <= length:
        return words
    head = words[: length - 1]
    return (head.rpartition(" ")[0] or head) + "…"


def summary_page(rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """Verdict, stops with who lifts them, what is due at each hold point, unknowns, worst three, key numbers."""
    selection = Selection(rules, job, assessment, now)
    full = verdict_notice(selection)
    lines = (full.lines[0], verdict_line(selection))
    blocks: tuple[Block, ...] = (
        Heading("Summary for the issuer"),
        Notice(full.title, lines, full.border, large=True),
        cautions.one_page_notice(),
        *shift_blocks(selection),
        *_stops(selection),
        *_worst(selection),
        *_due(selection),
        *_not_known(selection),
        *_numbers(selection),
        Facts((("Plan approved until", ""),)),
    )
    return Document(furniture("Summary", selection, header), blocks, now)


def _more(many: int, shown: int) -> tuple[tuple[str, str], ...]:
    return (("and more", f"{many - shown} more in the method statement"),) if many > shown else ()


def _stops(selection: Selection) -> tuple[Block, ...]:
    stops = selection.assessment.stops
    if not stops:
        return (Paragraph("No stop was found among what was asked."),)
    rows = tuple(
        (f"Stop {place}", f"{first_words(stop.title, _LINE)}. Lifted only by: {first_words(stop.who, _LINE)}")
        for place, stop in enumerate(stops[:_STOPS_SHOWN], start=1)
    )
    return (Heading("Stops", 2), Facts((*rows, *_more(len(stops), _STOPS_SHOWN))))


def _worst(selection: Selection) -> tuple[Block, ...]:
    rows = tuple(
        (f"{hazard.as_found.product}, planned {hazard.as_planned.product}", first_words(hazard.title, _LINE))
        for hazard in selection.assessment.worst
    )
    return (Heading("Worst hazards as found, likelihood times severity (1 to 25)", 2), Facts(rows)) if rows else ()


def _due(selection: Selection) -> tuple[Block, ...]:
    order = {name: place for place, name in enumerate(selection.rules.milestones)}
    due = Counter(due_at(selection, condition) for condition in selection.assessment.conditions)
    places = sorted(due, key=lambda name: order.get(name, -1))
    counts = ", ".join(f"{selection.hold_point_words(name)} {due[name]}" for name in places)
    return (Heading("Conditions due, by hold point", 2), Paragraph(f"{counts}.")) if counts else ()


def _not_known(selection: Selection) -> tuple[Block, ...]:
    names = selection.assessment.unknowns
    if not names:
        return ()
    asked = " ".join(selection.asked(name) for name in names[:_UNKNOWNS_SHOWN])
    more = f" And {len(names) - _UNKNOWNS_SHOWN} more." if len(names) > _UNKNOWNS_SHOWN else ""
    return (Paragraph("Not known, counted at its worst: " + first_words(asked, _SENTENCE) + more),)


def _numbers(selection: Selection) -> tuple[Block, ...]:
    """Figures that stops and the worst hazards rest on come first."""
    assessment = selection.assessment
    stops = [reason for stop in (*assessment.stops, *assessment.later_stops) for reason in stop.reasons]
    worst = [r for hazard in assessment.hazards for r in (*hazard.likelihood_reasons, *hazard.severity_reasons)]
    read = list(dict.fromkeys(name for reason in (*stops, *worst) for name in reason.facts))
    key = sorted(selection.quantities, key=lambda q: read.index(q.id) if q.id in read else len(read))
    rows = []
    for quantity in key[:_NUMBERS_SHOWN]:
        mark = " (ASSUMED input)" if quantity.assumed else ""
        rows.append((value_of(selection, quantity), first_words(title_of(quantity), _LINE) + mark))
    return (Heading("Key numbers", 2), Facts(tuple(rows))) if rows else ()
