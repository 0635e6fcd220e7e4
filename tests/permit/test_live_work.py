"""Work on exposed live parts: only for a listed ground, written out, with everything ready; the issuer signs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskhelper.permit import course
from riskhelper.permit.document import Road
from riskhelper.permit.live_work import PREPARED
from riskhelper.permit.refusal import Lack
from tests.numbers.reading_cases import table
from tests.permit.world import FULL, person, world

AU = {str(ground): str(words) for ground, words in table("au_whs_157_live_work").rows}
US = {str(ground): str(words) for ground, words in table("us_1910_333_live_work").rows}


def approve(
    grounds: dict[str, str] | None, *left_out: str, road: Road = Road.WORK, role: str = "issuer", **more: str
) -> list[Lack]:
    made = world(course.EVALUATE, road)
    made.around = replace(made.around, live_grounds=grounds)
    details = {key: text for key, text in {**FULL, **more}.items() if key not in left_out}
    return made.tried("1", course.APPROVE, person(role), role, details)


@pytest.mark.parametrize("ground", ["convenience", "lost production", "time", "", "Needed_live"])
@pytest.mark.parametrize("grounds", [AU, US], ids=["WHS 157(1)", "1910.333(a)(1)"])
def test_what_is_not_on_the_list_is_no_ground(grounds: dict[str, str], ground: str) -> None:
    (lack,) = approve(grounds, live_ground=ground)

    assert lack.guard == "live_work_ground"
    assert all(words in lack.words for words in grounds.values())


@pytest.mark.parametrize(("grounds", "ground"), [*((AU, ground) for ground in AU), *((US, ground) for ground in US)])
def test_each_listed_ground_is_one(grounds: dict[str, str], ground: str) -> None:
    assert approve(grounds, live_ground=ground) == []


def test_the_lists_have_their_published_lengths() -> None:
    """WHS 157(1)(a) to (d): four grounds; 29 CFR 1910.333(a)(1): two."""
    assert (len(AU), len(US)) == (4, 2)


def test_a_ground_is_written_out_not_only_named() -> None:
    (lack,) = approve(AU, "why_live")

    assert (lack.guard, lack.words) == ("live_work_ground", "why the ground holds here is not written")


def test_where_no_code_lists_a_ground_there_is_none() -> None:
    (lack,) = approve({}, live_ground="needed_live")

    assert lack.words == "the plan works on exposed live parts, and the local code lists no ground for it"


@pytest.mark.parametrize("missing", PREPARED)
def test_everything_stands_ready_before(missing: str) -> None:
    """WHS 158(1)(b) to (d) (published)."""
    (lack,) = approve(AU, missing)

    assert (lack.guard, PREPARED[missing] in lack.words) == ("live_work_prepared", True)


def test_a_plan_that_works_dead_asks_for_none_of_it() -> None:
    assert approve(None, "live_ground", "why_live", *PREPARED) == []


def test_only_the_issuer_signs_for_it() -> None:
    assert "role" in [lack.guard for lack in approve(AU, role="requester")]
