"""A small site with one transformer, ten people, each with one role, and permits driven along their course."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from riskhelper.permit import course, point_course
from riskhelper.permit.clashes import safeguard_lines, safeguards_beside
from riskhelper.permit.document import Permit, Road
from riskhelper.permit.effects import after
from riskhelper.permit.guards import STATED, Around, Asked
from riskhelper.permit.handover import ABSENCE_DUTIES
from riskhelper.permit.neighbour_guards import in_window_asked
from riskhelper.permit.persons import ROLES, Authority, Person
from riskhelper.permit.plan_guards import BOUNDED
from riskhelper.permit.point_course import point_after, point_lacks
from riskhelper.permit.points import Point, PointState
from riskhelper.permit.refusal import Lack, lacks
from riskhelper.permit.roster import BRIEFING_SUBJECTS
from riskhelper.permit.side_by_side import Pair, as_met, written_meets, written_safeguards

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)
ENDS = NOW + timedelta(hours=8)
NAMES = {role: f"{role} {mark}" for role, mark in zip(ROLES, "ABCDEFGHIJ", strict=True)}
FULL: Mapping[str, str] = {
    **dict.fromkeys(STATED, "seen and written"),
    **dict.fromkeys((*ABSENCE_DUTIES, *BOUNDED), "done at 15:00"),
    "starts": NOW.isoformat(),
    "ends": ENDS.isoformat(),
    "subjects": " ".join(BRIEFING_SUBJECTS),
    "identified_two_ways": "label, trace",
    "complete": "no",
    "drawing": "E-114",
    "drawing_revision": "C",
    "drawing_checked_at": NOW.isoformat(),
    "shift_end": "valve shut, blanked; handed over at the valve to the night crew",
    "copies_called_in": "1 2 3 4 5 6 7 8 9",
    "left_as": "blanked and dry",
    "consulted_person_in_control": "owner's engineer, 15:10",
    "unit_proved": "alarm came and went",
    "live_ground": "needed_live",
    "why_live": "the alarm is proved with its feed on",
    "live_way_clear": "seen at 15:05",
    "live_cut_off": "panel 3, marked, one turn",
    "live_circuit": "alarm feed, behind the cover of panel 3",
    "live_method": "one wire after the other, the rest under a blanket",
    "live_flash": "label of panel 3, 2030-11, by the owner's engineer",
    "live_boundaries": "0.9 m by the label, tape on the floor",
    "live_kept_out": "Rune Abelsen at the door of the kiosk",
    "live_briefed": "panel 3 stays live, keep behind the tape, gloves on",
}
LIVE_SHOWN: Mapping[str, str] = {
    "plan_shock": "0.23 kV behind the cover",
    "plan_flash": "There is a label or a study",
    "plan_boundaries": "No-closer distance: 0.00 m, no contact",
    "plan_equipment": "Wear what the label names",
    "plan_ground": "needed to prove the alarm",
}
"""What the program writes from the plan with the approval of work on live parts."""


ORDER: Mapping[str, str] = {
    "ordered_by": "Mette, control room",
    "repeated_by": "Iva Roe",
    "confirmed_by": "Mette, control room",
}
"""A switching order sent, repeated back and confirmed."""
CLASHES = Path(__file__).parents[2] / "rules" / "clashes.toml"
PAIRS = {
    frozenset({one, other}): Pair(entry.get("ban", False), entry["because"], tuple(entry.get("safeguards", ())))
    for one, others in tomllib.loads(CLASHES.read_text(encoding="utf-8"))["clash"].items()
    for other, entry in others.items()
}
"""The pairs of the shipped set, read without the program."""


def person(role: str, mark: str = "", limit_v: int = 11_000) -> Person:
    """A person with one role; a mark makes another person of the same role."""
    return Person(NAMES[role] + mark, "Crag End", (Authority(role, NOW + timedelta(days=30), limit_v),))


def new_permit(number: str = "1", road: Road = Road.WORK, points: tuple[str, ...] = ("HV side",)) -> Permit:
    """A draft for the unit of transformer T2."""
    return Permit(
        number=number,
        job="7",
        road=road,
        plant="T2",
        apparatus="unit circuits",
        zone="bay 4",
        voltage_v=11_000,
        energies=frozenset({"electrical", "oil"}),
        points=points,
    )


def readings(at: datetime, source_v: int = 231) -> str:
    """A proving that proves at 400 V, or at up to twice what the source shows."""
    moment = at.isoformat()
    first, last = ("source", "L1-N", source_v), ("source", "L1-N", source_v - 1)
    parts = (first, ("points", "L1-L2", 0), ("points", "L1-E", 0), last)
    return "; ".join(f"{on} {poles} {volts} {moment}" for on, poles, volts in parts)


def detected(at: datetime) -> str:
    """A proving that proves by a detector for high voltage."""
    moment = at.isoformat()
    parts = (("source", "live"), ("points", "dead"), ("points", "dead"), ("points", "dead"), ("source", "live"))
    poles = ("L1-E", "L1-E", "L2-E", "L3-E", "L1-E")
    return "; ".join(f"{on} {pair} {shows} {moment}" for pair, (on, shows) in zip(poles, parts, strict=True))


DETECTOR: Mapping[str, str] = {"tester": "K-77", "tester_for_v": "12000"}


@dataclass
class World:
    """Permits, points and a clock."""

    permits: dict[str, Permit] = field(default_factory=dict)
    points: dict[str, Point] = field(default_factory=dict)
    now: datetime = NOW
    around: Around = field(default_factory=lambda: Around(adopted=True, pairs=PAIRS))

    def asked(self, act: str, who: Person, role: str, details: Mapping[str, str]) -> Asked:
        return Asked(act, who, role, self.now, details)

    def look(self, number: str, asked: Asked) -> list[Lack]:
        others = tuple(permit for permit in self.permits.values() if permit.number != number)
        return lacks(self.permits[number], asked, replace(self.around, points=self.points, others=others))

    def tried(self, number: str, act: str, who: Person, role: str, details: Mapping[str, str] = FULL) -> list[Lack]:
        """Does an act if it is possible; gives what refuses it."""
        if act == course.SIGN_ON:
            details = {"own_lock": f"L-1 {who.name}", **details}
        if act == course.ISSUE:
            details = {"visited_at": self.now.isoformat(), **details}
        asked = self.asked(act, who, role, self.with_safeguards(number, act, details))
        found = self.look(number, asked)
        if not found:
            self.permits[number] = after(self.permits[number], asked)
        return found

    def with_safeguards(self, number: str, act: str, details: Mapping[str, str]) -> Mapping[str, str]:
        """The details with what stands next to the permit, written as the program does and read by whoever signs."""
        if act not in (course.APPROVE, course.ACCEPT, course.AGREE):
            return details
        others, pairs = self.permits.values(), self.around.pairs
        permit = in_window_asked(self.permits[number], self.asked(act, person("issuer"), "issuer", details))
        return {
            "acknowledged": " ".join(safeguard_lines(permit, others, pairs, self.now)),
            **details,
            "safeguards": written_safeguards(safeguards_beside(permit, others, pairs, self.now)),
            "meets": written_meets(as_met(permit.energies, pairs or {})),
        }

    def done(self, number: str, act: str, role: str, mark: str = "", **details: str) -> None:
        """Does an act that must be possible."""
        self.now += timedelta(minutes=1)
        found = self.tried(number, act, person(role, mark), role, {**FULL, **details})
        assert not found, f"{act}: {found}"

    def point_tried(self, name: str, act: str, who: Person, role: str, details: Mapping[str, str]) -> list[Lack]:
        own = {"lock": f"1 {who.name} {name}"} if act == point_course.LOCK else {}
        asked = self.asked(act, who, role, {**ORDER, **own, **details})
        found = point_lacks(self.points, name, asked, self.permits.values())
        if not found:
            self.points[name] = point_after(self.points, name, asked)
        return found

    def point_done(self, name: str, act: str, role: str = "isolator", mark: str = "", **details: str) -> None:
        found = self.point_tried(name, act, person(role, mark), role, details)
        assert not found, f"{act}: {found}"

    def plan_point(
        self, name: str = "HV side", device: str = "disconnector", voltage_v: int = 11_000, side: str = ""
    ) -> None:
        described = {"plant": "T2", "device": device, "position": "open", "voltage_v": str(voltage_v)}
        side = side or ("high" if voltage_v > 1_000 else "own_circuit")
        self.point_done(name, point_course.PLAN, **described, side=side)

    def secure_and_prove(self, name: str = "HV side") -> None:
        if self.points[name].state is PointState.PLANNED:
            self.point_done(name, point_course.SECURE, lock=f"12 {name}", tag=f"34 {name}", key=f"5 {name}")
        high = self.points[name].voltage_v > 1_000
        read = detected(self.now) if high else readings(self.now)
        self.point_done(name, point_course.PROVE, **DETECTOR, readings=read)
        if not self.points[name].earths:
            self.point_done(name, point_course.EARTH, earth="E1")

    def to_isolating(self, number: str = "1") -> None:
        """From approved on, up to the moment before the isolator declares the points proved."""
        self.done(number, course.ISOLATE, "isolator")
        for name in self.permits[number].points:
            self.secure_and_prove(name)
        self.done(number, course.WITNESSED, "witness")

    def to(self, number: str, last: str) -> None:
        """Drives a permit from draft along the usual course, up to and with an act."""
        for act, step in self.steps(number):
            step()
            if act == last:
                return
        raise AssertionError(f"{last} is not on the usual course")

    def steps(self, number: str) -> list[tuple[str, Callable[[], None]]]:
        """The acts of the usual course, each with what does it."""

        def prove() -> None:
            for name in self.permits[number].points:
                self.secure_and_prove(name)
            self.done(number, course.WITNESSED, "witness")
            self.done(number, course.PROVE, "isolator")

        def accept() -> None:
            for name in self.permits[number].points:
                if person("acceptor").name not in self.points[name].personal_locks:
                    self.point_done(name, point_course.LOCK, "acceptor")
            self.done(number, course.ACCEPT, "acceptor")

        def start() -> None:
            self.done(number, course.BRIEF, "acceptor")
            self.done(number, course.SIGN_ON, "worker")
            self.done(number, course.START, "acceptor")

        return [
            (course.REQUEST, lambda: self.done(number, course.REQUEST, "requester")),
            (course.EVALUATE, lambda: self.done(number, course.EVALUATE, "evaluator")),
            (course.APPROVE, lambda: self.done(number, course.APPROVE, "issuer")),
            (course.ISOLATE, lambda: self.done(number, course.ISOLATE, "isolator")),
            (course.PROVE, prove),
            (course.ISSUE, lambda: self.done(number, course.ISSUE, "issuer")),
            (course.ACCEPT, accept),
            (course.START, start),
        ]


def world(last: str = "", road: Road = Road.WORK) -> World:
    """A world with permit 1, driven as far as asked."""
    made = World()
    made.plan_point()
    made.permits["1"] = new_permit(road=road)
    if last:
        made.to("1", last)
    return made
