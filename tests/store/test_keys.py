"""Sealed keys: opened by the right passphrase alone, by two people where two keep it, slower after each failure.

ELE-05. Sources: OWASP Password Storage Cheat Sheet (Argon2id with 19 MiB, 2 passes, 1 lane, or 46 MiB with one pass),
NIST SP 800-63B 5.1.1.2 (at least 8 characters, 64 accepted, nothing cut off, no forced change); both published.
"""

from __future__ import annotations

import itertools
import json
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from riskhelper.record.signing import verified
from riskhelper.store import keys
from riskhelper.store.keys import (
    LANES,
    MEMORY_KIB,
    PASSES,
    KeyFolder,
    KeyRefused,
    delay_s,
    parameters_suffice,
    passphrase_lack,
)

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)
PASSPHRASE = "slow green kettle"


def test_a_key_opens_for_its_passphrase_and_signs(tmp_path: Path) -> None:
    folder = KeyFolder(tmp_path / "keys")
    made = folder.make("Ada Quist", {"Ada Quist": PASSPHRASE})
    hand = folder.opened(made.key, {"Ada Quist": PASSPHRASE}, NOW)

    assert (hand.name, hand.key) == ("Ada Quist", made.key)
    assert verified(made.key, b"content", hand.sign(b"content").hex())
    assert not verified(made.key, b"other content", hand.sign(b"content").hex())


def test_folder_and_files_are_readable_by_their_owner_only_and_hold_no_private_key(tmp_path: Path) -> None:
    folder = KeyFolder(tmp_path / "keys")
    made = folder.make("Ada Quist", {"Ada Quist": PASSPHRASE})
    content = json.loads(made.file.read_text(encoding="utf-8"))

    assert stat.S_IMODE((tmp_path / "keys").stat().st_mode) == 0o700
    assert stat.S_IMODE(made.file.stat().st_mode) == 0o600
    assert content["argon2id"] == {"memory_kib": 19456, "passes": 2, "lanes": 1}
    assert PASSPHRASE not in made.file.read_text(encoding="utf-8")


def test_a_wrong_passphrase_waits_longer_each_time_and_a_right_one_ends_the_waiting(tmp_path: Path) -> None:
    folder = KeyFolder(tmp_path)
    key = folder.make("Ada Quist", {"Ada Quist": PASSPHRASE}).key
    moment = NOW
    for words in ("Type it again", "Type it again", "Wait 2 seconds"):
        with pytest.raises(KeyRefused, match=words):
            folder.opened(key, {"Ada Quist": "wrong passphrase"}, moment)
    with pytest.raises(KeyRefused, match="After 3 wrong passphrases the key of Ada Quist waits 1 more seconds"):
        folder.opened(key, {"Ada Quist": PASSPHRASE}, moment + timedelta(seconds=1))
    with pytest.raises(KeyRefused, match="waits 2 more"):
        folder.opened(key, {"Ada Quist": PASSPHRASE}, moment - timedelta(days=1))

    assert folder.opened(key, {"Ada Quist": PASSPHRASE}, moment + timedelta(seconds=2)).key == key
    with pytest.raises(KeyRefused, match="Type it again"):
        folder.opened(key, {"Ada Quist": "wrong passphrase"}, moment + timedelta(seconds=3))


def test_the_register_opens_for_any_two_of_its_keepers_and_for_no_one_alone(tmp_path: Path) -> None:
    folder = KeyFolder(tmp_path)
    keepers = {"Ada Quist": "ada ada ada", "Bo Lind": "bo bo bo bo", "Cy Moor": "cy cy cy cy"}
    key = folder.make("site register", keepers).key
    two = {name: keepers[name] for name in ("Cy Moor", "Ada Quist")}

    assert folder.opened(key, two, NOW).key == key
    with pytest.raises(KeyRefused, match="opens for Ada Quist with Bo Lind or"):
        folder.opened(key, {"Ada Quist": "ada ada ada"}, NOW)
    with pytest.raises(KeyRefused, match="does not open"):
        folder.opened(key, {"Ada Quist": "ada ada ada", "Bo Lind": "ada ada ada"}, NOW)


@pytest.mark.parametrize("passphrase", ["x" * 8, "x" * 64, "\u00fc\u00df \u4e2d\u6587 \U0001f512 lock"])
def test_no_passphrase_is_cut_short(tmp_path: Path, passphrase: str) -> None:
    folder = KeyFolder(tmp_path)
    key = folder.make("Ada Quist", {"Ada Quist": passphrase}).key

    assert folder.opened(key, {"Ada Quist": passphrase}, NOW).key == key
    with pytest.raises(KeyRefused):
        folder.opened(key, {"Ada Quist": passphrase[:-1]}, NOW)


@pytest.mark.parametrize(
    ("memory_kib", "passes", "lanes", "suffice"),
    [
        (19 * 1024, 2, 1, True),
        (19 * 1024 - 1, 2, 1, False),
        (19 * 1024, 1, 1, False),
        (46 * 1024, 1, 1, True),
        (46 * 1024 - 1, 1, 1, False),
        (64 * 1024, 3, 4, True),
        (19 * 1024, 2, 0, False),
    ],
)
def test_a_derivation_costs_at_least_the_published_minimum(
    memory_kib: int, passes: int, lanes: int, *, suffice: bool
) -> None:
    """ELE-05."""
    assert parameters_suffice(memory_kib, passes, lanes) is suffice
    assert parameters_suffice(MEMORY_KIB, PASSES, LANES), "what new keys are sealed with"


@pytest.mark.parametrize(
    ("passphrase", "counted"),
    [
        ("x" * 7, 7),
        ("e\u0301" * 4, 4),
        ("\ufb03" * 3, 3),
        ("x" * 8, 8),
        ("a b c d ", 8),
        ("x" * 64, 64),
        ("x" * 1_024, 1_024),
    ],
)
def test_eight_characters_do_whatever_they_are_and_an_accent_of_its_own_is_none(
    passphrase: str, counted: int
) -> None:
    """ELE-05: length alone counts, no kinds of characters are asked for, 64 and more are taken."""
    lack = passphrase_lack(passphrase)

    assert bool(lack) is (counted < 8)
    assert not lack or f"this one has {counted}." in lack
    assert passphrase_lack("x" * 1_025).startswith("A passphrase has at most 1024 characters")


def test_a_passphrase_of_64_characters_differs_from_one_with_another_last_character(tmp_path: Path) -> None:
    """ELE-05: nothing is cut off, also behind 72 bytes, where older schemes end."""
    folder = KeyFolder(tmp_path)
    words = "\u00fc" * 100
    key = folder.make("Ada Quist", {"Ada Quist": words + "a"}).key

    with pytest.raises(KeyRefused, match="does not open"):
        folder.opened(key, {"Ada Quist": words + "b"}, NOW)
    assert folder.opened(key, {"Ada Quist": words + "a"}, NOW).key == key


def test_no_passphrase_is_made_to_change_by_its_age(tmp_path: Path) -> None:
    """ELE-05: no forced rotation."""
    folder = KeyFolder(tmp_path)
    key = folder.make("Ada Quist", {"Ada Quist": PASSPHRASE}).key

    assert folder.opened(key, {"Ada Quist": PASSPHRASE}, NOW + timedelta(days=40 * 365)).key == key


def test_the_wait_grows_with_every_failure_and_ends_at_a_quarter_of_an_hour() -> None:
    """ELE-05: throttled. Two slips are free; then it doubles; nobody is shut out for good."""
    waits = [delay_s(failures) for failures in range(40)]

    assert waits[:3] == [0, 0, 0]
    assert waits == sorted(waits)
    assert all(later == 2 * earlier for earlier, later in itertools.pairwise(waits[3:11]))
    assert set(waits[13:]) == {900}


def test_a_try_counts_before_it_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """ELE-05: a program killed at the passphrase has used the try up."""
    folder = KeyFolder(tmp_path)
    key = folder.make("Ada Quist", {"Ada Quist": PASSPHRASE}).key

    def killed(*_: object) -> bytes:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(keys, "_derived", killed)
        for _ in range(3):
            with pytest.raises(KeyboardInterrupt):
                folder.opened(key, {"Ada Quist": PASSPHRASE}, NOW)
    with pytest.raises(KeyRefused, match="After 3 wrong passphrases"):
        folder.opened(key, {"Ada Quist": PASSPHRASE}, NOW)


def test_one_passphrase_seals_two_keys_differently(tmp_path: Path) -> None:
    """ELE-05: salted."""
    folder = KeyFolder(tmp_path)
    one, two = (json.loads(folder.make(n, {n: PASSPHRASE}).file.read_text("utf-8")) for n in ("Ada", "Bo"))

    assert one["salts"]["Ada"] != two["salts"]["Bo"]
    assert len(bytes.fromhex(one["salts"]["Ada"])) == 16


def test_a_short_passphrase_makes_no_key(tmp_path: Path) -> None:
    with pytest.raises(KeyRefused, match="at least 8 characters; this one has 7"):
        KeyFolder(tmp_path).make("Ada Quist", {"Ada Quist": "x" * 7})
    assert list(tmp_path.iterdir()) == []


def test_a_key_sealed_more_weakly_than_the_minimum_is_not_opened(tmp_path: Path) -> None:
    folder = KeyFolder(tmp_path)
    made = folder.make("Ada Quist", {"Ada Quist": PASSPHRASE})
    content = json.loads(made.file.read_text(encoding="utf-8"))
    content["argon2id"]["memory_kib"] = 8192
    made.file.write_text(json.dumps(content), encoding="utf-8")

    with pytest.raises(KeyRefused, match="more weakly than the published minimum"):
        folder.opened(made.key, {"Ada Quist": PASSPHRASE}, NOW)


def test_a_key_that_is_not_here_says_where_to_sign(tmp_path: Path) -> None:
    with pytest.raises(KeyRefused, match="no such key on this machine"):
        KeyFolder(tmp_path).opened("00" * 32, {"Ada Quist": PASSPHRASE}, NOW)
