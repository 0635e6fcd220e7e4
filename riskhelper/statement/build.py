"""The method statement: every section in the order in which it is read and worked."""

from __future__ import annotations

from datetime import datetime

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement import cautions
from riskhelper.statement.answers import answer_blocks
from riskhelper.statement.day_line import day_blocks
from riskhelper.statement.document import (
    Block,
    Column,
    Document,
    Facts,
    Grid,
    Heading,
    Listing,
    PageBreak,
    Paragraph,
    SignatureBox,
    SignatureBoxes,
    Together,
)
from riskhelper.statement.due import condition_blocks
from riskhelper.statement.emergency import emergency_blocks
from riskhelper.statement.envelope import envelope_blocks
from riskhelper.statement.figures import moment, sentence
from riskhelper.statement.findings import (
    number_blocks,
    stop_blocks,
    unknown_blocks,
    verdict_notice,
)
from riskhelper.statement.frame import furniture, road
from riskhelper.statement.hazards import hazard_blocks
from riskhelper.statement.header import Header
from riskhelper.statement.isolation import isolation_blocks
from riskhelper.statement.over_shift import shift_blocks
from riskhelper.statement.selection import Selection
from riskhelper.statement.work import control_care_blocks, kit_blocks, people_blocks, step_blocks


def method_statement(rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """The method statement of one job at one milestone and moment."""
    selection = Selection(rules, job, assessment, now)
    blocks: tuple[Block, ...] = (
        Heading(f"Method statement: {road(assessment)}"),
        verdict_notice(selection),
        cautions.first_page_notice(),
        *_head_blocks(selection, header),
        *shift_blocks(selection),
        *stop_blocks(selection),
        *condition_blocks(selection),
        *unknown_blocks(selection),
        *number_blocks(selection),
        *hazard_blocks(selection),
        *control_care_blocks(selection),
        *kit_blocks(selection),
        *people_blocks(selection),
        *day_blocks(selection, header),
        *step_blocks(selection),
        *isolation_blocks(selection),
        *answer_blocks(selection),
        *envelope_blocks(selection),
        *_reference_blocks(selection),
        *emergency_blocks(selection, header),
        PageBreak(),
        Together((*_signing_blocks(), cautions.last_page_notice())),
    )
    return Document(furniture("Method statement", selection, header), blocks, now)


def _head_blocks(selection: Selection, header: Header) -> tuple[Block, ...]:
    rules = selection.rules
    local = f"{rules.local.title}, {rules.local.edition}" if rules.local is not None else "none chosen"
    rows = (
        ("Site", header.site),
        ("Plant", header.plant),
        ("Address", header.address),
        ("Record and revision", f"{header.record_number or '________'}, revision {header.revision}"),
        ("Work leader (makes it happen)", header.work_leader),
        ("Prepared by", header.prepared_by),
        ("Prepared at", moment(header.prepared_at)),
        ("Next review", header.next_review),
        ("Permit or limitation no.", header.permit_number),
        ("Isolation document no.", header.isolation_number),
        ("Other permits in the area", header.other_permits),
    )
    deferred = rules.local.defers_to if rules.local is not None else ""
    code = f"Local code: {local}." + (f" It defers to: {sentence(deferred)}" if deferred else "")
    return (
        Heading("The job: who, where, which plant"),
        Facts(rows, panes=2),
        Paragraph(code),
        *_known_before_blocks(header),
    )


def _known_before_blocks(header: Header) -> tuple[Block, ...]:
    """What the plant's own file says: plates, and hazards that wait there whoever comes."""
    plates = (Facts(header.plates, panes=2),) if header.plates else ()
    hazards = (Listing(tuple((words, "") for words in header.known_hazards)),) if header.known_hazards else ()
    if not plates and not hazards:
        return ()
    note = Paragraph("Kept from earlier visits and the owner's register; look whether it still holds.", small=True)
    return (Heading("Known of this plant before today"), *plates, *hazards, note)


def _reference_blocks(selection: Selection) -> tuple[Block, ...]:
    listed = Listing(tuple((f"[{n}] {words}", "") for n, words in enumerate(selection.references, start=1)))
    rules = selection.rules
    parts = tuple((part.name, str(part.number), part.digest) for part in rules.parts)
    columns = (Column("Rule set", 2.5), Column("No.", 0.8), Column("Digest", 7))
    return (
        Heading("References used"),
        listed,
        Grid(columns, parts, small=True),
        Paragraph(
            "Where no document is named, the entry rests on common practice or on our own judgement. "
            f"Rule set in force from {rules.head.in_force}, review by {rules.head.review_by}.",
            small=True,
        ),
    )


def _signing_blocks() -> tuple[Block, ...]:
    fields = ("Name", "Signature", "Date, time")
    return (
        Heading("Signatures"),
        Paragraph(
            "Blank until signed by hand. Nobody signs both sides; each signature stands for this revision only. "
            "The crew signs on and off on the briefing sheet."
        ),
        SignatureBoxes(
            (
                SignatureBox("Prepared by (work leader)", fields),
                SignatureBox("Checked at the place by a second person", fields),
                SignatureBox("Plan approved by the issuer: not permission to start", (*fields, "Valid until")),
                SignatureBox("Taken over by the work leader after issue", (*fields, "Own lock nos.")),
            )
        ),
    )
