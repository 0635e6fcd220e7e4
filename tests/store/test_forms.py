"""Every form of store and pack that was ever written is read; an older store is taken on without changing an entry.

The files in `forms/` were written by the programs of their time (standing: recorded).
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from riskhelper.acts.record import verifying
from riskhelper.record.columns import leaf_bytes
from riskhelper.record.entries import FIRST_SCHEMA, NOTE, drafted
from riskhelper.record.pack import NotAPack, unpacked
from riskhelper.record.replay import replayed
from riskhelper.store.opening import STORE_VERSION
from riskhelper.store.sqlite import SqliteStore
from tests.record.signers import NOW, hand

FORMS = Path(__file__).with_name("forms")
STORES = sorted(FORMS.glob("form_*.sqlite"))


def test_there_is_a_file_of_each_form_up_to_the_present_one() -> None:
    assert [path.name for path in STORES] == [f"form_{number + 1}.sqlite" for number in range(STORE_VERSION)]


@pytest.mark.parametrize("file", STORES, ids=lambda path: path.stem)
def test_a_store_of_that_form_is_read_and_verified_without_being_touched(file: Path) -> None:
    """REC-02: retrievable for the whole keeping period."""
    before = file.read_bytes()
    outcome = verifying.verify(file, rehearsal=None)
    with SqliteStore(file, rehearsal=False, reading=True) as store:
        history = replayed(store.entries("7"))

    assert outcome.findings == ()
    assert (outcome.head.size, outcome.signed_by) == (7, (("Ada Quist", 1),))
    assert history.job.answers["pump.drip_dry"].value == "yes"
    assert [note.text for note in history.notes] == ["gate is locked"]
    assert [note.who for note in history.notes] == ["Ada Quist"]
    assert file.read_bytes() == before


@pytest.mark.parametrize("file", STORES, ids=lambda path: path.stem)
def test_a_store_of_that_form_is_taken_on_and_its_entries_stay_as_they_were(file: Path, tmp_path: Path) -> None:
    with SqliteStore(file, rehearsal=False, reading=True) as store:
        before = [leaf_bytes(entry) for entry in store.every()]
    shutil.copy(file, tmp_path / "r.sqlite")
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        content = {"question": "", "text": "later"}
        store.append(
            drafted(job="7", who="Ada Quist", role="issuer", act=NOTE, content=content, entered=NOW),
            hand("Ada Quist"),
        )
        after = store.every()

    assert [leaf_bytes(entry) for entry in after[:-1]] == before
    assert verifying.verify(tmp_path / "r.sqlite", rehearsal=False).findings == ()
    if file.stem == "form_1":
        assert {entry.draft.schema for entry in after[:-1]} == {FIRST_SCHEMA}


def test_a_pack_of_the_first_form_is_read_and_holds() -> None:
    outcome = verifying.verify(FORMS / "pack_1.carried", rehearsal=None)

    assert outcome.findings == ()
    assert outcome.head.size == 7


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ((b"riskhelper.pack/1", b"riskhelper.pack/2"), "has the form `riskhelper.pack/2`; this program reads"),
        ((b'{"keys"', b'{ "keys"'), "is no pack of this program, or was changed"),
        ((b'"number":1,', b'"number":"1",'), "`number` is missing or of another kind"),
    ],
)
def test_a_pack_in_another_form_is_told_from_one_that_can_be_read(change: tuple[bytes, bytes], words: str) -> None:
    data = (FORMS / "pack_1.carried").read_bytes().replace(*change)

    with pytest.raises(NotAPack, match=words):
        unpacked(data)
