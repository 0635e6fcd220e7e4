"""The register of people: whose key is whose, in which roles, within which limits, vouched by the site's key.

A key counts from the entry that vouches for it to the entry that replaces or revokes it. What it signed in
between keeps its standing: the order is that of the entries, never of the clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from riskhelper.permit.persons import KNOWN_ROLES, Authority, Person
from riskhelper.record.canonical import Content
from riskhelper.record.contents import NotReadable, text_of
from riskhelper.record.entries import REVOKE_KEY, SET_UP_REGISTER, VOUCH, Entry
from riskhelper.record.moments import NotAMoment, moment_of, offset_min, utc_text
from riskhelper.record.signing import NotASignature, fingerprint, is_key, signature_of, stands
from riskhelper.record.spoken_words import words_of

REGISTER_ACTS = frozenset({SET_UP_REGISTER, VOUCH, REVOKE_KEY})


@dataclass(frozen=True, slots=True)
class KeyHeld:
    """A key of a person: from which entry on, and the entry that ended it (0: still in use), by their places."""

    key: str
    person: str
    since: int
    ended: int = 0
    why: str = ""

    def counts_at(self, place: int) -> bool:
        """Whether the key was in use for an entry at that place."""
        return self.since < place and not (self.ended and place > self.ended)


@dataclass(frozen=True)
class Register:
    """The register as it stands: its own key, the log it was set up in, its keepers, whether it is one of a rehearsal
    (none: it does not say), people, keys, and entries that it does not vouch for, by their places."""

    key: str = ""
    log: str = ""
    keepers: tuple[str, ...] = ()
    rehearsal: bool | None = None
    people: Mapping[str, Person] = field(default_factory=dict)
    keys: Mapping[str, KeyHeld] = field(default_factory=dict)
    foreign: Mapping[int, str] = field(default_factory=dict)

    @property
    def words(self) -> str:
        """The register's key as words, as printed at set-up; empty before it."""
        return words_of(fingerprint(self.key)) if self.key else ""

    def key_of(self, person: str) -> str:
        """The key that person signs with now; empty where there is none."""
        return next((held.key for held in self.keys.values() if held.person == person and not held.ended), "")


def register_of(entries: Iterable[Entry]) -> Register:
    """The register that the entries add up to; other acts are passed over."""
    register = Register()
    for entry in entries:
        if entry.draft.act in REGISTER_ACTS:
            register = with_entry(register, entry)
    return register


def with_entry(register: Register, entry: Entry) -> Register:
    """The register after one of its own entries. One that its key did not sign changes nothing and is kept named."""
    act = entry.draft.act
    try:
        signature = signature_of(entry)
        stated = text_of(entry, "key") if act == SET_UP_REGISTER else register.key
        if act == SET_UP_REGISTER and register.key:
            return _foreign(register, entry, "sets up a second register")
        if signature is None or signature.key != stated or not stands(entry, signature):
            return _foreign(register, entry, "is not signed by the site register")
        if act == SET_UP_REGISTER:
            said = entry.draft.content.get("rehearsal")
            return replace(
                register,
                key=stated,
                log=entry.log,
                keepers=tuple(_texts(entry, "keepers")),
                rehearsal=said if isinstance(said, bool) else None,
            )
        return _vouched(register, entry) if act == VOUCH else _revoked(register, entry)
    except (NotReadable, NotASignature, NotAMoment) as fault:
        return _foreign(register, entry, f"cannot be read: {fault}")


def vouch_content(person: Person, key: str, by: Sequence[str]) -> dict[str, Content]:
    """A person, their key and limits, as content; `by` are the two people who vouch."""
    return {
        "person": person.name,
        "employer": person.employer,
        "key": key,
        "by": list(by),
        "authorities": [
            {
                "role": each.role,
                "until": utc_text(each.until),
                "offset_min": offset_min(each.until),
                "limit_v": each.limit_v,
                "plant": each.plant,
                "type": each.type,
            }
            for each in person.authorities
        ],
    }


def _vouched(register: Register, entry: Entry) -> Register:
    name, key = text_of(entry, "person"), text_of(entry, "key")
    if not is_key(key) or (key in register.keys and register.keys[key].person != name):
        return _foreign(register, entry, f"gives {name} a key that is another's or no key")
    person = Person(name, text_of(entry, "employer"), tuple(_authorities(entry)))
    keys = {
        held: replace(now, ended=entry.order, why="replaced")
        if now.person == name and not now.ended and held != key
        else now
        for held, now in register.keys.items()
    }
    if key in keys and keys[key].ended:
        return _foreign(register, entry, f"brings back a key of {name} that was taken out of use")
    keys.setdefault(key, KeyHeld(key, name, entry.order))
    return replace(register, people={**register.people, name: person}, keys=keys)


def _revoked(register: Register, entry: Entry) -> Register:
    key = text_of(entry, "key")
    if key not in register.keys or register.keys[key].ended:
        return _foreign(register, entry, "revokes a key that is not in use")
    ended = replace(register.keys[key], ended=entry.order, why=text_of(entry, "reason"))
    return replace(register, keys={**register.keys, key: ended})


def _authorities(entry: Entry) -> Iterable[Authority]:
    listed = entry.draft.content.get("authorities")
    for each in listed if isinstance(listed, list) else []:
        match each:
            case {
                "role": str(role),
                "until": str(until),
                "offset_min": int(offset),
                "limit_v": int(limit),
                "plant": str(plant),
                "type": str(kind),
            } if role in KNOWN_ROLES:
                yield Authority(role, moment_of(until, offset), limit, plant, kind)
            case _:
                raise NotReadable(
                    f"entry {entry.number}: an authority is written in a way this program does not know"
                )


def _texts(entry: Entry, key: str) -> list[str]:
    value = entry.draft.content.get(key)
    if not isinstance(value, list):
        raise NotReadable(f"entry {entry.number}: `{key}` should be a list")
    return [str(each) for each in value]


def _foreign(register: Register, entry: Entry, why: str) -> Register:
    return replace(register, foreign={**register.foreign, entry.order: why})
