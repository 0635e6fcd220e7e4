"""Earths on each side of the work (EIP-07), one lock for each worker (EIP-11), switching by spoken order (EIP-14)."""

from __future__ import annotations

import inspect
from dataclasses import replace
from datetime import timedelta

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.document import State
from riskhelper.permit.handover_list import Standing, handover_list
from riskhelper.permit.points import Point, PointState
from riskhelper.permit.rechecks import Recheck
from riskhelper.permit.switching import Earth, Message
from tests.permit.test_course import standing
from tests.permit.world import ENDS, FULL, NOW, ORDER, World, new_permit, person, world

NOTHING = Standing({}, {}, (), {}, (), ())


def two_sided() -> World:
    """Permit 1 between the high-voltage side and a low-voltage tie, both secured and proved."""
    made = World()
    made.plan_point()
    made.plan_point("LV tie", "withdrawn_breaker", 400, side="low")
    made.permits["1"] = new_permit(points=("HV side", "LV tie"))
    return made


def refused(made: World, act: str, name: str = "HV side", **details: str) -> dict[str, str]:
    return {k.guard: k.words for k in made.point_tried(name, act, person("isolator"), "isolator", details)}


# EIP-07


def test_every_side_that_feeds_a_winding_carries_an_earth_of_its_own() -> None:
    """EIP-07, EN 50110-1 rule 4, WHS Regulation 2011 (NSW) 155(2)(b) (published); that 400 V on the low side is high
    voltage on the other, and so takes an earth, is common practice, after a spare transformer fed backwards."""
    made = two_sided()
    made.to("1", course.ISOLATE)
    for name in ("HV side", "LV tie"):
        made.secure_and_prove(name)
    made.points["LV tie"] = replace(made.points["LV tie"], earths=())
    found = made.look("1", made.asked(course.PROVE, person("isolator"), "isolator", FULL))

    assert "no earth on LV tie (low-voltage side)" in [lack.words for lack in found]
    made.point_done("LV tie", point_course.EARTH, earth="E2")
    found = made.look("1", made.asked(course.PROVE, person("isolator"), "isolator", FULL))
    assert "earthed" not in [lack.guard for lack in found]
    lines = handover_list(made.permits["1"], made.points, (), NOTHING, made.now).values()
    assert {"Point HV side, earths: E1", "Point LV tie, earths: E2"} <= set(lines)


def test_a_circuit_of_its_own_below_600_v_takes_no_earth_and_the_side_is_asked_for() -> None:
    made = World()
    details = {"plant": "T2", "device": "links", "position": "out", "voltage_v": "400"}
    assert refused(made, point_course.PLAN, "box", **details) == {"described": "side not written"}
    told = refused(made, point_course.PLAN, "box", **details, side="lefthand")
    assert told["described"].startswith("`lefthand` is no side; known are high, low, tertiary, neutral, own_circuit")
    assert refused(made, point_course.PLAN, "box", **details, side="own_circuit") == {}
    assert not made.points["box"].needs_earth
    assert replace(made.points["box"], side="neutral").needs_earth
    assert replace(made.points["box"], side="", voltage_v=600).needs_earth, "an older entry without a side"


def test_an_earth_comes_off_only_when_its_replacement_is_on() -> None:
    made = world(course.START)
    lack = "permit 1 relies on it, and nothing else earths point HV side on the high-voltage side"
    assert refused(made, point_course.UNEARTH, earth="E1") == {"earth_needed": lack}
    assert refused(made, point_course.UNEARTH, earth="E9") == {"earth_on": "earth `E9` is not on it"}
    made.point_done("HV side", point_course.EARTH, earth="E2")
    assert refused(made, point_course.UNEARTH, earth="E1") == {}
    assert "earth_needed" in refused(made, point_course.UNEARTH, earth="E2")


def test_a_step_that_opens_an_earthed_device_asks_for_the_replacement_earth_first() -> None:
    """EIP-07: a breaker opened for cleaning took the only earth with it (contractor's note, published)."""
    made = world(course.START)
    earth = Earth("E1", "breaker 7")
    made.points["HV side"] = replace(made.points["HV side"], earths=(earth,))
    opening = {"opened_device": "breaker 7"}

    assert "earth_needed" in refused(made, point_course.OPEN_EARTHED, **opening)
    assert "earth_on" in refused(made, point_course.OPEN_EARTHED, opened_device="breaker 8")
    made.point_done("HV side", point_course.EARTH, earth="E2", earth_through="breaker 7")
    assert "earth_needed" in refused(made, point_course.OPEN_EARTHED, **opening), "it goes through the same device"
    made.point_done("HV side", point_course.EARTH, earth="E3")
    made.point_done("HV side", point_course.OPEN_EARTHED, **opening)
    point = made.points["HV side"]
    assert [each.words for each in point.earths] == [
        "E1 through breaker 7, OPENED",
        "E2 through breaker 7, OPENED",
        "E3",
    ]
    assert point.work_as_dead_lack() == ""
    assert "earth_needed" in refused(made, point_course.UNEARTH, earth="E3"), "the opened ones no longer reach"
    assert refused(made, point_course.UNEARTH, earth="E1") == {}


def test_with_every_earth_opened_the_point_is_worked_as_live_and_the_earth_still_counted() -> None:
    """EIP-09, HOV-08: an earth that no longer reaches is no earth, and still has to come off."""
    made = world(course.PROVE)
    opened = (Earth("E1", "breaker 7", reaches=False),)
    point = made.points["HV side"] = replace(made.points["HV side"], earths=opened)

    assert point.work_as_dead_lack() == "point HV side carries no earth"
    made.permits.clear()
    told = refused(made, point_course.RELEASE, affected_notified="all")
    assert told["earths_on"].startswith("earths E1 through breaker 7, OPENED are on point HV side")


# EIP-11


def test_whoever_signs_on_puts_a_lock_of_their_own_on_and_none_is_lent() -> None:
    """EIP-11, 29 CFR 1910.147(f)(3)(ii)(D) (published): each affixes a personal lock to the group lock."""
    made = world(course.ACCEPT)
    made.done("1", course.BRIEF, "acceptor")
    worker, mate = person("worker"), person("worker", " 2")
    told = {**FULL, "own_lock": ""}
    assert [k.guard for k in made.tried("1", course.SIGN_ON, worker, "worker", told)] == ["lock_of_their_own"]
    assert made.tried("1", course.SIGN_ON, worker, "worker", {**told, "own_lock": "12", "works_at": "valve"}) == []
    (lack,) = made.tried("1", course.SIGN_ON, mate, "worker", {**told, "own_lock": "12"})
    assert lack.words == f"lock 12 is the lock of {worker.name} on permit 1; no lock is lent"
    (member,) = made.permits["1"].roster.on
    assert (member.name, member.lock, member.works_at) == (worker.name, "12", "valve")


def test_a_lock_on_every_point_is_as_good_as_one_on_the_group_lock() -> None:
    made = world(course.ACCEPT)
    made.done("1", course.BRIEF, "acceptor")
    told = {**FULL, "own_lock": ""}

    assert made.tried("1", course.SIGN_ON, person("acceptor"), "acceptor", told) == []


@pytest.mark.parametrize("state", State, ids=lambda state: state.value)
def test_nothing_is_re_energised_while_any_lock_is_on(state: State) -> None:
    """EIP-11: whatever became of the permit, and were it closed by mistake."""
    made = World()
    made.plan_point()
    made.secure_and_prove()
    made.points["HV side"] = replace(made.points["HV side"], earths=())
    roster = new_permit().roster.with_member("Udo Fenn", NOW, lock="12")
    made.permits["1"] = replace(standing(state), roster=roster)
    told = refused(made, point_course.RELEASE, affected_notified="all")

    assert told
    if made.permits["1"].closed:
        assert told == {"personal_locks_on": "on the group lock of point HV side are still 12 of Udo Fenn, permit 1"}
    made.permits["1"] = replace(standing(State.CANCELLED), roster=roster.without("Udo Fenn", NOW, "Udo Fenn"))
    made.points["HV side"] = replace(made.points["HV side"], personal_locks=("Ada Quist",))
    assert "personal_locks_on" in refused(made, point_course.RELEASE, affected_notified="all")
    made.points["HV side"] = replace(made.points["HV side"], personal_locks=())
    assert refused(made, point_course.RELEASE, affected_notified="all") == {}


def test_the_incoming_holder_reads_who_works_where_under_which_lock() -> None:
    """EIP-11, 29 CFR 1910.147(f)(3)(ii)(B) (published): one person knows the exposure of each member."""
    made = world(course.START)
    lines = handover_list(made.permits["1"], made.points, (), NOTHING, made.now).values()

    assert "Signed on: worker A, since 15:40, at unit circuits, lock L-1 worker A" in lines


def test_whoever_coordinates_several_crews_stands_on_the_permit() -> None:
    """INX-05, 29 CFR 1910.147(f)(3)(ii)(C) (published)."""
    made = world(course.PROVE)
    made.done("1", course.ISSUE, "issuer", coordinator="Eva Lind")

    assert made.permits["1"].coordinator == "Eva Lind"


# EIP-14


@pytest.mark.parametrize("act", sorted(point_course.SWITCHING))
@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"ordered_by": " "}, "who sent the switching order is not written"),
        ({"repeated_by": ""}, "a switching message is repeated and confirmed; say who repeated it"),
        ({"repeated_by": "mette, control room"}, "mette, control room sent the order and cannot repeat it back"),
        ({"confirmed_by": ""}, "a switching message is repeated and confirmed; say who confirmed it"),
        ({"confirmed_by": "Iva Roe"}, "Iva Roe repeated the order and cannot confirm the repeat"),
    ],
)
def test_every_switching_order_is_sent_repeated_back_and_confirmed(
    act: str, changed: dict[str, str], words: str
) -> None:
    """EIP-14, rule on switching messages (published): isolating as well as returning."""
    made = World()
    made.plan_point()
    details = {"lock": "1", "tag": "2", "key": "3", "earth": "E1", "affected_notified": "all"}
    if act != point_course.SECURE:
        made.secure_and_prove()
    if act in (point_course.EARTH, point_course.RELEASE):
        made.points["HV side"] = replace(made.points["HV side"], earths=())
    if act == point_course.OPEN_EARTHED:
        made.points["HV side"] = replace(made.points["HV side"], earths=(Earth("E1", "breaker 7"),))
        details["opened_device"] = "breaker 7"

    assert refused(made, act, **details, **changed) == {"message_repeated": words}
    before = len(made.points["HV side"].messages)
    made.point_done("HV side", act, **details)
    sent = made.points["HV side"].messages
    assert len(sent) == before + 1
    assert sent[-1] == Message(act, ORDER["ordered_by"], ORDER["repeated_by"], ORDER["confirmed_by"], made.now)


def test_power_never_comes_back_by_an_agreed_time() -> None:
    """EIP-14, rule on switching messages (published)."""
    made = World()
    made.plan_point()
    told = refused(made, point_course.RELEASE, affected_notified="all", basis="agreed_time")

    assert "people talk, repeat and confirm" in told["agreed_time"]


def test_an_order_of_an_older_form_is_read_without_its_names() -> None:
    made = World()
    made.plan_point()
    old = made.asked(point_course.SECURE, person("isolator"), "isolator", {"lock": "1", "tag": "2", "key": "3"})
    point = point_course.point_after(made.points, "HV side", old)

    assert point.state is PointState.SECURED
    assert (
        point.messages[0].words == "secure: sent by nobody named, repeated by nobody named, confirmed by nobody named"
    )


@pytest.mark.parametrize("state", State, ids=lambda state: state.value)
def test_the_clock_alone_only_ever_suspends_or_ends(state: State) -> None:
    """EIP-14: no act of the course happens by an hour or a signal. Whatever is due or overdue, days later the permit
    stands where it stood, or is suspended or expired."""
    permit = replace(
        standing(state), rechecks={"thunder": Recheck("thunder", 5, NOW)}, ends=ENDS, last=NOW, points_touched=True
    )
    began = permit.at(NOW)
    later = [permit.at(NOW + timedelta(minutes=minutes)) for minutes in range(0, 3 * 24 * 60, 30)]

    assert set(later) <= {began, State.SUSPENDED, State.EXPIRED}
    assert later == sorted(later, key=[began, State.SUSPENDED, State.EXPIRED].index), "and never back again"


def test_a_point_has_no_clock_and_every_act_on_it_has_somebody_who_does_it() -> None:
    """EIP-14: nothing about a point is worked out from the time, so nothing puts it back by itself."""
    methods = [member for _, member in inspect.getmembers(Point, inspect.isfunction)]
    told = {name for method in methods for name in inspect.signature(method).parameters}

    assert "work_as_dead_lack" in {method.__name__ for method in methods}
    assert told & {"now", "at_moment", "moment", "clock"} == set()
    assert all(row.roles for row in point_course.POINT_COURSE)
    assert all(row.roles for row in course.COURSE)
