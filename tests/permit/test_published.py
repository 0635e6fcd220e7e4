"""What published rules allow and refuse, put to the guards of the permit and of its points."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.document import Road, State
from riskhelper.permit.persons import Authority
from riskhelper.permit.refusal import Lack
from tests.numbers.reading_cases import table
from tests.permit.world import (
    DETECTOR,
    ENDS,
    FULL,
    LIVE_SHOWN,
    NOW,
    World,
    detected,
    new_permit,
    person,
    readings,
    world,
)

CASES = tomllib.loads((Path(__file__).parent / "published.toml").read_text(encoding="utf-8"))["case"]
CHECK_VALUES = 29
TRIED_ELSEWHERE = {
    "leave_out": "test_dead_working.py",
    "order_of_dead_working": "test_dead_working.py",
    "order_of_kinds": "test_hierarchies.py",
    "order_at_height": "test_hierarchies.py",
    "accept_signature": "../record/test_signing_rules.py",
    "sign_again": "../acts/test_signing_again.py",
    "purge_record": "../record/test_keeping.py",
}
RULES = Path(__file__).parent.parent.parent / "rules"
Given = Mapping[str, Any]


def without(*keys: str) -> dict[str, str]:
    return {key: text for key, text in FULL.items() if key not in keys}


def issue(given: Given) -> list[Lack]:
    made = world(course.PROVE)
    if given["incompatible_work"]:
        made.permits["2"] = replace(new_permit("2"), state=State.IN_FORCE, starts=NOW, ends=ENDS)
    assert given["risks_evaluated"]
    assert given["measures_in_place"]
    details = FULL if given["crew_informed"] else without("crew_informed")
    return made.tried("1", course.ISSUE, person("issuer"), "issuer", details)


def extend(given: Given) -> list[Lack]:
    made = world(course.START)
    made.now = ENDS + timedelta(minutes=1) if given["expired"] else made.now
    details = {**FULL, "ends": (ENDS + timedelta(hours=2)).isoformat()}
    return made.tried("1", course.EXTEND, person("issuer"), "issuer", details)


def close_issue_step(given: Given) -> list[Lack]:
    details = FULL if given["issuer_copy_kept"] else without("issuer_copy_kept")
    return world(course.PROVE).tried("1", course.ISSUE, person("issuer"), "issuer", details)


def locked() -> World:
    made = World()
    made.plan_point()
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    made.point_done("HV side", point_course.LOCK, "worker")
    return made


def remove_lock(given: Given) -> list[Lack]:
    made, owner = locked(), person("worker")
    if given["by_applier"]:
        return made.point_tried("HV side", point_course.UNLOCK, owner, "worker", {})
    assert given["procedure_and_training"]
    duties = ("verified_not_at_facility", "reasonable_efforts_to_contact", "told_before_resuming_work")
    details = {"member": owner.name, **{duty: "done, 15:00" for duty in duties if given[duty]}}
    return made.point_tried("HV side", point_course.ALLOW_UNLOCK, person("issuer"), "issuer", details)


def energise(given: Given) -> list[Lack]:
    made = locked()
    if not given.get("personal_locks_on"):
        made.point_done("HV side", point_course.UNLOCK, "worker")
    told = "control room" if given.get("affected_notified", True) else ""
    details = {"affected_notified": told, "repeated_by": "Iva Roe", "basis": str(given.get("basis", ""))}
    return made.point_tried("HV side", point_course.RELEASE, person("isolator"), "isolator", details)


def start_work(given: Given) -> list[Lack]:
    made = world(course.ACCEPT)
    made.done("1", course.BRIEF, "acceptor")
    made.done("1", course.SIGN_ON, "worker")
    made.done("1", course.BRIEF, "acceptor", subjects=" ".join(given["briefed_subjects"]))
    return made.tried("1", course.START, person("acceptor"), "acceptor")


def continue_work(given: Given) -> list[Lack]:
    made = world(course.START)
    made.done("1", course.SUSPEND, "issuer")
    made.secure_and_prove()
    made.done("1", course.ALLOW_RESUMING, "issuer")
    made.done("1", course.BRIEF, "acceptor")
    later = timedelta(minutes=1 if given["significant_change"] and not given["briefed_after_change"] else -1)
    made.permits["1"] = replace(made.permits["1"], changed_at=made.now + later)
    return made.tried("1", course.RESUME, person("acceptor"), "acceptor")


def work_as_dead(given: Given) -> list[Lack]:
    made = world(course.ISOLATE)
    assert given["isolated"]
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    if given["tested_dead"]:
        made.point_done("HV side", point_course.PROVE, **DETECTOR, readings=detected(made.now))
    found = made.tried("1", course.PROVE, person("isolator"), "isolator")
    return [lack for lack in found if lack.guard in ("tested_dead", "earthed")]


def authorise_live_work(given: Given) -> list[Lack]:
    made = world(course.EVALUATE, Road.ACCESS)
    details = FULL if given["consulted_person_in_control"] else without("consulted_person_in_control")
    return made.tried("1", course.APPROVE, person("issuer"), "issuer", details)


def accept_isolation_point(given: Given) -> list[Lack]:
    details = {"plant": "T2", "position": "off", "device": given["device"]}
    return World().point_tried("stop button", point_course.PLAN, person("isolator"), "isolator", details)


def who_may_do_what(_given: Given) -> list[Lack]:
    """Only who holds the role in date proves; the role of the plant's and of the work's control are two."""
    made = world(course.ISOLATE)
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    details = {**DETECTOR, "readings": detected(made.now)}
    ran_out = replace(person("isolator"), authorities=(Authority("isolator", made.now, 11_000),))
    local = tomllib.loads((RULES / "local" / "en50110.toml").read_text(encoding="utf-8"))["local"]["roles"]
    assert "in control of the electrical installation" in local["issuer"]
    assert "in control of the work activity" in local["work leader"]
    assert made.point_tried("HV side", point_course.PROVE, ran_out, "isolator", details)
    return made.point_tried("HV side", point_course.PROVE, person("worker"), "worker", details)


def prove_without_earth(given: Given) -> list[Lack]:
    made = World()
    made.plan_point(voltage_v=given["voltage_v"])
    made.permits["1"] = new_permit()
    made.to("1", course.ISOLATE)
    made.point_done("HV side", point_course.SECURE, lock="1", tag="2", key="3")
    high = made.points["HV side"].voltage_v > 1_000
    made.point_done(
        "HV side", point_course.PROVE, **DETECTOR, readings=detected(made.now) if high else readings(made.now, 400)
    )
    return made.tried("1", course.PROVE, person("isolator"), "isolator")


def justify_live_work(given: Given) -> list[Lack]:
    made = world(course.EVALUATE)
    listed = {str(ground): str(words) for ground, words in table("au_whs_157_live_work").rows}
    made.around = replace(made.around, live_grounds=listed, live_shown=LIVE_SHOWN)
    return made.tried("1", course.APPROVE, person("issuer"), "issuer", {**FULL, "live_ground": given["ground"]})


TRIED: Mapping[str, Callable[[Given], list[Lack]]] = {
    each.__name__: each
    for each in (
        issue,
        extend,
        close_issue_step,
        remove_lock,
        energise,
        start_work,
        continue_work,
        work_as_dead,
        authorise_live_work,
        accept_isolation_point,
        who_may_do_what,
        prove_without_earth,
        justify_live_work,
    )
}
TRIED_CASES = [case for case in CASES if case["inputs"]["act"] in TRIED]


@pytest.mark.parametrize("case", TRIED_CASES, ids=[case["id"] for case in TRIED_CASES])
def test_a_published_rule_is_kept(case: dict[str, Any]) -> None:
    found = [lack.guard for lack in TRIED[case["inputs"]["act"]](case["inputs"])]

    if case["refused"]:
        assert case["refused"] in found
    else:
        assert found == []


def test_every_case_is_there_and_is_tried_somewhere() -> None:
    acts = {case["inputs"]["act"] for case in CASES} - set(TRIED)

    assert len(CASES) == len({case["id"] for case in CASES}) == CHECK_VALUES
    assert acts == set(TRIED_ELSEWHERE)
    assert all((Path(__file__).parent / file).is_file() for file in TRIED_ELSEWHERE.values())
