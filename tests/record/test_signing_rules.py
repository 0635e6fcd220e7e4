"""What stands beside a signature, 21 CFR 11.50(a) (published): printed name, moment and meaning."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from riskhelper.record.entries import MEANINGS, NOTE, Entry, drafted
from riskhelper.record.people import register_of
from riskhelper.record.signing import NotASignature, is_key, signature_holds, signature_of, stands, verified
from tests.record.signers import NOW, Record, hand, small_record


def signed_entry() -> Entry:
    return Record().note("valve dry", hand("Cy Moor"))


def holds(entry: Entry) -> bool:
    signature = signature_of(entry)
    assert signature is not None
    return signature_holds(entry, signature)


def test_a_signature_holds_only_with_its_meaning() -> None:
    """Case permit-sign-no-meaning."""
    entry = signed_entry()

    assert holds(entry)
    assert not holds(replace(entry, meaning=""))


@pytest.mark.parametrize("part", ["who", "moment_true", "moment_entered", "role"])
def test_a_signature_holds_only_with_name_moment_and_role(part: str) -> None:
    entry = signed_entry()

    assert not holds(replace(entry, draft=replace(entry.draft, **{part: ""})))


def test_no_act_goes_without_a_meaning() -> None:
    assert all(meaning.strip() for meaning in MEANINGS.values())
    with pytest.raises(KeyError):
        drafted(job="7", who="Cy Moor", role="issuer", act="sign", content={}, entered=NOW)
    assert drafted(job="7", who="Cy Moor", role="issuer", act=NOTE, content={}, entered=NOW).meaning


P = 2**255 - 19
D = -121665 * pow(121666, -1, P) % P
GROUP = 2**252 + 27742317777372353535851937790883648493
Dot = tuple[int, int]


def added(one: Dot, other: Dot) -> Dot:
    """The sum of two points, RFC 8032 section 5.1.4 in affine form."""
    (x1, y1), (x2, y2) = one, other
    k = D * x1 * x2 * y1 * y2 % P
    return (x1 * y2 + x2 * y1) * pow(1 + k, -1, P) % P, (y1 * y2 + x1 * x2) * pow(1 - k, -1, P) % P


def times(number: int, dot: Dot) -> Dot:
    total = (0, 1)
    while number:
        total = added(total, dot) if number & 1 else total
        dot, number = added(dot, dot), number >> 1
    return total


def on_curve(y: int) -> Dot | None:
    """A point with this y, RFC 8032 section 5.1.3, where there is one."""
    square = (y * y - 1) * pow(D * y * y + 1, -1, P) % P
    x = pow(square, (P + 3) // 8, P)
    x = x if x * x % P == square else x * pow(2, (P - 1) // 4, P) % P
    return (x, y) if x * x % P == square else None


def small_order() -> set[Dot]:
    """All eight points that eight times themselves is nothing: found by multiplying points with the group order."""
    found: set[Dot] = set()
    for y in range(2, 40):
        dot = on_curve(y)
        if dot is not None:
            torsion = times(GROUP, dot)
            found |= {times(number, torsion) for number in range(8)}
    return found


def test_a_key_of_small_order_is_no_key() -> None:
    """Under it one signature holds over any message. The points are worked out from RFC 8032, 5.1 (published)."""
    dots = small_order()
    keys = [(y | (x & 1) << 255).to_bytes(32, "little").hex() for x, y in dots]
    signature = (b"\x01" + bytes(63)).hex()  # the neutral point, and a factor of 0

    assert len(keys) == 8
    assert not any(is_key(key) or verified(key, b"any message", signature) for key in keys)
    assert is_key(hand("Cy Moor").key)


def test_a_key_has_one_form() -> None:
    """Written in another way one key would be two, and one person could be on both sides."""
    key = hand("Cy Moor").key
    beyond = (P + 3).to_bytes(32, "little").hex()

    assert not any(is_key(other) for other in (key.upper(), f" {key[1:]}", key[:-2], f"{key}00", beyond, ""))


@pytest.mark.parametrize(
    "written",
    [
        lambda text: text.replace("}", ',"z":1}'),
        lambda text: text.upper(),
        lambda text: text.replace('"value":"', '"value":" '),
        lambda text: text.replace('"after_size":0', '"after_size":false'),
        lambda text: text.replace(text, "null"),
    ],
)
def test_a_signature_has_one_form(written: Callable[[str], str]) -> None:
    entry = signed_entry()
    assert stands(entry, signature_of(entry) or pytest.fail("it is signed"))
    changed = replace(entry, draft=replace(entry.draft, signature=written(entry.draft.signature)))

    with pytest.raises(NotASignature):
        signature_of(changed)


def test_a_signature_stands_at_its_own_number_alone() -> None:
    """Put in a second time, an act that was signed once would count twice."""
    entry = signed_entry()
    signature = signature_of(entry)
    assert signature is not None

    assert signature_holds(replace(entry, number=2), signature)
    assert not stands(replace(entry, number=2), signature)


def test_the_register_takes_no_entry_whose_content_is_not_the_one_signed() -> None:
    """ELE-04: whoever changes the roles in the file gives nobody a role."""
    record = small_record()
    vouched = record.entries[1]
    content = {**vouched.draft.content, "employer": "Elsewhere"}
    altered = replace(vouched, draft=replace(vouched.draft, content=content))
    register = register_of([record.entries[0], altered])

    assert (register.people, list(register.foreign)) == ({}, [2])
