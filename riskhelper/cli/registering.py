"""`people` and `verify`: the register, and the check of a record."""

from __future__ import annotations

import sys
from argparse import Namespace
from datetime import timedelta

from riskhelper.acts.context import Context, printable
from riskhelper.acts.permit.permit_papers import record_says
from riskhelper.acts.permit.typed_moments import end_of_day
from riskhelper.acts.record import verifying
from riskhelper.acts.register import people as acts
from riskhelper.acts.register import rehearsal_crew
from riskhelper.acts.register.people import NewPerson
from riskhelper.acts.register.signing import key_folder, site
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode
from riskhelper.cli.secrets import new_passphrase, passphrases


def people(place: Workplace, given: Namespace) -> ExitCode:
    """One act on the register, or the register printed."""
    context, keys = place.context(), key_folder(place)
    match given.what:
        case "set-up":
            register = acts.set_up(context, keys, {name: new_passphrase(name) for name in given.keeper})
            print("The register is set up. Print these words and keep them where anybody can compare them:")
            print(register.words)
        case "add":
            until = end_of_day("The last day", given.until, context.clock())
            limits = (given.limit_v, given.plant, given.type)
            new = NewPerson(given.name, given.employer, tuple(given.role), until, *limits)
            known = given.name in site(context).register.people
            own = new_passphrase(given.name) if given.new_key or not known else ""
            hand = acts.open_register(context, keys, passphrases(given.by))
            person = acts.vouch(context, keys, hand, tuple(given.by), new, own)
            print(f"The register vouches for {person.name}: {', '.join(person.roles)}.")
        case "revoke":
            hand = acts.open_register(context, keys, passphrases(given.by))
            entry = acts.revoke(context, hand, tuple(given.by), given.name, given.reason)
            print(f"The key of {given.name} is out of use from entry {entry.number} on.")
        case "missing":
            lacking = acts.unfilled(context, tuple(given.present), given.plant, given.voltage_v)
            print("\n".join(lacking))
            if lacking:
                print(
                    "Nobody present can fill these roles: it ends at the statement; the site's own permit governs.",
                    file=sys.stderr,
                )
        case "practise":
            for person in rehearsal_crew.make_crew(context).people.values():
                print(f"{person.name} ({person.employer}): {', '.join(person.roles)}")
            print(f"All of them are invented. The passphrase of each is: {rehearsal_crew.PASSPHRASE}")
        case "list":
            _print_register(context)
    return ExitCode.NO_STOP_FOUND


def verify(place: Workplace, given: Namespace) -> ExitCode:
    """Checks a store and says in plain words what holds."""
    outcome = verifying.verify(
        given.file or place.store,
        rehearsal=None if given.file else place.rehearsal,
        head=given.head,
        register_words=given.register,
    )
    print("\n".join(printable(line) for line in verifying.lines(outcome)))
    if outcome.holds and given.file:
        print("".join(f"{printable(words)}\n" for words in record_says(given.file)), end="")
    if not given.head:
        print("Without a tree head from paper, a tail cut off does not show: give --head.", file=sys.stderr)
    if not given.register:
        print("Compare the words of the register with those printed at set-up.", file=sys.stderr)
    return ExitCode.NO_STOP_FOUND if outcome.holds else ExitCode.DOES_NOT_HOLD


def _print_register(context: Context) -> None:
    register = site(context).register
    print(f"register: {register.words or 'none is set up'}")
    for person in register.people.values():
        key = "key in use" if register.key_of(person.name) else "no key in use"
        print(f"{printable(person.name)} ({printable(person.employer)}), {key}")
        for authority in person.authorities:
            plant = f", plant {printable(authority.plant)}" if authority.plant else ""
            kind = f", {authority.type} only" if authority.type else ""
            last = authority.until - timedelta(seconds=1)
            print(f"  {authority.role} up to {authority.limit_v} V{plant}{kind}, last day {last:%Y-%m-%d}")
