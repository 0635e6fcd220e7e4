"""A supervisor at the list: a plan read, asked about, given back, refused, approved; and the worker's side of it."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path
from threading import current_thread, main_thread

import pytest

from riskhelper.acts.context import Context
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.plan import condition_words, gate, rehearsing
from riskhelper.acts.plan.condition_words import Group, ToRead
from riskhelper.acts.plan.drawing_up import measures, proposed
from riskhelper.acts.plan.waiting import waiting
from riskhelper.permit.document import State
from riskhelper.permit.persons import EVALUATOR, ISSUER, REQUESTER
from riskhelper.record.site import Site
from riskhelper.tui import themes
from riskhelper.tui.app import Wanted
from riskhelper.tui.waiting import list_page
from riskhelper.tui.waiting.conditions import ConditionsPage
from tests.acts.crew import Crew, crew, passphrase, ready_job
from tests.acts.workbench import Clock, context
from tests.permit.world import FULL
from tests.tui.driving import MIDDLE, NARROW, WIDE, Hand, hand_in

SNAPSHOTS = Path(__file__).parent / "snapshots"
LOOKS: dict[str, tuple[str, ...]] = {
    "waiting": (),
    "plan": ("1",),
    "decide": ("1", "f2"),
    "condition": ("1", "f2", "2"),
    "day": ("1", "end", "up", "up", "enter"),
}


def bench(folder: Path, clock: Clock | None = None) -> Context:
    return replace(context(folder, clock or Clock(), rehearsal=True), who="the worker")


def handed_over(made: Context, number: str = "7", **changed: str) -> None:
    ready_job(Crew(made, Clock(), keys=None), number)  # type: ignore[arg-type]
    for question, typed in changed.items():
        answering.answer(made, GiveAnswer(number, "gate", question.replace("__", "."), typed))
    jobs.request_plan(made, number, "gate")


def asked_for(made: Context, number: str = "7") -> None:
    by = rehearsing.rehearse_as(made, "Ro", REQUESTER)
    gate.draw_up_and_request(by, replace(proposed(made, number), voltage_v=400), measures(made, number))


def evaluated(made: Context, number: str = "7") -> None:
    permit = gate.permit_of(made, number)
    assert permit is not None
    gate.act(rehearsing.rehearse_as(made, "Eve", EVALUATOR), permit, "evaluate", FULL)


def state(made: Context, number: str = "7") -> State:
    permit = gate.permit_of(made, number)
    assert permit is not None
    return permit.state


@asynccontextmanager
async def at_the_list(
    made: Context, folder: Path, size: tuple[int, int] = NARROW, theme: str = ""
) -> AsyncIterator[Hand]:
    async with hand_in(made, Wanted(folder / "papers"), size, theme) as hand:
        await hand.press("f2")
        yield hand


async def open_first(hand: Hand) -> None:
    await hand.press("1")
    await hand.search()


async def test_the_list_opens_from_the_first_page_the_oldest_plan_first(tmp_path: Path) -> None:
    clock = Clock()
    made = bench(tmp_path, clock)
    for number in ("b", "a"):
        handed_over(made, number)
        clock.move(90)
    async with at_the_list(made, tmp_path) as hand:
        shown = hand.flat()

        assert "2 plans wait, the oldest first." in shown
        assert "1 b, P2, Crag End. Waits 3 h. No permit is asked for yet" in shown
        assert shown.index("b, P2") < shown.index("a, P2")


async def test_record_and_rules_are_read_beside_the_list_and_the_plan_finds_them_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """DIS-02: the first plan does not wait for the whole record, and never on the thread that draws."""
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    threads: list[str] = []

    def noted(context: Context, job: str) -> Site:
        threads.append(current_thread().name)
        return gate.site_for(context, job)

    monkeypatch.setattr(list_page, "site_for", noted)
    async with at_the_list(made, tmp_path) as hand:
        for _ in range(400):  # it begins once the list is drawn
            if threads:
                break
            await asyncio.sleep(0.005)
        await hand.search()
        assert len(threads) == 1
        assert main_thread().name not in threads
        await open_first(hand)
        assert "PLAN VERDICT" in hand.screen()


async def test_where_nothing_waits_the_list_says_so(tmp_path: Path) -> None:
    async with at_the_list(bench(tmp_path), tmp_path) as hand:
        assert "No plan waits at the gate." in hand.flat()
        await hand.press("escape")
        assert "Which job?" in hand.flat()


async def test_a_plan_is_read_in_one_screen_verdict_first(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made, pump__thunder="yes")
    asked_for(made)
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        shown = hand.flat()

        assert "PLAN VERDICT: STOP. Stops: 1 certain, 0 not ruled out." in shown
        assert "STOP, limit: Thunder near. Lifted by: issuer." in shown
        assert "Worst: Water bursts out (found 8, planned 4)" in shown
        assert "Permit requested by Ro, to be evaluated: limitation of access." in shown
        assert "REHEARSAL. NOT FOR WORK." in shown
        await hand.press("1")
        assert "Why? Read the reasons." in hand.flat()


async def test_an_answer_changed_after_its_stop_stands_first_and_opens_its_story(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made, pump__thunder="yes")
    answering.answer(made, GiveAnswer("7", "gate", "pump.thunder", "no"))
    asked_for(made)
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        assert "1 │ CHANGED AFTER ITS STOP WAS SHOWN: Do you hear thunder?" in hand.screen()
        await hand.press("1")
        shown = hand.flat()

        assert "Was: Thunder heard. Now: No thunder." in shown
        assert "This stop stood on it when it was shown: Thunder near" in shown
        await hand.press("2")
        assert "What is the reason?" in hand.flat()


async def test_a_plan_given_back_with_a_note_opens_at_that_question_for_the_worker(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        await hand.press("f5", "end", "enter")
        assert "How high does the water stand" in hand.flat()
        await hand.press("2")
        await hand.write("read the gauge again")
        await hand.press("enter")
        assert "REHEARSAL ACT: no register is set up here." in hand.flat()
        assert hand.screen().count("▶") == 1
        await hand.press("enter")  # the hand lies on leaving
        assert state(made) is State.REQUESTED
        await hand.press("enter")
        await hand.press("2")
        await hand.write("Iris")
        await hand.press("enter")
        assert (
            "Rehearsed, binding nobody. Given back: permit 7/1 is draft, with the worker's side again." in hand.flat()
        )
    assert state(made) is State.DRAFT
    assert waiting(made) == ()
    async with hand_in(made, Wanted(tmp_path / "papers", "7")) as worker:
        shown = worker.flat()
        assert "How high does the water stand" in shown
        assert "GIVEN BACK by Iris with this note: read the gauge again" in shown
        await worker.write("4")
        await worker.press("enter")
        assert "Ask for the permit again." in worker.flat()


async def test_refusing_takes_a_reason_and_leaves_the_list(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        await hand.press("f2", "4", "enter")
        assert "This is needed" in hand.flat()
        await hand.write("no outage before spring")
        await hand.press("enter", "2")
        await hand.write("Iris")
        await hand.press("enter", "escape")
        assert "No plan waits at the gate." in hand.flat()
    assert state(made) is State.REFUSED
    async with hand_in(made, Wanted(tmp_path / "papers", "7")) as worker:
        assert "REFUSED by Iris, 03 Feb 15:30 UTC: no outage before spring." in worker.flat()


async def test_a_second_person_evaluates_and_a_third_approves_after_each_condition(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(condition_words, "MOST_TOGETHER", 2)
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        await hand.press("f2", "2")
        assert "What did you see on site, and when?" in hand.flat()
        await hand.write("valve and gauge, 14:00")
        await hand.press("enter", "2")
        await hand.write("Ro")
        await hand.press("enter")
        assert "the requester evaluates nothing of their own" in hand.flat()
        for _ in "Ro":
            await hand.press("backspace")
        await hand.write("Eve")
        await hand.press("enter")
        assert state(made) is State.EVALUATED

        await hand.press("f2")
        assert "Had a part in it, and so cannot approve it: Ro, Eve, the worker." in hand.flat()
        await hand.press("2")
        assert "1 of 2" in hand.flat()
        await hand.press("2", "enter")  # the hand lies on leaving; what was acknowledged stays so
        assert state(made) is State.EVALUATED
        await hand.press("2")
        assert "2 of 2" in hand.flat()
        await hand.press("3")
        assert "1 of 2" in hand.flat()
        await hand.press("2", "2")
        assert "When does the permit begin?" in hand.flat()
        await hand.press("enter")
        await hand.write("18:00")
        await hand.press("enter")
        await hand.write("the owner, by radio 14:10")
        await hand.press("enter")
        shown = hand.flat()
        assert "4 conditions, each read" in shown
        await hand.press("2")
        await hand.write("Iris")
        await hand.press("enter")
        assert "Approved: permit 7/1 is approved." in hand.flat()
    assert state(made) is State.APPROVED
    last = made.store.entries("7")[-1]
    assert (last.draft.who, last.draft.role) == ("Iris", ISSUER)
    assert "Given: Which pump is it? P2" in str(last.draft.content["envelope"])


async def test_a_page_of_conditions_is_read_to_its_end_before_it_can_be_acknowledged(tmp_path: Path) -> None:
    """Each page anew, also the one after a page that was read."""
    listed = tuple((f"mark {n}", ToRead(f"Condition {n}", ("seen shut",) * 3)) for n in range(8))
    other = tuple((f"other {mark}", line) for mark, line in listed)
    seen: set[str] = set()
    then: list[str] = []
    groups = [Group((("Before WORK", listed),)), Group((("Before POWER", other),))]
    async with at_the_list(bench(tmp_path), tmp_path) as hand:
        hand.interface.push_screen(ConditionsPage(groups, seen, lambda: then.append("on")))
        await hand.search()
        for marked in (listed, other):
            assert "Read this page to its end first" in hand.flat()
            await hand.press("2")
            assert not seen.intersection(mark for mark, _ in marked)
            await hand.press("pagedown", "pagedown", "pagedown")
            assert "I have read this page to its end: 8 conditions must come true." in hand.flat()
            await hand.press("2")
    assert seen == {mark for mark, _ in (*listed, *other)}
    assert then == ["on"]


async def test_what_was_decided_lately_stands_under_the_list_and_opens(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    permit = gate.permit_of(made, "7")
    assert permit is not None
    gate.act(rehearsing.rehearse_as(made, "Iris", ISSUER), permit, "refuse", {"reason": "no outage"})
    async with at_the_list(made, tmp_path) as hand:
        assert "Lately decided" in hand.flat()
        assert "1 7, P2, Crag End. REFUSED by Iris, 03 Feb 15:30 UTC: no outage." in hand.flat()
        await open_first(hand)
        assert "REFUSED by Iris, 03 Feb 15:30 UTC: no outage." in hand.flat()
        await hand.press("f2")
        assert "NOT YET: Approve it" in hand.flat()
        assert "The permit is refused: nothing waits to be decided." in hand.flat()
        await hand.press("2", "escape")
        assert "Decide on the plan" in hand.flat()


async def test_approval_is_not_even_begun_while_a_stop_stands(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    evaluated(made)
    answering.answer(made, GiveAnswer("7", "gate", "pump.thunder", "yes"))
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        await hand.press("f2", "2")
        shown = hand.flat()

        assert "the assessment says stop: Thunder near" in shown
        assert "the plan changed since it was signed: the answer to pump.thunder" in shown


async def test_a_reader_changes_nothing_in_the_plan(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    size = made.store.size()
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        await hand.press("f10", "4")
        assert "Water bursts out" in hand.flat()
        await hand.press("1", "1")
        assert "the worker's side plans it" in hand.flat()
        await hand.press("1", "escape", "escape", "f6")
        assert "Plan the controls" not in hand.flat()
    assert made.store.size() == size


async def test_the_worker_draws_the_permit_up_from_the_answers_after_handing_over(tmp_path: Path) -> None:
    made = bench(tmp_path)
    ready_job(Crew(made, Clock(), keys=None))  # type: ignore[arg-type]
    async with hand_in(made, Wanted(tmp_path / "papers", "7")) as hand:
        await hand.press("f10")
        await hand.touch("Hand the plan over")
        await hand.press("2")
        assert "which of the two roads" in hand.flat().lower()
        await hand.press("1")
        assert "P2" in hand.flat()
        await hand.press("enter", "enter", "enter")
        await hand.write("400")
        await hand.press("enter")
        await hand.press("end")
        await hand.touch("These and no others")
        await hand.press("enter")
        assert "asks for the permit and states the measures" in hand.flat()
        await hand.press("2")
        await hand.write("Ro")
        await hand.press("enter")
        assert "Permit 7/1 is asked for. Nobody has approved it yet" in hand.flat()
    permit = gate.permit_of(made, "7")
    assert permit is not None
    assert (permit.state, permit.plant, permit.voltage_v) == (State.REQUESTED, "P2", 400)


async def test_the_envelope_and_the_day_are_read_on_the_screen(tmp_path: Path) -> None:
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        await hand.touch("The envelope")
        assert "Given: Which pump is it? P2" in hand.flat()
        assert "Expected at VALVE HOLDS: Is the drip dry? Dry" in hand.flat()
        await hand.press("escape")
        await hand.touch("The day on one line")
        shown = hand.flat()
        assert "Seen, counts" in shown
        assert "No permit window is set yet" in shown
        assert "1. VALVE HOLDS" in shown


@pytest.mark.parametrize(
    "theme", [themes.NAMES[0], *(pytest.param(name, marks=pytest.mark.slow) for name in themes.NAMES[1:])]
)
@pytest.mark.parametrize("size", [NARROW, MIDDLE, WIDE], ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("page", list(LOOKS))
async def test_a_page_at_the_gate_looks_as_recorded(
    tmp_path: Path, page: str, size: tuple[int, int], theme: str
) -> None:
    """The words are the same in every theme, so that nothing is said by colour; `standing = recorded`."""
    clock = Clock()
    made = bench(tmp_path, clock)
    handed_over(made, pump__thunder="yes")
    clock.move(25)
    answering.answer(made, GiveAnswer("7", "gate", "pump.thunder", "no"))
    asked_for(made)
    evaluated(made)
    clock.move(12)
    handed_over(made, "8", pump__thunder="yes")
    async with at_the_list(made, tmp_path, size, theme) as hand:
        for key in LOOKS[page]:
            await hand.press(key)
            await hand.search()
        shown = hand.screen()
    file = SNAPSHOTS / f"{page}-{size[0]}x{size[1]}.txt"
    if not file.exists():
        file.write_text(shown, encoding="utf-8")
        pytest.fail(f"{file.name} was missing and is recorded now: read it, then run again")

    assert shown == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("keys", [("f2",), ("f2", "2"), ("f2", "3"), ("f2", "4")])
async def test_leaving_at_any_step_changes_nothing(tmp_path: Path, keys: tuple[str, ...]) -> None:
    """Pages that commit begin on the answer that does not: Enter alone never does anything."""
    made = bench(tmp_path)
    handed_over(made)
    asked_for(made)
    evaluated(made)
    size = made.store.size()
    async with at_the_list(made, tmp_path) as hand:
        await open_first(hand)
        await hand.press(*keys)
        for _ in range(12):
            await hand.press("enter")
        for _ in range(6):
            await hand.press("escape")
    assert made.store.size() == size


async def test_a_long_list_is_told_in_full_as_the_hand_comes_near(tmp_path: Path) -> None:
    """DIS-02: one view shows every one of them."""
    made = bench(tmp_path)
    for number in range(NARROW[1] + 9):
        jobs.open_job(made, jobs.OpenJob("dale", f"{number:03}"))
        jobs.request_plan(made, f"{number:03}", "gate")
    async with at_the_list(made, tmp_path) as hand:
        assert f"{NARROW[1] + 9} plans wait" in hand.flat()
        await hand.press("end")

        assert f"{NARROW[1] + 8:03}, plant and place not answered. Waits under 1 min." in hand.flat()


async def test_with_a_register_each_decision_is_signed_with_a_passphrase(tmp_path: Path) -> None:
    made = crew(tmp_path, rehearsal=True)
    keyed = replace(made.bench, keys=tmp_path / "keys")
    ready_job(made)
    jobs.request_plan(keyed, "7", "gate")
    drafted = replace(proposed(keyed, "7"), voltage_v=400)
    gate.draw_up_and_request(made.signing("the requester", REQUESTER), drafted, "as planned")
    async with at_the_list(keyed, tmp_path) as hand:
        await open_first(hand)
        await hand.press("f2", "2")
        await hand.write("valve and gauge, 14:00")
        await hand.press("enter")
        assert "the evaluator (Crag End), as evaluator, has checked the request on site" in hand.flat()
        await hand.press("2")
        await hand.write(passphrase("the evaluator"))
        await hand.press("enter")
        await hand.search()
        assert "Evaluated: permit 7/1 is evaluated." in hand.flat()
    last = keyed.store.entries("7")[-1]
    assert (last.draft.who, last.draft.act) == ("the evaluator", "permit evaluate")
    assert last.draft.signature
