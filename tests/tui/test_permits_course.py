"""The whole course of a permit on the screen, by keys alone, on a rehearsal store with its crew."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest

from riskhelper.acts.job import answering
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.register.signing import site
from riskhelper.permit.document import State
from riskhelper.permit.points import PointState
from riskhelper.tui.rows import Rows
from tests.permit.world import ORDER
from tests.tui.permits_driving import EVALUATOR, ISOLATOR, ISSUER, LEADER, MATE, OWNER, WITNESS, Before, Site, on_site

FIVE = ("the hazards", "the order of work", "the special precautions", "how energy", "protective equipment")


DIVIDED = {
    "drawing": "E-114",
    "drawing_revision": "C",
    "drawing_checked_at": "now",
    "boundary of Wether Fold Instruments": "from the open links to the unit",
    "boundary of Fold Valley Grid": "up to the links, and everything beyond",
}
"""Two firms work: the drawing, and how far the control of each reaches."""


async def approved(page: Site) -> None:
    """Point planned, permit requested, evaluated, approved."""
    await page.to_sheet()
    await page.choose("Isolation register")
    await page.choose("Plan a new point")
    await page.write(
        point="feeder",
        plant="P2",
        device="links",
        position="out",
        side="a circuit of its own",
        voltage_v="400",
        current="alternating",
    )
    await page.sign(ISOLATOR)
    await page.to_permit()
    await page.do("Request the permit", LEADER, measures_stated="valve shut, drained, tray under it")
    await page.do("Evaluate", EVALUATOR, seen_on_site="15:20, valve dry, links labelled")
    await page.do("Approve the plan", ISSUER, starts="now", ends="23:30")


async def isolated(page: Site) -> None:
    """Point secured and proved, seen by the witness, declared."""
    await page.do(
        "Begin to isolate", ISOLATOR, affected_told="control room", identified_two_ways="label, trace", **DIVIDED
    )
    await page.to_point()
    await page.do("Secure it", ISOLATOR, lock="L-4", tag="T-4", key="K-4", **ORDER)
    await page.prove(ISOLATOR, "VT-88", "231", "230")
    await page.to_permit()
    await page.do("Witness the proving", WITNESS)
    await page.do(
        "Declare the points secured",
        ISOLATOR,
        stored_energy_off="drained to the tray",
        restart_tried="start pressed, nothing",
        adjacent_screened="pump P3, fenced",
    )


async def working(page: Site) -> None:
    """Issued, accepted with a lock of one's own, briefed, signed on, started."""
    await page.do(
        "Issue the permit", ISSUER, crew_informed="15:40, by Mirela Oduya", visited_at="now", issuer_copy_kept="1"
    )
    await page.to_point()
    await page.do("Put my own lock on", LEADER, lock="A-1")
    await page.to_permit()
    await page.do("Accept the permit", LEADER, read_back="T-4, until 23:30, feeder", understands="water under head")
    await page.choose("Crew")
    await page.do("Brief the crew", LEADER, subjects=FIVE)
    await page.do("Sign on", MATE, own_lock="M-1")
    await page.hand.press("escape")
    await page.do(
        "Start the work", LEADER, rescue_checked="control room answered, way by the gate", copy_at_work_point="2"
    )


async def test_from_draft_to_in_force(tmp_path: Path) -> None:
    async with on_site(tmp_path) as page:
        await approved(page)
        assert page.words == "approved"
        assert "nobody may start on it" in page.hand.flat()
        await isolated(page)
        await working(page)

        assert page.permit.state is State.IN_FORCE
        assert "I N F O R C E" in page.hand.flat()
        assert page.permit.roster.signed_on == (MATE,)


async def test_a_hold_point_is_released_by_its_role_once_its_check_is_answered(tmp_path: Path) -> None:
    """Promise: no hold point is passed with one of its own questions open."""
    async with on_site(tmp_path, Before.in_force) as page:
        await page.choose("Release a hold point")
        assert "VALVE HOLDS: open: Is the drip dry?" in page.hand.flat()
        await page.write(hold_point="VALVE HOLDS")
        assert "Nothing was signed; what you wrote is kept." in page.hand.flat()
        await page.hand.press("escape", "escape")
        answering.answer(page.bench, GiveAnswer("7", "valve_holds", "pump.drip_dry", "yes"))
        await page.do("Release a hold point", ISSUER, hold_point="VALVE HOLDS")

        assert page.permit.passed == ("valve_holds",)


async def test_a_stop_needs_one_key_and_resuming_two_people(tmp_path: Path) -> None:
    async with on_site(tmp_path, Before.in_force) as page:
        await page.hand.press("f9")
        assert page.permit.state is State.SUSPENDED
        await page.hand.press("escape")
        assert "S U S P E N D E D" in page.hand.flat()
        assert f"STOP called today, {page.clock():%H:%M}. Only the issuer ends it." in page.hand.flat()
        await page.hand.press("question_mark")
        assert "the assessment says stop: stop called in entry" in page.hand.flat()
        await page.hand.press("escape")
        await page.choose("The issuer ends the stop")
        await page.write(issuers_words="the thunder is gone, resume after the re-check")
        await page.sign(ISSUER)
        await page.to_point()
        await page.prove(ISOLATOR, "VT-88", "231", "230")
        await page.to_permit()
        await page.do("Allow to resume", ISSUER, conditions_rechecked="no thunder for 30 min, valve dry")
        await page.choose("Crew")
        await page.do("Brief the crew", LEADER, subjects=FIVE)
        await page.hand.press("escape")
        await page.do("Resume the work", LEADER)

        assert page.permit.state is State.IN_FORCE


@pytest.mark.slow
async def test_from_in_force_back_to_the_plant_released(tmp_path: Path) -> None:
    async with on_site(tmp_path, Before.in_force) as page:
        await page.choose("Crew")
        await page.do("Sign off", MATE, state_left="valve shut, blank on")
        await page.hand.press("escape")
        await page.do(
            "Hand the plant back", LEADER, tools_accounted="9 tools, no earths", complete="the work is not complete"
        )
        assert page.words == "handed back"
        await page.to_point()
        await page.do("Take my own lock off", LEADER)
        await page.hand.press("question_mark")
        assert "permits 7/1 still need point feeder" in page.hand.flat()
        await page.to_permit()
        await page.do(
            "Take the plant back and cancel",
            OWNER,
            inspected="valve dry",
            condition_agreed="as before",
            copies_called_in="2 of 2",
        )
        assert page.words == "cancelled"
        await page.to_point()
        await page.do("Put the device back", ISOLATOR, affected_notified="control room", **ORDER)

        assert site(page.bench).points["feeder"].state is PointState.RELEASED


@pytest.mark.slow
async def test_a_handover_is_two_way_line_by_line_and_confirmed_by_the_issuer(tmp_path: Path) -> None:
    """HOV: told, every line read back, own lock on before another's comes off, confirmed by a third person."""
    async with on_site(tmp_path, Before.in_force) as page:
        await page.choose("Handover")
        await page.do(
            "Hand over to another acceptor", LEADER, told_incoming="drip every minute", state_left="valve shut"
        )
        await page.hand.press("question_mark")
        assert "no lock of Henk Salverda on feeder" in page.hand.flat()
        await page.to_point()
        await page.do("Put my own lock on", MATE, lock="A-2")
        await page.to_permit()
        await page.choose("Handover")
        await page.do("Take over", MATE, read_back="T-4, until 23:30, feeder")
        assert page.permit.acceptor == LEADER
        await page.do("Confirm the handover", ISSUER)

        assert page.permit.acceptor == MATE


@pytest.mark.slow
async def test_beside_plant_in_service_the_boundary_is_set_and_nothing_is_called_isolated(tmp_path: Path) -> None:
    """LIF: the road of limited access never prints the words isolated and dead."""
    async with on_site(tmp_path, road="limitation of access") as page:
        seen = []

        async def did(act: str, by: str, **told: str) -> None:
            await page.do(act, by, **told)
            seen.append(page.hand.flat().lower())

        await approved_beside_plant_in_service(page, did)
        await did(
            "Begin to set", ISOLATOR, affected_told="control room", identified_two_ways="label, trace", **DIVIDED
        )
        await page.to_point()
        await page.do("Secure it", ISOLATOR, lock="L-4", tag="T-4", key="K-4", **ORDER)
        await page.do("Prove it", ISOLATOR, tester="chain hung and seen")
        await page.to_permit()
        await did("Witness the boundary", WITNESS)
        await did(
            "Declare the boundary set",
            ISOLATOR,
            stored_energy_off="nothing stored inside the boundary",
            restart_tried="nothing inside it starts",
            boundary_marked="walked, chain",
            letters_held="owner 12",
            control_entry="88",
            observer="Henk Salverda",
            adjacent_screened="bushings, 5 m",
        )

        assert page.words == "bounded"
        assert "b o u n d e d" in seen[-1]
        assert not any(word in words for words in seen for word in ("isolated", " dead"))


async def approved_beside_plant_in_service(page: Site, did: Callable[..., Awaitable[None]]) -> None:
    await page.to_sheet()
    await page.choose("Isolation register")
    await page.choose("Plan a new point")
    await page.write(point="feeder", plant="P2", device="boundary", position="walked and marked", voltage_v="0")
    await page.sign(ISOLATOR)
    await page.to_permit()
    await did("Request the permit", LEADER, measures_stated="chain, observer")
    await did("Evaluate", EVALUATOR, seen_on_site="15:20")
    await did("Approve", ISSUER, starts="now", ends="23:30", consulted_person_in_control="Greta Fenwick, 15:10")


async def test_a_lock_of_a_person_who_is_gone_comes_off_by_three_duties_and_two_signatures(tmp_path: Path) -> None:
    """29 CFR 1910.147(e)(3) (published): verified not there, efforts made, told before they work here again."""

    def before(done: Before) -> None:
        done.in_force()
        done.touched(MATE, "worker", "lock", lock="A-2")
        done.did(LEADER, "acceptor", "sign off absent", member=MATE)

    async with on_site(tmp_path, before) as page:
        await page.to_point()
        with pytest.raises(AssertionError, match="no row `Take off the lock"):
            await page.choose("Take off the lock of a person who is gone")
        await page.do(
            "Allow the lock",
            ISSUER,
            member=f"The lock of {MATE}",
            verified_not_at_facility="gate book",
            reasonable_efforts_to_contact="called twice",
            told_before_resuming_work="note on the gate",
        )
        await page.do("Take off the lock", ISOLATOR, member=f"The lock of {MATE}")

        assert site(page.bench).points["feeder"].personal_locks == (LEADER,)


async def test_a_live_reading_is_signed_and_blocks_the_point_until_it_is_explained(tmp_path: Path) -> None:
    """A step back once took the reading away, and zeros proved the point."""
    async with on_site(tmp_path, Before.in_force) as page:
        await page.to_point()
        await page.choose("Prove it")
        for typed in ("VT-88", "3"):
            await page.hand.write(typed)
            await page.hand.press("enter")
        assert "3 V on the source is too little to prove a tester for 400 V" in page.hand.flat()
        await page.hand.press("backspace")
        for typed in ("231", "12"):
            await page.hand.write(typed)
            await page.hand.press("enter")
        assert "THE POINT IS LIVE." in page.hand.flat()
        await page.hand.press("escape")
        await page.choose("Prove it")
        assert "THE POINT IS LIVE." in page.hand.flat(), "a step back does not take it away"
        await page.choose("Write the live reading down")
        await page.sign(ISOLATOR)

        assert "F O U N D L I V E" in page.hand.flat()
        assert page.permit.state is State.SUSPENDED
        await page.hand.press("question_mark")
        assert "Explain the live reading" not in page.hand.flat()
        await page.hand.press("escape")
        told = {"live_from": "feeder 4, seen on its label", "live_ended": "its links are out, lock 9"}
        await page.do("Explain the live reading", ISOLATOR, **told)
        assert site(page.bench).points["feeder"].live is None
        assert site(page.bench).points["feeder"].proof is None
        await page.prove(ISOLATOR, "VT-88", "231", "230")
        assert site(page.bench).points["feeder"].state.value == "proved"


async def test_an_emergency_of_a_zone_suspends_at_once_and_names_who_to_count(tmp_path: Path) -> None:
    async with on_site(tmp_path, Before.in_force) as page:
        await page.to_sheet()
        await page.choose("EMERGENCY")
        assert f"bay 4: permits 7/1; signed on: {MATE}." in page.hand.flat()
        await page.hand.press("1")

        assert page.permit.state is State.SUSPENDED
        assert f"Count them at the muster point; signed on were: - {MATE}" in page.hand.flat()


async def test_a_stop_called_over_the_sheet_asks_only_which_zone(tmp_path: Path) -> None:
    async with on_site(tmp_path, Before.in_force) as page:
        await page.to_sheet()
        await page.hand.press("f9", "1")

        assert page.permit.state is State.SUSPENDED


async def test_a_numbered_copy_is_drawn_once_it_is_in_the_record(tmp_path: Path) -> None:
    async with on_site(tmp_path, Before.in_force) as page:
        await page.do("Draw a numbered copy", ISSUER, paper="The permit", copy_for="the work point")

        assert len(list((tmp_path / "papers").glob("permit-*-copy-1.pdf"))) == 1
        assert page.permit.copies[-1].number == 1


async def test_what_a_hold_point_asks_is_answered_from_the_page_of_the_permit(tmp_path: Path) -> None:
    """Whoever stands at the plant with the permit on the screen need not start the program at that hold point."""
    async with on_site(tmp_path, Before.approved) as page:
        await page.choose("Answer what a hold point asks")
        rows = page.hand.interface.screen.query_one(Rows).rows
        point = next(row for row in rows if row.name in resume_job(page.bench, "7").rules.hold_points)
        await page.choose(point.words)
        await page.hand.settle()
        asked = page.hand.session.next_question

        assert page.hand.session.milestone == point.name
        assert asked is not None
        assert page.hand.session.rules.questions[asked].asked_at == point.name


async def test_points_planned_after_the_permit_was_drawn_up_are_named_on_it(tmp_path: Path) -> None:
    async with on_site(tmp_path) as page:
        await page.to_sheet()
        await page.choose("Isolation register")
        await page.choose("Plan a new point")
        await page.write(
            point="S 12", plant="P2", device="links", position="out", side="a circuit of its own", voltage_v="400",
            current="alternating",
        )  # fmt: skip
        await page.sign(ISOLATOR)
        await page.to_permit()
        await page.do("Name the points of isolation", ISOLATOR, points=["S 12"])

        assert page.permit.points == ("S 12",)
