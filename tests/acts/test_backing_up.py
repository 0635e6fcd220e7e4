"""A copy is made while the store is in use, checked, and never brought back behind what was seen."""

from __future__ import annotations

import sqlite3
import stat
from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering
from riskhelper.acts.record import backing_up, verifying
from riskhelper.acts.record.backing_up import Copied
from riskhelper.acts.register.signing import sign_in
from riskhelper.store.keys import KeyFolder
from riskhelper.store.sqlite import SqliteStore
from tests.acts.crew import Crew, passphrase
from tests.acts.test_permits import drawn_up
from tests.acts.workbench import context


def store_of(made: Crew) -> Path:
    store = made.bench.store
    assert isinstance(store, SqliteStore)
    return store.file


def copied(made: Crew, file: Path) -> Copied:
    return backing_up.back_up(store_of(made), made.keys.folder, file, rehearsal=True)


def brought_back(made: Crew, file: Path, store: Path | None = None) -> Copied:
    target = store or store_of(made)
    return backing_up.restore(file, target, target.with_name("keys"), rehearsal=True, now=made.clock())


@pytest.fixture
def made(tmp_path: Path) -> Crew:
    return drawn_up(tmp_path / "here")


def test_a_copy_made_while_the_store_is_in_use_holds_and_only_its_owner_reads_it(made: Crew, tmp_path: Path) -> None:
    """ELE-08, REC-02."""
    copy = copied(made, tmp_path / "b.sqlite")
    answering.note(made.bench, "7", "written after the copy")

    assert copy.found.findings == ()
    assert verifying.verify(tmp_path / "b.sqlite", rehearsal=True).head.size == made.bench.store.size() - 1
    assert copy.keys == 11
    for file in (tmp_path / "b.sqlite", *(tmp_path / "b.sqlite.keys").iterdir()):
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "b.sqlite.keys").stat().st_mode) == 0o700


def test_a_copy_brought_back_on_another_machine_goes_on_where_it_stood(made: Crew, tmp_path: Path) -> None:
    copied(made, tmp_path / "b.sqlite")
    brought_back(made, tmp_path / "b.sqlite", tmp_path / "there" / "record.sqlite")
    bench = context(tmp_path / "there", made.clock, rehearsal=True)
    there = Crew(bench, made.clock, KeyFolder(tmp_path / "there" / "keys"))

    assert bench.store.every() == made.bench.store.every()
    assert sign_in(bench, there.keys, "the issuer", "issuer", passphrase("the issuer")).role == "issuer"


def test_a_copy_older_than_what_was_seen_here_is_refused(made: Crew, tmp_path: Path) -> None:
    copied(made, tmp_path / "b.sqlite")
    answering.note(made.bench, "7", "written after the copy")
    size = made.bench.store.size()
    words = rf"ends at entry {size - 1}, this machine has seen {size}: 1 entries would be lost"

    with pytest.raises(Refused, match=words):
        brought_back(made, tmp_path / "b.sqlite")
    made.bench.store.close()  # type: ignore[attr-defined]
    store_of(made).unlink()
    with pytest.raises(Refused, match=words):
        brought_back(made, tmp_path / "b.sqlite")
    assert not store_of(made).exists()


def test_a_copy_of_another_history_is_refused(made: Crew, tmp_path: Path) -> None:
    copied(made, tmp_path / "b.sqlite")
    twin = replace(made, bench=replace(made.bench, store=SqliteStore(tmp_path / "b.sqlite", rehearsal=True)))
    answering.note(made.bench, "7", "one history")
    answering.note(twin.bench, "7", "another history")
    other = drawn_up(tmp_path / "other")
    copied(other, tmp_path / "o.sqlite")

    with pytest.raises(Refused, match="is not the record this machine has seen: the first"):
        brought_back(made, tmp_path / "b.sqlite")
    with pytest.raises(Refused, match="to have the entries of both"):
        brought_back(made, tmp_path / "o.sqlite")


def test_what_lay_there_is_kept_beside_the_store_brought_back(made: Crew, tmp_path: Path) -> None:
    copied(made, tmp_path / "b.sqlite")
    before = made.bench.store.every()
    made.bench.store.close()  # type: ignore[attr-defined]
    back = brought_back(made, tmp_path / "b.sqlite")

    assert back.replaced is not None
    with SqliteStore(back.replaced, rehearsal=True) as old, SqliteStore(store_of(made), rehearsal=True) as new:
        assert old.every() == new.every() == before


def test_no_copy_is_kept_of_a_store_that_does_not_hold_and_the_older_one_stays(made: Crew, tmp_path: Path) -> None:
    copied(made, tmp_path / "b.sqlite")
    good = (tmp_path / "b.sqlite").read_bytes()
    file = sqlite3.connect(store_of(made), isolation_level=None)
    file.execute("DROP TRIGGER entry_is_never_changed")
    file.execute("UPDATE entry SET role = 'king' WHERE number = 5")
    file.close()

    with pytest.raises(Refused, match="does not hold, so no copy of it was kept"):
        copied(made, tmp_path / "b.sqlite")
    assert (tmp_path / "b.sqlite").read_bytes() == good
    assert [path.name for path in tmp_path.glob(".*part")] == []


@pytest.mark.parametrize(
    ("target", "words"), [("here/record.sqlite", "is the store itself"), ("here", "cannot|Is a directory|directory")]
)
def test_a_copy_that_cannot_be_written_is_told(made: Crew, tmp_path: Path, target: str, words: str) -> None:
    before = store_of(made).read_bytes()

    with pytest.raises((Refused, OSError), match=words):
        copied(made, tmp_path / target)
    assert store_of(made).read_bytes() == before


def test_bringing_back_what_is_no_copy_is_refused(made: Crew, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no such copy"):
        brought_back(made, tmp_path / "none.sqlite")
