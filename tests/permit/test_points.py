"""Points of isolation: what proves them, who needs them, whose lock is on them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.persons import Person
from tests.permit.world import NOW, World, detected, new_permit, person, readings, world

AT = NOW.isoformat()
LATER = NOW.replace(hour=16).isoformat()


def secured(device: str = "disconnector", voltage_v: int = 400) -> World:
    made = World()
    made.plan_point(device=device, voltage_v=voltage_v)
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    return made


def prove(made: World, told: str, tester: str = "K-77", current: str = "AC") -> str:
    details = {"tester": tester, "tester_for_v": "12000", "current": current, "readings": told}
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


@pytest.mark.parametrize(
    ("voltage_v", "current", "source_v", "least"),
    [
        (400, "AC", 199, 200),
        (400, "AC", 200, 0),
        (690, "AC", 231, 345),
        (690, "AC", 398, 0),
        (230, "AC", 3, 115),
        (11_000, "AC", 9, 5_500),
        (11_000, "AC", 6_350, 0),
        (1_500, "DC", 700, 750),
    ],
)
def test_a_source_far_below_the_point_proves_no_tester(
    voltage_v: int, current: str, source_v: int, least: int
) -> None:
    """Phase to earth is 0.58 of the voltage between phases, a supply may lie a tenth lower (EN 50160): 0.52.

    That the tester is tried on a voltage of the size it must find is common practice.
    """
    made = secured(voltage_v=voltage_v)
    made.points["HV side"] = replace(made.points["HV side"], current="DC" if current == "DC" else "AC")
    lack = prove(made, GOOD.replace("N 231", f"N {source_v}").replace("N 230", f"N {source_v}"), current=current)

    if least:
        assert lack.startswith(f"{source_v} V on the source is too little to prove a tester for {voltage_v} V")
        assert f"at least half of it, {least} V" in lack
    else:
        assert lack == ""


@pytest.mark.parametrize(
    ("for_v", "told", "words"),
    [
        ("12000", detected(NOW), ""),
        ("", detected(NOW), "for which voltage the tester is built is not written"),
        ("3600", detected(NOW), "the tester is built for 3600 V, the point is up to 11000 V"),
        ("12000", detected(NOW).replace("source L1-E live", "source L1-E dead"), "the tester showed nothing"),
        ("12000", detected(NOW).replace("source L1-E live", "source L1-E 9"), "9 V on the source is too little"),
        ("12000", detected(NOW).replace("L2-E dead", "L2-E live"), "the points are not dead"),
    ],
)
def test_high_voltage_is_proved_by_a_detector_built_for_it(for_v: str, told: str, words: str) -> None:
    """Common practice, and EN 50110-1, clause 6.2.4: a detector for that voltage, tried before and after."""
    made = secured(voltage_v=11_000)
    details = {"tester": "K-77", "tester_for_v": for_v, "readings": told}
    found = made.point_tried("HV side", point_course.PROVE, person("isolator"), "isolator", details)

    assert found[0].words.startswith(words) if words else found == []


def test_live_and_dead_alone_prove_nothing_below_high_voltage() -> None:
    assert prove(secured(), detected(NOW)).startswith("live and dead are for detectors of high voltage")


def test_a_boundary_with_a_voltage_is_proved_by_readings_only() -> None:
    """A signature once said source, points, source where one word had been typed."""
    made = secured("boundary", 11_000)
    assert prove(made, "", tester="tape is up").startswith("the tester is tried on its source")
    assert made.points["HV side"].proof is None
    assert prove(secured("boundary", 0), "", tester="tape is up, 4 m from the bushing") == ""


def test_a_point_that_parts_electricity_is_planned_with_its_voltage() -> None:
    made = World()
    details = {"plant": "T2", "position": "open", "device": "links", "side": "high"}
    (lack,) = made.point_tried("x", point_course.PLAN, person("isolator"), "isolator", details)
    assert (lack.guard, lack.words) == ("described", "the highest voltage on it is not written")


def test_a_live_reading_blocks_the_point_until_it_is_explained() -> None:
    """Common practice: what was live once is not proved by trying again, but by finding where it came from."""
    made = secured()
    isolator = person("isolator")
    assert prove(made, GOOD) == ""
    live = {"tester": "K-77", "readings": "; ".join(GOOD.split("; ")[:2]).replace("L1-L2 0", "L1-L2 12")}
    dead = made.point_tried(
        "HV side", point_course.FOUND_LIVE, isolator, "isolator", {"tester": "K", "readings": GOOD}
    )
    assert [lack.words for lack in dead] == ["none of the readings shows voltage on the points"]

    made.point_done("HV side", point_course.FOUND_LIVE, "worker", **live)
    point = made.points["HV side"]
    assert (point.state.value, point.proof) == ("secured", None)
    assert point.live is not None
    assert [each.words for each in point.live.live] == ["12 V"]
    assert point.work_as_dead_lack() == "point HV side was found LIVE, and nobody has explained it"
    assert prove(made, GOOD) == "the tester showed voltage at point HV side, and nobody has explained it"
    (lack,) = made.point_tried("HV side", point_course.RELEASE, isolator, "isolator", {"affected_notified": "all"})
    assert lack.guard == "live_explained"
    (lack,) = made.point_tried("HV side", point_course.EXPLAIN_LIVE, isolator, "isolator", {"live_from": "feeder 4"})
    assert lack.words == "not written: what was done so that it does not come back"

    made.point_done(
        "HV side", point_course.EXPLAIN_LIVE, live_from="feeder 4", live_ended="its links are out, lock 9"
    )
    assert made.points["HV side"].proof is None, "it is proved from the start"
    assert prove(made, GOOD) == ""


@pytest.mark.parametrize("what", ["lock", "tag", "key"])
@pytest.mark.parametrize("typed", ["none", "n/a", "-", "the usual one", "key safe KS2, hook 4"])
def test_no_point_is_secured_by_words_that_are_no_number(what: str, typed: str) -> None:
    made = World()
    made.plan_point()
    details = {"lock": "1", "tag": "2", "key": "3", what: typed}

    (lack,) = made.point_tried("HV side", point_course.SECURE, person("isolator"), "isolator", details)
    assert (lack.guard, lack.words) == (
        "locked_and_tagged",
        f"`{typed}` is no number of a {what}: write the number that stands on it, such as 14 or A-14",
    )


@pytest.mark.parametrize("what", ["lock", "tag", "key"])
def test_a_lock_a_tag_and_a_key_hang_in_one_place(what: str) -> None:
    made = secured()
    made.plan_point("LV side")
    details = {
        "lock": "7",
        "tag": "8",
        "key": "9",
        what: f"{what} no. {getattr(made.points['HV side'], what)}",
    }
    (lack,) = made.point_tried("LV side", point_course.SECURE, person("isolator"), "isolator", details)

    assert lack.guard == f"{what}_unique"
    assert lack.words.endswith("is in use on HV side")


def test_an_own_lock_has_a_number_and_is_nobody_elses() -> None:
    """29 CFR 1910.147(c)(5)(ii)(D) (published): a lock tells whose it is."""
    made = secured()
    worker, mate = person("worker"), person("worker", " 2")

    def tried(who: Person, lock: str) -> list[str]:
        return [k.words for k in made.point_tried("HV side", point_course.LOCK, who, "worker", {"lock": lock})]

    assert tried(worker, "") == ["the number of the lock is not written"]
    assert tried(worker, "mine") == [
        "`mine` is no number of a lock: write the number that stands on it, such as 14 or A-14"
    ]
    assert tried(worker, "1") == ["lock 1 is in use on HV side"]
    assert tried(worker, "W-5") == []
    assert made.points["HV side"].lock_numbers == {worker.name: "W-5"}
    assert tried(mate, "w-5") == [f"lock w-5 is in use on HV side, the lock of {worker.name}"]


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
