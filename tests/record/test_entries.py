"""What an entry says of itself: late or not, altered or not, and what is sealed in it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskhelper.record.canonical import canonical_bytes
from riskhelper.record.columns import entry_of, row_of, texts_of
from riskhelper.record.entries import LATE_AFTER, NOTE, TELL_STOP, Draft, Entry, drafted
from riskhelper.record.personal import sealed
from tests.record.signers import NOW

SECOND = timedelta(seconds=1)


def entry_of_draft(draft: Draft) -> Entry:
    return Entry(1, draft, draft.meaning, draft.digest)


def told(reason: str, who: str = "Cy Moor") -> Draft:
    content = {"called_by": "Osk Dahl", "reason": reason}
    return drafted(job="7", who=who, role="", act=TELL_STOP, content=content, entered=NOW)


@pytest.mark.parametrize(
    ("after", "late"),
    [(timedelta(0), False), (LATE_AFTER - SECOND, False), (LATE_AFTER, False), (LATE_AFTER + SECOND, True)],
)
def test_an_entry_is_late_when_it_was_true_longer_ago_than_the_limit(after: timedelta, late: bool) -> None:
    """REC-04: the moment it was true and the moment it was entered are both stored; late entries are marked late."""
    draft = drafted(
        job="7", who="", role="", act=NOTE, content={"text": "x"}, entered=NOW, true_at=NOW - after, zone=""
    )

    assert entry_of_draft(draft).is_late is late


@given(st.text(st.characters(exclude_categories=("Cs",)), min_size=1))
def test_a_sealed_text_comes_back_with_its_row_and_without_it_the_digest_still_holds(words: str) -> None:
    reason = f"because {words}"
    salts = iter(f"{number:032x}" for number in range(9))
    entry = entry_of_draft(sealed(told(reason), lambda: next(salts), signed=False))
    row, texts = row_of(entry), texts_of(entry)
    without = entry_of(row, why_gone="gone")

    assert entry_of(row, texts=texts) == entry
    assert without.holds
    assert without.digest == entry.digest
    assert without.draft.content["reason"] == without.draft.who == "gone"
    assert canonical_bytes(reason) not in bytes(row[11])  # type: ignore[arg-type]


def test_the_same_text_sealed_twice_looks_different_and_a_wrong_one_is_found() -> None:
    salts = iter(f"{number:032x}" for number in range(9))
    first, second = (entry_of_draft(sealed(told("slipped"), lambda: next(salts), signed=False)) for _ in range(2))
    other = replace(first, draft=replace(first.draft, content={**first.draft.content, "reason": "was pushed"}))

    assert first.digest != second.digest
    assert first.altered_texts == ()
    assert other.altered_texts == ("reason",)
    assert not other.holds


def test_who_signs_is_named_in_the_tree_and_who_does_not_is_sealed() -> None:
    unsigned = sealed(told("slipped"), lambda: "00" * 16, signed=False)
    signed = sealed(told("slipped"), lambda: "00" * 16, signed=True)

    assert (unsigned.who, unsigned.who_written) == ("Cy Moor", "")
    assert (signed.who, signed.who_written) == ("Cy Moor", "Cy Moor")
