"""The isolation plan, and reinstatement as its reverse with locks and earths counted.

Beside plant in service only the job's own supplies have points; nothing printed then calls the plant isolated.
"""

from __future__ import annotations

from datetime import datetime

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.entries import IsolationRowEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement import cautions
from riskhelper.statement.document import Block, Column, Document, Facts, Grid, Heading, Paragraph
from riskhelper.statement.figures import sentence
from riskhelper.statement.frame import furniture
from riskhelper.statement.header import Header
from riskhelper.statement.selection import Selection
from riskhelper.terms import Truth

_SPARE_ROWS = 2
NOT_WRITTEN = "NOT WRITTEN in the rule set"
_IN_FULL = Paragraph(
    "The isolation plan, a paper of its own, says for each row what it is for, how the plant is shut down first, how "
    "it is secured, who places and removes it, and how it is handed on."
)
_ROW = Column("Row", 0.7, strong=True)
_EARTHS_OFF = Paragraph(
    "Working earths come off by number and are counted; on and off must agree before anything else moves.",
    bullet=True,
)
_EARTH = Column("Earth no.", 1.2)


def _plan_columns(in_service: bool, in_full: bool) -> tuple[Column, ...]:
    """Earths have a column only where the plant itself is switched off."""
    return (
        _ROW,
        Column("Point: for, shut down, isolate, secure, prove" if in_full else "Point, device, how proved", 6),
        Column("Lock, tag, key nos.", 1.8),
        *(() if in_service else (_EARTH,)),
        Column("Proved: where, by what, reading", 2.2),
        Column("Done; checked", 1.9),
    )


def _return_columns(in_service: bool) -> tuple[Column, ...]:
    return (
        _ROW,
        Column("Point, in reverse order", 6),
        *(() if in_service else (_EARTH,)),
        Column("Lock, tag off nos.", 1.8),
        Column("Position left in", 2.2),
        Column("Done; checked", 1.9),
    )


def isolation_rows(selection: Selection) -> tuple[tuple[IsolationRowEntry, bool], ...]:
    """Rows of this job in the order of the rule set, each with whether it only may apply."""
    rows = []
    for row in selection.rules.isolation_rows:
        if row.road == "permit" and selection.stays_in_service:
            continue
        truth = selection.applies(row.if_)
        if truth is not Truth.NO:
            rows.append((row, truth is Truth.CANNOT_TELL))
    return tuple(rows)


def isolation_blocks(selection: Selection, *, in_full: bool = False) -> tuple[Block, ...]:
    """Plan, counts, and return in reverse. In full each row says every part of the plan; else that paper is named."""
    rows = isolation_rows(selection)
    in_service = selection.stays_in_service
    title = "Points of the job's own supplies (the plant stays in service)" if in_service else "Isolation plan"
    blocks: list[Block] = [Heading(title)]
    if in_service:
        blocks.append(
            Paragraph(
                "These rows concern the job's own circuits and fittings only. They say nothing about the plant."
            )
        )
    blocks.append(
        Paragraph(
            "The control engineer's schedule fixes the order of switching. A point is identified in two "
            "ways before it is "
            "touched. The detector is proved before and after each test. A lock secures, a tag only tells."
        )
    )
    columns = _plan_columns(in_service, in_full)
    blanks = ("",) * (len(columns) - 2)
    plan = [
        (str(place), _row_words(row, maybe, in_full), *blanks) for place, (row, maybe) in enumerate(rows, start=1)
    ]
    spare = [(str(len(rows) + extra), "", *blanks) for extra in range(1, _SPARE_ROWS + 1)]
    blocks.append(Grid(columns, tuple(plan + spare), roomy=True))
    earths = "" if in_service else "earths on ________   "
    blocks += _hands_blocks(rows) if in_full else (_IN_FULL,)
    blocks.append(Facts((("Counted", f"locks on ________   {earths}keys in the box ________"),)))
    return (*blocks, *_return_blocks(rows, in_service))


def _row_words(row: IsolationRowEntry, maybe: bool, in_full: bool) -> str:
    """A row as it is worked. What it does not say stands as a gap."""
    parts = [("Proved by", row.proved_by)]
    if in_full:
        parts = [
            ("For", row.purpose),
            ("Shut down", row.shut_down),
            ("Isolate", row.device),
            ("Secure", row.secured),
            ("Prove", row.proved_by),
        ]
    device = () if in_full else (sentence(row.device),)
    words = " ".join(
        (sentence(row.point), *device, *(f"{name}: {sentence(said or NOT_WRITTEN)}" for name, said in parts))
    )
    return f"If it applies: {words}" if maybe else words


def _hands_blocks(rows: tuple[tuple[IsolationRowEntry, bool], ...]) -> tuple[Block, ...]:
    """Who places and removes what, and how it is handed on, said once for all rows that share it."""
    shared: dict[tuple[str, str], list[str]] = {}
    for place, (row, _) in enumerate(rows, start=1):
        shared.setdefault((row.by or NOT_WRITTEN, row.transferred or NOT_WRITTEN), []).append(str(place))
    listed = tuple((", ".join(places), by, handed) for (by, handed), places in shared.items())
    columns = (Column("Rows", 1.6, strong=True), Column("Who places and removes", 5), Column("Handed on", 5))
    return (Grid(columns, listed),) if listed else ()


def _return_blocks(rows: tuple[tuple[IsolationRowEntry, bool], ...], in_service: bool) -> tuple[Block, ...]:
    columns = _return_columns(in_service)
    blanks = ("",) * (len(columns) - 2)
    returned = [(str(place), row.point, *blanks) for place, (row, _) in reversed(tuple(enumerate(rows, start=1)))]
    spare = [(str(len(rows) + extra), "", *blanks) for extra in range(_SPARE_ROWS, 0, -1)]
    supply = (
        "Nobody stands beside a supply when it comes back."
        if in_service
        else ("Nobody stands beside the plant when it is switched on.")
    )
    return (
        Heading("Putting back, in reverse order", 2),
        Paragraph("Not before the hand-back is accepted and no open permit needs the point.", bullet=True),
        Paragraph(
            "People, tools and rags are counted out first; the crew's own locks come off by their own hands.",
            bullet=True,
        ),
        *(() if in_service else (_EARTHS_OFF,)),
        Paragraph(
            "Fire system back to automatic after the LAST person is out; drains as they were. " + supply,
            bullet=True,
        ),
        Grid(columns, tuple(spare + returned), roomy=True),
        Facts(
            (
                *(
                    ()
                    if in_service
                    else (("Earths on / earths off", "on ________   off ________   difference must be 0"),)
                ),
                ("Locks on / locks off", "on ________   off ________   difference must be 0"),
                ("Keys in / keys out", "in ________   out ________   difference must be 0"),
            )
        ),
    )


def isolation_sheet(rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """Plan and return of the points as a paper of its own, for the person who switches."""
    selection = Selection(rules, job, assessment, now)
    blocks = (cautions.one_page_notice(), *isolation_blocks(selection, in_full=True), cautions.one_page_notice())
    title = "Points of the job's own supplies" if selection.stays_in_service else "Isolation plan and register"
    return Document(furniture(title, selection, header), blocks, now)
