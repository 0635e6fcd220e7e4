"""Acts in any order by anybody, with the clock running: the invariants of the course hold throughout."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from riskhelper.permit import course, point_course
from riskhelper.permit.clashes import clashes
from riskhelper.permit.document import State
from riskhelper.permit.effects import checked_again, suspended_by
from riskhelper.permit.points import PointState
from riskhelper.permit.rechecks import Recheck, written
from riskhelper.permit.refusal import not_of_the_course
from tests.permit.world import DETECTOR, FULL, PAIRS, World, detected, new_permit, person, world

OVER = {State.EXPIRED, State.REVOKED, State.HANDED_BACK, State.CANCELLED}
USUAL = [course.REQUEST, course.EVALUATE, course.APPROVE, course.ISOLATE, course.PROVE, course.ISSUE, course.ACCEPT]
MARKS = st.sampled_from(["", "2"])


class AnyOrder(RuleBasedStateMachine):
    """Two permits on one transformer that share a point, and a few people of each role."""

    made: World

    @initialize(last=st.sampled_from([*USUAL, course.START, course.TEST]))
    def begin(self, last: str) -> None:
        self.made = world(course.START if last == course.TEST else last)
        if last == course.TEST:
            self.made.done("1", course.SIGN_OFF, "worker")
            self.made.done("1", course.TEST, "issuer")
        self.made.permits["2"] = new_permit("2")
        self.made.around = replace(self.made.around, decisions={"oil.suction": "worker"})
        self.over: set[str] = set()

    @rule(data=st.data(), number=st.sampled_from("12"), act=st.sampled_from(list(course.ROWS)), mark=MARKS)
    def act(self, data: st.DataObject, number: str, act: str, mark: str) -> None:
        role = data.draw(st.sampled_from(course.ROWS[act].roles))
        who = person(role, mark)
        members = self.made.permits[number].roster.signed_on
        member = data.draw(st.sampled_from(members)) if members else ""
        before = self.made.permits[number]
        other = "2" if number == "1" else "1"
        details = {
            **FULL,
            "member": member,
            "other_permit": other,
            "stop": "oil.suction",
            "ruled_by": "worker",
            "until": (self.made.now + timedelta(minutes=data.draw(st.sampled_from([20, 600])))).isoformat(),
            "rechecks": written({"thunder": Recheck("thunder", 90, self.made.now)}),
        }
        asked = self.made.asked(act, who, role, details)
        outside = not_of_the_course(before, asked)
        found = self.made.tried(number, act, who, role, details)
        if found:
            assert self.made.permits[number] is before
            return
        assert outside == "", "an act that was possible is refused when the record is read"
        if act in (course.START, course.RESUME):
            self.check_start(number)
        if before.at(self.made.now) is State.SUSPENDED and act != course.RESUME:
            assert self.made.permits[number].at(self.made.now) is not State.IN_FORCE

    @rule(data=st.data(), act=st.sampled_from(list(point_course.POINT_ROWS)), mark=MARKS)
    def touch_point(self, data: st.DataObject, act: str, mark: str) -> None:
        role = data.draw(st.sampled_from(point_course.POINT_ROWS[act].roles))
        point = self.made.points["HV side"]
        details = {
            **FULL,
            "plant": "T2",
            "device": "disconnector",
            "position": "open",
            "side": "high",
            "voltage_v": "11000",
            "lock": "1",
            "tag": "2",
            "key": "3",
            "earth": "E1",
            **DETECTOR,
            "readings": detected(self.made.now),
            **dict.fromkeys(point_course.LIVE_EXPLAINED, "feeder 4, its earth is on"),
            "affected_notified": "control room",
            "earth_through": "breaker 7",
            "opened_device": "breaker 7",
            "member": point.personal_locks[0] if point.personal_locks else "",
        }
        if act == point_course.FOUND_LIVE:
            details["readings"] = detected(self.made.now).replace("L2-E dead", "L2-E live")
        found = self.made.point_tried("HV side", act, person(role, mark), role, details)
        if not found and act == point_course.RELEASE:
            assert all(permit.closed for permit in self.made.permits.values())
            assert not point.personal_locks
            assert not point.earths

    @rule(number=st.sampled_from("12"))
    def read_outside_the_plan(self, number: str) -> None:
        permit = self.made.permits[number]
        after = self.made.permits[number] = suspended_by(permit, "a wet drip", self.made.now)
        assert after.at(self.made.now) is not State.IN_FORCE

    @rule(number=st.sampled_from("12"))
    def check_again(self, number: str) -> None:
        permit, now = self.made.permits[number], self.made.now
        was = permit.at(now)
        self.made.permits[number] = checked_again(permit, "thunder", now, now)
        assert self.made.permits[number].at(now) is was

    @rule(minutes=st.sampled_from([1, 30, 500]))
    def wait(self, minutes: int) -> None:
        self.made.now += timedelta(minutes=minutes)

    @rule()
    def set_clock_back(self) -> None:
        last = max(p.last for p in self.made.permits.values() if p.last is not None)
        self.made.now = min(self.made.now, last)

    def check_start(self, number: str) -> None:
        """What was just started had everything it needs."""
        permit, point = self.made.permits[number], self.made.points["HV side"]

        assert point.work_as_dead_lack() == ""
        assert permit.roster.briefed_at is not None
        assert permit.proof_needed_since is None or permit.roster.briefed_at >= permit.proof_needed_since
        assert permit.changed_at is None or permit.roster.briefed_at >= permit.changed_at
        assert point.proof is not None
        assert permit.proof_needed_since is None or point.proof.at >= permit.proof_needed_since

    @invariant()
    def nobody_signs_both_sides(self) -> None:
        for permit in self.made.permits.values():
            signed = permit.signed
            for one, other in (
                ("request", "evaluate"),
                ("request", "approve"),
                ("evaluate", "approve"),
                ("witness", "prove"),
                ("issue", "accept"),
                ("hand back", "cancel"),
                ("return unused", "cancel"),
            ):
                assert one not in signed or other not in signed or signed[one] != signed[other], (one, other)
            assert not permit.acceptor or permit.acceptor != signed.get("issue")

    @invariant()
    def nothing_comes_back_into_force(self) -> None:
        for number, permit in self.made.permits.items():
            state = permit.at(self.made.now)
            assert number not in self.over or state in OVER
            if permit.last is not None and permit.at(permit.last) in OVER:
                self.over.add(number)

    @invariant()
    def what_is_in_force_has_window_acceptor_and_one_act_to_stop(self) -> None:
        for number, permit in self.made.permits.items():
            if permit.at(self.made.now) is State.IN_FORCE:
                assert permit.acceptor
                assert permit.ends is not None
                assert self.made.now < permit.ends
                asked = self.made.asked(course.STOP, person("witness"), "witness", {})
                assert self.made.look(number, asked) == []

    @invariant()
    def nothing_in_force_has_an_overdue_check_an_ended_ruling_or_an_open_test(self) -> None:
        for permit in self.made.permits.values():
            if permit.at(self.made.now) is State.IN_FORCE:
                assert permit.run_out(self.made.now) == ()
                assert permit.test is None
            assert (permit.test is None) or permit.state is State.UNDER_TEST

    @invariant()
    def who_holds_a_permit_has_a_lock_on_its_points(self) -> None:
        """HOV-03: no gap in lock cover, whatever order people act in."""
        for permit in self.made.permits.values():
            if permit.at(self.made.now) in (State.IN_FORCE, State.ACCEPTED) and permit.acceptor:
                assert permit.acceptor in self.made.points["HV side"].personal_locks

    @invariant()
    def two_permits_that_clash_are_never_both_in_force(self) -> None:
        one, two = self.made.permits["1"], self.made.permits["2"]
        both = {one.at(self.made.now), two.at(self.made.now)}
        assert both != {State.IN_FORCE} or not clashes(one, [two], PAIRS, self.made.now)

    @invariant()
    def a_point_a_permit_relies_on_is_held(self) -> None:
        needed = [p for p in self.made.permits.values() if p.at(self.made.now) is State.IN_FORCE]
        if needed:
            assert self.made.points["HV side"].state is PointState.PROVED


AnyOrder.TestCase.settings = settings(max_examples=60, stateful_step_count=40, deadline=None)
TestAnyOrder = AnyOrder.TestCase


def test_the_machine_would_see_a_permit_that_comes_back() -> None:
    machine = AnyOrder()
    machine.begin(course.START)
    machine.made.permits["1"] = replace(machine.made.permits["1"], state=State.REVOKED)
    machine.nothing_comes_back_into_force()
    machine.made.permits["1"] = replace(machine.made.permits["1"], state=State.IN_FORCE)
    try:
        machine.nothing_comes_back_into_force()
    except AssertionError:
        return
    raise AssertionError("the machine saw nothing")
