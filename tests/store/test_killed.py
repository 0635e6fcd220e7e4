"""Killed, filled up, shut out, two at once: nothing acknowledged is lost, nothing half done looks done.

ELE-08: works through failure. ELE-09: a half-finished act never looks finished.
"""

from __future__ import annotations

import os
import random
import resource
import shutil
import signal
import sqlite3
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.record import backing_up
from riskhelper.record.checking import checked
from riskhelper.record.destroying import destroying_content, texts_destroyed
from riskhelper.record.entries import CARRY_IN, DESTROY_TEXT, Draft, Entry, drafted
from riskhelper.record.pack import copied, head_of
from riskhelper.store.sqlite import SqliteStore, StoreFault
from tests.record.signers import NOW, hand
from tests.store.processes import Report, Work, finished, killed
from tests.store.test_signed_entries import ADA, filled, note

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="forks and file-size limits as on Linux")
FEW, MANY = 12, 200
STORES_OF = 10
LATEST_KILL_S = 0.03


def sound(file: Path) -> tuple[Entry, ...]:
    """The entries of a store in which everything holds and no text lies without its entry."""
    with SqliteStore(file, rehearsal=False) as store:
        outcome = checked(store.as_found())
        entries = store.every()
        assert outcome.findings == ()
        assert store.kept_head() == (outcome.head.size, outcome.head.root)
    with closing(sqlite3.connect(file)) as connection:
        lying = set(connection.execute("SELECT log, number, path FROM personal"))
    bound = {(*entry.id, path) for entry in entries for path, seal in entry.draft.seals.items() if seal.salt}
    assert lying == bound
    return entries


def signing(file: Path) -> Work:
    """Signed entries without end, each reported once it is acknowledged."""

    def work(report: Report) -> None:
        store = SqliteStore(file, rehearsal=False)
        while True:
            report(store.append(note("x" * 300), ADA).number)

    return work


@pytest.mark.parametrize("times", [FEW, pytest.param(MANY, marks=pytest.mark.slow)])
def test_killed_while_signing_every_entry_acknowledged_is_there_and_holds(tmp_path: Path, times: int) -> None:
    filled(tmp_path / "r.sqlite").close()
    chance = random.Random(times)
    for round_number in range(times):
        file = tmp_path / f"{round_number // STORES_OF}.sqlite"
        if not file.exists():
            shutil.copy(tmp_path / "r.sqlite", file)
        reports = killed(signing(file), chance.uniform(0, LATEST_KILL_S), at_least=1)
        assert len(sound(file)) >= max(reports)


def test_killed_while_carrying_in_all_is_taken_in_or_nothing(tmp_path: Path) -> None:
    with filled(tmp_path / "office.sqlite") as office:
        for number in range(200):
            office.append(note(f"note {number}"), ADA)
        entries = office.every()
    size, head = head_of(copied(entries).parts)
    content = {"logs": [{"log": entries[0].log, "size": size, "head": head}], "file": ""}
    chance, seen = random.Random(5), set()
    for round_number in range(FEW):
        file = tmp_path / f"gate{round_number}.sqlite"
        SqliteStore(file, rehearsal=False).close()

        def taking(report: Report, file: Path = file) -> None:
            store = SqliteStore(file, rehearsal=False)
            report(1)
            store.take_in([entries], drafted(job="", who="", role="", act=CARRY_IN, content=content, entered=NOW))
            report(2)

        reports = killed(taking, chance.uniform(0, LATEST_KILL_S), at_least=1)
        found = len(sound(file))
        assert found in (0, len(entries) + 1)
        assert found or max(reports) == 1
        seen.add(found)


def test_killed_while_destroying_text_is_gone_with_its_entry_or_there_without(tmp_path: Path) -> None:
    chance = random.Random(7)
    filled(tmp_path / "r.sqlite").close()
    for round_number in range(FEW):
        file = tmp_path / f"{round_number}.sqlite"
        shutil.copy(tmp_path / "r.sqlite", file)

        def destroying(report: Report, file: Path = file) -> None:
            store = SqliteStore(file, rehearsal=False)
            due = [entry for entry in store.every() if entry.draft.seals]
            draft = drafted(
                job="",
                who="Ada Quist",
                role="safety officer",
                act=DESTROY_TEXT,
                content=destroying_content(due, 30),
                entered=NOW,
            )
            report(1)
            store.destroy(draft, ADA, [entry.id for entry in due], lambda: None)
            report(2)

        reports = killed(destroying, chance.uniform(0, LATEST_KILL_S / 2), at_least=1)
        entries = sound(file)
        says_so = {each for entry in entries if entry.draft.act == DESTROY_TEXT for each in texts_destroyed(entry)}
        gone = {e.id for e in entries if e.draft.seals and not any(seal.salt for seal in e.draft.seals.values())}
        assert gone == says_so
        assert gone or max(reports) == 1


def test_killed_while_copying_no_half_copy_takes_the_place_of_a_whole_one(tmp_path: Path) -> None:
    filled(tmp_path / "r.sqlite").close()
    backing_up.back_up(tmp_path / "r.sqlite", tmp_path / "keys", tmp_path / "b.sqlite", rehearsal=False)
    chance = random.Random(9)
    for _ in range(FEW):

        def copying(report: Report) -> None:
            report(1)
            while True:
                backing_up.back_up(tmp_path / "r.sqlite", tmp_path / "keys", tmp_path / "b.sqlite", rehearsal=False)

        killed(copying, chance.uniform(0, LATEST_KILL_S), at_least=1)
        with SqliteStore(tmp_path / "b.sqlite", rehearsal=False, reading=True) as copy:
            assert checked(copy.as_found()).head.size == 7


def test_a_full_disk_takes_only_the_act_that_was_not_acknowledged(tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    filled(file).close()

    def filling(report: Report) -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        store = SqliteStore(file, rehearsal=False)
        resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))

        def without_end() -> None:
            while True:
                report(store.append(note("x" * 5_000), ADA).number)

        with pytest.raises(StoreFault, match="Nothing was saved by this act; everything before it still holds"):
            without_end()

    reports = killed(filling, 60, at_least=2**30)

    assert len(reports) > 5
    assert len(sound(file)) == max(reports)
    with SqliteStore(file, rehearsal=False) as store:
        assert store.append(note("with space again"), ADA).number == max(reports) + 1


@pytest.fixture
def public_folder() -> Iterator[Path]:
    """A folder that everybody may enter and nobody but its owner may write to."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


def test_a_file_that_cannot_be_written_is_told_and_left_as_it_was(public_folder: Path) -> None:
    file = public_folder / "r.sqlite"
    filled(file).close()
    file.chmod(0o444)
    before = file.read_bytes()

    def writing(_report: Report) -> None:
        if os.getuid() == 0:
            os.setuid(65_534)
        with pytest.raises(StoreFault, match="Make the file and its folder writable for you and try again"):
            SqliteStore(file, rehearsal=False)

    finished(writing)
    assert file.read_bytes() == before


def test_a_store_of_others_is_made_readable_by_its_owner_only(tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    filled(file).close()
    file.chmod(0o644)
    SqliteStore(file, rehearsal=False).close()

    assert file.stat().st_mode & 0o077 == 0


def test_processes_that_sign_at_once_make_one_record_that_holds(tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    filled(file).close()

    def fifty(_report: Report) -> None:
        with SqliteStore(file, rehearsal=False) as store:
            for _ in range(50):
                store.append(note("one of two"), ADA)

    finished(fifty, fifty)
    assert len(sound(file)) == 107


def test_with_the_clock_set_back_order_is_by_number_and_the_record_holds(tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    with filled(file) as store:
        earlier: Draft = drafted(
            job="7",
            who="Ada Quist",
            role="issuer",
            act="note",
            content={"question": "", "text": "after the clock was set back"},
            entered=NOW - timedelta(days=400),
        )
        store.append(earlier, hand("Ada Quist"))

    assert sound(file)[-1].draft.content["text"] == "after the clock was set back"
