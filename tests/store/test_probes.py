"""One damaged store and one damaged carried file per kind of tampering: each is found and named (REC-05, ELE-02)."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.record import verifying
from riskhelper.record.checking import Checked
from tests.store.tampering import (
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
