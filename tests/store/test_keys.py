"""Sealed keys: opened by the right passphrase alone, by two people where two keep it, slower after each failure."""

from __future__ import annotations

import json
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from riskhelper.record.signing import verified
from riskhelper.store.keys import KeyFolder, KeyRefused

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
