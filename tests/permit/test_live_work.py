"""Work on exposed live parts: only for a listed ground, written out, with everything ready; the issuer signs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskhelper.permit import course
from riskhelper.permit.document import Road
from riskhelper.permit.live_work import BOUNDARIES, PREPARED, SHOWN, WRITTEN, authorisation
from riskhelper.permit.refusal import Lack
from tests.numbers.reading_cases import table
from tests.permit.world import FULL, LIVE_SHOWN, World, person, world

AU = {str(ground): str(words) for ground, words in table("au_whs_157_live_work").rows}
US = {str(ground): str(words) for ground, words in table("us_1910_333_live_work").rows}


def approve(
    grounds: dict[str, str] | None, *left_out: str, road: Road = Road.WORK, role: str = "issuer", **more: str
) -> list[Lack]:
    made = world(course.EVALUATE, road)
    made.around = replace(made.around, live_grounds=grounds, live_shown=LIVE_SHOWN)
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


# APP-08: the ten fields, NFPA 70E, list of 2004 (published)

TEN = (
    "Circuit and place",
    "Why live",
    "Method",
    "Shock",
    "Arc flash, by label or study",
    "Boundaries",
    "Protective equipment",
    "Keeping others out",
    "Briefing",
    "Signatures",
)


def live(last: str, *left_out: str) -> World:
    """Permit 1 with parts left live, driven as far as asked; with its approval or briefing something is left out
    that no guard has asked for, as in an entry of an older program."""
    made = world(course.EVALUATE)
    told = {**FULL, **LIVE_SHOWN}
    made.done("1", course.APPROVE, "issuer", **dict.fromkeys(left_out, ""), **without(told, left_out))
    made.around = replace(made.around, live_grounds=AU, live_shown=LIVE_SHOWN)
    for act, step in made.steps("1"):
        if act not in (course.REQUEST, course.EVALUATE, course.APPROVE):
            step()
        if act == last:
            return made
    return made


def without(told: dict[str, str], left_out: tuple[str, ...]) -> dict[str, str]:
    return {key: words for key, words in told.items() if key not in left_out}


def guards_of(made: World, act: str, role: str, **told: str) -> list[tuple[str, str]]:
    asked = made.asked(act, person(role), role, {"visited_at": made.now.isoformat(), **FULL, **told})
    return [(lack.guard, lack.words) for lack in made.look("1", asked)]


@pytest.mark.parametrize("missing", WRITTEN)
def test_what_only_the_approver_can_say_is_written_field_by_field(missing: str) -> None:
    """APP-08, NFPA 70E, list of 2004 (published): circuit, method, arc, boundaries, keeping others out."""
    (lack,) = approve(AU, missing)

    assert (lack.guard, lack.words) == (
        "live_work_written",
        f"the authorisation of live work does not say {WRITTEN[missing]}",
    )


@pytest.mark.parametrize("missing", SHOWN)
def test_what_the_plan_does_not_know_blocks_and_is_never_typed_instead(missing: str) -> None:
    """APP-08: shock, arc and equipment come from the plan alone."""
    made = world(course.EVALUATE)
    made.around = replace(
        made.around,
        live_grounds=AU,
        live_shown={key: words for key, words in LIVE_SHOWN.items() if key != missing},
        live_gaps={missing: "not known: which voltage?"},
    )
    (lack,) = made.tried("1", course.APPROVE, person("issuer"), "issuer", {**FULL, missing: "typed by hand"})

    assert lack.guard == "live_work_shown"
    assert lack.words == f"the plan does not say {SHOWN[missing]} (not known: which voltage?)"


def test_where_the_local_code_gives_no_distance_the_sites_own_rule_is_written() -> None:
    """APP-08, boundaries: 29 CFR 1910.333 prints distances, no altitude factors; a code may print none at all."""
    made = world(course.EVALUATE)
    shown = {key: words for key, words in LIVE_SHOWN.items() if key != BOUNDARIES}
    made.around = replace(made.around, live_grounds=AU, live_shown=shown)
    (lack,) = made.tried("1", course.APPROVE, person("issuer"), "issuer", FULL)

    assert "no-closer distance by the site's own rule" in lack.words
    assert made.tried("1", course.APPROVE, person("issuer"), "issuer", {**FULL, "live_no_closer": "0.3 m"}) == []


@pytest.mark.parametrize(
    "typed",
    [
        "8 cal/cm2 by the label",
        "33 J/cm2",
        "3.4 J / cm2",
        "5 cal per cm2",
        "2 kcal/m2",
        "8 CAL/CM²",
        "8 cal per sq. cm",
    ],
)
def test_an_arc_energy_never_goes_on_the_authorisation(typed: str) -> None:
    """The energy is for the officer's working sheet: a calculated energy chooses no equipment."""
    (lack,) = approve(AU, live_flash=typed)

    assert (lack.guard, lack.words) == ("live_work_written", "an arc energy stands in live_flash")


@pytest.mark.parametrize(
    "typed", ["label of panel 3, calibrated 2030", "study J/2031 by the owner", "0.9 m by the label"]
)
def test_a_document_is_no_energy(typed: str) -> None:
    assert approve(AU, live_flash=typed) == []


def test_the_authorisation_has_ten_fields_and_none_is_lacking_at_the_start() -> None:
    """APP-08, ten fields."""
    made = live(course.START)
    fields = authorisation(made.permits["1"])

    assert tuple(field.title for field in fields) == TEN
    assert not any(field.lacks for field in fields)
    words = {field.title: field.words for field in fields}
    assert words["Circuit and place"] == "alarm feed, behind the cover of panel 3; T2, unit circuits, bay 4"
    assert words["Boundaries"].startswith("No-closer distance: 0.00 m, no contact; 0.9 m by the label")
    assert words["Signatures"] == "evaluate evaluator C; approve issuer D; issue issuer D; accept acceptor E"


LEFT_OUT = {
    "Circuit and place": "live_circuit",
    "Why live": "why_live",
    "Method": "live_method",
    "Shock": "plan_shock",
    "Arc flash, by label or study": "live_flash",
    "Boundaries": "live_boundaries",
    "Protective equipment": "plan_equipment",
    "Keeping others out": "live_kept_out",
}


@pytest.mark.parametrize("title", LEFT_OUT)
def test_an_approval_of_an_older_program_with_a_gap_is_not_issued(title: str) -> None:
    """APP-08: one field missing blocks, whatever was signed before, and is named."""
    made = live(course.PROVE, LEFT_OUT[title])

    assert guards_of(made, course.ISSUE, "issuer") == [
        ("live_work_complete", f"the authorisation of live work lacks: {title}")
    ]


@pytest.mark.parametrize("act", [course.START, course.RESUME])
def test_nobody_starts_or_resumes_without_briefing_on_the_live_parts_and_all_signatures(act: str) -> None:
    """APP-08, briefing evidence and signatures."""
    made = live(course.ACCEPT)
    permit = made.permits["1"]
    made.permits["1"] = replace(permit, state=course.ROWS[act].states.__iter__().__next__())
    found = dict(guards_of(made, act, "acceptor"))
    assert found["live_work_complete"] == "the authorisation of live work lacks: Briefing"
    made.permits["1"] = replace(
        made.permits["1"], signed={key: who for key, who in permit.signed.items() if key != course.ISSUE}
    )
    found = dict(guards_of(made, act, "acceptor"))
    assert found["live_work_complete"] == "the authorisation of live work lacks: Briefing, Signatures"


def test_a_briefing_beside_live_parts_says_what_was_told_of_them() -> None:
    made = live(course.ACCEPT)

    assert guards_of(made, course.BRIEF, "acceptor", live_briefed="") == [
        ("live_parts_briefed", "what the crew was told of the parts left live is not written")
    ]


def test_a_new_revision_needs_an_authorisation_of_its_own() -> None:
    made = live(course.START)
    made.done("1", course.CHANGE, "worker")

    assert made.permits["1"].live == {}
