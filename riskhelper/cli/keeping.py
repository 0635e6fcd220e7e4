"""`backup`, `restore`, `texts` and `incident`: keeping a record, and destroying text at the end of its time."""

from __future__ import annotations

import sys
from argparse import Namespace
from datetime import timedelta

from riskhelper.acts.context import Context, Refused, printable
from riskhelper.acts.record import backing_up
from riskhelper.acts.record import incidents as incident_acts
from riskhelper.acts.record import texts as text_acts
from riskhelper.acts.register.signing import Signing, key_folder, sign_in
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode
from riskhelper.cli.secrets import passphrases

MOST_KEPT_DAYS = 36_525


def backup(place: Workplace, given: Namespace) -> ExitCode:
    """Writes a verified copy."""
    made = backing_up.back_up(place.store, place.keys, given.file, rehearsal=place.rehearsal)
    print(
        f"Copied and checked: {made.found.head.size} entries, {made.keys} sealed keys. Tree head: {made.found.head}"
    )
    return ExitCode.NO_STOP_FOUND


def restore(place: Workplace, given: Namespace) -> ExitCode:
    """Brings a copy back."""
    made = backing_up.restore(given.file, place.store, place.keys, rehearsal=place.rehearsal, now=place.now())
    print(f"Brought back: {made.found.head.size} entries. Tree head: {made.found.head}")
    if made.replaced is not None:
        print(f"What lay there is kept as {made.replaced}.")
    return ExitCode.NO_STOP_FOUND


def texts(place: Workplace, given: Namespace) -> ExitCode:
    """Lists the jobs with personal text, or destroys what is due."""
    if not 0 <= given.kept_days <= MOST_KEPT_DAYS:
        raise Refused(f"`{given.kept_days}` days: a keeping period is 0 to {MOST_KEPT_DAYS} days")
    context, kept_for = place.context(), timedelta(days=given.kept_days)
    if given.what == "destroy":
        jobs = text_acts.destroy(_signing(place, context, given), kept_for, given.over)
        print(printable(f"Text destroyed of job {', '.join(jobs)}. The record says so and holds."))
        print(
            "Backups, carried files, stores set aside and papers still hold it: destroy those too.", file=sys.stderr
        )
        return ExitCode.NO_STOP_FOUND
    listed = text_acts.texts(context, kept_for, given.over)
    for each in listed:
        print(printable(f"Job {each.job}: text in {len(each.entries)} entries; {each.stays or 'may be destroyed'}"))
    if not listed:
        print("No job holds personal text.")
    return ExitCode.NO_STOP_FOUND


def incident(place: Workplace, given: Namespace) -> ExitCode:
    """Reports an incident, or closes the inquiry."""
    context = place.context()
    if given.what == "report":
        entry = incident_acts.report(context, given.job, given.words)
        print(f"Saved as entry {entry.number}. Nothing of job {given.job} is destroyed until its inquiry is closed.")
        return ExitCode.NO_STOP_FOUND
    count = incident_acts.close(_signing(place, context, given), given.job, given.words)
    print(f"Closed: {count} of job {given.job}.")
    return ExitCode.NO_STOP_FOUND


def _signing(place: Workplace, context: Context, given: Namespace) -> Signing:
    return sign_in(context, key_folder(place), given.name, given.in_role, passphrases([given.name])[given.name])
