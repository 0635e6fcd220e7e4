"""The register of people: set up by two, vouched for by two, keys replaced and revoked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.context import MOST_NAME, MOST_WORDS, Context, checked_words
from riskhelper.acts.register.signing import append_signed, moment, site
from riskhelper.permit.document import Road
from riskhelper.permit.persons import KNOWN_ROLES, Authority, Person, roles_not_filled
from riskhelper.record.canonical import Content, digest
from riskhelper.record.entries import REVOKE_KEY, SET_UP_REGISTER, VOUCH, Entry
from riskhelper.record.people import Register, vouch_content
from riskhelper.record.signing import Hand
from riskhelper.ruleset.model import RuleSet
from riskhelper.store.keys import KeyFolder

REGISTER_NAME = "site register"
REGISTER_ROLE = "register"
KEEPERS_NEEDED = 2


@dataclass(frozen=True, slots=True)
class NewPerson:
    """Input: a person, their roles with limits, and until when. With `type` only under permits of that road."""

    name: str
    employer: str
    roles: tuple[str, ...]
    until: datetime
    limit_v: int = 0
    plant: str = ""
    type: str = ""


def set_up(context: Context, keys: KeyFolder, passphrases: Mapping[str, str]) -> Register:
    """Makes the site register, kept by at least two people: any two of them open its key together."""
    found = site(context)
    if found.register.key:
        raise context.refused(SET_UP_REGISTER, "twice", "This store has its register already. There is only one")
    keepers = [checked_words("A keeper's name", name, MOST_NAME) for name in passphrases]
    if len(keepers) < KEEPERS_NEEDED or not all(keepers):
        raise context.refused(SET_UP_REGISTER, "keepers", "A register is kept by at least two people; name both")
    seen = context.store.size()
    made = keys.make(REGISTER_NAME, passphrases)
    hand = keys.opened(made.key, dict(list(passphrases.items())[:2]), context.clock())
    content: dict[str, Content] = {"key": made.key, "keepers": [*keepers], "rehearsal": context.rehearsal}
    append_signed(context, hand, "", REGISTER_ROLE, SET_UP_REGISTER, content, seen)
    return site(context).register


def open_register(context: Context, keys: KeyFolder, passphrases: Mapping[str, str]) -> Hand:
    """The register's hand, opened by two of its keepers together."""
    register = site(context).register
    if not register.key:
        raise context.refused(VOUCH, "no register", "No register is set up in this store. Two people set it up first")
    return keys.opened(register.key, passphrases, context.clock())


def vouch(
    context: Context, keys: KeyFolder, register: Hand, by: tuple[str, ...], new: NewPerson, passphrase: str = ""
) -> Person:
    """Vouches for a person. With a passphrase a new key is made, which replaces any older one."""
    seen, found = context.store.size(), site(context)
    _check_opened_by(context, register, by)
    person = _person(context, new)
    key = found.register.key_of(person.name)
    if not key and not passphrase:
        raise context.refused(VOUCH, "no key", f"{person.name} has no key yet. They type a passphrase of their own")
    if passphrase:
        key = keys.make(person.name, {person.name: passphrase}).key
    append_signed(context, register, "", REGISTER_ROLE, VOUCH, vouch_content(person, key, by), seen)
    return person


def revoke(context: Context, register: Hand, by: tuple[str, ...], name: str, reason: str) -> Entry:
    """Takes the key of a person out of use; what it signed before keeps its standing."""
    seen, found = context.store.size(), site(context)
    _check_opened_by(context, register, by)
    key, why = found.register.key_of(name), checked_words("The reason", reason, MOST_WORDS)
    if not key or not why:
        lack = f"`{name}` has no key in use" if not key else "Write the reason; it stays in the record"
        raise context.refused(REVOKE_KEY, "not possible", lack)
    content: dict[str, Content] = {"key": key, "person": name, "reason": why, "by": [*by]}
    return append_signed(context, register, "", REGISTER_ROLE, REVOKE_KEY, content, seen)


def unfilled(context: Context, names: tuple[str, ...], plant: str, voltage_v: int) -> tuple[str, ...]:
    """Roles nobody of those present can fill. With any unfilled, the site's own permit governs."""
    found = site(context)
    unknown = [name for name in names if name not in found.register.people]
    if unknown:
        raise context.refused("unfilled", "unknown person", f"Not in the register: {', '.join(unknown)}")
    present = tuple(found.register.people[name] for name in names)
    return roles_not_filled(present, plant, voltage_v, moment(context, found))


def rules_digest(rules: RuleSet) -> str:
    """One digest over all parts of a rule set: what an adoption is signed over."""
    return digest([[part.name, str(part.number), part.digest] for part in rules.parts])


def _check_opened_by(context: Context, register: Hand, by: tuple[str, ...]) -> None:
    """The two who are named in the trail are the two who typed their passphrases."""
    if set(by) != set(register.opened_by):
        who = " and ".join(register.opened_by) or "nobody named"
        raise context.refused(VOUCH, "keepers", f"The register was opened by {who}, not by {' and '.join(by)}")


def _person(context: Context, new: NewPerson) -> Person:
    name = checked_words("The name", new.name, MOST_NAME)
    employer = checked_words("The employer", new.employer, MOST_NAME)
    unknown = [role for role in new.roles if role not in KNOWN_ROLES]
    if unknown or not new.roles:
        raise context.refused(
            VOUCH, "role", f"Role `{', '.join(unknown) or 'none'}` is not known; known are {', '.join(KNOWN_ROLES)}"
        )
    if not name or not employer or new.until <= context.clock():
        raise context.refused(VOUCH, "incomplete", "A person has a name, an employer, and roles that end later")
    roads = [road.value for road in Road]
    if new.type and new.type not in roads:
        raise context.refused(VOUCH, "type", f"`{new.type}` is no kind of permit; known are {', '.join(roads)}")
    held = (Authority(role, new.until, new.limit_v, new.plant, new.type) for role in new.roles)
    return Person(name, employer, tuple(held))
