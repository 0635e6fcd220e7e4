"""One store holds each plant at a time, whatever is passed, taken and claimed in whatever order."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from riskhelper.record.entries import log_name
from riskhelper.record.holding import FREE_ACTS, Held, Holding

LOGS = ("aa" * 16, "bb" * 16, "cc" * 16)
PLANT, POINT = "plant P2", "point feeder"
THINGS = {PLANT: PLANT, POINT: PLANT}
Step = tuple[str, str, str]
STEPS = st.lists(st.tuples(st.sampled_from(("pass", "take", "claim")), st.sampled_from(LOGS), st.sampled_from(LOGS)))


def after(steps: list[Step]) -> Holding:
    holding = Holding(LOGS[0])
    for what, log, other in steps:
        if what == "pass":
            holding = holding.passing(log, THINGS, log_name(other))
        elif what == "take":
            holding = holding.taking(log, THINGS)
        else:
            holding = holding.claimed(log, THINGS)
    return holding


@given(STEPS)
def test_never_do_two_stores_hold_one_plant(steps: list[Step]) -> None:
    holding = after(steps)

    assert sum(not holding.lacking(log, "issue", THINGS) for log in LOGS) <= 1


@given(STEPS, st.sampled_from(LOGS))
def test_only_the_holder_passes_it_on_and_only_whom_it_was_passed_to_takes_it(steps: list[Step], log: str) -> None:
    before = after(steps)
    for thing in THINGS:
        held = before.of(thing, PLANT)
        if held != Held(log):
            assert before.passing(log, THINGS, log_name(LOGS[0])).of(thing, PLANT) == held
        if held.to != log_name(log):
            assert before.taking(log, THINGS).of(thing, PLANT) == held


@given(STEPS, st.sampled_from(LOGS), st.sampled_from(sorted(FREE_ACTS)))
def test_stopping_and_drawing_up_need_no_holding(steps: list[Step], log: str, act: str) -> None:
    assert after(steps).lacking(log, act, THINGS) == ()


def test_a_refusal_names_each_thing_and_its_holder() -> None:
    holding = Holding(LOGS[0]).passing(LOGS[0], {PLANT: PLANT}, log_name(LOGS[1]))

    assert holding.lacking(LOGS[2], "issue", {PLANT: PLANT, "point yard": "plant P9"}) == (
        f"plant P2 is passed by {log_name(LOGS[0])} to {log_name(LOGS[1])}, which has not taken it yet",
        f"point yard is held by {log_name(LOGS[0])}",
    )


def test_a_point_goes_with_its_plant_until_it_is_passed_by_itself() -> None:
    holding = Holding(LOGS[0]).claimed(LOGS[1], [PLANT])

    assert holding.of("point new", PLANT) == Held(LOGS[1])
    assert holding.claimed(LOGS[2], ["point new"]).of("point new", PLANT) == Held(LOGS[2])
