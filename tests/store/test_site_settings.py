"""The order of places and the time after which the interface hides, as a site sets them."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.store.places import Config, ConfigFaults, read_config


def written(folder: Path, text: str) -> Path:
    file = folder / "config.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_places_and_minutes_are_read(tmp_path: Path) -> None:
    found = read_config(written(tmp_path, 'walk = ["gate", "bay 4"]\nlock_after_min = 2.5\n'))

    assert (found.walk, found.lock_after_min) == (("gate", "bay 4"), 2.5)


def test_what_is_not_set_has_its_usual_value(tmp_path: Path) -> None:
    found = read_config(written(tmp_path, 'paper = "A4"\n'))

    assert (found.walk, found.lock_after_min) == ((), Config().lock_after_min)
    assert Config().lock_after_min > 0


@pytest.mark.parametrize("minutes", ["-1", "241", "nan", "true", '"ten"'])
def test_minutes_out_of_range_are_told(tmp_path: Path, minutes: str) -> None:
    with pytest.raises(ConfigFaults, match=r"key `lock_after_min`: .* should be minutes from 0 \(never\) to 240"):
        read_config(written(tmp_path, f"lock_after_min = {minutes}\n"))


@pytest.mark.parametrize("minutes", ["0", "240"])
def test_minutes_at_the_ends_are_taken(tmp_path: Path, minutes: str) -> None:
    assert read_config(written(tmp_path, f"lock_after_min = {minutes}\n")).lock_after_min == float(minutes)


@pytest.mark.parametrize("walk", ['"gate"', "[1, 2]"])
def test_places_that_are_no_list_of_names_are_told(tmp_path: Path, walk: str) -> None:
    with pytest.raises(ConfigFaults, match=r"key `walk`: .* should be a list of zones"):
        read_config(written(tmp_path, f"walk = {walk}\n"))
