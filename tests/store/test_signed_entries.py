"""A signature in the store covers the head of everything before it; a damaged file is read as found."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from riskhelper.record.checking import checked
from riskhelper.record.entries import NOTE, SET_UP_REGISTER, VOUCH, Draft, drafted
from riskhelper.record.people import vouch_content
from riskhelper.store.sqlite import SqliteStore
from tests.record.signers import KEEPERS, NOW, REGISTER, hand, person

ADA = hand("Ada Quist")


def note(text: str) -> Draft:
    return drafted(
        job="7", who="Ada Quist", role="issuer", act=NOTE, content={"question": "", "text": text}, entered=NOW
    )


def filled(file: Path) -> SqliteStore:
    store = SqliteStore(file, rehearsal=False)
    set_up = {"key": REGISTER.key, "keepers": list(KEEPERS)}
    vouched = vouch_content(person("Ada Quist", "issuer", "safety officer"), ADA.key, KEEPERS)
    for act, content in ((SET_UP_REGISTER, set_up), (VOUCH, vouched)):
        draft = drafted(job="", who="site register", role="register", act=act, content=content, entered=NOW)
        store.append(draft, REGISTER)
    for number in range(3, 8):
        store.append(note(f"note {number}"), ADA if number % 2 == 0 else None)
    return store


def test_two_writers_sign_over_one_record_which_holds(tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    with filled(file) as first, SqliteStore(file, rehearsal=False) as second:
        first.append(note("by the first"), ADA)
        second.append(note("by the second"), ADA)
        first.append(note("by the first again"), ADA)
        outcome = checked(second.as_found())

        assert outcome.findings == ()
        assert outcome.head.size == 10
        assert second.jobs() == ("7",)
        assert tuple(second.as_found()) == second.every()


def test_what_is_no_longer_possible_inside_the_transaction_is_not_saved(tmp_path: Path) -> None:
    def no_longer() -> None:
        raise PermissionError("no longer")

    with filled(tmp_path / "r.sqlite") as store:
        with pytest.raises(OSError, match="Nothing was saved by this act"):
            store.append(note("late"), ADA, no_longer)
        assert len(store.every()) == 7


def bit_flipped(file: sqlite3.Connection) -> None:
    (content,) = file.execute("SELECT content FROM entry WHERE number = 3").fetchone()
    file.execute("UPDATE entry SET content = ? WHERE number = 3", (bytes([content[0] ^ 1]) + content[1:],))


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (bit_flipped, "entry 3 was altered"),
        (lambda file: file.execute("UPDATE entry SET who = 'Bo' WHERE number = 5"), "up to entry 5 something"),
        (lambda file: file.execute("DELETE FROM entry WHERE number = 3"), "entry 3 is missing"),
        (lambda file: file.execute("UPDATE entry SET number = number + 1 WHERE number > 6"), "entry 7 is missing"),
        (
            lambda file: file.execute(
                "UPDATE entry SET signature = (SELECT signature FROM entry WHERE number = 4) WHERE number = 6"
            ),
            "entry 6: the signature is not over this entry",
        ),
    ],
)
def test_damage_to_the_file_is_found(
    tmp_path: Path, damage: Callable[[sqlite3.Connection], object], words: str
) -> None:
    filled(tmp_path / "r.sqlite").close()
    file = sqlite3.connect(tmp_path / "r.sqlite", isolation_level=None)
    for (trigger,) in file.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        file.execute(f"DROP TRIGGER {trigger}")
    damage(file)
    file.close()

    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        outcome = checked(store.as_found())
    assert any(words in finding.words for finding in outcome.findings), outcome.findings
