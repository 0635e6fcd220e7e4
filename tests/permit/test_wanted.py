"""What must be typed with each act: everything a guard reads is asked for, and nothing that is needed is left out."""

from __future__ import annotations

import inspect
import re
from dataclasses import replace

import pytest

from riskhelper.permit import course, effects, noted, point_course
from riskhelper.permit.document import Road
from riskhelper.permit.guards import GUARDS, Asked
from riskhelper.permit.handover import ABSENCE_DUTIES
from riskhelper.permit.point_guards import mark_of_point
from riskhelper.permit.site_visits import Visit
from riskhelper.permit.wanted import wanted, wanted_on_point
from tests.permit.world import FULL, LIVE_SHOWN, new_permit, person, world

TOLD = re.compile(r'told\("(\w+)"\)')


@pytest.mark.parametrize("act", course.ROWS)
def test_every_word_a_guard_or_an_effect_reads_is_asked_for(act: str) -> None:
    permits = [replace(world(course.START).permits["1"], road=road) for road in Road]
    asked_for = {field.key for permit in permits for field in wanted(act, permit)}
    read = {key for name in course.ROWS[act].guards for key in TOLD.findall(inspect.getsource(GUARDS[name].check))}

    assert read <= asked_for
    assert set(ABSENCE_DUTIES) <= asked_for or "absence_duties" not in course.ROWS[act].guards


FROM_RULES = {"rechecks", "released_by", "ruled_by", "safeguards", "meets", "prepared_by", "named_points"}
"""What the program itself writes with an act."""


def test_what_an_effect_keeps_is_asked_for_by_some_act() -> None:
    asked_for = {field.key for act in course.ROWS for field in wanted(act, new_permit())}

    kept = {key for module in (effects, noted) for key in TOLD.findall(inspect.getsource(module))}

    assert kept - FROM_RULES <= asked_for


@pytest.mark.parametrize("road", Road, ids=lambda road: road.value)
@pytest.mark.parametrize("act", course.ROWS)
def test_what_is_needed_is_refused_when_it_is_left_out(act: str, road: Road) -> None:
    """Each needed field, left out alone, is refused by one more guard than a full telling."""
    made = world(road=road)
    made.around = replace(
        made.around,
        conditions={"aa11": "valve dry"},
        open_at={"box": ()},
        live_grounds={"needed_live": "a test"},
        live_shown=LIVE_SHOWN,
        over_shift="longer than a shift",
        rests_on_drawing=True,
        decisions={"oil.suction": "worker"},
        handover={"aa11": "nobody is signed on"},
    )
    row = course.ROWS[act]
    full = {**FULL, "acknowledged": "aa11", "hold_point": "box", "visited_at": made.now.isoformat()}
    made.permits["2"] = new_permit("2")
    full |= {"other_permit": "2", "stop": "oil.suction", "until": made.now.replace(hour=17).isoformat()}
    permit = replace(
        made.permits["1"],
        state=next(iter(row.states)),
        starts=made.now,
        ends=made.now.replace(hour=18),
        points_touched=True,
    )
    member = permit.roster.with_member("a worker", made.now)
    visit = Visit(1, "an officer", "safety officer", made.now, "barrier open", "close it", "a mate", made.now)
    permit = replace(permit, roster=member, started=True, visits=(visit,))
    full |= {"member": "a worker", "finding_number": "1", "points": " ".join(map(mark_of_point, made.points))}
    made.permits["1"] = permit

    def guards(details: dict[str, str]) -> set[str]:
        return {k.guard for k in made.look("1", Asked(act, person(row.roles[0]), row.roles[0], made.now, details))}

    for field in wanted(act, permit):
        if field.needed:
            left_out = guards({key: text for key, text in full.items() if key != field.key})
            assert left_out > guards(full), field.key


def test_the_crew_is_offered_where_a_member_is_named() -> None:
    made = world(course.START)
    (member,) = (f for f in wanted(course.SIGN_OFF_ABSENT, made.permits["1"]) if f.key == "member")

    assert member.choices == {person("worker").name: person("worker").name}


def test_every_act_on_a_point_says_what_it_needs() -> None:
    source = inspect.getsource(point_course)
    asked_for = {field.key for act in point_course.POINT_ROWS for field in wanted_on_point(act)}

    assert set(TOLD.findall(source)) - {"basis"} <= asked_for
