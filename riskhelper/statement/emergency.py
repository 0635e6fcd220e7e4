"""The emergency page and the leak card: fixed words, the site's numbers, blanks for what nobody gave.

Figures: 30 minutes from the last thunder, rinsing an eye for 15 minutes and cooling a burn for 20 minutes are
common practice of first aid and field work; the site's own rules and first-aiders come first.
"""

from __future__ import annotations

from datetime import datetime

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.document import Block, Border, Document, Facts, Heading, Notice, PageBreak, Paragraph
from riskhelper.statement.frame import furniture
from riskhelper.statement.header import Header
from riskhelper.statement.selection import Selection

USUAL_LINES = (
    "Ambulance",
    "Fire service",
    "Control room",
    "Issuer",
    "Site emergency",
    "Spill, environment",
    "Nearest hospital",
    "Who cuts power, how",
    "Defibrillator: where, who",
)
_FIRST_AID = (
    "Shock: do not touch. Cut, call, resuscitate, defibrillator. To hospital even if the person feels well.",
    "Oil in an eye: rinse 15 minutes, then hospital. Oil swallowed: no vomiting; call.",
    "Oil jet through the skin: to hospital at once, however small the mark.",
    "Burn: cool under water 20 minutes; leave stuck cloth where it is.",
    "Fire: leave, call, count. Nobody fights a transformer fire. While anything may be alive no water and no "
    "foam: dry powder or CO2 only.",
    "Thunder: shut the tank valve if ONE movement does it, then go. Not back before 30 minutes from the LAST "
    "thunder and the issuer's word.",
    "Afterwards: leave everything as it is and write down the times.",
)
_HALF_WAY = (
    "Half-way state for every pause: tank valve shut and outlet blanked; adapter off, or its bleed left "
    "open into the closed "
    "bottle (never a full adapter shut at both ends); box closed. Before opening again crack the bleed "
    "first, face aside."
)
_LEAK_IN_SERVICE = (
    "Not shut by ONE movement: everybody out past the fence, not under the relief vent.",
    "Call control at once: “Oil leak not stopped, take it out now.”",
    "Nobody goes back until control has confirmed the switching and the issuer says so.",
    "No amount is small enough to stay for.",
)
_LEAK_OUT_OF_SERVICE = (
    "One try at the second valve, from the side, out of the spray.",
    "Still running: leave it, put the tray under, shut the drain, call the issuer.",
    "Then contain: booms and powder from outside the pool; no walking in oil.",
    "Report the spill to the number above, whatever its size.",
)
_HIGH_VOLTAGE_IN_SERVICE = (
    "High voltage: nobody goes inside the distance, not even to a person lying there, until the control "
    "room has confirmed "
    "the switching and the issuer says so."
)
_HIGH_VOLTAGE = (
    "High voltage: nobody goes inside the distance, not even to a person lying there, until the control "
    "room says that it "
    "is dead."
)


def emergency_blocks(selection: Selection, header: Header) -> tuple[Block, ...]:
    """One page: where we are, whom to call, who cuts the power, first acts, and the leak card."""
    given = {name.casefold(): (name, number) for name, number in header.emergency_numbers}
    numbers = [(name, given.pop(name.casefold(), ("", ""))[1]) for name in USUAL_LINES] + list(given.values())
    in_service = selection.stays_in_service
    return (
        PageBreak(),
        Heading("Emergency page"),
        Facts(
            (
                ("We are at", ", ".join(part for part in (header.site, header.plant, header.address) if part)),
                ("Gate, grid ref., way in", header.directions),
                ("Muster point", header.muster_point),
                *numbers,
            )
        ),
        Notice("First", first_acts(in_service), Border.SINGLE),
        *leak_card(in_service),
        Paragraph("Common practice; the site's own emergency rules and trained first-aiders come first."),
    )


def first_acts(in_service: bool) -> tuple[str, ...]:
    """What to do first when somebody is hurt or something burns."""
    return (_HIGH_VOLTAGE_IN_SERVICE if in_service else _HIGH_VOLTAGE, *_FIRST_AID)


def leak_card(in_service: bool) -> tuple[Block, ...]:
    """What to do when oil comes and does not stop."""
    title = "Leak card: plant in service" if in_service else "Leak card: plant out of service"
    return (Notice(title, (*leak_lines(in_service), _HALF_WAY), Border.DOUBLE),)


def leak_lines(in_service: bool) -> tuple[str, ...]:
    """The acts of the leak card."""
    return _LEAK_IN_SERVICE if in_service else _LEAK_OUT_OF_SERVICE


def half_way_state() -> str:
    """The state in which the work may be left for a while."""
    return _HALF_WAY


def emergency_sheet(rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """The emergency page and the leak card as a paper of their own, to hang at the fence."""
    selection = Selection(rules, job, assessment, now)
    blocks = emergency_blocks(selection, header)
    return Document(furniture("Emergency page", selection, header), blocks, now)
