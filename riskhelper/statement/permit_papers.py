"""The papers of a permit as values: the permit or limitation of access, the points, the test, the hand-back."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from riskhelper.permit.document import State
from riskhelper.permit.sanction import Sanction
from riskhelper.statement.document import (
    Block,
    Border,
    Column,
    Document,
    Facts,
    Grid,
    Heading,
    Notice,
    Paragraph,
    SignatureBox,
    SignatureBoxes,
)
from riskhelper.statement.permit_parts import (
    control_blocks,
    frame,
    isolation_plan_blocks,
    moment,
    point_blocks,
    signature_blocks,
    state_blocks,
)
from riskhelper.statement.permit_sheet import PermitSheet
from riskhelper.terms import spoken

_STOP_RULES = (
    "Anyone may stop the work, at any time and without a reason. Stopping needs no paper.",
    "Stop when anything found differs from what is written here. Do not adapt on the spot; tell the issuer.",
    "Stop on an alarm, an emergency or incompatible work nearby, when a point, lock, earth or barrier was moved, "
    "when a check is overdue, and at the end named above.",
)


_LIVE_WORK = (
    "Only what stands here is done beside parts left live, by the people signed on. The label or study named decides "
    "on arc and equipment; this paper gives no energy."
)


class NothingToDraw(ValueError):
    """A paper that this permit has no content for; the message says why."""


def permit_paper(sheet: PermitSheet) -> Document:
    """The permit-to-work, or the limitation of access."""
    permit = sheet.permit
    title = permit.road.value.capitalize()
    blocks: list[Block] = [
        *state_blocks(sheet, permit.road.value, is_permit=True),
        Heading("What it covers"),
        Facts(
            (
                ("Work", f"Job {permit.job}, as its method statement says, and nothing beyond it"),
                ("Plant and apparatus", f"{permit.plant}, {permit.apparatus}"),
                ("Place and its limits", permit.zone),
                ("Highest voltage there", f"{permit.voltage_v} V"),
                ("Energies", ", ".join(map(spoken, sorted(permit.energies))) or "every energy"),
                ("Begins", moment(permit.starts)),
                ("Ends", moment(permit.ends)),
                *((("Longer than one shift; each ends so", permit.shift_end),) if permit.shift_end else ()),
                ("Held by", permit.acceptor),
                ("Linked permits", "; ".join(sheet.others) or "none open on this plant, place or point"),
                ("Rule sets", sheet.rule_sets),
            )
        ),
        *sheet.day,
        Heading("Stop"),
        *(Paragraph(words, bullet=True) for words in _STOP_RULES),
        *_stops_to_come(sheet),
        *_hazards(sheet),
        *_conditions(sheet),
        *_live_work(sheet),
        *control_blocks(sheet),
        *point_blocks(sheet),
        *_hold_points(sheet),
        *_rechecks(sheet),
        *_crew(sheet),
        *_exceptions(sheet),
        *signature_blocks(sheet),
    ]
    return Document(frame(title, sheet), tuple(blocks), sheet.now)


def points_paper(sheet: PermitSheet) -> Document:
    """The certificate of the points: beside plant in service it speaks of the job's own circuits only."""
    title = "Certificate of points held" if sheet.beside_service else "Isolation certificate"
    warning = (
        "The plant stays in service. These points hold off the job's own circuits and nothing else."
        if sheet.beside_service
        else "One missing step makes all of it live. A point comes off when no permit needs it, no lock is on it "
        "and its earths are counted off."
    )
    blocks = (
        *state_blocks(sheet, title.lower()),
        Notice("READ THIS", (warning,), Border.DOUBLE),
        *isolation_plan_blocks(sheet),
        *control_blocks(sheet),
        *(Paragraph(f"{words}.") for words in sheet.procedures),
        *point_blocks(sheet),
        *_readings(sheet),
        *_messages(sheet),
        *signature_blocks(sheet),
    )
    return Document(frame(title, sheet), blocks, sheet.now)


def sanction_paper(sheet: PermitSheet) -> Document:
    """The sanction to test that is out, or the last that was; raises `NothingToDraw` where there was none."""
    permit = sheet.permit
    sanction = permit.test or (permit.tests[-1] if permit.tests else None)
    if sanction is None:
        raise NothingToDraw(f"Permit {permit.number} has no sanction to test. The issuer begins a test first")
    over = sanction.ended_at is not None or sheet.state is not State.UNDER_TEST
    blocks = (
        Notice(
            "TEST ENDED" if over else "UNDER TEST",
            (
                "This sanction has ended. Treat everything as live until it is proved again."
                if over
                else "Apparatus under test is LIVE. Nobody works on it, and no permit or limitation of access is in "
                "force on it.",
                "Only the holder applies voltage, current or signals. They are off, and said to be off, before "
                "anybody comes near.",
            ),
            Border.DOUBLE,
            large=True,
        ),
        *state_blocks(sheet, "sanction to test")[1:],
        Facts(_sanction_rows(sanction)),
        *point_blocks(sheet),
        *signature_blocks(sheet),
    )
    return Document(frame("Sanction to test", sheet, sanction.number), blocks, sheet.now)


def hand_back_paper(sheet: PermitSheet) -> Document:
    """The hand-back and its acceptance; before it, a form to be filled in by hand and entered late."""
    permit = sheet.permit
    done = sheet.state in (State.HANDED_BACK, State.CANCELLED)
    complete = {True: "THE WORK IS COMPLETE", False: "THE WORK IS NOT COMPLETE", None: "complete or not:"}
    blocks: list[Block] = [*state_blocks(sheet, "hand-back"), *point_blocks(sheet), *_crew(sheet)]
    if done:
        blocks.append(Notice(complete[permit.complete], (), Border.SINGLE))
    else:
        blocks += [
            Notice(
                "NOT HANDED BACK YET",
                ("Fill in by hand only where the record cannot be reached; enter it late as soon as it can.",),
                Border.DASHED,
            ),
            Facts(
                (
                    ("Complete or not complete", ""),
                    ("People signed off, by number", ""),
                    ("Tools and own earths, by number", ""),
                    ("The plant is left so", ""),
                )
            ),
            SignatureBoxes(
                (SignatureBox("The holder hands back"), SignatureBox("Issuer or area owner has inspected"))
            ),
        ]
    blocks += signature_blocks(sheet)
    return Document(frame("Hand-back", sheet), tuple(blocks), sheet.now)


PERMIT_PAPERS: Mapping[str, Callable[[PermitSheet], Document]] = {
    "permit": permit_paper,
    "points": points_paper,
    "test": sanction_paper,
    "hand-back": hand_back_paper,
}


def _stops_to_come(sheet: PermitSheet) -> tuple[Block, ...]:
    if not sheet.stops_to_come:
        return ()
    return (Paragraph("Stops that can still come: " + "; ".join(sheet.stops_to_come) + ".", bullet=True),)


def _hazards(sheet: PermitSheet) -> tuple[Block, ...]:
    blocks: list[Block] = [Heading("Hazards and precautions")]
    if sheet.hazards:
        columns = (Column("Hazard", 3, strong=True), Column("As planned", 1.6), Column("Precautions", 6))
        blocks.append(Grid(columns, sheet.hazards))
    if sheet.lesser_hazards:
        blocks.append(Paragraph("Also there, with usual care: " + "; ".join(sheet.lesser_hazards) + "."))
    return tuple(blocks) if len(blocks) > 1 else ()


def _conditions(sheet: PermitSheet) -> tuple[Block, ...]:
    blocks: list[Block] = []
    if sheet.rulings:
        columns = (Column("Stop lifted by a signed ruling", 3, strong=True), Column("Ruling", 7))
        blocks += [Heading("Conditions by ruling"), Grid(columns, sheet.rulings)]
    if sheet.conditions:
        blocks += [Heading("Conditions of the plan"), *(Paragraph(each, bullet=True) for each in sheet.conditions)]
    beside = [f"Beside permit {each.other}: {each.words} ({each.by})" for each in sheet.permit.safeguards]
    if beside:
        blocks += [Heading("Safeguards against the work next to it"), *(Paragraph(e, bullet=True) for e in beside)]
    return tuple(blocks)


def _live_work(sheet: PermitSheet) -> tuple[Block, ...]:
    """The authorisation of work on live parts. Of the arc it names the document and defers to it."""
    if not sheet.live_work:
        return ()
    gaps = [field.title for field in sheet.live_work if field.lacks]
    lines = (*((f"Not written: {'; '.join(gaps)}. Nobody starts.",) if gaps else ()), _LIVE_WORK)
    return (
        Heading("Authorisation of work on parts left live"),
        Notice("PARTS STAY LIVE", lines, Border.DOUBLE),
        Facts(tuple((field.title, field.words) for field in sheet.live_work)),
    )


def _exceptions(sheet: PermitSheet) -> tuple[Block, ...]:
    if not sheet.exceptions:
        return ()
    columns = (
        Column("Exception", 3.6, strong=True),
        Column("By", 2),
        Column("Why", 3.6),
        Column("When", 2.2),
        Column("Entry", 0.8),
    )
    return (Heading("Exceptions made under this permit and at its points"), Grid(columns, sheet.exceptions))


def _hold_points(sheet: PermitSheet) -> tuple[Block, ...]:
    if not sheet.hold_points:
        return ()
    columns = (Column("Hold point", 2.4, strong=True), Column("Released by", 3), Column("Stands", 5))
    return (Heading("Hold points: nobody works past one that is open"), Grid(columns, sheet.hold_points))


def _rechecks(sheet: PermitSheet) -> tuple[Block, ...]:
    rows = tuple(
        (check.words, f"{check.every_min} min", moment(check.due)) for check in sheet.permit.rechecks.values()
    )
    if not rows:
        return ()
    columns = (Column("Check again", 5, strong=True), Column("Every", 1.3), Column("Before", 2.5))
    return (Heading("Checks that age: overdue they suspend the work"), Grid(columns, rows))


def _crew(sheet: PermitSheet) -> tuple[Block, ...]:
    rows = tuple(
        (
            member.name,
            member.works_at or sheet.permit.apparatus,
            member.lock or "on the points",
            moment(member.on),
            moment(member.off) or "on",
            member.signed_off_by,
        )
        for member in sheet.permit.roster.members
    )
    if not rows:
        return (Heading("Crew"), Paragraph("Nobody is signed on."))
    columns = (
        Column("Name", 2.4, strong=True),
        Column("Works at", 2.4),
        Column("Own lock", 1.4),
        Column("Signed on", 1.8),
        Column("Signed off", 1.8),
        Column("By", 1.8),
    )
    knows = sheet.permit.coordinator or sheet.permit.acceptor
    answers = (Paragraph(f"{knows} knows where each of them works."),) if knows else ()
    return (Heading("Crew"), *answers, Grid(columns, rows))


def _readings(sheet: PermitSheet) -> tuple[Block, ...]:
    rows = tuple(
        (point.id, reading.on, reading.poles, f"{reading.words}, {point.proof.current}", moment(reading.at))
        for point in sheet.point_rows()
        if point.proof is not None
        for reading in point.proof.readings
    )
    if not rows:
        return ()
    columns = (
        Column("Point", 2.4, strong=True),
        Column("On", 1.4),
        Column("Poles", 1.6),
        Column("Reading", 1.8),
        Column("When", 2.6),
    )
    return (Heading("Proving: tester on its source, on the points, on its source again"), Grid(columns, rows))


def _messages(sheet: PermitSheet) -> tuple[Block, ...]:
    """Every switching order of the points since they were planned, as it went from mouth to mouth."""
    rows = tuple(
        (moment(each.at), f"{point.id}: {each.act}", each.ordered_by, each.repeated_by, each.confirmed_by)
        for point in sheet.point_rows()
        for each in point.messages
    )
    if not rows:
        return ()
    columns = (
        Column("When", 2.2),
        Column("Order", 3, strong=True),
        Column("Sent by", 2),
        Column("Repeated by", 2),
        Column("Confirmed by", 2),
    )
    return (Heading("Switching orders: sent, repeated back, confirmed"), Grid(columns, tuple(sorted(rows))))


def _sanction_rows(sanction: Sanction) -> tuple[tuple[str, str], ...]:
    return (
        ("Sanction", sanction.number),
        ("Apparatus", sanction.apparatus),
        ("What is tested, limits", sanction.scope),
        ("What is put on", sanction.applied),
        ("Held by", sanction.holder),
        ("People are kept away by", sanction.people_kept_away_by),
        ("Issued by, at", f"{sanction.issued_by}, {moment(sanction.issued_at)}"),
        ("Ended at", moment(sanction.ended_at)),
        ("What it proved", sanction.proved_unit),
    )
