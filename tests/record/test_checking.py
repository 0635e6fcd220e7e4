"""Every kind of tampering is found and named; a record that was left alone holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from riskhelper.record.checking import checked, printed_head
from riskhelper.record.entries import Entry
from riskhelper.record.log_checking import PrintedHead
from riskhelper.record.people import register_of
from tests.record.signers import Record, hand, small_record

Tampering = Callable[[list[Entry]], list[Entry]]


def renumbered(entries: list[Entry]) -> list[Entry]:
    return [replace(entry, number=number) for number, entry in enumerate(entries, start=1)]


def altered(entries: list[Entry]) -> list[Entry]:
    """The text of entry 3 is changed, its digest left."""
    draft = replace(entries[2].draft, content={**entries[2].draft.content, "text": "note X"})
    return [*entries[:2], replace(entries[2], draft=draft), *entries[3:]]


def altered_with_digest(entries: list[Entry]) -> list[Entry]:
    """The text of entry 3 is changed, and its digest with it."""
    entry = altered(entries)[2]
    return [*entries[:2], replace(entry, digest=entry.draft.digest), *entries[3:]]


def changed_name(entries: list[Entry]) -> list[Entry]:
    """Another name stands on the unsigned entry 5."""
    return [*entries[:4], replace(entries[4], draft=replace(entries[4].draft, who="Bo Lind")), *entries[5:]]


def moved_signature(entries: list[Entry]) -> list[Entry]:
    """The signature of entry 4 stands under entry 5."""
    draft = replace(entries[4].draft, signature=entries[3].draft.signature)
    return [*entries[:4], replace(entries[4], draft=draft), *entries[5:]]


def inserted(entries: list[Entry]) -> list[Entry]:
    return renumbered([*entries[:3], entries[2], *entries[3:]])


@pytest.mark.parametrize(
    ("tamper", "words"),
    [
        (altered, "entry 3 was altered: its content gives digest"),
        (altered_with_digest, "entry 4 was signed over another record: after entry 2 up to entry 3"),
        (changed_name, "entry 6 was signed over another record: after entry 4 up to entry 5"),
        (moved_signature, "entry 5: the signature is not over this entry"),
        (lambda e: [*e[:2], *e[3:]], "entry 3 is missing before entry 4: taken out or moved"),
        (lambda e: renumbered([*e[:2], *e[3:]]), "entry 3 was signed over another record: after entry 2"),
        (lambda e: [*e[:2], e[3], e[2], *e[4:]], "entry 3 stands after entry 4: entries were put in another order"),
        (inserted, "entry 5 was signed over another record: after entry 2 up to entry 4"),
        (lambda e: [*e[:3], e[2], *e[3:]], "entry 3 is there twice: one of them was put in"),
        (lambda e: e[1:], "entry 1 is missing before entry 2"),
    ],
)
def test_tampering_is_found_and_named(tamper: Tampering, words: str) -> None:
    entries = small_record().entries
    outcome = checked(tamper(list(entries)))

    assert checked(entries).holds
    assert any(words in finding.words for finding in outcome.findings), outcome.findings


def test_a_record_left_alone_holds_and_says_by_whose_keys() -> None:
    outcome = checked(small_record().entries)

    assert outcome.findings == ()
    assert (outcome.signed_by, outcome.unsigned, outcome.last_signed) == ((("Ada Quist", 2),), 3, 6)


def test_a_tail_cut_off_shows_against_one_head_on_paper_and_only_there() -> None:
    entries = small_record().entries
    head = checked(entries).head

    assert checked(entries[:5]).holds
    assert [f.words for f in checked(entries[:5], head).findings] == [
        "the record ends at entry 5, but the paper was printed after 7: its tail was cut off"
    ]


def test_an_unsigned_tail_written_anew_shows_against_the_head_on_paper() -> None:
    entries = small_record().entries
    head = checked(entries).head
    record = Record()
    record.entries = entries[:6]
    record.note("another note 7")
    record.note("note 8")

    assert checked(record.entries).holds
    assert ["was written anew" in f.words for f in checked(record.entries, head).findings] == [True]
    record.entries = [*entries]
    record.note("note 8")
    assert checked(record.entries, head).holds


def test_a_register_made_by_oneself_has_other_words() -> None:
    entries = small_record().entries
    words = register_of(entries).words
    false = Record(register=hand("a register of my own"))
    false.set_up()

    assert checked(entries, register_words=f"  {words}\n").holds
    assert "it is not the register of your site" in checked(false.entries, register_words=words).findings[0].words


@pytest.mark.parametrize(
    ("who", "mark", "words"),
    [
        ("Eve Strand", "", "entry 8: no register vouches for the key that signed as Eve Strand"),
        ("Ada Quist", "2", "entry 8: no register vouches for the key that signed as Ada Quist"),
    ],
)
def test_a_key_swapped_is_named(who: str, mark: str, words: str) -> None:
    record = small_record()
    record.note("note 8", hand(who, mark))

    assert [f.words for f in checked(record.entries).findings] == [words]


def test_a_name_that_is_not_that_of_the_key_is_named() -> None:
    record = small_record()
    record.note("note 8", hand("Ada Quist"), who="Bo Lind")

    assert [f.words for f in checked(record.entries).findings] == [
        "entry 8 names Bo Lind, but the key is that of Ada Quist"
    ]


def test_what_a_revoked_key_signed_before_holds_and_after_does_not() -> None:
    record = small_record()
    record.revoke(hand("Ada Quist").key)

    assert checked(record.entries).holds
    record.note("note 9", hand("Ada Quist"))
    assert [f.words for f in checked(record.entries).findings] == [
        "entry 9: the key of Ada Quist was out of use (tablet lost)"
    ]


def test_a_signature_nobody_can_read_is_named() -> None:
    record = small_record()
    entry = record.note("note 8")
    record.entries[-1] = replace(entry, draft=replace(entry.draft, signature='{"schema":"other"}'))

    assert "what stands as its signature cannot be read" in checked(record.entries).findings[0].words


def test_a_head_typed_from_paper_is_read_back() -> None:
    head = PrintedHead(412, "3f" * 32)

    assert printed_head(f" {head} ") == head
    with pytest.raises(ValueError, match="is no tree head: it is the number of entries, a dash"):
        printed_head("412-3f")
