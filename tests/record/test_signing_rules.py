"""What stands beside a signature, 21 CFR 11.50(a) (published): printed name, moment and meaning."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskhelper.record.entries import MEANINGS, NOTE, Entry, drafted
from riskhelper.record.signing import signature_holds, signature_of
from tests.record.signers import NOW, Record, hand


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
