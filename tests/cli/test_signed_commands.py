"""People, permits, isolation and verify from the command line; passphrases come one a line."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from riskhelper.cli.exits import ExitCode
from riskhelper.permit.persons import ROLES
from tests.acts.small_rules import GATE_ANSWERS, write_rules
from tests.cli.running import riskhelper

KIT, LOU = "kit keeps the register", "lou keeps the register"
BY = ("--by", "Kit", "--by", "Lou")
ADD = ("people", "add", "Ada", "--employer", "x", "--role", "king", "--until")


class Desk:
    """A home with rules and a rehearsal store."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self.start = ("--rules", str(write_rules(home / "rules")), "--rehearsal", "--store", str(home / "r.sqlite"))

    def run(self, *words: str, typed: str = "", code: ExitCode = ExitCode.NO_STOP_FOUND) -> str:
        done = riskhelper(self.home, *self.start, *words, typed=typed)
        assert done.returncode == code, done.stderr
        return done.stdout + done.stderr

    def add(self, name: str, *roles: str) -> None:
        listed = [word for role in roles for word in ("--role", role)]
        limits = ("--employer", "Crag End", "--until", "2099-12-31", "--limit-v", "400")
        self.run("people", "add", name, *limits, *listed, *BY, typed=f"words of {name}\n{KIT}\n{LOU}\n")

    def signs(self, name: str, role: str, *words: str, code: ExitCode = ExitCode.NO_STOP_FOUND) -> str:
        return self.run(*words, "--as", name, "--in-role", role, typed=f"words of {name}\n", code=code)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = Desk(tmp_path)
    made.run("people", "set-up", "--keeper", "Kit", "--keeper", "Lou", typed=f"{KIT}\n{LOU}\n")
    return made


def test_a_permit_is_drawn_up_requested_refused_and_listed_and_the_record_verifies(desk: Desk) -> None:
    desk.add("Ada", "requester", "isolator")
    typed = "\n".join(answer for _, answer in GATE_ANSWERS)
    riskhelper(desk.home, *desk.start, "interview", "--job", "7", "--local", "dale", typed=typed)
    plan = ("plant=P2", "device=links", "position=out", "side=own_circuit", "voltage_v=400")
    place = ("--plant", "P2", "--apparatus", "valve", "--zone", "bay 4", "--voltage-v", "400", "--point", "feeder")

    assert "Point feeder: planned." in desk.signs("Ada", "isolator", "isolation", "do", "feeder", "plan", *plan)
    assert "Permit 7/1 is drawn up. It grants nothing." in desk.signs(
        "Ada", "requester", "permit", "draft", "7", *place
    )
    request = ("permit", "do", "7/1", "request")
    refused = desk.signs("Ada", "requester", *request, code=ExitCode.BAD_INPUT)
    assert "`request` is refused; nothing changed. The permit is draft." in refused
    assert "the measures are not stated. Needed: the requester states them" in refused
    assert "Permit 7/1: requested." in desk.signs("Ada", "requester", *request, "measures_stated=links out")
    assert "Ada, as requester, signs: gives" in desk.signs(
        "Ada", "requester", "permit", "do", "7/1", "return", "reason=x", code=ExitCode.BAD_INPUT
    )
    emergency = desk.run("permit", "emergency", "bay 4")
    assert "Suspended in bay 4: no permit was open there. Get everybody out." in emergency
    listed = desk.run("permit", "list")
    assert "REHEARSAL. NOT FOR WORK." in listed
    assert "7/1 permit-to-work, P2, bay 4: REQUESTED" in listed
    assert "feeder (P2, links out): planned, needed by 7/1" in desk.run("isolation", "list")
    assert "Signed by Ada: 3 entries." in desk.run("verify")


def test_a_paper_is_printed_by_number_and_verifies_alone(desk: Desk) -> None:
    desk.add("Ada", "requester", "isolator")
    typed = "\n".join(answer for _, answer in GATE_ANSWERS)
    riskhelper(desk.home, *desk.start, "interview", "--job", "7", "--local", "dale", typed=typed)
    place = ("--plant", "P2", "--apparatus", "valve", "--zone", "bay 4", "--voltage-v", "400", "--point", "feeder")
    desk.signs("Ada", "requester", "permit", "draft", "7", *place)
    desk.signs("Ada", "requester", "permit", "do", "7/1", "request", "measures_stated=links out")
    wanted = desk.run("permit", "wanted", "7/1", "return")
    assert "reason=  write it" in wanted
    assert "question=   (may be left out)  the question the note belongs to" in wanted
    assert "    pump.head_m  How high does the water stand above the valve?" in wanted
    out = ("--folder", str(desk.home / "out"))
    told = desk.signs("Ada", "isolator", "permit", "print", "7/1", *out, "--for", "the issuer")
    file = desk.home / "out" / "permit-7-1-copy-1.pdf"
    assert f"{file}: check it with `riskhelper verify {file}`." in told
    (desk.home / "r.sqlite").unlink()
    told = desk.run("verify", str(file))
    assert "The record holds: " in told
    assert "Compare with the paper: permit-to-work 7/1, revision 1, P2, valve, bay 4, was REQUESTED at " in told
    assert "Numbered copies: 1 (permit, revision 1)." in told


def test_a_control_device_is_refused_as_a_point(desk: Desk) -> None:
    desk.add("Ada", "isolator")
    words = ("isolation", "do", "stop", "plan", "plant=P2", "device=push_button", "position=off")

    assert "a push button only controls" in desk.signs("Ada", "isolator", *words, code=ExitCode.BAD_INPUT)


def test_verify_names_what_does_not_hold(desk: Desk) -> None:
    desk.add("Ada", "issuer")
    desk.add("Bo", "acceptor")
    head = desk.run("verify").partition("Tree head: ")[2].split()[0]
    file = sqlite3.connect(desk.home / "r.sqlite", isolation_level=None)
    file.execute("DROP TRIGGER entry_is_never_removed")
    file.execute("DELETE FROM entry WHERE number = 3")
    file.close()

    told = desk.run("verify", code=ExitCode.DOES_NOT_HOLD)
    assert "The roots kept in the store end at entry 3" in told
    assert "The record does not hold. Entries 1 to 2 hold; rely on nothing after." in told
    told = desk.run("verify", "--head", head, code=ExitCode.DOES_NOT_HOLD)
    assert "The record ends at entry 2, but the paper was printed after 3: its tail was cut off." in told
    told = desk.run("verify", "--register", "acorn zebra", code=ExitCode.DOES_NOT_HOLD)
    assert "it is not the register of your site" in told
    assert "is no tree head" in desk.run("verify", "--head", "3-x", code=ExitCode.BAD_INPUT)
    assert "no such file" in desk.run("verify", str(desk.home / "x"), code=ExitCode.BAD_INPUT)


def test_a_key_revoked_signs_no_more_and_the_register_says_so(desk: Desk) -> None:
    desk.add("Ada", "issuer")
    out = desk.run("people", "revoke", "Ada", "--reason", "tablet lost", *BY, typed=f"{KIT}\n{LOU}\n")

    assert "The key of Ada is out of use from entry 3 on." in out
    assert "Ada (Crag End), no key in use\n  issuer up to 400 V, last day 2099-12-31\n" in desk.run("people", "list")
    assert "Ada has no key in use" in desk.signs(
        "Ada", "issuer", "isolation", "do", "x", "lock", code=ExitCode.BAD_INPUT
    )


def test_with_too_few_people_it_ends_at_the_statement(desk: Desk) -> None:
    desk.add("Ada", *ROLES)
    desk.add("Bo", "worker")

    assert desk.run("people", "missing", "--present", "Ada", "--voltage-v", "400") == "\n"
    told = desk.run("people", "missing", "--present", "Bo")
    assert "it ends at the statement" in told
    assert "issuer\n" in told


def test_a_rule_set_is_adopted_by_two_officers(desk: Desk) -> None:
    for name in ("Ada", "Bo"):
        desk.add(name, "safety officer")
    signed = ("--local", "dale", "--as")
    day = ("--from", "2099-12-31")

    desk.run("rules", "propose", *signed, "Ada", typed="words of Ada\n")
    desk.run("rules", "check", *signed, "Bo", "--findings", "a pump house for tests", typed="words of Bo\n")
    once = desk.run("rules", "adopt", *signed, "Ada", *day, typed="words of Ada\n")
    assert "pump house, number 3, under dale: checked" in once
    twice = desk.run("rules", "adopt", *signed, "Bo", *day, typed="words of Bo\n")
    assert "pump house, number 3, under dale: adopted from 2099-12-31" in twice
    assert "adopted from 2099-12-31" in desk.run("rules", "list")
    gone = desk.run("rules", "withdraw", *signed, "Bo", "--reason", "a wrong figure", typed="words of Bo\n")
    assert "withdrawn" in gone
    assert "No job was opened under it." in gone


@pytest.mark.parametrize(
    ("words", "typed", "told"),
    [
        (
            ("people", "add", "Ada", "--employer", "x", "--role", "king", "--until", "2099-01-01", *BY),
            "p" * 9,
            "is missing",
        ),
        (
            ("people", "add", "Ada", "--employer", "x", "--role", "king", "--until", "soon", *BY),
            "",
            "should be a day such as",
        ),
        (("people", "set-up", "--keeper", "A", "--keeper", "B"), "12345678\n12345678\n", "has its register already"),
        (
            ("permit", "do", "9/1", "stop", "--as", "Ada", "--in-role", "worker"),
            "x\n",
            "`Ada` is not in the register",
        ),
    ],
)
def test_bad_input_is_told_in_a_sentence(desk: Desk, words: tuple[str, ...], typed: str, told: str) -> None:
    assert told in desk.run(*words, typed=typed, code=ExitCode.BAD_INPUT)
