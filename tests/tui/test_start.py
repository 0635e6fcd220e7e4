"""From the command line into the interface and out again."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper import tui
from riskhelper.acts.setting_up import workplace
from riskhelper.tui.app import Interface
from tests.acts.small_rules import write_rules


def begin(tmp_path: Path) -> object:
    place = workplace({}, tmp_path, rules_folder=write_rules(tmp_path / "rules"))
    return tui.start(
        place, job="", local_code="", milestone="gate", who="", role="", paper="A4", folder=tmp_path / "papers"
    )


def test_leaving_before_any_job_gives_no_verdict(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Interface, "run", lambda _: None)

    assert begin(tmp_path) is None


def test_a_fault_inside_the_interface_reaches_the_command_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(interface: Interface) -> None:
        interface.fault = ZeroDivisionError("planted")

    monkeypatch.setattr(Interface, "run", broken)

    with pytest.raises(ZeroDivisionError, match="planted"):
        begin(tmp_path)
