"""What a signature covers, how it is written beside an entry, and whether it holds.

A signature (Ed25519, RFC 8032) covers who, role, act, meaning, both moments and the digest of the content, and
the log and the head of its tree before it: so it can neither be lifted to another entry or another store nor keep its
worth when anything before it was altered. The private key stays in the shell; here it is a function that signs.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass

from riskhelper.record.canonical import Content, NotCanonical, canonical_bytes, parsed
from riskhelper.record.entries import FIRST_SCHEMA, Draft, Entry, is_hex

SIGNATURE_SCHEMA = "riskhelper.signature/2"
FIRST_SIGNATURE_SCHEMA = "riskhelper.signature/1"
KEY_DIGITS, VALUE_DIGITS = 64, 128
FIELD = 2**255 - 19
SMALL_ORDER_Y = frozenset(
    {
        0,
        1,
        FIELD - 1,
        2707385501144840649318225287225658788936804267575313519463743609750303402022,
        FIELD - 2707385501144840649318225287225658788936804267575313519463743609750303402022,
    }
)
"""The y of the eight points of small order of the curve (RFC 8032 section 5.1: cofactor 8). Under such a key one
signature holds over many messages, so it names nobody."""


@dataclass(frozen=True, slots=True)
class Hand:
    """A person (or the site register) able to sign now: a name, a public key in hexadecimal, the signing, and those
    whose passphrases opened it."""

    name: str
    key: str
    sign: Callable[[bytes], bytes]
    opened_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature read back: by which key, over which head of the tree before it."""

    key: str
    after_size: int
    after_head: str
    value: str


class NotASignature(ValueError):
    """What stands beside an entry is no signature this program can read."""


def signed_bytes(
    draft: Draft, meaning: str, digest: str, key: str, after_size: int, after_head: str, log: str
) -> bytes:
    """The bytes a signature covers. From the second form of an entry on they name its log."""
    first = draft.schema == FIRST_SCHEMA
    covered: dict[str, Content] = {
        "schema": FIRST_SIGNATURE_SCHEMA if first else SIGNATURE_SCHEMA,
        "entry_schema": draft.schema,
        "job": draft.job,
        "who": draft.who_written,
        "role": draft.role,
        "act": draft.act,
        "meaning": meaning,
        "moment_true": draft.moment_true,
        "moment_entered": draft.moment_entered,
        "offset_min": draft.offset_min,
        "zone": draft.zone,
        "digest": digest,
        "key": key,
        "after_size": after_size,
        "after_head": after_head,
    }
    return canonical_bytes(covered if first else {**covered, "log": log})


def signed(draft: Draft, hand: Hand, after_size: int, after_head: str, log: str = "") -> str:
    """The signature of a hand under a draft, as it is written beside the entry."""
    covered = signed_bytes(draft, draft.meaning, draft.digest, hand.key, after_size, after_head, log)
    written: dict[str, Content] = {
        "schema": SIGNATURE_SCHEMA,
        "key": hand.key,
        "after_size": after_size,
        "after_head": after_head,
        "value": hand.sign(covered).hex(),
    }
    return canonical_bytes(written).decode("utf-8")


def signature_of(entry: Entry) -> Signature | None:
    """The signature beside an entry; none where it is not signed. Raises `NotASignature`."""
    if not entry.draft.signature:
        return None
    try:
        content = parsed(entry.draft.signature.encode("utf-8"))
    except (NotCanonical, UnicodeEncodeError) as fault:
        raise NotASignature(str(fault)) from fault
    match content:
        case {
            "schema": "riskhelper.signature/1" | "riskhelper.signature/2",
            "key": str(key),
            "after_size": int(size),
            "after_head": str(head),
            "value": str(value),
            **rest,
        } if not rest and not isinstance(size, bool) and is_hex(key, KEY_DIGITS) and is_hex(value, VALUE_DIGITS):
            return Signature(key, size, head, value)
    raise NotASignature("it has a form this program does not know")


def signature_holds(entry: Entry, signature: Signature) -> bool:
    """Whether a signature is that of its key over this very entry."""
    try:
        covered = signed_bytes(
            entry.draft,
            entry.meaning,
            entry.digest,
            signature.key,
            signature.after_size,
            signature.after_head,
            entry.log,
        )
    except NotCanonical:
        return False
    return verified(signature.key, covered, signature.value)


def stands(entry: Entry, signature: Signature) -> bool:
    """Whether an entry is what was signed: its content, its texts, its place in the log, the signature over it.

    What lies before it is not looked at: that takes the tree, and is asked of `checking`.
    """
    return entry.holds and signature.after_size == entry.number - 1 and signature_holds(entry, signature)


def is_key(key: str) -> bool:
    """Whether text is a public key that can name somebody: in its one form, and no point of small order."""
    if not is_hex(key, KEY_DIGITS):
        return False
    y = int.from_bytes(bytes.fromhex(key), "little") & ~(1 << 255)
    return y < FIELD and y not in SMALL_ORDER_Y


def verified(key: str, message: bytes, signature: str) -> bool:
    """Ed25519 verification; key and signature in hexadecimal. What has not the right form does not hold."""
    from cryptography.exceptions import InvalidSignature  # here, as most acts of an interview verify nothing
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    if not is_key(key):
        return False
    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(key)).verify(bytes.fromhex(signature), message)
    except (InvalidSignature, ValueError):
        return False
    return True


def fingerprint(key: str) -> bytes:
    """The first 16 bytes of SHA-256 over a public key: what is printed as words."""
    return hashlib.sha256(bytes.fromhex(key)).digest()[:16]
