"""Draw the papers of a permit as PDF with the signed record attached; numbered copies are entries of the record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.acts.job.papers import in_a_name, write_pdf
from riskhelper.acts.permit import handing_over
from riskhelper.acts.permit.exceptions import exceptions
from riskhelper.acts.permit.permits import act, known_permit
from riskhelper.acts.plan import plan_signed
from riskhelper.acts.plan.job_day import job_day
from riskhelper.acts.plan.live_plan import live_grounds
from riskhelper.acts.register.people import rules_digest
from riskhelper.acts.register.signing import Signing, moment, site
from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment
from riskhelper.paper.attachment import PDF_START, attached
from riskhelper.permit import course
from riskhelper.permit.clashes import is_same
from riskhelper.permit.document import Permit
from riskhelper.permit.live_work import authorisation
from riskhelper.permit.point_guards import procedures_of
from riskhelper.record.entries import ANSWER, EMERGENCY, PERMIT, POINT, RULES, STOP_WORK, Entry
from riskhelper.record.merging import merged
from riskhelper.record.moments import moment_of
from riskhelper.record.pack import Pack, copied, packed, unpacked
from riskhelper.record.people import REGISTER_ACTS
from riskhelper.record.site import HOLDING_ACTS, Site, site_of
from riskhelper.ruleset.faults import nearest_name
from riskhelper.statement.day_line import day_picture
from riskhelper.statement.document import Attachment, Block, Document
from riskhelper.statement.permit_papers import PERMIT_PAPERS, NothingToDraw
from riskhelper.statement.permit_sheet import CopyShown, PermitSheet, Signed
from riskhelper.statement.translated import in_language
from riskhelper.store.sqlite import SqliteStore
from riskhelper.terms import APPROVAL

ELSEWHERE_UNSAID = frozenset({"not_known", "band", "in_service"})
"""Conditions that the permit names by themselves; controls stand by their hazard, checks by their hold point."""
DOES_NOT_COUNT = "DOES NOT COUNT: "
ATTACHED_NAME = "riskhelper-record.json"


@dataclass(frozen=True, slots=True)
class DrawPermit:
    """Input: which paper of which permit, into which folder. `revision` 0 is the present one."""

    number: str
    kind: str
    folder: Path
    paper: str = "A4"
    revision: int = 0


def draw_numbered(signing: Signing, given: DrawPermit, drawn_for: str) -> Path:
    """Draws a numbered copy; it is in the record before it is on paper."""
    _known_kind(given.kind)
    if given.revision:
        raise Refused("A numbered copy is drawn of the present revision only. Leave the revision out")
    after = act(signing, given.number, course.COPY, {"paper": given.kind, "copy_for": drawn_for})
    return _drawn(signing.context, given, CopyShown(after.copies[-1].number, drawn_for))


def draw(context: Context, given: DrawPermit) -> Path:
    """Draws a copy without number, which nobody controls; also of an older revision, marked superseded."""
    return _drawn(context, given, CopyShown())


def document(context: Context, given: DrawPermit, copy: CopyShown) -> Document:
    """The paper as a value, with the record that stands behind it."""
    _known_kind(given.kind)
    found = site(context)
    permit = known_permit(context, found, given.number)
    pack = _pack(context, permit)
    sheet = _sheet(context, found, permit, copy, f"{pack.logs[0].size}-{pack.logs[0].head}")
    if given.revision and given.revision != permit.revision:
        sheet = _older(context, sheet, given.revision)
    try:
        made = in_language(PERMIT_PAPERS[given.kind](sheet), resume_job(context, permit.job).rules.translation)
    except NothingToDraw as fault:
        raise Refused(str(fault)) from fault
    attachment = Attachment(ATTACHED_NAME, f"signed record of permit {permit.number}", packed(pack, texts=False))
    return replace(made, attachment=attachment)


def record_says(file: Path) -> tuple[str, ...]:
    """What the record attached to a paper says of its permits, to be compared with what is printed on it.

    Whether that record holds is asked of `verifying`. Empty for a file that is no paper.
    """
    data = file.read_bytes()
    if not data.startswith(PDF_START):
        return ()
    parts = (part for log in unpacked(attached(data)).logs for part in log.parts)
    found = site_of(item for item in merged(parts) if isinstance(item, Entry))
    assert found.last is not None
    return tuple(_said(permit, found.last) for permit in found.permits.values())


def _said(permit: Permit, now: datetime) -> str:
    until = f", until {permit.ends:%Y-%m-%d %H:%M %z}" if permit.ends is not None else ""
    held = f", held by {permit.acceptor}" if permit.acceptor else ""
    copies = ", ".join(f"{copy.number} ({copy.kind}, revision {copy.revision})" for copy in permit.copies) or "none"
    where = f"{permit.plant}, {permit.apparatus}, {permit.zone}"
    return (
        f"Compare with the paper: {permit.road.value} {permit.number}, revision {permit.revision}, {where}, was "
        f"{permit.words(now).upper()} at {now:%Y-%m-%d %H:%M %z}{until}{held}. Numbered copies: {copies}."
    )


def _drawn(context: Context, given: DrawPermit, copy: CopyShown) -> Path:
    made = document(context, given, copy)
    which = f"copy-{copy.number}" if copy.number else "no-number"
    revision = f"-revision-{given.revision}" if given.revision else ""
    file = given.folder / f"{given.kind}-{in_a_name(given.number)}{revision}-{which}.pdf"
    write_pdf(made, file, given.paper)
    return file


def _sheet(context: Context, found: Site, permit: Permit, copy: CopyShown, head: str) -> PermitSheet:
    now, state = moment(context, found), resume_job(context, permit.job)
    assessment = assess(state.rules, state.job, APPROVAL, now)
    bands = {band.id: band for band in state.rules.matrix.bands}
    planned = [
        (h.title, bands[h.as_planned.band], " ".join(c.do for c in h.controls if c.planned or c.proved))
        for h in assessment.hazards
    ]
    others = [
        words.removeprefix("Also open here: ")
        for words in handing_over.lines_of(found, state, permit, now, {}).values()
        if words.startswith("Also open here: ")
    ]
    return PermitSheet(
        permit=permit,
        points=found.points,
        now=now,
        signed=_signed(context.store.every(), permit, found),
        exceptions=tuple(
            (each.what, f"{each.who}, {each.role}", each.why, f"{each.at:%Y-%m-%d %H:%M %z}", str(each.entry))
            for each in exceptions(context, permit.number)
        ),
        isolation_plan=plan_signed.isolation_plan(state, permit, now),
        head=head,
        register_words=found.register.words,
        copy=copy,
        rehearsal=context.rehearsal,
        adopted=found.adopted(rules_digest(state.rules), now),
        rule_sets=", ".join(f"{part.name} no. {part.number} ({part.digest[:8]})" for part in state.rules.parts),
        hazards=tuple(
            (t, band.words, do or "none planned") for t, band, do in planned if do or band.verdict != "none"
        ),
        lesser_hazards=tuple(title for title, band, do in planned if not do and band.verdict == "none"),
        conditions=tuple(c.words for c in assessment.conditions if c.kind in ELSEWHERE_UNSAID),
        rulings=tuple((stop.title, stop.ruling) for stop in assessment.ruled),
        stops_to_come=tuple(stop.title for stop in assessment.later_stops),
        hold_points=_hold_points(state, permit, now),
        others=tuple(others),
        procedures=tuple(
            line for each in procedures_of(permit, found.points, found.procedures) for line in each.lines(now)
        ),
        day=_day(context, state, assessment, permit, now),
        live_work=authorisation(permit) if permit.live or live_grounds(state, now) is not None else (),
    )


def _day(
    context: Context, state: JobState, assessment: Assessment, permit: Permit, now: datetime
) -> tuple[Block, ...]:
    """The day with the window of the permit; none before the window is set, as the statement draws the rest."""
    if permit.starts is None or permit.ends is None:
        return ()
    return day_picture(job_day(context, state, assessment, permit, context.store.entries(permit.job), now))


def _older(context: Context, sheet: PermitSheet, revision: int) -> PermitSheet:
    """The sheet of a revision that a change has ended, as it stood just before."""
    entries = context.store.every()
    changes = [e for e in entries if e.draft.act == PERMIT + course.CHANGE and _is_of(e, sheet.permit.number)]
    if not 0 < revision <= len(changes):
        raise Refused(
            f"Permit {sheet.permit.number} has no revision {revision}; the present one is no. {sheet.permit.revision}"
        )
    before = entries[: entries.index(changes[revision - 1])]
    was = site_of(before)
    permit = was.permits[sheet.permit.number]
    assert was.last is not None
    return replace(
        sheet,
        permit=permit,
        points=was.points,
        now=was.last,
        signed=_signed(before, permit, was),
        superseded_by=revision + 1,
        hazards=(),
        exceptions=(),
        isolation_plan=(),
        lesser_hazards=(),
        conditions=(),
        rulings=(),
        hold_points=(),
        day=(),
        stops_to_come=(),
        live_work=authorisation(permit) if permit.live else (),
    )


def _hold_points(state: JobState, permit: Permit, now: datetime) -> tuple[tuple[str, str, str], ...]:
    rows = []
    for name, checks in plan_signed.open_at(plan_signed.passings(state, permit, now)).items():
        point = state.rules.hold_points[name]
        own = sum(q in state.rules.questions and state.rules.questions[q].asked_at == name for q in checks)
        waits = "OPEN: waits for an earlier hold point" if checks else "OPEN, may be released"
        stands = f"OPEN: {own} of its own checks, on the method statement" if own else waits
        rows.append((point.words, point.released_by, "passed" if name in permit.passed else stands))
    return tuple(rows)


def _signed(entries: Sequence[Entry], permit: Permit, found: Site) -> tuple[Signed, ...]:
    """The signatures of the permit and of its points, in their order; those that do not count say so."""
    return tuple(
        Signed(
            name=entry.draft.who,
            role=entry.draft.role,
            act=entry.draft.act,
            meaning=(DOES_NOT_COUNT if entry.id in found.uncounted else "")
            + entry.meaning
            + _of_point(entry)
            + _read_in(entry),
            at=moment_of(entry.draft.moment_entered, entry.draft.offset_min),
            entry=entry.number,
            revision=permit.revision,
        )
        for entry in entries
        if entry.draft.signature and (_is_of(entry, permit.number) or _of_point(entry, permit))
    )


def _read_in(entry: Entry) -> str:
    """The translation an act was read and signed in; empty where the rules were read in their own language."""
    words = entry.draft.content.get("words")
    return f", read in {words}" if isinstance(words, str) else ""


def _is_of(entry: Entry, number: str) -> bool:
    return entry.draft.act.startswith(PERMIT) and entry.draft.content.get("permit") == number


def _of_point(entry: Entry, permit: Permit | None = None) -> str:
    """The point of an entry in words; empty where it is about none, or none of the permit."""
    if not entry.draft.act.startswith(POINT):
        return ""
    point = str(entry.draft.content.get("point"))
    return f" (point {point})" if permit is None or point in permit.points else ""


def _pack(context: Context, permit: Permit) -> Pack:
    """The record in excerpts: register, holding, rule sets, this permit and those on its plant or in its zone with
    their points and stops, and of the answers those alone that suspended."""
    store = context.store
    assert isinstance(store, SqliteStore)
    near = [
        one
        for one in site(context).permits.values()
        if one.job == permit.job or is_same(one.plant, permit.plant) or is_same(one.zone, permit.zone)
    ]
    jobs, points = {one.job for one in near}, {point for one in near for point in one.points}

    def wanted(entry: Entry) -> bool:
        name, content = entry.draft.act, entry.draft.content
        if name == EMERGENCY or name in REGISTER_ACTS or name in HOLDING_ACTS or name.startswith(RULES):
            return True
        if name.startswith(POINT):
            return content.get("point") in points
        of_course = name.startswith(PERMIT) or name == STOP_WORK or (name == ANSWER and "suspends" in content)
        return of_course and entry.draft.job in jobs

    return Pack(context.rehearsal, tuple(copied(entries, wanted) for entries in store.logs().values() if entries))


def _known_kind(kind: str) -> None:
    if kind not in PERMIT_PAPERS:
        hint = nearest_name(kind, PERMIT_PAPERS)
        known = f"Did you mean `{hint}`?" if hint else f"Known are {', '.join(PERMIT_PAPERS)}"
        raise Refused(f"A permit has no paper `{kind}`. {known}")
