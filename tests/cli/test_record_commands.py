"""Carry, hold, copy, bring back, destroy and verify from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.cli.exits import ExitCode
from tests.acts.small_rules import GATE_ANSWERS
from tests.cli.running import riskhelper
from tests.cli.test_signed_commands import BY, KIT, LOU, Desk

PLACE = ("--plant", "P2", "--apparatus", "valve", "--zone", "bay 4", "--voltage-v", "400", "--point", "feeder")
DRAW_UP = ("permit", "draft", "7", *PLACE)
ORDER = ("ordered_by=control room", "repeated_by=Ada", "confirmed_by=control room")
POINT = (
    "isolation",
    "do",
    "feeder",
    "plan",
    "plant=P2",
    "device=links",
    "position=out",
    "side=own_circuit",
    "voltage_v=400",
)


@pytest.fixture
def office(tmp_path: Path) -> Desk:
    made = Desk(tmp_path / "office")
    made.run("people", "set-up", "--keeper", "Kit", "--keeper", "Lou", typed=f"{KIT}\n{LOU}\n")
    made.add("Ada", "requester", "isolator", "issuer", "safety officer")
    typed = "\n".join(answer for _, answer in GATE_ANSWERS)
    riskhelper(made.home, *made.start, "interview", "--job", "7", "--local", "dale", typed=typed)
    return made


@pytest.fixture
def gate(tmp_path: Path) -> Desk:
    return Desk(tmp_path / "gate")


def name_of(desk: Desk) -> str:
    return desk.run("holding", "list").partition("This store is ")[2].split(".")[0]


def test_plant_passed_to_the_gate_and_a_permit_drawn_up_there_come_back(
    office: Desk, gate: Desk, tmp_path: Path
) -> None:
    office.signs("Ada", "isolator", *POINT)
    gate_name, file, back = name_of(gate), str(tmp_path / "out.carried"), str(tmp_path / "back.carried")
    words = office.run("people", "list").partition("register: ")[2].splitlines()[0]

    assert "Until that store takes them, nobody holds them" in office.signs(
        "Ada", "issuer", "holding", "pass", "P2", "--to", gate_name
    )
    assert "stores: 1, sealed keys: 1." in office.run("carry", "out", file, "--key", "Ada")
    told = gate.run("carry", "in", file, "--register", words)
    assert "Sealed key of Ada: lies here now." in told
    assert "Passed to this store, to be taken by `holding take`: plant P2, point feeder" in told
    assert f"the register whose words are: {words}" in told
    assert "Held here from now on: plant P2, point feeder." in gate.signs("Ada", "issuer", "holding", "take")
    secure = ("isolation", "do", "feeder", "secure", "lock=1", "tag=2", "key=3", *ORDER)
    assert "Point feeder: secured." in gate.signs("Ada", "isolator", *secure)
    refused = office.signs("Ada", "isolator", *secure, code=ExitCode.BAD_INPUT)
    assert f"to {gate_name}, which has not taken it yet" in refused
    gate.signs("Ada", "requester", *DRAW_UP)
    gate.run("carry", "out", back)
    assert f"Taken in from {gate_name}: 4 entries." in office.run("carry", "in", back)
    assert "Nothing new: everything in the file is here already." in office.run("carry", "in", back)
    number = f"7/1-{'-'.join(gate_name.split('-')[:2])}"
    assert f"{number} permit-to-work, " in office.run("permit", "list")
    assert "feeder (P2, links out): secured" in office.run("isolation", "list")
    assert f"plant P2: held by {gate_name}" in office.run("holding", "list")
    claim = ("holding", "claim", "P2", "--reason", "tablet lost", *BY)
    assert "Claimed for this store: P2." in office.run(*claim, typed=f"{KIT}\n{LOU}\n")
    for desk in (office, gate):
        told = desk.run("verify")
        assert "The record holds" in told
        assert f"Store {gate_name}:" in told
    told = office.run("verify", back)
    assert "The record holds" in told


def test_a_carried_file_with_one_letter_changed_is_refused_and_named(
    office: Desk, gate: Desk, tmp_path: Path
) -> None:
    file = tmp_path / "out.carried"
    office.run("carry", "out", str(file))
    file.write_bytes(file.read_bytes().replace(b'"role":"register"', b'"role":"registrar"', 1))

    told = gate.run("carry", "in", str(file), code=ExitCode.BAD_INPUT)
    assert "does not hold, nothing was taken in: entry 1: the signature is not over this entry" in told
    told = gate.run("verify", str(file), code=ExitCode.DOES_NOT_HOLD)
    assert "The record does not hold. Rely on no entry." in told


def test_a_copy_is_made_and_brought_back_and_an_older_one_refused(office: Desk, tmp_path: Path) -> None:
    copy = str(tmp_path / "copy.sqlite")

    assert "Copied and checked: " in office.run("backup", copy)
    assert "The record holds" in office.run("verify", copy)
    assert "What lay there is kept as" in office.run("restore", copy)
    office.signs("Ada", "isolator", *POINT)
    told = office.run("restore", copy, code=ExitCode.BAD_INPUT)
    assert "1 entries would be lost. Nothing was changed." in told


def test_text_past_its_period_is_listed_and_destroyed_but_not_while_an_incident_is_open(office: Desk) -> None:
    destroy = ("texts", "destroy", "--kept-days", "0")
    office.run("incident", "report", "7", "a hand was caught")
    assert "an incident is open" in office.run("texts", "list", "--kept-days", "0")
    told = office.signs("Ada", "safety officer", *destroy, code=ExitCode.BAD_INPUT)
    assert "No personal text is past its keeping period. Nothing changed" in told
    assert "Closed: 1 of job 7." in office.signs("Ada", "safety officer", "incident", "close", "7", "guard fitted")
    assert "the record is kept 2 years after it" in office.run("texts", "list", "--kept-days", "0")

    riskhelper(office.home, *office.start, "interview", "--job", "8", "--local", "dale", typed="dry\n")
    assert "Job 8: text in " in office.run("texts", "list", "--kept-days", "0")
    assert "Text destroyed of job 8." in office.signs("Ada", "safety officer", *destroy, "--over", "8")
    assert "Job 8" not in office.run("texts", "list", "--kept-days", "0")
    told = office.run("verify")
    assert "The record holds" in told
    assert "by Ada: " in told
    assert "days: a keeping period is 0 to" in office.run(
        "texts", "list", "--kept-days", "-1", code=ExitCode.BAD_INPUT
    )


def test_what_is_entered_later_from_paper_is_marked_late(office: Desk) -> None:
    """REC-04, ELE-08: both moments are stored; what was entered well after it was true says so."""
    told = office.signs("Ada", "isolator", *POINT, "--true-at", "2024-02-03 07:10")
    assert "Point feeder: planned." in told

    told = office.run("verify")
    assert "Entered late, as from paper: entry " in told
    assert "(point plan), true 2024-02-03T" in told
    future = office.signs("Ada", "isolator", *POINT, "--true-at", "2099-01-01", code=ExitCode.BAD_INPUT)
    assert "is still to come; what is entered afterwards was true before now" in future
    told = office.signs("Ada", "isolator", *POINT, "--true-at", "at noon", code=ExitCode.BAD_INPUT)
    assert "`at noon` should be a moment such as" in told
