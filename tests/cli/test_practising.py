"""A crew to practise with, and one permit in words, from the command line."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.register.rehearsal_crew import PASSPHRASE
from riskhelper.cli.exits import ExitCode
from tests.acts.small_rules import GATE_ANSWERS, write_rules
from tests.cli.running import riskhelper


def start(home: Path, *options: str) -> tuple[str, ...]:
    return ("--rules", str(write_rules(home / "rules")), *options, "--store", str(home / "r.sqlite"))


def test_a_crew_practises_a_permit_and_it_is_shown_in_words(tmp_path: Path) -> None:
    words = start(tmp_path, "--rehearsal")
    made = riskhelper(tmp_path, *words, "people", "practise")
    typed = "\n".join(answer for _, answer in GATE_ANSWERS)
    riskhelper(tmp_path, *words, "interview", "--job", "7", "--local", "dale", typed=typed)
    place = ("--plant", "P2", "--apparatus", "valve", "--zone", "bay 4", "--voltage-v", "400")
    signer = ("--as", "Mirela Oduya", "--in-role", "requester")
    drawn = riskhelper(tmp_path, *words, "permit", "draft", "7", *place, *signer, typed=f"{PASSPHRASE}\n")
    shown = riskhelper(tmp_path, *words, "permit", "show", "7/1").stdout
    listed = riskhelper(tmp_path, *words, "permit", "exceptions").stdout

    assert f"All of them are invented. The passphrase of each is: {PASSPHRASE}" in made.stdout
    assert drawn.returncode == ExitCode.NO_STOP_FOUND, drawn.stderr
    assert shown.startswith("REHEARSAL. NOT FOR WORK.\nPermit 7/1: DRAFT\n")
    assert "  Plant P2, valve, in bay 4; up to 400 V; every energy." in shown
    assert "possible now: request (Mirela Oduya as requester)" in shown
    assert listed == "REHEARSAL. NOT FOR WORK.\nNo exception is in the record.\n"


def test_real_work_takes_no_invented_people(tmp_path: Path) -> None:
    refused = riskhelper(tmp_path, *start(tmp_path), "people", "practise")

    assert refused.returncode == ExitCode.BAD_INPUT
    assert "this is a store of real work" in refused.stderr
