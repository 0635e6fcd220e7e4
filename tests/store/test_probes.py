"""One damaged store and one damaged carried file per kind of tampering: each is found and named (REC-05, ELE-02)."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.record import verifying
from riskhelper.record.canonical import Content
from riskhelper.record.checking import Checked
from riskhelper.record.columns import TEXT_MISSING
from riskhelper.record.destroying import destroying_content
from riskhelper.record.entries import CARRY_IN, DESTROY_TEXT, NOTE, SET_UP_REGISTER, drafted
from riskhelper.record.pack import Pack, copied, head_of, packed
from riskhelper.store.sqlite import SqliteStore, StoreFault
from tests.record.signers import KEEPERS, NOW, REGISTER
from tests.store.tampering import (
    ADA,
    KINDS,
    OTHER_REGISTER,
    Tampering,
    carried_file,
    damaged_carried,
    damaged_store,
    whole_store,
)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("whole") / "r.sqlite"
    whole_store(file)
    return file


def verified(file: Path, head: str = "", register_words: str = "") -> Checked:
    return verifying.verify(file, rehearsal=None, head=head, register_words=register_words)


def holds(file: Path) -> bool:
    """Whether a file is read at all and holds."""
    try:
        return verified(file).holds
    except Refused:
        return False


def test_the_record_left_alone_holds_as_a_store_and_as_a_carried_file(whole: Path, tmp_path: Path) -> None:
    (tmp_path / "whole.carried").write_bytes(carried_file(whole))
    nothing = Tampering("nothing", lambda rows: rows, "")
    damaged_store(whole, tmp_path / "copy.sqlite", nothing)

    for file in (whole, tmp_path / "whole.carried", tmp_path / "copy.sqlite"):
        assert verified(file, str(verified(whole).head), verified(whole).register.words).findings == ()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_damaged_store_is_found_and_named(whole: Path, tmp_path: Path, kind: Tampering) -> None:
    head = str(verified(whole).head) if kind.needs_paper else ""
    damaged_store(whole, tmp_path / "r.sqlite", kind)

    assert kind.words in verified(tmp_path / "r.sqlite", head).findings[0].words
    assert verified(tmp_path / "r.sqlite").holds is kind.needs_paper


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_damaged_carried_file_is_found_and_named(whole: Path, tmp_path: Path, kind: Tampering) -> None:
    head = str(verified(whole).head) if kind.needs_paper else ""
    (tmp_path / "x.carried").write_bytes(damaged_carried(carried_file(whole), kind))

    assert kind.words in verified(tmp_path / "x.carried", head).findings[0].words
    assert verified(tmp_path / "x.carried").holds is kind.needs_paper


def test_a_cut_tail_shows_without_paper_where_the_kept_roots_were_left(whole: Path, tmp_path: Path) -> None:
    shutil.copy(whole, tmp_path / "r.sqlite")
    with closing(sqlite3.connect(tmp_path / "r.sqlite", isolation_level=None)) as file:
        file.execute("DROP TRIGGER entry_is_never_removed")
        file.execute("DELETE FROM entry WHERE number = 7")

    assert "the roots kept in the store end at entry 7" in verified(tmp_path / "r.sqlite").findings[0].words


def test_a_self_made_register_holds_in_itself_and_is_found_by_the_words_on_paper(whole: Path, tmp_path: Path) -> None:
    whole_store(tmp_path / "r.sqlite", OTHER_REGISTER)
    (tmp_path / "x.carried").write_bytes(carried_file(tmp_path / "r.sqlite"))
    words = verified(whole).register.words

    for file in (tmp_path / "r.sqlite", tmp_path / "x.carried"):
        assert verified(file).holds
        found = verified(file, register_words=words)
        assert "it is not the register of your site" in found.findings[0].words
        assert verifying.lines(found)[0] == "The record does not hold. Rely on no entry."


def test_one_bit_flipped_anywhere_in_a_carried_file_is_refused_or_found(whole: Path, tmp_path: Path) -> None:
    """REC-05: one flipped byte in any record is found."""
    data = carried_file(whole)
    for place in range(0, len(data), 13):
        flipped = bytearray(data)
        flipped[place] ^= 1 << (place % 7)
        (tmp_path / "x.carried").write_bytes(bytes(flipped))
        assert not holds(tmp_path / "x.carried"), data[max(place - 20, 0) : place + 20]


@pytest.fixture
def two_logs(whole: Path, tmp_path: Path) -> Path:
    """A store that took in the log of another: its own log is entry 1, which says so, and a note."""
    file = tmp_path / "two.sqlite"
    with SqliteStore(whole, rehearsal=False) as source, SqliteStore(file, rehearsal=False) as store:
        taken = source.logs()[source.log]
        size, head = head_of(taken)
        heads: dict[str, Content] = {"logs": [{"log": source.log, "size": size, "head": head}], "file": ""}
        draft = drafted(job="", who="Bo Lind", role="", act=CARRY_IN, content=heads, entered=NOW)
        store.take_in([taken], draft)
        text = {"question": "", "text": "a note of its own"}
        store.append(drafted(job="7", who="Bo Lind", role="", act=NOTE, content=text, entered=NOW))
    return file


def altered(file: Path, *statements: str) -> Checked:
    """What is found once somebody with a database program at hand changed a store."""
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)
    return verified(file)


def test_a_record_taken_in_and_then_taken_out_is_missed(two_logs: Path) -> None:
    """The revocation of a key may lie in the record of another store."""
    assert verified(two_logs).holds
    found = altered(two_logs, "DELETE FROM carried", "DELETE FROM place")

    assert "took in 7 entries of" in found.findings[0].words
    assert "and none of them is here: that record was taken out" in found.findings[0].words


def test_the_order_of_several_stores_put_otherwise_is_found(two_logs: Path) -> None:
    """A revocation put behind what the key signed would let it count."""
    found = altered(two_logs, "UPDATE place SET place = 20 - place")

    assert "the order kept in the store" in found.findings[0].words
    assert verifying.lines(found)[0] == "The record does not hold. Rely on no entry."


@pytest.mark.parametrize("roots", ["parts = x'00'", "size = -1", "size = 8, parts = zeroblob(32)"])
def test_roots_altered_are_found_in_words(whole: Path, tmp_path: Path, roots: str) -> None:
    shutil.copy(whole, tmp_path / "r.sqlite")

    assert (
        "the roots kept in the store"
        in altered(tmp_path / "r.sqlite", f"UPDATE frontier SET {roots}").findings[0].words
    )


def test_an_older_copy_put_in_place_by_hand_is_found_and_takes_no_entry(whole: Path, tmp_path: Path) -> None:
    """One number never stands for two entries: the log would have two histories."""
    file = tmp_path / "r.sqlite"
    shutil.copy(whole, file)
    shutil.copy(whole, tmp_path / "older.sqlite")
    text = {"question": "", "text": "written after the copy"}
    draft = drafted(job="7", who="Bo Lind", role="", act=NOTE, content=text, entered=NOW)
    with SqliteStore(file, rehearsal=False) as store:
        store.append(draft)
    shutil.copy(tmp_path / "older.sqlite", file)
    for ending in ("-wal", "-shm"):
        file.with_name(file.name + ending).unlink(missing_ok=True)

    assert "this machine has seen 8" in verified(file).findings[0].words
    with SqliteStore(file, rehearsal=False) as store:
        assert store.size() == 7
        with pytest.raises(StoreFault, match="ends 1 entries before what this machine has seen of it"):
            store.append(draft)


def test_a_rehearsal_passed_off_as_real_work_is_found(tmp_path: Path) -> None:
    """The passphrase of its people is printed in the program."""
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=True) as store:
        content: dict[str, Content] = {"key": REGISTER.key, "keepers": [*KEEPERS], "rehearsal": True}
        draft = drafted(job="", who="site register", role="", act=SET_UP_REGISTER, content=content, entered=NOW)
        store.append(draft, REGISTER)
        pack = packed(Pack(False, tuple(copied(entries) for entries in store.logs().values())), texts=True)
    assert verified(tmp_path / "r.sqlite").holds
    (tmp_path / "x.carried").write_bytes(pack)

    words = "entry 1 was written in a rehearsal, and the file says that it is of real work"
    assert verified(tmp_path / "x.carried").findings[0].words == words
    assert altered(tmp_path / "r.sqlite", "UPDATE head SET kind = 'record'").findings[0].words == words


def test_a_text_without_its_salt_is_missed(whole: Path, tmp_path: Path) -> None:
    shutil.copy(whole, tmp_path / "r.sqlite")

    found = altered(tmp_path / "r.sqlite", "UPDATE personal SET salt = '' WHERE number = 3")
    assert found.findings[0].words == f"entry 3: {TEXT_MISSING}"
    assert any(line.startswith("Text missing") for line in verifying.lines(found))


def test_text_gone_by_an_entry_that_no_officer_signed_is_found(whole: Path, tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    shutil.copy(whole, file)
    with SqliteStore(file, rehearsal=False) as store:
        content = destroying_content([store.every()[2]], 0)
        draft = drafted(job="", who="Ada Quist", role="issuer", act=DESTROY_TEXT, content=content, entered=NOW)
        store.destroy(draft, ADA, [(store.log, 3)], lambda: None)

    assert verified(file).findings[0].words == "entry 8 destroys text without the signature of a safety officer"


ODD_CELLS = (
    ("offset_min", "4611686018427387904"),
    ("moment_true", "'2031-2-3T15:30:00.0Z'"),
    ("content", "x'7b2261223a4e614e7d'"),
    ("content", "x'7b2261223a312c2261223a317d'"),
    ("content", "x'fffe'"),
    ("signature", "upper(signature)"),
    ("signature", "replace(signature, '}', ',\"z\":1}')"),
    ("log", "'no name of a store'"),
)


@pytest.mark.parametrize(("column", "value"), ODD_CELLS)
def test_no_odd_value_in_a_store_stops_the_check_or_passes_it(
    whole: Path, tmp_path: Path, column: str, value: str
) -> None:
    """Numbers out of range, NaN, a key twice, no UTF-8, a signature written in another way."""
    file = tmp_path / "r.sqlite"
    shutil.copy(whole, file)
    where = "UPDATE head SET log" if column == "log" else f"UPDATE entry SET {column}"
    found = altered(file, f"{where} = {value}{'' if column == 'log' else ' WHERE number = 6'}")

    assert found.findings
    assert verifying.lines(found)[0].startswith("The record does not hold.")
