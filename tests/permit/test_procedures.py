"""REC-07: an isolation procedure is inspected at least yearly by somebody who does not use it.

29 CFR 1910.147(c)(6)(i): at least annually, by an authorised employee other than the ones utilising it; (ii): the
record names the machine, the date, the employees included and the inspector (published).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.point_course import point_lacks, procedures_after
from riskhelper.permit.procedures import Procedure
from riskhelper.permit.refusal import Lack
from tests.permit.world import FULL, NOW, ORDER, World, person, world

SEEN = {"inspected": "lock and tag on the high side, proving seen", "reviewed_with": "Udo Fenn, Iva Roe"}


def written(made: World, act: str, mark: str = "", role: str = "isolator", **details: str) -> None:
    """An act on the point as far as the procedure of its plant is concerned."""
    asked = made.asked(act, person(role, mark), role, {**ORDER, **details})
    procedures = procedures_after(made.around.procedures, "T2", asked)
    made.around = replace(made.around, procedures=procedures)


def inspect(made: World, mark: str = "", role: str = "isolator", **changed: str) -> list[Lack]:
    asked = made.asked(point_course.INSPECT, person(role, mark), role, {**SEEN, **changed})
    return point_lacks(made.points, "HV side", asked, (), made.around.procedures)


def planned() -> World:
    made = world(course.APPROVE)
    written(made, point_course.PLAN)
    return made


def isolating(made: World) -> dict[str, str]:
    asked = made.asked(course.ISOLATE, person("isolator"), "isolator", FULL)
    return {lack.guard: lack.words for lack in made.look("1", asked)}


@pytest.mark.parametrize(("days", "late"), [(364, False), (365, False), (366, True)])
def test_nobody_begins_to_isolate_by_a_procedure_not_inspected_for_more_than_a_year(days: int, *, late: bool) -> None:
    made = planned()
    made.permits["1"] = replace(made.permits["1"], ends=NOW + timedelta(days=500))
    made.now = NOW + timedelta(days=days, minutes=5)
    made.around = replace(made.around, procedures={"T2": Procedure("T2", NOW + timedelta(minutes=5))})
    told = isolating(made)

    assert ("procedure_inspected" in told) is late
    if late:
        words = "isolation procedure of T2: never inspected, due 2032-02-03"
        assert told["procedure_inspected"] == words
        written(made, point_course.INSPECT, " 2", **SEEN)
        assert "procedure_inspected" not in isolating(made)


def test_a_point_of_another_plant_brings_the_procedure_of_that_plant_with_it() -> None:
    made = planned()
    old = Procedure("t-3", NOW - timedelta(days=800), inspected_at=NOW - timedelta(days=400), inspected_by="Eva Lind")
    made.around = replace(made.around, procedures={**made.around.procedures, "t-3": old})
    assert "procedure_inspected" not in isolating(made)
    made.points["HV side"] = replace(made.points["HV side"], plant="T3")

    assert isolating(made)["procedure_inspected"].startswith("isolation procedure of t-3: last inspected 2029-12-30")


def test_whoever_uses_the_procedure_does_not_inspect_it() -> None:
    made = planned()
    assert inspect(made) == [], "planning the points is not using them"
    written(made, point_course.SECURE)
    (lack,) = inspect(made)
    assert lack.guard == "inspected_by_another"
    assert lack.words == f"{person('isolator').name} has worked by the procedure of T2 since its last inspection"
    assert inspect(made, " 2") == []
    assert inspect(made, role="safety officer") == []
    assert [k.guard for k in inspect(made, role="worker")] == ["role"]
    written(made, point_course.INSPECT, " 2", **SEEN)
    assert inspect(made) == [], "with an inspection the list of its users begins anew"


@pytest.mark.parametrize("key", SEEN)
def test_the_record_names_what_was_seen_and_the_employees_included(key: str) -> None:
    made = planned()
    assert [k.guard for k in inspect(made, **{key: " "})] == ["inspection_written"]


def test_the_certification_names_machine_date_employees_inspector_and_what_deviated() -> None:
    made = planned()
    written(made, point_course.INSPECT, " 2", **SEEN, deviations="tag unreadable, replaced")
    found = made.around.procedures["T2"]

    assert found.words == (
        f"Isolation procedure of T2: inspected {made.now:%Y-%m-%d} by {person('isolator', ' 2').name}, "
        "with Udo Fenn, Iva Roe; deviations: tag unreadable, replaced; due 2032-02-03"
    )


def test_a_year_from_a_leap_day_ends_on_the_last_day_of_february() -> None:
    leap = datetime(2032, 2, 29, 8, tzinfo=UTC)
    assert Procedure("T2", leap).due == datetime(2033, 2, 28, 8, tzinfo=UTC)


def test_an_inspection_moves_no_point() -> None:
    made = planned()
    asked = made.asked(point_course.INSPECT, person("isolator", " 2"), "isolator", SEEN)
    assert point_course.point_after(made.points, "HV side", asked) == made.points["HV side"]


def test_what_is_overdue_is_told_before_how_it_stands() -> None:
    late, fresh = Procedure("T2", NOW - timedelta(days=400)), Procedure("T2", NOW)

    words = "OVERDUE, nobody isolates by it: isolation procedure of T2: never inspected, due 2030-12-30"
    assert late.lines(NOW)[0] == words
    assert late.lines(NOW)[1:] == (late.words,)
    assert fresh.lines(NOW) == ("Isolation procedure of T2: not inspected yet, due 2032-02-03",)
