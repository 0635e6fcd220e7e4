"""Keys, a register and signed entries for tests, made without any file."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from riskhelper.permit.persons import Authority, Person
from riskhelper.record.canonical import Content
from riskhelper.record.columns import leaf_bytes
from riskhelper.record.entries import NOTE, REVOKE_KEY, SET_UP_REGISTER, VOUCH, Entry, drafted
from riskhelper.record.people import vouch_content
from riskhelper.record.signing import Hand, signed
from riskhelper.record.tree import GrowingTree, leaf_hash

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)
KEEPERS = ("Ada Quist", "Bo Lind")


def hand(name: str, mark: str = "") -> Hand:
    """A hand whose key follows from its name: tests that fail, fail alike each time."""
    private = Ed25519PrivateKey.from_private_bytes(hashlib.sha256(f"{name}{mark}".encode()).digest())
    return Hand(name, private.public_key().public_bytes_raw().hex(), private.sign)


REGISTER = hand("site register")


def person(name: str, *roles: str, limit_v: int = 11_000, days: int = 365) -> Person:
    """A person with roles that end after some days."""
    until = NOW + timedelta(days=days)
    return Person(name, "Crag End Works", tuple(Authority(role, until, limit_v) for role in roles))


class Record:
    """A growing list of entries, a minute apart."""

    def __init__(self, register: Hand = REGISTER) -> None:
        self.entries: list[Entry] = []
        self.register = register

    def add(self, act: str, content: Mapping[str, Content], by: Hand | None = None, who: str = "") -> Entry:
        number = len(self.entries) + 1
        draft = drafted(
            job="7",
            who=who or (by.name if by else "Cy Moor"),
            role="issuer",
            act=act,
            content=content,
            entered=NOW + timedelta(minutes=number),
        )
        if by is not None:
            tree = GrowingTree()
            for each in self.entries:
                tree.add(leaf_hash(leaf_bytes(each)))
            draft = replace(draft, signature=signed(draft, by, tree.size, tree.root.hex()))
        entry = Entry(number, draft, draft.meaning, draft.digest)
        self.entries.append(entry)
        return entry

    def set_up(self) -> None:
        self.add(SET_UP_REGISTER, {"key": self.register.key, "keepers": list(KEEPERS)}, self.register)

    def vouch(self, who: Person, key: str) -> None:
        self.add(VOUCH, vouch_content(who, key, KEEPERS), self.register)

    def revoke(self, key: str, reason: str = "tablet lost") -> None:
        self.add(REVOKE_KEY, {"key": key, "reason": reason, "by": list(KEEPERS)}, self.register)

    def note(self, text: str, by: Hand | None = None, who: str = "") -> Entry:
        return self.add(NOTE, {"question": "", "text": text}, by, who)


def small_record() -> Record:
    """A register, one person, and notes: entries 4 and 6 are signed, 3, 5 and 7 are not."""
    record = Record()
    record.set_up()
    record.vouch(person("Ada Quist", "issuer"), hand("Ada Quist").key)
    for number in range(3, 8):
        record.note(f"note {number}", hand("Ada Quist") if number % 2 == 0 else None)
    return record
