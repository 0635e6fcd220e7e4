"""Parts that the papers of a permit share: frame, state in large words, code, points, signatures."""

from __future__ import annotations

from datetime import datetime

from riskhelper.permit.document import State
from riskhelper.permit.points import Point
from riskhelper.permit.switching import SIDES
from riskhelper.statement import cautions
from riskhelper.statement.document import (
    Block,
    Border,
    Code,
    Column,
    Facts,
    Furniture,
    Grid,
    Heading,
    Notice,
    Paragraph,
)
from riskhelper.statement.figures import sentence
from riskhelper.statement.isolation import NOT_WRITTEN
from riskhelper.statement.permit_sheet import PermitSheet

WORKING = frozenset({State.IN_FORCE})
OVER = frozenset({State.EXPIRED, State.REVOKED, State.REFUSED, State.HANDED_BACK, State.CANCELLED})
_GRANTS = {
    State.DRAFT: "It grants nothing. It was not asked for yet.",
    State.REQUESTED: "It grants nothing. It was asked for.",
    State.EVALUATED: "It grants nothing. It was checked and not approved yet.",
    State.APPROVED: "The plan is approved. Approving is not issuing: nobody may start.",
    State.ISOLATING: "Points are being put in position. Nobody may start.",
    State.ISOLATED: "The precautions are in place. It is not issued: nobody may start.",
    State.ISSUED: "Issued, not taken yet. Issuing is not starting: nobody may start.",
    State.ACCEPTED: "Taken by its holder. Nobody starts before the briefing and the start are signed.",
    State.IN_FORCE: "Only the people signed on, only the work and the place named, only until the end named.",
    State.SUSPENDED: "NOBODY WORKS UNDER IT. Its points stay as they are. Only the issuer lets the holder resume.",
    State.UNDER_TEST: "WITHDRAWN ON THE APPARATUS UNDER TEST. Nobody works on it.",
    State.EXPIRED: "ITS TIME IS OVER. Everybody out. Only handing back is left.",
    State.REVOKED: "TAKEN AWAY. Everybody out. Only handing back is left.",
    State.REFUSED: "REFUSED. It grants nothing. Points that were touched are returned.",
    State.HANDED_BACK: "HANDED BACK. Nobody works under it. It is inspected and cancelled next.",
    State.CANCELLED: "CANCELLED. It is closed for good.",
}


def moment(at: datetime | None) -> str:
    """A moment with its offset, as printed; a ruled blank where there is none."""
    return f"{at:%Y-%m-%d %H:%M %z}" if at is not None else ""


def frame(title: str, sheet: PermitSheet, number: str = "") -> Furniture:
    """Head and foot of every page: number, revision, copy, state, rulings, head of the record."""
    permit = sheet.permit
    rulings = tuple(f"CONDITION BY RULING: {title}" for title, _ in sheet.rulings)
    return Furniture(
        title,
        f"{number or permit.number}, revision {permit.revision}",
        ", ".join((permit.plant, permit.apparatus, permit.zone, permit.road.value)),
        (
            sheet.state_words,
            *rulings,
            *((cautions.REHEARSAL,) if sheet.rehearsal else ()),
            *(() if sheet.adopted or sheet.rehearsal else (cautions.NOT_ADOPTED,)),
            sheet.copy.words,  # last: it is as long as somebody typed it, and a full line is cut at its end
        ),
        (f"Tree head {sheet.head}", cautions.FOOT),
    )


def state_blocks(sheet: PermitSheet, kind: str, *, is_permit: bool = False) -> tuple[Block, ...]:
    """The state in large words with what it means, and the code. A paper that is no permit says so first."""
    permit, state = sheet.permit, sheet.state
    title = sheet.state_words if is_permit or sheet.superseded_by else f"PERMIT {sheet.state_words}"
    if sheet.superseded_by:
        lines = ["THIS COPY IS NO LONGER VALID. Give it back to the issuer. The present revision governs."]
        border = Border.DOUBLE
    else:
        lines = [_GRANTS[state]]
        border = Border.SINGLE if state in WORKING else Border.DOUBLE if state in OVER else Border.DASHED
    if not is_permit:
        lines.insert(0, f"This {kind} is no permit and gives nobody leave to work. Permit {permit.number} stands so:")
    if permit.state_left and state is not State.IN_FORCE:
        lines.append(f"The plant is left so: {permit.state_left}")
    lines.append(f"State at {moment(sheet.now)}. The record says what holds later, not this sheet.")
    holds = (
        f"RISKHELPER {kind.upper()} {permit.number} REVISION {permit.revision} COPY {sheet.copy.number} {sheet.head}"
    )
    return (
        Notice(title, tuple(lines), border, large=True),
        Code(
            holds,
            (
                f"{kind.capitalize()} {permit.number}, revision {permit.revision}. {sheet.copy.words.capitalize()}.",
                f"Tree head: {sheet.head}",
                f"Register: {sheet.register_words}",
                "The signed record is attached to this file. To check it, with no network and no store: riskhelper "
                "verify FILE. Compare the head and the words of the register above with what it says.",
                "A printed copy is checked by its code against the record.",
            ),
        ),
    )


def point_blocks(sheet: PermitSheet) -> tuple[Block, ...]:
    """Every point with lock, tag, key, proof, earths and people's locks, counted."""
    points = sheet.point_rows()
    title = "Points held on the job's own circuits" if sheet.beside_service else "Points of isolation"
    columns = (
        Column("Point, device, position", 3.4, strong=True),
        Column("Lock, tag, key", 1.8),
        Column("Proved: by, with, when", 3.2),
        *(() if sheet.beside_service else (Column("Earths", 1.1),)),
        Column("Own locks of", 2.2),
        Column("Stands", 1.2, strong=True),
    )
    rows = tuple(_point_row(sheet, point) for point in points)
    locks = sum(len(point.personal_locks) for point in points)
    earths = sum(len(point.earths) for point in points)
    counted = f"Points: {len(points)}. Own locks on: {locks}." + (
        "" if sheet.beside_service else f" Earths: {earths}."
    )
    body = Grid(columns, rows) if rows else Paragraph("The register holds no point of this permit yet.")
    return (Heading(title), body, Paragraph(counted, strong=True))


def control_blocks(sheet: PermitSheet) -> tuple[Block, ...]:
    """Where the control of each party ends, and the drawing that shows it."""
    permit = sheet.permit
    drawn = (("Drawing", permit.drawing.words),) if permit.drawing is not None else ()
    rows = (*drawn, *permit.control.items())
    return (Heading("Boundary of control of each party"), Facts(rows)) if rows else ()


def isolation_plan_blocks(sheet: PermitSheet) -> tuple[Block, ...]:
    """The written plan behind the points, row by row; what a row does not say stands as a gap."""
    columns = (
        Column("Point, and what it is for", 3, strong=True),
        Column("Shut down, isolate, secure", 4.6),
        Column("Who places and removes; handed on", 4),
        Column("Tested by", 2.6),
    )
    rows = tuple(
        (
            _said(row.point, row.purpose),
            _said(row.shut_down, row.device, row.secured),
            _said(row.by, row.transferred),
            _said(row.proved_by),
        )
        for row in sheet.isolation_plan
    )
    return (Heading("The written plan"), Grid(columns, rows)) if rows else ()


def _said(*parts: str) -> str:
    return " ".join(sentence(part.strip() or NOT_WRITTEN) for part in parts)


def _point_row(sheet: PermitSheet, point: Point) -> tuple[str, ...]:
    proof = point.proof
    since = sheet.permit.proof_needed_since
    proved = f"{proof.by}, {proof.tester}, {moment(proof.at)}" if proof is not None else "not proved"
    if proof is not None and since is not None and proof.at < since:
        proved = f"NOT PROVED SINCE {moment(since)}; before: {proved}"
    side = f", {SIDES[point.side].partition(':')[0]}" if point.side in SIDES else ""
    held = ", ".join(filter(None, (point.lock, point.tag, point.key)))
    return (
        f"{point.id}, on {point.plant}: {point.device.replace('_', ' ')} {point.position}{side}",
        held or "none",
        proved,
        *(() if sheet.beside_service else (", ".join(each.words for each in point.earths) or "none",)),
        ", ".join(point.personal_locks) or "none",
        point.state.value,
    )


def signature_blocks(sheet: PermitSheet) -> tuple[Block, ...]:
    """Each signature with printed name, role, meaning, date and time."""
    rows = tuple((s.name, s.role, s.meaning, moment(s.at), f"{s.entry}") for s in sheet.signed)
    columns = (
        Column("Name", 2.2, strong=True),
        Column("As", 1.6),
        Column("Signed that this person", 4.5),
        Column("When", 2.9),
        Column("Entry", 0.8),
    )
    return (Heading("Signatures in the record"), Grid(columns, rows)) if rows else ()
