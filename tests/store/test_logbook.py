"""The log tells acts, refusals and crashes, and turns over; it never stops the work."""

from __future__ import annotations

import stat
from datetime import UTC, datetime
from pathlib import Path

from riskhelper.store import logbook
from riskhelper.store.logbook import Logbook

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)


def test_an_act_and_a_refusal_leave_one_line_each(tmp_path: Path) -> None:
    book = Logbook(tmp_path)
    book.act(NOW, "answer", 12)
    book.refusal(NOW, "answer", "too early")
    book.close()

    assert (tmp_path / logbook.FILE).read_text(encoding="utf-8").splitlines() == [
        "2031-02-03T15:30:00+00:00 act: answer, entry 12",
        "2031-02-03T15:30:00+00:00 refused: answer, too early",
    ]


def test_the_log_turns_over_and_keeps_a_fixed_number_of_old_files(tmp_path: Path) -> None:
    book = Logbook(tmp_path)
    for entry in range(40_000):
        book.act(NOW, "answer", entry)
    book.close()
    files = sorted(path.name for path in tmp_path.iterdir())

    assert files == [logbook.FILE, *(f"{logbook.FILE}.{n}" for n in range(1, logbook.KEPT + 1))]
    assert all(path.stat().st_size <= logbook.MOST_BYTES for path in tmp_path.iterdir())


def test_a_crash_leaves_a_report_that_only_its_owner_reads(tmp_path: Path) -> None:
    book = Logbook(tmp_path)
    typed = "the valve answered `Ada`"
    try:
        try:
            raise KeyError(typed)
        except KeyError as fault:
            raise RuntimeError(typed) from fault
    except RuntimeError as fault:
        report = book.crash(NOW, fault)
    book.close()

    assert report == tmp_path / "crash-20310203-153000.txt"
    told = report.read_text(encoding="utf-8")
    assert told.index("KeyError") < told.index("RuntimeError")
    assert "in test_a_crash_leaves_a_report_that_only_its_owner_reads" in told
    assert "Ada" not in told
    assert stat.S_IMODE(report.stat().st_mode) == 0o600
    assert "Ada" not in (tmp_path / logbook.FILE).read_text(encoding="utf-8")


def test_where_the_log_cannot_be_written_work_goes_on_and_it_is_said(tmp_path: Path) -> None:
    in_the_way = tmp_path / "log"
    in_the_way.write_text("a file where the folder should be", encoding="utf-8")

    book = Logbook(in_the_way)
    book.act(NOW, "answer", 1)

    assert "the log cannot be written" in book.trouble
    assert book.crash(NOW, RuntimeError()) is None
