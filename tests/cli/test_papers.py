"""`papers`: every paper of a job by name, from an answer file or from the store."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.job.papers import KINDS
from riskhelper.cli.exits import ExitCode
from tests.acts.small_rules import write_rules
from tests.cli.running import riskhelper
from tests.cli.test_commands import ANSWERS


def home(tmp_path: Path) -> Path:
    write_rules(tmp_path / "rules")
    (tmp_path / "answers.toml").write_text(ANSWERS, encoding="utf-8")
    return tmp_path


def test_all_papers_of_an_answer_file_are_written_as_pdf_and_as_text(tmp_path: Path) -> None:
    done = riskhelper(home(tmp_path), "--rules", "rules", "papers", "answers.toml", "--out", "here")
    names = {path.name for path in (tmp_path / "here").iterdir()}

    assert done.returncode == ExitCode.NO_STOP_FOUND
    assert names == {f"{kind}-7.{ending}" for kind in KINDS for ending in ("pdf", "txt")}
    assert done.stdout.splitlines()[0] == "here/method-statement-7.pdf"


def test_only_the_papers_asked_for_are_written(tmp_path: Path) -> None:
    riskhelper(home(tmp_path), "--rules", "rules", "papers", "answers.toml", "--out", "here", "--kind", "summary")

    assert {path.name for path in (tmp_path / "here").iterdir()} == {"summary-7.pdf", "summary-7.txt"}


def test_an_unknown_paper_is_refused_with_the_nearest_name_and_nothing_is_written(tmp_path: Path) -> None:
    done = riskhelper(
        home(tmp_path), "--rules", "rules", "papers", "answers.toml", "--out", "here", "--kind", "sumary"
    )

    assert done.returncode == ExitCode.BAD_INPUT
    assert done.stderr.strip() == "There is no paper `sumary`. Did you mean `summary`?"
    assert not (tmp_path / "here").exists()


def test_a_job_that_is_not_in_the_store_is_refused(tmp_path: Path) -> None:
    done = riskhelper(home(tmp_path), "--rules", "rules", "papers", "--job", "77")

    assert done.returncode == ExitCode.BAD_INPUT
    assert "No job `77` in this store" in done.stderr
