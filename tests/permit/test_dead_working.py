"""Published orders of working dead: what refuses when one step is left out, and that the order cannot be changed."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.points import DEAD_WORKING
from riskhelper.permit.refusal import Lack
from tests.permit.world import DETECTOR, FULL, World, detected, new_permit, person, world

CASES = tomllib.loads((Path(__file__).parent / "published.toml").read_text(encoding="utf-8"))["case"]
ORDERS = {case["id"]: case["steps"] for case in CASES if case["inputs"]["act"] == "leave_out"}
STEPS = [(name, *step) for name, steps in ORDERS.items() for step in steps]
LOCKED = {"lock": "1", "tag": "2", "key": "3"}


def secured() -> World:
    made = world(course.ISOLATE)
    made.point_done("HV side", point_course.SECURE, **LOCKED)
    return made


def proved_by(told: str) -> list[Lack]:
    """What a proving with these readings lacks."""
    details = {**DETECTOR, "readings": told}
    return secured().point_tried("HV side", point_course.PROVE, person("isolator"), "isolator", details)


def declared(made: World, *left_out: str) -> list[Lack]:
    """What declaring the points proved lacks."""
    details = {key: text for key, text in FULL.items() if key not in left_out}
    return made.tried("1", course.PROVE, person("isolator"), "isolator", details)


def everything_done() -> World:
    made = world(course.ISOLATE)
    made.secure_and_prove()
    made.done("1", course.WITNESSED, "witness")
    return made


def no_points() -> list[Lack]:
    made = world(course.APPROVE)
    made.permits["1"] = replace(made.permits["1"], points=())
    return made.tried("1", course.ISOLATE, person("isolator"), "isolator")


def not_approved() -> list[Lack]:
    return world(course.EVALUATE).tried("1", course.ISOLATE, person("isolator"), "isolator")


def gap_not_seen() -> list[Lack]:
    made = everything_done()
    made.around = replace(made.around, open_at={"dead_and_earthed": ("Do you see every point on the plan open?",)})
    return declared(made)


def by_a_button() -> list[Lack]:
    details = {"plant": "T2", "position": "off", "device": "push_button"}
    return World().point_tried("x", point_course.PLAN, person("isolator"), "isolator", details)


def without_a_lock() -> list[Lack]:
    made, isolator = world(course.ISOLATE), person("isolator")
    return made.point_tried("HV side", point_course.SECURE, isolator, "isolator", {"tag": "2"})


def without_an_earth() -> list[Lack]:
    made = secured()
    made.point_done("HV side", point_course.PROVE, **DETECTOR, readings=detected(made.now))
    return declared(made)


def first_reading_missing() -> list[Lack]:
    return proved_by("; ".join(detected(world().now).split("; ")[1:]))


def last_reading_missing() -> list[Lack]:
    return proved_by("; ".join(detected(world().now).split("; ")[:-1]))


def voltage_left() -> list[Lack]:
    """40 V between a pole and earth, as a parallel line may induce it."""
    return proved_by(detected(world().now).replace("L2-E dead ", "L2-E 40 "))


LEFT_OUT: Mapping[str, Callable[[], list[Lack]]] = {
    "points_named": no_points,
    "state": not_approved,
    "points_secured": lambda: declared(world(course.ISOLATE)),
    "ready_point_passed": gap_not_seen,
    "control_device": by_a_button,
    "stored_energy_off": lambda: declared(everything_done(), "stored_energy_off"),
    "restart_tried": lambda: declared(everything_done(), "restart_tried"),
    "locked_and_tagged": without_a_lock,
    "tested_dead": lambda: declared(secured()),
    "voltage_left": voltage_left,
    "source_first": first_reading_missing,
    "source_last": last_reading_missing,
    "earthed": without_an_earth,
    "adjacent_screened": lambda: declared(everything_done(), "adjacent_screened"),
}
READINGS = ("voltage_left", "source_first", "source_last")


@pytest.mark.parametrize(("order", "step", "refuses"), STEPS, ids=[f"{name}: {step}" for name, step, _ in STEPS])
def test_a_step_left_out_is_refused(order: str, step: str, refuses: str) -> None:
    found = [lack.guard for lack in LEFT_OUT[refuses]()]

    assert ("tested_dead" if refuses in READINGS else refuses) in found, (order, step)


def test_with_every_step_done_the_points_are_declared_proved() -> None:
    assert declared(everything_done()) == []


def test_the_published_orders_have_their_published_lengths() -> None:
    lengths: dict[str, Any] = {name: len(steps) for name, steps in ORDERS.items()}

    assert (lengths["EL-H-01"], lengths["EL-H-02"]) == (8, 5)


def test_work_as_dead_follows_the_five_rules_in_their_order() -> None:
    """EN 50110-1, clause 6.2 (published): each rule is refused before the one above it was done."""
    (five,) = (case["sorted"] for case in CASES if case["id"] == "five-rules-order")
    made = World()
    made.plan_point()
    made.permits["1"] = new_permit()
    acts = [
        (point_course.PROVE, {**DETECTOR, "readings": detected(made.now)}),
        (point_course.EARTH, {"earth": "E1"}),
    ]
    for act, details in acts:
        assert made.point_tried("HV side", act, person("isolator"), "isolator", details)
    made.point_done("HV side", point_course.SECURE, **LOCKED)
    assert made.point_tried("HV side", acts[1][0], person("isolator"), "isolator", acts[1][1])
    for act, details in acts:
        assert made.points["HV side"].work_as_dead_lack()
        made.point_done("HV side", act, **details)

    assert made.points["HV side"].work_as_dead_lack() == ""
    assert [rule for rule, _ in DEAD_WORKING] == five
