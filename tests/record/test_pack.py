"""A pack gives back what went in; an excerpt comes out at the head of the whole and proves every entry it shows."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from riskhelper.record.checking import PrintedHead, checked, checked_pack
from riskhelper.record.entries import Entry, Gap
from riskhelper.record.pack import NOT_CARRIED, Pack, copied, head_of, packed, unpacked
from riskhelper.record.personal import sealed
from tests.record.signers import Record, hand, small_record

SALT = "ab" * 16


def long_record(count: int) -> Record:
    record = Record()
    record.set_up()
    for number in range(2, count + 1):
        record.note(f"note {number}")
    return record


LONG = long_record(40).entries


@given(st.sets(st.integers(1, len(LONG))), st.integers(1, len(LONG)))
def test_an_excerpt_comes_out_at_the_head_of_the_whole(shown: set[int], size: int) -> None:
    entries = LONG[:size]
    excerpt = copied(entries, lambda entry: entry.number in shown)

    assert (excerpt.size, excerpt.head) == head_of(entries) == head_of(excerpt.parts)
    assert [entry.number for entry in excerpt.entries] == sorted(n for n in shown if n <= size)
    assert excerpt.is_whole is (len(excerpt.entries) == size)


@given(st.sets(st.integers(1, 7)), st.booleans())
def test_what_goes_into_a_pack_comes_out(shown: set[int], rehearsal: bool) -> None:
    pack = Pack(rehearsal, (copied(small_record().entries, lambda entry: entry.number in shown),))

    assert unpacked(packed(pack, texts=True)) == pack


def test_an_excerpt_with_the_register_is_checked_alone_and_says_who_signed() -> None:
    entries = small_record().entries
    excerpt = copied(entries, lambda entry: entry.number in (1, 2, 6))
    outcome = checked_pack(unpacked(packed(Pack(False, (excerpt,)), texts=False)), checked(entries).head)

    assert outcome.findings == ()
    assert outcome.signed_by == (("Ada Quist", 1),)
    assert (outcome.logs[0].shown, outcome.head.size) == (3, 7)


def test_an_entry_shown_that_was_altered_is_found_by_its_signature_and_by_the_head() -> None:
    entries = small_record().entries
    excerpt = copied(entries, lambda entry: entry.number in (1, 2, 6))
    forged = tuple(
        replace(part, draft=replace(part.draft, role="king"))
        if isinstance(part, Entry) and part.number == 6
        else part
        for part in excerpt.parts
    )
    outcome = checked_pack(Pack(False, (replace(excerpt, parts=forged),)), checked(entries).head)

    assert outcome.findings[0].words.startswith("entry 6: the signature is not over this entry")
    assert any("do not match the tree head on paper" in finding.words for finding in outcome.findings)


def test_a_gap_that_is_no_part_of_a_tree_is_found() -> None:
    entries = small_record().entries
    excerpt = copied(entries, lambda entry: entry.number in (1, 2))
    gap = Gap("", 3, "00" * 32)
    outcome = checked_pack(Pack(False, (replace(excerpt, parts=(*excerpt.entries, gap)),)))

    assert "after entry 2 a gap cannot be placed" in outcome.findings[0].words


def test_a_head_inside_a_gap_is_not_taken_for_one_that_matches() -> None:
    entries = small_record().entries
    excerpt = copied(entries, lambda entry: entry.number in (1, 2, 7))
    found = checked_pack(Pack(False, (excerpt,)), PrintedHead(*head_of(entries[:5])))

    assert "found a gap there" in found.findings[0].words


def test_texts_stay_behind_unless_they_are_asked_for() -> None:
    record = Record()
    entry = record.note("Hedda slipped")
    draft = sealed(entry.draft, lambda: SALT, signed=False)
    entry = replace(entry, draft=draft, digest=draft.digest)
    pack = Pack(False, (copied([entry]),))
    without, whole = packed(pack, texts=False), packed(pack, texts=True)
    (read,) = unpacked(without).logs[0].entries

    assert b"Hedda" in whole
    assert b"Hedda" not in without
    assert b"Cy Moor" not in without
    assert read.draft.content["text"] == read.draft.who == NOT_CARRIED
    assert read.holds
    assert checked_pack(unpacked(without)).holds


def test_a_signature_of_one_log_does_not_hold_in_another() -> None:
    """ELE-02: a signature cannot be lifted to another record."""
    record = Record()
    record.set_up()
    moved = [replace(entry, log="cd" * 16) for entry in record.entries]

    assert checked(record.entries).holds
    assert "the signature is not over this entry" in checked(moved).findings[0].words


def test_a_key_signs_for_its_own_person_only_in_an_excerpt_too() -> None:
    record = small_record()
    record.note("note 8", hand("Ada Quist"), who="Bo Lind")
    excerpt = copied(record.entries, lambda entry: entry.number in (1, 2, 8))

    found = checked_pack(Pack(False, (excerpt,)))
    assert [finding.words for finding in found.findings] == [
        "entry 8 names Bo Lind, but the key is that of Ada Quist"
    ]
