"""Personal text bound without being held: the tree holds a salted commitment, the text lies beside it.

A commitment is the digest of salt and value together. Whoever has the text can show that it is the one that was
written; once text and salt are destroyed, the commitment says nothing about them, and every proof over it holds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from riskhelper.record.canonical import Content, digest

TEXT, LIST, VALUE = "text", "list", "value"
DETAILS = "details."
SEALED_MARK = '"sealed":"'
"""Stands in canonical content wherever something is sealed."""


@dataclass(frozen=True, slots=True)
class Seal:
    """What binds one personal value. Without `salt` the value is not here, and `why_gone` says why."""

    commitment: str
    kind: str
    salt: str = ""
    why_gone: str = ""

    def binds(self, value: Content) -> bool:
        """Whether this is the value that was bound; one that is gone cannot be told from any other."""
        return not self.salt or commitment(self.salt, value) == self.commitment

    @property
    def stand_in(self) -> Content:
        """What stands where the value was: its fate in words, or for an answer that it is not known."""
        if self.kind == VALUE:
            return None
        return [self.why_gone] if self.kind == LIST else self.why_gone


@dataclass(frozen=True, slots=True)
class KeptText:
    """A personal value as it lies beside the tree."""

    salt: str
    value: Content


def commitment(salt: str, value: Content) -> str:
    """The commitment to a value under a salt (hexadecimal)."""
    return digest({"salt": salt, "value": value})


def kind_of(value: Content) -> str:
    """What kind of value stands in when it is gone."""
    if isinstance(value, str):
        return TEXT
    return LIST if isinstance(value, list) else VALUE


def value_at(content: Mapping[str, Content], path: str) -> Content:
    """The value at a path: a key, or `details.` and a key."""
    if not path.startswith(DETAILS):
        return content.get(path)
    details = content.get("details")
    return details.get(path.removeprefix(DETAILS)) if isinstance(details, dict) else None


def with_value(content: Mapping[str, Content], path: str, value: Content) -> dict[str, Content]:
    """The content with another value at a path."""
    if not path.startswith(DETAILS):
        return {**content, path: value}
    details = content.get("details")
    held = details if isinstance(details, dict) else {}
    return {**content, "details": {**held, path.removeprefix(DETAILS): value}}


def stored_form(content: Mapping[str, Content], seals: Mapping[str, Seal]) -> dict[str, Content]:
    """The content as the tree binds it: commitments in place of personal values."""
    stored = dict(content)
    for path, seal in seals.items():
        stored = with_value(stored, path, {"sealed": seal.commitment, "kind": seal.kind})
    return stored


def seals_in(stored: Mapping[str, Content]) -> dict[str, Seal]:
    """The commitments of stored content by path; the values are not here yet."""
    details = stored.get("details")
    places = (
        {**stored, **{DETAILS + key: each for key, each in details.items()}} if isinstance(details, dict) else stored
    )
    found = {}
    for path, value in places.items():
        match value:
            case {"sealed": str(bound), "kind": str(kind)}:
                found[path] = Seal(bound, kind)
    return found


def opened_form(
    stored: Mapping[str, Content], texts: Mapping[str, KeptText], why_gone: str
) -> tuple[dict[str, Content], dict[str, Seal]]:
    """The content with the texts that are here put back, and what binds each."""
    content, seals = dict(stored), seals_in(stored)
    for path, seal in seals.items():
        kept = texts.get(path)
        held = Seal(seal.commitment, seal.kind, kept.salt) if kept else Seal(seal.commitment, seal.kind, "", why_gone)
        seals[path] = held
        content = with_value(content, path, kept.value if kept else held.stand_in)
    return content, seals
