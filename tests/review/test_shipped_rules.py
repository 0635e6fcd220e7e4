"""The rule set that ships has no finding that is not waived, with a reason, beside its entry."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from riskhelper.acts.rule_sets.reviewing import review_folder, review_json, review_lines
from riskhelper.review.finding import KINDS
from riskhelper.review.review import Review
from riskhelper.ruleset.faults import RuleFaults
from riskhelper.store.rule_files import shipped_rules
from tests.cli.running import riskhelper
from tests.ruleset.test_bad_files import GOOD


@cache
def shipped() -> Review:
    return review_folder(shipped_rules())


def test_the_shipped_set_has_no_open_finding() -> None:
    assert [str(finding) for finding in shipped().findings] == []


def test_each_waiver_gives_a_reason_in_a_sentence() -> None:
    assert [str(f) for f in shipped().waived if len(f.waived.split()) < 4 or not f.waived.endswith(".")] == []


def test_the_lines_hold_every_waived_finding_and_the_json_its_reason() -> None:
    lines, plain = review_lines(shipped(), with_waived=True), review_json(shipped())

    assert all(any(finding.entry in line for line in lines) for finding in shipped().waived)
    assert len(plain["waived"]) == len(shipped().waived)  # type: ignore[arg-type]


def written(folder: Path, extra: str) -> Path:
    for name, content in {**GOOD, "extra.toml": extra.encode()}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


def test_load_faults_under_any_local_code_are_told_all_at_once(tmp_path: Path) -> None:
    folder = written(tmp_path, '[fact.extra.x]\nis = "mill.hihg"\n[fact.extra.y]\nis = "mill.hihg"\n')

    with pytest.raises(RuleFaults) as raised:
        review_folder(folder)

    assert [fault.table for fault in raised.value.faults] == ["fact.extra.x", "fact.extra.y"]


def test_the_command_ends_by_what_it_found(tmp_path: Path) -> None:
    folder, home = tmp_path / "rules", tmp_path / "home"
    home.mkdir()
    folder.mkdir()

    clean = riskhelper(home, "rules", "review")
    open_findings = riskhelper(home, "--rules", str(written(folder, "")), "rules", "review")
    faults = riskhelper(home, "--rules", str(written(folder, "x = 1\n")), "rules", "review")

    assert (clean.returncode, clean.stdout) == (0, "")
    assert open_findings.returncode == 10
    assert "no_case_applies: " + KINDS["no_case_applies"] in open_findings.stdout
    assert faults.returncode == 6
    assert "unknown table" in faults.stderr


def test_a_translation_that_lacks_words_is_told_with_the_rules(tmp_path: Path) -> None:
    folder = written(tmp_path, "")
    (folder / "words").mkdir()
    (folder / "words" / "xx.toml").write_text(
        '[words]\nlanguage = "xx"\ntitle = "Xish"\nnumber = 1\n', encoding="utf-8"
    )

    with pytest.raises(RuleFaults) as raised:
        review_folder(folder)

    assert any("words/xx.toml" in str(fault) and "no words" in str(fault) for fault in raised.value.faults)
