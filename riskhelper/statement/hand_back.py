"""The hand-back sheet: what the work leader declares, what the issuer looks at, who signs."""

from __future__ import annotations

from datetime import datetime

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement import cautions
from riskhelper.statement.document import (
    Block,
    Column,
    Document,
    Facts,
    Grid,
    Heading,
    PageBreak,
    Paragraph,
    SignatureBox,
    SignatureBoxes,
)
from riskhelper.statement.frame import furniture
from riskhelper.statement.header import Header
from riskhelper.statement.selection import Selection

_ALARM_ROWS = 5
_LEFT = (
    "People signed on / signed off",
    "Tools, parts and rags counted out",
    "Tank valve left",
    "Second valve left",
    "Outlet blanked or piped",
    "Joints dry after 15 minutes",
    "Oil out / back, litres",
    "Cover, drain plug, breather, heater",
    "Drains as they were",
    "Own locks on / off",
    "Fire system to automatic after the LAST person",
    "Waste: drums marked and handed to",
)
_OUT_OF_SERVICE = ("Own earths on / off, by number", "Relay and high points vented", "Standing time over at")
_IN_SERVICE = ("Boundary marks taken in", "Leak check due after 24 hours, by whom")


def hand_back_sheet(rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """Hand-back, and the issuer's acceptance after looking: two signatures of two people."""
    selection = Selection(rules, job, assessment, now)
    rows = (*_LEFT, *(_IN_SERVICE if selection.stays_in_service else _OUT_OF_SERVICE))
    alarms = (
        Column("Alarm", 4),
        Column("Made, time", 2),
        Column("Released, time", 2),
        Column("Read back by control, time", 3),
    )
    fields = ("Name", "Signature", "Date, time")
    blocks: tuple[Block, ...] = (
        Heading("Hand-back sheet"),
        cautions.one_page_notice(),
        Paragraph("The work is complete / is not complete, because:"),
        Facts((("What is left to do", ""), ("Half-way state left", ""))),
        Heading("How the plant is left"),
        Grid(
            (Column("What", 5), Column("Found, reading, number", 4), Column("Seen by", 2)),
            tuple((row, "", "") for row in rows),
            roomy=True,
        ),
        PageBreak(),
        Heading("Alarms proved from end to end"),
        Grid(alarms, (("", "", "", ""),) * _ALARM_ROWS, roomy=True),
        Facts((("Protection restored, read back by", ""), ("Lessons for the next visit", ""))),
        Heading("Signatures"),
        Paragraph("Hand-back and its acceptance are two acts by two people; the second looks before signing."),
        SignatureBoxes(
            (
                SignatureBox("Handed back by the work leader", fields),
                SignatureBox("Taken back by the issuer, after looking", fields),
                SignatureBox("Control room: alarms, protection back", (*fields, "Entry no.")),
                SignatureBox("Permit or limitation of access cancelled", (*fields, "Number")),
            )
        ),
        cautions.one_page_notice(),
    )
    return Document(furniture("Hand-back sheet", selection, header), blocks, now)
