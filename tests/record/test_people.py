"""Whose key is whose: vouched for, replaced, revoked; nobody but the register's own key has a say."""

from __future__ import annotations

from datetime import timedelta

import pytest

from riskhelper.permit.persons import roles_not_filled
from riskhelper.record.people import register_of
from tests.record.signers import KEEPERS, NOW, REGISTER, hand, person, small_record

ADA = hand("Ada Quist")


def test_the_register_reads_as_sixteen_words_and_names_its_keepers() -> None:
    register = register_of(small_record().entries)

    assert len(register.words.split()) == 16
    assert register.keepers == KEEPERS
    assert register.people == {"Ada Quist": person("Ada Quist", "issuer")}
    assert register.key_of("Ada Quist") == ADA.key


def test_a_new_key_replaces_the_old_which_keeps_its_standing_before() -> None:
    record = small_record()
    record.vouch(person("Ada Quist", "issuer"), hand("Ada Quist", "2").key)
    keys = register_of(record.entries).keys

    assert register_of(record.entries).key_of("Ada Quist") == hand("Ada Quist", "2").key
    assert [keys[ADA.key].counts_at(number) for number in (2, 3, 8, 9)] == [False, True, True, False]


def test_a_revoked_key_signs_nothing_more_and_never_comes_back() -> None:
    record = small_record()
    record.revoke(ADA.key)
    record.vouch(person("Ada Quist", "issuer"), ADA.key)
    register = register_of(record.entries)

    assert register.key_of("Ada Quist") == ""
    assert (register.keys[ADA.key].ended, register.keys[ADA.key].why) == (8, "tablet lost")
    assert register.foreign == {9: "brings back a key of Ada Quist that was taken out of use"}


def test_limits_are_vouched_for_anew_under_the_same_key() -> None:
    record = small_record()
    record.vouch(person("Ada Quist", "issuer", "evaluator", limit_v=400), ADA.key)
    register = register_of(record.entries)

    assert register.people["Ada Quist"].roles == ("issuer", "evaluator")
    assert register.keys[ADA.key].counts_at(99)


def test_a_person_cannot_vouch_nor_take_the_key_of_another() -> None:
    record = small_record()
    record.register = ADA
    record.vouch(person("Eve Strand", "issuer"), hand("Eve Strand").key)
    record.register = REGISTER
    record.vouch(person("Eve Strand", "issuer"), ADA.key)

    assert register_of(record.entries).foreign == {
        8: "is not signed by the site register",
        9: "gives Eve Strand a key that is another's or no key",
    }
    assert "Eve Strand" not in register_of(record.entries).people


def test_a_second_register_is_no_register() -> None:
    record = small_record()
    record.register = hand("another register")
    record.set_up()

    assert register_of(record.entries).key == REGISTER.key
    assert register_of(record.entries).foreign == {8: "sets up a second register"}


@pytest.mark.parametrize(
    ("plant", "voltage_v", "after_days", "lack"),
    [
        ("T2", 11_000, 0, ""),
        ("T2", 11_001, 0, "the authority of Ada Quist as issuer ends at 11000 V, the plant has 11001 V"),
        ("T2", 400, 365, "the authority of Ada Quist as issuer ran out on 2032-02-03"),
        ("T2", 400, 364.9, ""),
    ],
)
def test_an_authority_has_limits_and_an_end(plant: str, voltage_v: int, after_days: float, lack: str) -> None:
    """INT-09."""
    ada = person("Ada Quist", "issuer")

    assert ada.lack("issuer", plant, voltage_v, NOW + timedelta(days=after_days)) == lack
    assert ada.lack("evaluator", plant, voltage_v, NOW) == "Ada Quist does not hold the role evaluator"


def test_roles_nobody_present_can_fill_are_named() -> None:
    present = (person("Ada Quist", "issuer", "evaluator", "worker"), person("Bo Lind", "acceptor", limit_v=50))

    assert roles_not_filled(present, "T2", 400, NOW) == (
        "requester",
        "acceptor",
        "area owner",
        "isolator",
        "witness",
        "coordinator",
        "safety officer",
    )
