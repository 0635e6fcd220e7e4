"""Rule files are found beside the code, and only where a rule set lies."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.store.rule_files import NoRules, rule_files, shipped_rules


def test_a_checkout_uses_the_rules_at_its_top() -> None:
    assert shipped_rules() == Path(__file__).parents[2] / "rules"


def test_files_are_named_by_their_place_in_the_folder(tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    for name in ("ruleset.toml", "oil.toml", "tables/reach.toml", "README.md"):
        (tmp_path / name).write_bytes(name.encode())

    assert rule_files(tmp_path) == {
        "oil.toml": b"oil.toml",
        "ruleset.toml": b"ruleset.toml",
        "tables/reach.toml": b"tables/reach.toml",
    }


def test_a_folder_without_a_rule_set_is_refused_by_name(tmp_path: Path) -> None:
    with pytest.raises(NoRules, match=r"no rule set there, as it holds no ruleset\.toml"):
        rule_files(tmp_path)
