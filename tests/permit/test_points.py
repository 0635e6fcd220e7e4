"""Points of isolation: what proves them, who needs them, whose lock is on them."""

from __future__ import annotations

import pytest

from riskhelper.permit import course, point_course
from tests.permit.world import NOW, World, new_permit, person, readings, world

AT = NOW.isoformat()
LATER = NOW.replace(hour=16).isoformat()


def secured(device: str = "disconnector", voltage_v: int = 400) -> World:
    made = World()
    made.plan_point(device=device, voltage_v=voltage_v)
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    return made


def prove(made: World, told: str, tester: str = "K-77", current: str = "AC") -> str:
    details = {"tester": tester, "current": current, "readings": told}
    found = made.point_tried("HV side", point_course.PROVE, person("isolator"), "isolator", details)
    return found[0].words if found else ""


GOOD = readings(NOW)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (GOOD, ""),
        (GOOD.rpartition(";")[0], "the tester is tried on its source, then on the points"),
        (GOOD.partition(";")[2], "the tester is tried on its source, then on the points"),
        (GOOD.replace("L1-L2 0", "L1-L2 48"), "the points are not dead: the tester shows voltage"),
        (GOOD.replace(f"L1-N 230 {AT}", f"L1-N 0 {AT}"), "the tester showed nothing on its source"),
        (GOOD.replace(f"231 {AT}", f"231 {LATER}"), "the readings are not in the order of their times"),
        (GOOD.replace("L1-E", "L1-L2"), "test pole to pole and pole to earth"),
        ("source L1", "`source L1` should be: source or points, poles, volts, moment with offset"),
    ],
)
def test_dead_is_proved_on_source_points_source(told: str, words: str) -> None:
    """Common practice of the trade, and EN 50110-1, clause 6.2.4: the tester is tried before and after."""
    assert prove(secured(), told).startswith(words) if words else prove(secured(), told) == ""


def test_the_tester_has_a_serial_and_fits_the_kind_of_voltage() -> None:
    assert prove(secured(), GOOD, tester=" ") == "the serial of the tester is missing"
    assert prove(secured(), GOOD, current="DC") == "the tester was used for DC, the point carries AC"


def test_a_point_that_holds_off_no_electricity_is_proved_by_what_was_seen() -> None:
    assert prove(secured("blank", 0), "", tester="") == "what was seen is not written"
    assert prove(secured("blank", 0), "", tester="drip dry for 5 minutes") == ""


@pytest.mark.parametrize("device", ["push_button", "selector_switch", "interlock", "control_circuit", "hope"])
def test_what_only_controls_is_no_point(device: str) -> None:
    made = World()
    details = {"plant": "T2", "position": "off", "device": device}

    (lack,) = made.point_tried("x", point_course.PLAN, person("isolator"), "isolator", details)
    assert lack.guard == "control_device"
    assert made.points == {}


def test_a_point_two_permits_need_stays_until_both_are_cancelled() -> None:
    made = world(course.REQUEST)
    made.permits["2"] = new_permit("2")
    details = {"affected_notified": "control room", "repeated_by": "Iva Roe"}
    for number in ("1", "2"):
        (lack,) = made.point_tried("HV side", point_course.RELEASE, person("isolator"), "isolator", details)
        assert (lack.guard, number in lack.words) == ("other_permits", True)
        made.done(number, course.GIVE_UP, "issuer")

    made.point_done("HV side", point_course.RELEASE, **details)


def test_an_earth_stays_while_a_permit_relies_on_it() -> None:
    made = world(course.START)
    isolator = person("isolator")

    (lack,) = made.point_tried("HV side", point_course.UNEARTH, isolator, "isolator", {"earth": "E1"})
    assert lack.guard == "earth_needed"
    made.done("1", course.SIGN_OFF, "worker")
    made.done("1", course.TEST, "issuer")
    assert made.point_tried("HV side", point_course.UNEARTH, isolator, "isolator", {"earth": "E1"}) == []


def test_the_acceptors_lock_comes_off_only_after_hand_back_or_handover() -> None:
    made = world(course.START)
    acceptor = person("acceptor")

    (lack,) = made.point_tried("HV side", point_course.UNLOCK, acceptor, "acceptor", {})
    assert (lack.guard, lack.words) == ("lock_cover", f"{acceptor.name} is still on permit 1")
    made.done("1", course.OFFER, "acceptor")
    made.point_done("HV side", point_course.LOCK, "acceptor", "2")
    made.done("1", course.TAKE_OVER, "acceptor", "2")
    assert made.point_tried("HV side", point_course.UNLOCK, acceptor, "acceptor", {})
    made.done("1", course.CONFIRM, "issuer")
    assert made.point_tried("HV side", point_course.UNLOCK, acceptor, "acceptor", {}) == []


def test_the_lock_of_a_person_who_is_gone_takes_three_duties_and_two_signatures() -> None:
    made = secured()
    made.point_done("HV side", point_course.LOCK, "worker")
    gone = person("worker").name
    duties = dict.fromkeys(
        ("verified_not_at_facility", "reasonable_efforts_to_contact", "told_before_resuming_work"), "done"
    )
    details = {"member": gone, **duties}

    (lack,) = made.point_tried("HV side", point_course.UNLOCK_ABSENT, person("isolator"), "isolator", details)
    assert lack.guard == "two_signatures"
    made.point_done("HV side", point_course.ALLOW_UNLOCK, "issuer", **details)
    made.point_done("HV side", point_course.UNLOCK_ABSENT, **details)
    assert made.points["HV side"].personal_locks == ()


def test_one_key_belongs_to_one_point() -> None:
    made = secured()
    made.plan_point("LV side")
    details = {"lock": "7", "tag": "8", "key": "3"}

    (lack,) = made.point_tried("LV side", point_course.SECURE, person("isolator"), "isolator", details)
    assert lack.words == "key 3 is in use on HV side"


def test_every_act_on_a_point_is_refused_to_other_roles_and_in_other_states() -> None:
    for row in point_course.POINT_COURSE:
        made = World()
        made.plan_point()
        state = made.points["HV side"].state
        (lack,) = made.point_tried("HV side", row.act, person("witness"), "witness", {})

        assert lack.guard == ("role" if state in row.states else "state")
        if row.act != point_course.PLAN:
            assert made.point_tried("no such", row.act, person("isolator"), "isolator", {})[0].guard == "state"
