"""`carry` and `holding`: taking a record to another store and back, and which store holds which plant."""

from __future__ import annotations

import sys
from argparse import Namespace

from riskhelper.acts.context import Context, printable
from riskhelper.acts.record import carrying
from riskhelper.acts.record import holding as acts
from riskhelper.acts.record.carrying import Carried
from riskhelper.acts.register.people import open_register
from riskhelper.acts.register.signing import Signing, key_folder, sign_in
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode
from riskhelper.cli.secrets import passphrases


def carry(place: Workplace, given: Namespace) -> ExitCode:
    """Writes the file, or takes one in."""
    context, keys = place.context(), key_folder(place)
    if given.what == "out":
        pack = carrying.carry_out(context, keys, given.file, given.key)
        entries = sum(log.size for log in pack.logs)
        print(f"Carried out: entries: {entries}, stores: {len(pack.logs)}, sealed keys: {len(pack.keys)}.")
        print("Whoever has the file can read it: carry it as you would the papers.", file=sys.stderr)
        return ExitCode.NO_STOP_FOUND
    return _print_carried(carrying.carry_in(context, keys, given.file, given.register), compared=bool(given.register))


def holding(place: Workplace, given: Namespace) -> ExitCode:
    """Prints the holding, or does one act on it."""
    context = place.context()
    match given.what:
        case "list":
            print(f"This store is {acts.own_name(context)}.")
            for line in acts.register(context):
                print(printable(f"{line.thing}: {'held here' if line.here else line.words}"))
        case "pass":
            acts.pass_on(_signing(place, context, given), given.plant, given.to)
            print(f"Passed to {given.to}: {', '.join(given.plant)}. Until that store takes them, nobody holds them.")
            print("Now carry out, and carry in there.", file=sys.stderr)
        case "take":
            print(printable(f"Held here from now on: {', '.join(acts.take(_signing(place, context, given)))}."))
        case "claim":
            hand = open_register(context, key_folder(place), passphrases(given.by))
            acts.claim(context, tuple(given.by), hand, given.plant, given.reason)
            print(printable(f"Claimed for this store: {', '.join(given.plant)}."))
    return ExitCode.NO_STOP_FOUND


def _signing(place: Workplace, context: Context, given: Namespace) -> Signing:
    return sign_in(context, key_folder(place), given.name, given.in_role, passphrases([given.name])[given.name])


def _print_carried(carried: Carried, *, compared: bool) -> ExitCode:
    for each in carried.apart:
        print(printable(f"Two histories: {each.words}."))
    if carried.apart:
        print(f"Nothing was taken in. The file is kept apart as {carried.kept_in}.")
        return ExitCode.DOES_NOT_HOLD
    for name, count in carried.entries:
        print(f"Taken in from {name}: {count} entries.")
    if not carried.entries:
        print("Nothing new: everything in the file is here already.")
    for name in carried.keys:
        print(printable(f"Sealed key of {name}: lies here now."))
    for words in carried.not_counting:
        print(printable(f"Look at this: {words}."))
    for job in carried.texts_kept:
        print(printable(f"Text of job {job} was destroyed in another store and stays here: an incident keeps it."))
    if carried.on_the_way:
        print(printable(f"Passed to this store, to be taken by `holding take`: {', '.join(carried.on_the_way)}."))
    print(f"Vouched for by the register whose words are: {carried.register_words or 'none'}.")
    if not compared:
        print("Compare these words with those printed at set-up.", file=sys.stderr)
    return ExitCode.NO_STOP_FOUND
