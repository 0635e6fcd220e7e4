"""`permit` and `isolation`: one signed act a command, or the sheet and the register printed."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Sequence

from riskhelper.acts.context import Context, Refused, printable
from riskhelper.acts.permit import isolation as points
from riskhelper.acts.permit import permit_words, permits, possible_now, site_audit
from riskhelper.acts.permit.during_work import due_again
from riskhelper.acts.permit.ending_stop import end_stop
from riskhelper.acts.permit.exceptions import exception_lines
from riskhelper.acts.permit.permit_papers import DrawPermit, draw, draw_numbered
from riskhelper.acts.permit.permits import DraftPermit
from riskhelper.acts.permit.point_words import procedure_lines
from riskhelper.acts.permit.zone_stop import stop_zone
from riskhelper.acts.register.signing import Signing, key_folder, late, sign_in
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode
from riskhelper.cli.secrets import passphrases
from riskhelper.permit.course import COPY, DRAFT
from riskhelper.permit.meanings import PERMIT_MEANINGS, POINT_MEANINGS
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.record.entries import END_STOP, MEANINGS


def permit(place: Workplace, given: Namespace) -> ExitCode:
    """Draws up, does one act, or prints the sheet."""
    context = place.context()
    if given.what == "list":
        _print_sheet(context)
        return ExitCode.NO_STOP_FOUND
    if given.what == "audit":
        _print_audit(context, given)
        return ExitCode.NO_STOP_FOUND
    if given.what == "show":
        _print_permit(context, given.number)
        return ExitCode.NO_STOP_FOUND
    if given.what == "wanted":
        _print_wanted(permits.wanted_now(context, given.number, given.act))
        return ExitCode.NO_STOP_FOUND
    if given.what == "print":
        return _print_paper(place, context, given)
    if given.what == "draft":
        new = DraftPermit(
            job=given.job,
            road=given.road,
            plant=given.plant,
            apparatus=given.apparatus,
            zone=given.zone,
            voltage_v=given.voltage_v,
            energies=tuple(given.energy),
            points=tuple(given.point),
        )
        made = permits.draft(_signing(place, context, given, PERMIT_MEANINGS[DRAFT]), new)
        print(f"Permit {made.number} is drawn up. It grants nothing.")
        return ExitCode.NO_STOP_FOUND
    if given.what == "exceptions":
        if context.rehearsal:
            print("REHEARSAL. NOT FOR WORK.")
        print("\n".join(printable(line) for line in exception_lines(context, given.permit)))
        return ExitCode.NO_STOP_FOUND
    if given.what == "emergency":
        stopped = ", ".join(each.number for each in stop_zone(context, given.zone))
        print(printable(f"Suspended in {given.zone}: {stopped or 'no permit was open there'}. Get everybody out."))
        return ExitCode.NO_STOP_FOUND
    if given.act == END_STOP:
        words = _details(given.details).get("words", "")
        end_stop(_signing(place, context, given, MEANINGS[END_STOP]), given.number, words)
        print("The stop is ended. Each permit of the job is allowed and resumed anew.")
        return ExitCode.NO_STOP_FOUND
    signing = _signing(place, context, given, PERMIT_MEANINGS.get(given.act, ""))
    after = permits.act(signing, given.number, given.act, _details(given.details))
    print(f"Permit {after.number}: {after.words(context.clock())}.")
    return ExitCode.NO_STOP_FOUND


def isolation(place: Workplace, given: Namespace) -> ExitCode:
    """Does one act on a point, or prints the register."""
    context = place.context()
    if given.what == "list":
        for line in points.register(context):
            point = line.point
            locks = f", locks of {', '.join(point.personal_locks)}" if point.personal_locks else ""
            earths = f", earths {', '.join(each.words for each in point.earths)}" if point.earths else ""
            needed = f", needed by {', '.join(line.needed_by)}" if line.needed_by else ""
            described = f"{point.plant}, {point.device.replace('_', ' ')} {point.position}"
            print(printable(f"{point.id} ({described}): {point.state.value}{locks}{earths}{needed}"))
        print("\n".join(map(printable, procedure_lines(context))))
        return ExitCode.NO_STOP_FOUND
    signing = _signing(place, context, given, POINT_MEANINGS.get(given.act, ""))
    point = points.act(signing, given.point, given.act, _details(given.details))
    print(printable(f"Point {point.id}: {point.state.value}."))
    return ExitCode.NO_STOP_FOUND


def _signing(place: Workplace, context: Context, given: Namespace, meaning: str) -> Signing:
    """Opens the key of whoever signs, after saying what the signature means."""
    if meaning:
        print(printable(f"{given.name}, as {given.in_role}, signs: {meaning}."), file=sys.stderr)
    if given.true_at:
        context = late(context, given.true_at)
    return sign_in(context, key_folder(place), given.name, given.in_role, passphrases([given.name])[given.name])


def _print_sheet(context: Context) -> None:
    if context.rehearsal:
        print("REHEARSAL. NOT FOR WORK.")
    for words in permits.not_counting(context):
        print(printable(f"LOOK AT THIS: {words}."))
    for line in permits.sheet(context):
        held = line.permit
        until = f", until {held.ends:%Y-%m-%d %H:%M %z}" if held.ends is not None else ""
        print(printable(f"{held.number} {held.road.value}, {held.plant}, {held.zone}: {line.words.upper()}{until}"))
        for words in due_again(held, context.clock()):
            print(printable(f"  {words}"))
        if line.possible:
            print(f"  possible now: {'; '.join(line.possible)}")


def _print_audit(context: Context, given: Namespace) -> None:
    now = context.clock()
    starts = site_audit.day_typed("The begin", given.starts, now) if given.starts else None
    ends = site_audit.day_typed("The end", given.ends, now, through=True) if given.ends else None
    found = site_audit.audit(context, starts, ends)
    if given.json:
        print(json.dumps(site_audit.audit_json(found), ensure_ascii=False, indent=2))
    else:
        print("\n".join(map(printable, site_audit.audit_lines(found))))


def _print_paper(place: Workplace, context: Context, given: Namespace) -> ExitCode:
    """With a signer a numbered copy; without one a copy that nobody controls."""
    wanted = DrawPermit(given.number, given.kind, given.folder, given.paper, given.revision)
    if given.name:
        file = draw_numbered(_signing(place, context, given, PERMIT_MEANINGS[COPY]), wanted, given.drawn_for)
    else:
        file = draw(context, wanted)
    print(printable(f"{file}: check it with `riskhelper verify {file}`."))
    return ExitCode.NO_STOP_FOUND


def _print_permit(context: Context, number: str) -> None:
    shown = permit_words.shown(context, number)
    if context.rehearsal:
        print("REHEARSAL. NOT FOR WORK.")
    print(printable(f"Permit {number}: {shown.state.upper()}"))
    print("\n".join(printable(line) for line in shown.around))
    for section in shown.sections:
        print(f"{section.title}:")
        print("\n".join(printable(f"  {line}") for line in section.lines))
    for offer in possible_now.offers(context, number):
        who = ", ".join(dict.fromkeys(f"{each.name} as {each.role}" for each in offer.who))
        why = "; ".join(f"{lack.words}. Needed: {lack.by}" for lack in offer.lacks)
        print(printable(f"possible now: {offer.act} ({who})" if who else f"not possible now: {offer.act}: {why}"))


def _print_wanted(fields: Sequence[Wanted]) -> None:
    if not fields:
        print("Nothing is written with this act.")
    for field in fields:
        print(printable(f"{field.key}={'' if field.needed else '   (may be left out)'}  {field.words}"))
        if field.kind is not FieldKind.WORDS:
            print(f"    {field.kind.value}")
        for typed, words in (field.choices or {}).items():
            print(printable(f"    {typed}  {words}"))


def _details(words: Sequence[str]) -> dict[str, str]:
    details = {}
    for word in words:
        name, equals, text = word.partition("=")
        if not equals or not name:
            raise Refused(f"`{word}` should be written as name=words, such as reason='thunder near'")
        details[name.strip()] = text
    return details
