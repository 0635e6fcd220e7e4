"""The safety officer's pages: sets, what is due, findings, entry, comparison, replay, adoption by two."""

from __future__ import annotations

import shutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from riskhelper.acts.rule_sets import adopting
from riskhelper.permit.adoption import RuleState
from riskhelper.tui.app import Wanted
from tests.acts.adopted_rules import AUTHOR, SECOND, TODAY, act, adopted, checked, folder_of, office_crew
from tests.acts.crew import Crew, passphrase, ready_job
from tests.tui.driving import MIDDLE, NARROW, WIDE, Hand, hand_in
from tests.tui.rule_sets_driving import Desk

SNAPSHOTS = Path(__file__).parent / "snapshots"


def other_folder(made: Crew, was: str, now: str) -> Path:
    """The small set with one passage written otherwise."""
    here = folder_of(made).folder
    there = here.with_name("other")
    shutil.copytree(here, there)
    for file in there.rglob("*.toml"):
        file.write_text(file.read_text(encoding="utf-8").replace(was, now), encoding="utf-8")
    return there


@asynccontextmanager
async def at_the_desk(made: Crew, folder: Path, size: tuple[int, int] = NARROW) -> AsyncIterator[Desk]:
    """The interface on the page of rule sets."""
    async with hand_in(made.bench, Wanted(folder / "papers"), size) as hand:
        found = Desk(hand)
        await hand.press("f12")
        await found.choose("Rule sets")
        yield found


async def worked(hand: Hand) -> None:
    """Waits until the work beside the interface is done."""
    await hand.search()
    await hand.settle()


async def signs(desk: Desk, name: str) -> None:
    """Signs as that person with the passphrase of these tests."""
    if f"I am {name}: I sign" not in desk.hand.flat():
        await desk.choose(f"{name} (")
    await desk.hand.press("2")
    await desk.hand.write(passphrase(name))
    await desk.hand.press("enter")
    await worked(desk.hand)


@pytest.fixture
def made(tmp_path: Path) -> Crew:
    return office_crew(tmp_path)


async def test_a_set_is_proposed_checked_and_adopted_on_the_screen(tmp_path: Path, made: Crew) -> None:
    async with at_the_desk(made, tmp_path) as desk:
        assert (
            "No rule set was proposed at this site. Until one is in force, work is a rehearsal." in desk.hand.flat()
        )
        await desk.choose("Take it along its course")
        await desk.choose("Dale")
        await desk.choose("Propose this set")
        await signs(desk, AUTHOR)
        assert "Done. pump house, number 3, under dale: draft." in desk.hand.flat()
        await desk.choose("I have checked it")
        await desk.write("a pump house for tests")
        await signs(desk, SECOND)
        for name in (AUTHOR, SECOND):
            await desk.choose("Adopt it")
            await desk.write(TODAY, "", "")
            await signs(desk, name)

        assert "pump house, number 3, under dale: in force from 2031-02-03." in desk.hand.flat()
    assert [line.state for line in adopting.rule_sets(made.bench)] == [RuleState.IN_FORCE]


async def test_a_refusal_stays_on_the_page_in_words(tmp_path: Path, made: Crew) -> None:
    act(made, AUTHOR, "propose")
    async with at_the_desk(made, tmp_path) as desk:
        await desk.choose("pump house, number 3, under dale: draft")
        await desk.choose("I have checked it")
        await desk.write("x")
        await signs(desk, AUTHOR)

        assert "the safety officer proposed it. Needed: a second officer checks it" in desk.hand.flat()
        assert "Nothing was signed." in desk.hand.flat()


async def test_a_difference_opens_on_its_example_job(tmp_path: Path, made: Crew) -> None:
    other = other_folder(made, "pump.thunder == 'yes'", "pump.thunder == 'yes' and pump.state == 'stopped'")
    async with at_the_desk(made, tmp_path, WIDE) as desk:
        await desk.choose("Compare it with the set of another folder")
        await desk.write(str(other))
        await worked(desk.hand)
        assert "Differences in meaning: 1, of these 1 looser." in desk.hand.flat()
        await desk.hand.press("1")

        told = desk.hand.flat()
        assert "before: the stop fires; verdict STOP after: the stop does not fire" in told


async def test_past_jobs_are_replayed_shown_and_written(tmp_path: Path, made: Crew) -> None:
    ready_job(made)
    other = other_folder(made, "pump.thunder == 'yes'", "pump.thunder == 'no'")
    async with at_the_desk(made, tmp_path, WIDE) as desk:
        await desk.choose("Replay past jobs")
        await desk.write(str(other), "Dale")
        await worked(desk.hand)
        assert "1 past job replayed: 1 comes out differently, 1 stricter, 0 looser." in desk.hand.flat()
        await desk.choose("STRICTER: Thunder near")
        assert "in job 7: Do you hear thunder? No thunder." in desk.hand.flat()
        await desk.hand.press("escape")
        await desk.choose("Write every change")
        await desk.hand.write(str(tmp_path / "changes.csv"))
        await desk.hand.press("enter")
    assert "dale,7,stop,pump.thunder" in (tmp_path / "changes.csv").read_text(encoding="utf-8")


async def test_a_folder_without_rules_is_refused_in_words(tmp_path: Path, made: Crew) -> None:
    async with at_the_desk(made, tmp_path) as desk:
        await desk.choose("Compare it with the set of another folder")
        await desk.write(str(tmp_path / "nowhere"))
        await worked(desk.hand)
        assert "no rule set there" in desk.hand.flat()
        await desk.hand.press("escape")


async def test_an_entry_is_read_by_its_id(tmp_path: Path, made: Crew) -> None:
    async with at_the_desk(made, tmp_path) as desk:
        await desk.choose("One entry")
        await desk.write("pump.thunder")
        await worked(desk.hand)
        assert "`pump.thunder` is more than one entry" in desk.hand.flat()
        await desk.hand.press("escape")
        await desk.hand.press(*["backspace"] * len("pump.thunder"))
        await desk.write("stop pump.thunder")
        await worked(desk.hand)

        assert "stop pump.thunder Thunder near" in desk.hand.flat()


@pytest.mark.parametrize(
    ("condition", "never", "told"),
    [
        ("pump.thunder == 'yes'", "verdict != 'STOP'", "No: proved for every job there is."),
        ("pump.thunder == 'yes'", "verdict == 'STOP'", "Yes. This job shows it:"),
        ("pump.thunder == 'maybe'", "verdict != 'STOP'", "`maybe` is no option of `pump.thunder`"),
    ],
)
async def test_a_question_is_answered_by_a_proof_or_by_a_job(
    tmp_path: Path, made: Crew, condition: str, never: str, told: str
) -> None:
    async with at_the_desk(made, tmp_path, WIDE) as desk:
        await desk.choose("Ask: can there be a job")
        await desk.write(condition, never, "Dale")
        await worked(desk.hand)

        assert told in desk.hand.flat()


async def test_proofs_are_read_on_the_screen(tmp_path: Path, made: Crew) -> None:
    async with at_the_desk(made, tmp_path, WIDE) as desk:
        await desk.choose("Proofs over every job")
        await desk.choose("Dale")
        await worked(desk.hand)

        assert "Under dale: " in desk.hand.flat()
        assert "0 not settled." in desk.hand.flat()


async def test_a_withdrawn_set_names_the_jobs_to_telephone(tmp_path: Path, made: Crew) -> None:
    adopted(made)
    ready_job(made)
    async with at_the_desk(made, tmp_path) as desk:
        await desk.choose("pump house, number 3, under dale: in force")
        await desk.choose("WITHDRAW it")
        await desk.write("a wrong figure")
        await signs(desk, SECOND)

        assert "Telephone these jobs" in desk.hand.flat()
        assert "7: no permit open" in desk.hand.flat()


PAGES = ("sets", "course", "comparison", "replay", "findings", "entry")


async def page_of(desk: Desk, name: str, other: Path) -> None:
    """Goes to a page."""
    match name:
        case "course":
            await desk.choose("pump house, number 3, under dale: checked")
        case "comparison":
            await desk.choose("Compare it with")
            await desk.write(str(other))
        case "replay":
            await desk.choose("Replay past jobs")
            await desk.write(str(other), "Dale")
        case "findings":
            await desk.choose("Findings")
        case "entry":
            await desk.choose("One entry")
            await desk.write("hazard pump.burst")
    await worked(desk.hand)


@pytest.mark.parametrize("size", [NARROW, MIDDLE, WIDE], ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("page", PAGES)
async def test_a_page_looks_as_recorded(tmp_path: Path, made: Crew, page: str, size: tuple[int, int]) -> None:
    """`standing = recorded`; the folder of the test is written as one word."""
    checked(made)
    ready_job(made)
    other = other_folder(made, "pump.thunder == 'yes'", "pump.thunder == 'no'")
    async with at_the_desk(made, tmp_path, size) as desk:
        await page_of(desk, page, other)
        shown = desk.hand.screen()
    file = SNAPSHOTS / f"rule-sets-{page}-{size[0]}x{size[1]}.txt"
    if not file.exists():
        file.write_text(shown, encoding="utf-8")
        pytest.fail(f"{file.name} was missing and is recorded now: read it, then run again")

    assert shown == file.read_text(encoding="utf-8")
