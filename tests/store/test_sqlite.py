"""What was shown as saved is saved; nothing in the record is ever changed."""

from __future__ import annotations

import re
import sqlite3
import stat
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from riskhelper.evidence import Answer
from riskhelper.record.contents import answer_content
from riskhelper.record.entries import ANSWER, CARRY_IN, CONTENT_SCHEMAS, NOTE, REQUEST_PLAN, Draft, drafted
from riskhelper.store.sqlite import SqliteStore, StoreFault

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)


def note(job: str = "7", text: str = "gate is locked") -> Draft:
    return drafted(
        job=job,
        who="Ada Quist",
        role="work leader",
        act=NOTE,
        content={"question": "", "text": text},
        entered=NOW,
    )


def test_an_entry_read_back_is_the_entry_written(tmp_path: Path) -> None:
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        written = store.append(note(text="mast \u2265 6 m, \N{GRINNING FACE}"))
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        (read,) = store.entries("7")

    assert read == written
    assert (read.number, read.moment, read.holds) == (1, NOW, True)


def test_entries_of_two_jobs_share_one_numbering_and_are_read_apart(tmp_path: Path) -> None:
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        numbers = [store.append(note(job)).number for job in ("b", "a", "b")]

        assert numbers == [1, 2, 3]
        assert store.jobs() == ("b", "a")
        assert [entry.number for entry in store.entries("b")] == [1, 3]


def test_entries_of_an_act_are_found_over_all_jobs_and_in_a_file_without_the_index(tmp_path: Path) -> None:
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        for job in ("b", "a"):
            store.append(note(job))
            store.append(replace(note(job), act=REQUEST_PLAN))
    connection = sqlite3.connect(tmp_path / "r.sqlite")
    connection.execute("DROP INDEX entry_by_act")
    connection.commit()
    connection.close()
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        found = store.marks((REQUEST_PLAN, "stop work"))

        assert [(mark.job, mark.act, mark.at, mark.is_signed) for mark in found] == [
            ("b", REQUEST_PLAN, NOW, False),
            ("a", REQUEST_PLAN, NOW, False),
        ]


def test_answers_to_a_question_are_found_without_reading_the_others(tmp_path: Path) -> None:
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        for job, question in (("7", "job.plant_id"), ("7", "job.plant"), ("8", "job.plant_id")):
            content = answer_content(question, Answer(f'T2 "question":"job.plant_id" {job}'))
            store.append(replace(note(job), act=ANSWER, content={"schema": CONTENT_SCHEMAS[ANSWER], **content}))

        assert [entry.number for entry in store.answers("7", ("job.plant_id", "job.site_name"))] == [1]


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE entry SET who = 'someone'", "never changed"),
        ("DELETE FROM entry", "never removed"),
        ("INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE number = 1", "takes the next number"),
        (
            "INSERT INTO entry SELECT 9, schema, job, who, role, act, meaning, moment_true, moment_entered, "
            "offset_min, zone, content, digest, signature FROM entry",
            "takes the next number",
        ),
    ],
)
def test_the_file_itself_refuses_change_removal_and_gaps(tmp_path: Path, statement: str, words: str) -> None:
    file = tmp_path / "r.sqlite"
    with SqliteStore(file, rehearsal=False) as store:
        before = store.append(note())
    other_program = sqlite3.connect(file)
    with pytest.raises(sqlite3.DatabaseError, match=words):
        other_program.execute(statement)
    other_program.close()

    with SqliteStore(file, rehearsal=False) as store:
        assert store.entries("7") == (before,)


def test_commits_wait_for_the_disk(tmp_path: Path) -> None:
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        connection = store._connection

        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert connection.execute("PRAGMA synchronous").fetchone() == (2,)


def test_only_its_owner_can_read_the_store(tmp_path: Path) -> None:
    with SqliteStore(tmp_path / "deep" / "r.sqlite", rehearsal=False) as store:
        store.append(note())

        assert stat.S_IMODE(store.file.stat().st_mode) == 0o600
        assert stat.S_IMODE(store.file.parent.stat().st_mode) == 0o700


def test_a_rehearsal_is_never_opened_as_real_work_nor_the_other_way(tmp_path: Path) -> None:
    SqliteStore(tmp_path / "r.sqlite", rehearsal=True).close()

    with pytest.raises(StoreFault, match="is a rehearsal store and cannot be opened as a record store"):
        SqliteStore(tmp_path / "r.sqlite", rehearsal=False)


def test_a_file_that_is_no_database_is_refused_and_kept(tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    file.write_bytes(b"this is a letter, not a store" * 100)

    with pytest.raises(StoreFault, match="Keep the file as it is"):
        SqliteStore(file, rehearsal=False)
    assert file.read_bytes() == b"this is a letter, not a store" * 100


def test_a_database_of_another_program_is_refused_and_left_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "other.sqlite"
    with sqlite3.connect(file) as other:
        other.execute("CREATE TABLE theirs (x)")
    other.close()
    before = file.read_bytes()

    with pytest.raises(StoreFault, match="is a database of another program"):
        SqliteStore(file, rehearsal=False)
    assert file.read_bytes() == before


def made_newer(file: Path, readable_from: int) -> None:
    newer = sqlite3.connect(file)
    newer.execute("PRAGMA user_version = 99")
    newer.execute("UPDATE head SET readable_from = ?", (readable_from,))
    newer.commit()
    newer.close()


def test_a_store_of_a_newer_program_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    SqliteStore(file, rehearsal=False).close()
    made_newer(file, readable_from=98)

    with pytest.raises(StoreFault, match="newer version of the program"):
        SqliteStore(file, rehearsal=False)


def test_a_store_of_a_newer_program_is_read_and_nothing_is_added_to_it(tmp_path: Path) -> None:
    """REC-02: what was kept stays readable."""
    file = tmp_path / "r.sqlite"
    with SqliteStore(file, rehearsal=False) as store:
        store.append(note())
    made_newer(file, readable_from=2)

    with SqliteStore(file, rehearsal=False) as store:
        assert [entry.number for entry in store.entries("7")] == [1]
        with pytest.raises(StoreFault, match="It can be read here and nothing can be added"):
            store.append(note())
        assert store.size() == 1


def test_content_that_no_longer_gives_its_digest_is_seen(tmp_path: Path) -> None:
    file = tmp_path / "r.sqlite"
    with SqliteStore(file, rehearsal=False) as store:
        store.append(note())
    tampering = sqlite3.connect(file)
    tampering.execute("DROP TRIGGER personal_is_never_changed")
    tampering.execute("""UPDATE personal SET value = CAST(replace(value, 'locked', 'opened') AS BLOB)""")
    tampering.commit()
    tampering.close()

    with SqliteStore(file, rehearsal=False) as store:
        (read,) = store.entries("7")
        assert read.draft.content["text"] == "gate is opened"
        assert not read.holds


def test_no_statement_of_the_program_changes_or_removes_an_entry() -> None:
    """REC-01: every write is an entry of its own; no code path updates or deletes entries."""
    package = Path(__file__).parents[2] / "riskhelper"
    code = "\n".join(file.read_text(encoding="utf-8") for file in package.rglob("*.py"))
    changed = set(re.findall(r"(?:UPDATE|DELETE FROM|REPLACE INTO|DROP TABLE) (\w+)", code))

    assert changed - {"ON"} == {"head", "frontier", "place", "personal"}  # BEFORE UPDATE ON is a trigger


@pytest.mark.parametrize("table", ["entry", "carried"])
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {} SET role = 'king'",
        "DELETE FROM {}",
        "INSERT INTO {} SELECT * FROM {} WHERE 1",
        "INSERT OR REPLACE INTO {} SELECT * FROM {} LIMIT 1",
    ],
)
def test_the_file_itself_refuses_change_removal_and_repetition(tmp_path: Path, table: str, statement: str) -> None:
    with SqliteStore(tmp_path / "r.sqlite", rehearsal=False) as store:
        store.append(note())
        (entry,) = store.every()
    with SqliteStore(tmp_path / "other.sqlite", rehearsal=False) as other:
        other.take_in([[entry]], replace(note(), act=CARRY_IN, content={"logs": [], "file": ""}))
    with closing(sqlite3.connect(tmp_path / "other.sqlite")) as file:
        with pytest.raises(sqlite3.Error):
            file.execute(statement.format(table, table))
        assert file.execute(f"SELECT count(*) FROM {table}").fetchone() == (1,)
