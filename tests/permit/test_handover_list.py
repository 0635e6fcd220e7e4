"""The list of a handover: everything that stands is a line, and a line that changes is read again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta

import pytest

from riskhelper.permit import course
from riskhelper.permit.document import Permit, Road, State
from riskhelper.permit.handover_list import Standing, handover_list
from riskhelper.permit.points import Point, PointState
from riskhelper.permit.rechecks import Recheck
from riskhelper.permit.rulings import Ruled
from riskhelper.permit.side_by_side import mark_of
from tests.permit.world import ENDS, NOW, World, new_permit, person, world

NOTHING = Standing({}, {}, (), {}, (), ())


def made_lines(made: World, standing: Standing = NOTHING, others: tuple[Permit, ...] = ()) -> Mapping[str, str]:
    return handover_list(made.permits["1"], made.points, others, standing, made.now)


def test_permit_points_locks_earths_and_crew_are_on_the_list() -> None:
    """HOV-01, HOV-02, guidance on shift handover (published): minimum content, generated."""
    lines = list(made_lines(world(course.START)).values())

    assert lines == [
        "1, permit-to-work, T2, unit circuits, bay 4: in force, until 2031-02-03 23:30 +0000; revision 1",
        "Point HV side, disconnector open: proved; lock 12 HV side, tag 34 HV side, key 5 HV side; "
        "secured by isolator G",
        "Point HV side proved dead by isolator G at 2031-02-03 15:34, K-77",
        "Point HV side, locks of people: acceptor E",
        "Point HV side, earths: E1",
        "Signed on: worker A, since 15:40, at unit circuits, lock L-1 worker A",
    ]


def test_hold_points_stops_rulings_readings_and_aged_answers_are_on_the_list() -> None:
    made = world(course.START)
    ruled = Ruled("oil.suction", "issuer", "Ola Berg", "gauge reset", "photo 3", "bleeding", ENDS, NOW, "issuer")
    made.permits["1"] = replace(
        made.permits["1"],
        passed=("plate",),
        rulings=(ruled, replace(ruled, stop="live.near", asked_of="site doctor")),
    )
    standing = Standing(
        open_at={"plate": (), "dry": ("is the drip dry",), "hung": ()},
        hold_points={"plate": "PLATE READ", "dry": "VALVE HOLDS", "hung": "UNIT HUNG"},
        stops=("Thunder near",),
        stop_titles={"oil.suction": "Suction at the valve"},
        readings=("Is the drip dry? Wet., 15:20",),
        aged=("Do you hear thunder?",),
    )
    lines = set(made_lines(made, standing).values())

    assert lines >= {
        "Hold point PLATE READ: passed",
        "Hold point VALVE HOLDS: open, missing is the drip dry",
        "Hold point UNIT HUNG: open, may be released",
        "Stop: Thunder near",
        "Lifted by ruling: Suction at the valve; Ola Berg as issuer, until 2031-02-03 23:30",
        "Ruling begun, not complete: live.near",
        "Read: Is the drip dry? Wet., 15:20",
        "Too old, ask again: Do you hear thunder?",
    }


def test_what_was_left_checked_tested_or_taken_off_is_on_the_list() -> None:
    made = world(course.START)
    checks = {"thunder": Recheck("thunder", 60, NOW)}
    made.permits["1"] = replace(made.permits["1"], state_left="valve shut, blank on", rechecks=checks)
    made.points["HV side"] = replace(made.points["HV side"], to_tell=frozenset({"Jon Hale"}))
    lines = set(made_lines(made).values())

    assert "The plant is left so: valve shut, blank on" in lines
    assert "Check again before 16:30, every 60 min: thunder" in lines
    assert any("the lock of Jon Hale was taken off in their absence" in line for line in lines)
    made.permits["1"] = replace(made.permits["1"], rechecks={})
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.TEST, "issuer", test_scope="unit circuits")
    lines = set(made_lines(made).values())
    assert "Sanction to test 1/test 1 is out: unit circuits" in lines
    assert "Nobody is signed on" in lines


@pytest.mark.parametrize(("plant", "zone", "there"), [("T2", "x", True), ("x", "bay 4", True), ("x", "x", False)])
def test_other_open_permits_and_points_near_are_on_the_list_suspended_first(
    plant: str, zone: str, *, there: bool
) -> None:
    """HOV-02, HOV-05, public inquiry (published): the second permit nobody knew of."""
    made = world(course.START)
    made.points["LV side"] = Point("LV side", plant, "links", "out", state=PointState.SECURED)
    open_ = replace(new_permit("2", points=()), state=State.IN_FORCE, plant=plant, zone=zone)
    parked = replace(open_, number="3", state=State.SUSPENDED)
    closed = replace(open_, number="4", state=State.CANCELLED)
    lines = [line for line in made_lines(made, others=(open_, parked, closed)).values() if line.startswith("Also")]
    expected = [
        f"Also open here: 3, permit-to-work, {plant}, unit circuits, {zone}: suspended",
        f"Also open here: 2, permit-to-work, {plant}, unit circuits, {zone}: in force",
    ]

    assert lines == (expected if there else []) + (
        [f"Also held on {plant}: point LV side, links out"] if plant == "T2" else []
    )


def test_a_line_that_changes_has_another_mark() -> None:
    made = world(course.START)
    before = made_lines(made)
    made.point_done("HV side", "lock", "worker")
    after = made_lines(made)

    assert set(before) - set(after) == {mark_of("Point HV side, locks of people: acceptor E")}
    assert all(mark_of(words) == mark for mark, words in after.items())


def test_beside_plant_in_service_no_line_says_isolated_or_dead() -> None:
    made = world(course.ISOLATE, Road.ACCESS)
    made.secure_and_prove()
    made.done("1", course.WITNESSED, "witness")
    made.done("1", course.PROVE, "isolator")
    made.now += timedelta(minutes=1)

    assert not [line for line in made_lines(made).values() if "isolated" in line or "dead" in line]
    assert person("isolator").name in "".join(made_lines(made).values())
