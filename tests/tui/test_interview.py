"""The interview in the interface, key by key: each path, interrupted ones too."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.jobs import OpenJob
from riskhelper.record.entries import STOP_WORK
from tests.acts.small_rules import GATE_ANSWERS
from tests.acts.workbench import Clock, context
from tests.tui.driving import MIDDLE, WIDE, Hand, hand_on


def answers(folder: Path) -> dict[str, object]:
    """What is on disk, read by a store opened afresh."""
    return {q: a.value for q, a in jobs.resume_job(context(folder), "7").job.answers.items()}


def acts_saved(folder: Path) -> list[str]:
    return [entry.draft.act for entry in context(folder).store.entries("7")]


def answered(folder: Path, *names: str, clock: Clock | None = None, milestone: str = "gate") -> None:
    """Opens job 7 with answers given before."""
    bench = context(folder, clock)
    if "7" not in bench.store.jobs():
        jobs.open_job(bench, OpenJob("dale", "7"))
    for name, typed in GATE_ANSWERS:
        if not names or name in names:
            answering.answer(bench, GiveAnswer("7", milestone, name, typed))


async def answer_all(hand: Hand) -> None:
    await hand.write("Crag End")
    await hand.press("enter")
    await hand.write("P2")
    await hand.press("enter", "1", "2", "2")
    await hand.write("3.1")
    await hand.press("enter")


async def test_the_interview_goes_from_the_first_question_to_the_last(tmp_path: Path) -> None:
    async with hand_on(tmp_path) as hand:
        await answer_all(hand)

        assert "Nothing more is due now." in hand.flat()
    assert answers(tmp_path) == {
        "job.site_name": "Crag End",
        "job.plant_id": "P2",
        "pump.state": "running",
        "pump.thunder": "no",
        "pump.unwell": "no",
        "pump.head_m": 3.1,
    }


async def test_a_new_job_is_started_by_number_and_local_code(tmp_path: Path) -> None:
    async with hand_on(tmp_path, job="", local_code="") as hand:
        assert "Which job? Write its number, as it stands on the job sheet." in hand.flat()
        await hand.write("T-19")
        await hand.press("enter")
        assert "Job T-19 is new. Which local code applies here?" in hand.flat()
        await hand.press("1")

        assert "Which site is it?" in hand.flat()
        assert hand.session.state.number == "T-19"
    assert context(tmp_path).store.jobs() == ("T-19",)


async def test_a_number_left_empty_takes_the_next_free_one_and_a_wrong_one_is_written_again(tmp_path: Path) -> None:
    async with hand_on(tmp_path, job="", local_code="") as hand:
        await hand.write("T-99")
        await hand.press("enter", "escape", "backspace", "backspace", "backspace", "backspace", "enter")
        assert "The job takes the next free number. Which local code applies here?" in hand.flat()
        await hand.press("1")

        assert hand.session.state.number == "2031-0001"


async def test_a_job_known_here_is_taken_up_by_its_number(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name")
    async with hand_on(tmp_path, job="", local_code="dale") as hand:
        await hand.write("7")
        await hand.press("enter")

        assert "Which pump is it?" in hand.flat()
    assert context(tmp_path).store.jobs() == ("7",)


async def test_a_job_is_taken_up_by_its_row(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name")
    async with hand_on(tmp_path, job="", local_code="") as hand:
        assert "7: 1 answer, last worked on" in hand.flat()
        await hand.press("down", "down", "enter")

        assert "Which pump is it?" in hand.flat()


async def test_each_question_stands_alone_with_reason_place_and_count(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        shown = hand.flat()

        assert "3 of about 7" in shown
        assert ">VAN< - Gate - Fence - Valve - Box - Hand-back" in shown
        assert "What will the pump do while you work? Why: A running pump pulls." in shown
        assert "1 It runs." in shown
        assert "F2 I do not know." in shown


async def test_nothing_is_chosen_beforehand(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press("enter", "space", "enter")

        assert "What will the pump do" in hand.flat()
    assert "pump.state" not in answers(tmp_path)


@pytest.mark.parametrize("keys", [("2",), ("down", "down", "enter"), ("end", "up", "enter")])
async def test_a_row_is_chosen_by_digit_or_by_arrows(tmp_path: Path, keys: tuple[str, ...]) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press(*keys)
    assert answers(tmp_path)["pump.state"] == "stopped"


async def test_a_row_is_chosen_by_a_touch_anywhere_on_its_three_lines(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        row = next(y for y, line in enumerate(hand.lines()) if "It stands still, locked." in line)
        await hand.pilot.click(offset=(60, row - 1))
        await hand.settle()
    assert answers(tmp_path)["pump.state"] == "stopped"


@pytest.mark.parametrize("name", [name for name, _ in GATE_ANSWERS])
async def test_not_known_is_one_key_on_every_question_and_says_what_to_do(tmp_path: Path, name: str) -> None:
    earlier = [n for n, _ in GATE_ANSWERS[: [n for n, _ in GATE_ANSWERS].index(name)]]
    if earlier:
        answered(tmp_path, *earlier)
    async with hand_on(tmp_path) as hand:
        assert "F2 │ I do not know." in hand.screen()
        asked = hand.session.next_question
        await hand.press("f2")

        assert f"What to do: {hand.session.rules.questions[name].if_unknown}" in hand.flat()
    assert asked == name
    assert answers(tmp_path)[name] is None


async def test_several_lines_are_marked_one_by_one_and_saved_on_their_own_row(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press("2", "1", "2", "2")
        assert "HOLDS: Mains." in hand.flat()
        assert "NOT KNOWN: Standby set." in hand.flat()
        await hand.press("s")
    assert answers(tmp_path)["pump.feeds"] == {"mains": "yes", "standby": "not_known", "none_of_these": "no"}


async def test_lines_that_exclude_each_other_are_refused_with_the_reason(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press("2", "1", "3", "s")

        assert "`none_of_these` excludes the rest" in hand.flat()
        assert "HOLDS: Mains." in hand.flat()
    assert "pump.feeds" not in answers(tmp_path)


async def test_a_number_is_read_back_while_it_is_written(tmp_path: Path) -> None:
    answered(tmp_path, *[name for name, _ in GATE_ANSWERS[:5]])
    async with hand_on(tmp_path) as hand:
        assert "Accepted: minus 1 to 25 m. Usual: 0.5 to 12 m." in hand.flat()
        await hand.write("-0.5")

        assert "You wrote minus 0.5 m. Not usual: you will be asked again." in hand.flat()
    assert "pump.head_m" not in answers(tmp_path)


async def test_a_number_may_come_in_another_unit_of_the_row(tmp_path: Path) -> None:
    answered(tmp_path, *[name for name, _ in GATE_ANSWERS[:5]])
    async with hand_on(tmp_path) as hand:
        await hand.write("10")
        await hand.touch("ft ")

        assert "You wrote 10 ft, that is 3.048 m." in hand.flat()
        await hand.press("enter")
    assert answers(tmp_path)["pump.head_m"] == 3.048


async def test_the_site_sets_the_unit_of_the_row(tmp_path: Path) -> None:
    answered(tmp_path, *[name for name, _ in GATE_ANSWERS[:5]])
    async with hand_on(tmp_path, units={"length": "ft"}) as hand:
        assert ">ft<" in hand.screen()


async def test_a_number_outside_the_accepted_range_is_refused_and_stays_to_be_mended(tmp_path: Path) -> None:
    answered(tmp_path, *[name for name, _ in GATE_ANSWERS[:5]])
    async with hand_on(tmp_path) as hand:
        await hand.write("150")
        await hand.press("enter")

        assert "It must be minus 1 to 25 m; you entered 150 m. Read the gauge." in hand.flat()
        assert "150" in hand.screen()
    assert "pump.head_m" not in answers(tmp_path)


async def test_an_unusual_number_asks_again_and_the_hand_lies_on_no(tmp_path: Path) -> None:
    answered(tmp_path, *[name for name, _ in GATE_ANSWERS[:5]])
    async with hand_on(tmp_path) as hand:
        await hand.write("20")
        await hand.press("enter")
        assert "Usual is 0.5 to 12 m. You wrote 20 m. Is that right?" in hand.flat()
        await hand.press("enter")
        assert "pump.head_m" not in answers(tmp_path)
        assert "How high does the water stand" in hand.flat()

        await hand.press("enter", "2")
    assert answers(tmp_path)["pump.head_m"] == 20.0


async def test_changing_an_early_answer_says_what_falls_away_and_keeps_it(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press("2", "1", "s", "f4", "f4", "1")
        assert "Their answers are kept, without effect: - Which feeds does the drawing show?" in hand.flat()
        assert answers(tmp_path)["pump.state"] == "stopped"

        await hand.press("2")
    kept = answers(tmp_path)
    assert kept["pump.state"] == "running"
    assert kept["pump.feeds"] == {"mains": "yes", "standby": "no", "none_of_these": "no"}


async def test_back_shows_the_answer_and_can_leave_it_as_it_is(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id", "pump.state")
    async with hand_on(tmp_path) as hand:
        await hand.press("f4")
        assert "So far: It runs. (by Ada Quist" in hand.flat()
        await hand.press("k")

        assert "Do you hear thunder?" in hand.flat()
    assert acts_saved(tmp_path).count("answer") == 3


async def test_a_text_answered_before_is_left_by_escape_and_no_letter_is_a_key(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press("f4")
        assert "Esc │ Leave the answer as it is, and go on." in hand.screen()
        await hand.write("k")
        await hand.press("escape")
        assert "Which pump is it?" in hand.flat()
        await hand.press("escape")

        assert "What will the pump do while you work?" in hand.flat()
    assert answers(tmp_path)["job.plant_id"] == dict(GATE_ANSWERS)["job.plant_id"]
    assert acts_saved(tmp_path).count("answer") == 2


async def test_a_plan_handed_over_is_said_at_the_end_and_not_offered_again(tmp_path: Path) -> None:
    answered(tmp_path)
    async with hand_on(tmp_path) as hand:
        await hand.press("5")
        assert "Hand the plan over to be read?" in hand.flat()
        await hand.press("2", "escape")

        assert "The plan was handed over to be read." in hand.flat()
        assert "Hand the plan over" not in hand.flat()


async def test_a_terminal_of_forty_by_fifteen_still_shows_question_choice_verdict_and_keys(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path, size=(40, 15)) as hand:
        for part in ("What will the pump do while you work?", "1 It runs.", " STOP ", "F7 EMERGENCY", "F9 STOP"):
            assert part in hand.flat()


async def test_a_jump_goes_to_any_answered_question(tmp_path: Path) -> None:
    answered(tmp_path)
    async with hand_on(tmp_path) as hand:
        await hand.press("f5")
        assert "Which site is it? Crag End" in hand.flat()
        await hand.press("3")

        assert "What will the pump do while you work?" in hand.flat()


async def test_a_note_is_kept_with_its_question(tmp_path: Path) -> None:
    async with hand_on(tmp_path) as hand:
        await hand.press("f3")
        await hand.write("board is gone")
        await hand.press("enter")

        assert "Note: board is gone" in hand.flat()
        assert "Which site is it?" in hand.flat()
    assert acts_saved(tmp_path) == ["open", "note"]


async def test_taking_back_starts_on_no_and_goes_to_the_beginning(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.press("ctrl+z", "enter")
        assert len(answers(tmp_path)) == 2
        await hand.press("ctrl+z", "2", "ctrl+z", "2")

        assert "Which site is it?" in hand.flat()
        assert "Taken back: the answer to: Which site is it?" in hand.flat()
    assert answers(tmp_path) == {}


async def test_nothing_before_a_plan_handed_over_is_taken_back(tmp_path: Path) -> None:
    answered(tmp_path)
    jobs.request_plan(context(tmp_path), "7", "gate")
    async with hand_on(tmp_path) as hand:
        await hand.press("ctrl+z")

        assert "The plan was handed over: there is nothing to take back." in hand.flat()
    assert len(answers(tmp_path)) == 6


async def test_after_a_pause_it_says_how_long_and_what_has_aged(tmp_path: Path) -> None:
    clock = Clock()
    answered(tmp_path, clock=clock)
    clock.move(75)
    async with hand_on(tmp_path, clock=clock) as hand:
        assert "Pause of 75 minutes. 1 answer has aged and will be asked again: Do you hear thunder?" in hand.flat()
        assert "Do you hear thunder? Why:" in hand.flat()


async def test_the_verdict_says_what_the_last_answer_changed(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id", "pump.state")
    async with hand_on(tmp_path, size=MIDDLE) as hand:
        await hand.press("1")

        assert hand.session.changed == "New stop: Thunder near."
        assert "New stop: Thunder near." in hand.flat().replace("  ", " ")
    assert answers(tmp_path)["pump.thunder"] == "yes"


async def test_office_answers_a_stop_reads_are_picked_again_before_they_are_shown(tmp_path: Path) -> None:
    answered(tmp_path)
    office = context(tmp_path)
    answering.answer(office, GiveAnswer("7", "gate", "pump.thunder", "yes", source="office"))
    async with hand_on(tmp_path) as hand:
        shown = hand.flat()
        assert "The office has answered this. Look for yourself" in shown
        assert "So far" not in shown
        await hand.press("f5")
        assert "Do you hear thunder? answered in the office; to be looked at again" in hand.flat()
        await hand.press("escape", "2")

        assert (
            "The office said on 03 Feb 2031 15:30: Thunder heard. You say: No thunder. Yours counts." in hand.flat()
        )
    assert answers(tmp_path)["pump.thunder"] == "no"


@pytest.mark.parametrize(
    "there", [(), ("f3",), ("f5",), ("f6",), ("f10",), ("f1",), ("f7",), ("ctrl+z",), ("f6", "1"), ("f9",)]
)
async def test_stop_works_at_once_from_every_page(tmp_path: Path, there: tuple[str, ...]) -> None:
    answered(tmp_path, "job.site_name")
    async with hand_on(tmp_path) as hand:
        await hand.press(*there)
        before = acts_saved(tmp_path).count(STOP_WORK)
        await hand.press("f9")
        assert acts_saved(tmp_path).count(STOP_WORK) == before + 1
        assert "WORK STOPPED 15:30. Only the issuer ends it." in hand.flat()
        await hand.press("escape")

        assert "STOP, called at 15:30" in hand.flat()


async def test_who_called_a_stop_and_why_may_follow_and_the_issuer_ends_it(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name")
    async with hand_on(tmp_path) as hand:
        await hand.press("f9")
        await hand.write("Bo")
        await hand.press("enter")
        await hand.write("wet hands")
        await hand.press("enter")
        assert (hand.session.stop.called_by, hand.session.stop.reason) == ("Bo", "wet hands")  # type: ignore[union-attr]
        hand.interface.go("end_stop")
        await hand.settle()
        await hand.press("enter", "enter")
        assert "Type the issuer's name and what the issuer said" in hand.flat()
        await hand.press("shift+tab")
        await hand.write("Ing")
        await hand.press("enter")
        await hand.write("go on at the gate")
        await hand.press("enter")

        assert hand.session.stop is None
    assert acts_saved(tmp_path)[-3:] == ["stop work", "tell stop", "end stop"]


async def test_the_cards_open_on_one_key_before_any_job_is_open(tmp_path: Path) -> None:
    async with hand_on(tmp_path, job="", local_code="") as hand:
        await hand.press("f7")
        assert "Emergency card" in hand.flat()
        await hand.press("f8")
        assert "Leak card" in hand.flat()
        assert "PLANT IN SERVICE" in hand.flat()
        await hand.press("f9")
        assert "No job is open here" in hand.flat()


@pytest.mark.parametrize("there", [(), ("f1",), ("f3",), ("f5",), ("f6",), ("f7",), ("f8",), ("f9",), ("f10",)])
async def test_a_rehearsal_is_marked_on_every_page(tmp_path: Path, there: tuple[str, ...]) -> None:
    async with hand_on(tmp_path, rehearsal=True, size=WIDE) as hand:
        await hand.press(*there)

        assert "REHEARSAL. NOT FOR WORK." in hand.lines()[0]


async def test_what_the_emergency_page_lacks_is_asked_once_before_the_papers(tmp_path: Path) -> None:
    answered(tmp_path)
    async with hand_on(tmp_path, size=WIDE) as hand:
        await hand.press("f7")
        assert "Nobody has said yet: Address," in hand.flat()
        await hand.press("escape", "4")
        assert "Where the site is, whom to call" in hand.flat()
        await hand.press("4")
        await hand.write("red gate")
        await hand.press("enter")
        assert "Muster point: red gate" in hand.flat()
        await hand.press("1")
        assert "The papers are written." in hand.flat()
        await hand.press("escape", "4")
        assert "The papers are written." in hand.flat()
        await hand.press("escape", "f7")

        assert "Muster point: red gate" in hand.flat()
    (paper,) = (tmp_path / "papers").glob("*.txt")
    assert "red gate" in paper.read_text(encoding="utf-8")
    assert acts_saved(tmp_path)[-1] == "tell site"


@pytest.mark.parametrize("keys", [("f5", "3"), ("f4", "f4")])
async def test_after_a_kill_it_stands_at_the_question_jumped_to(tmp_path: Path, keys: tuple[str, ...]) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id", "pump.state", "pump.thunder")
    async with hand_on(tmp_path) as hand:
        await hand.press(*keys)
        assert "So far: It runs." in hand.flat()
        await hand.press("f9")
    async with hand_on(tmp_path) as hand:
        assert "So far: It runs." in hand.flat()
        await hand.press("k")
        assert "Is anybody ill?" in hand.flat()


@pytest.mark.parametrize("key", ["f5", "f6", "f10", "ctrl+z"])
async def test_a_note_begun_is_not_thrown_away_by_a_key_that_goes_elsewhere(tmp_path: Path, key: str) -> None:
    async with hand_on(tmp_path) as hand:
        await hand.press("f3")
        await hand.write("board is gone")
        await hand.press(key)
        assert "Not saved yet. Enter saves what is written, Esc leaves without it." in hand.flat()
        await hand.press("f7", key, "enter")

        assert "Note: board is gone" in hand.flat()


@pytest.mark.parametrize("card", ["f7", "f8", "f9"])
async def test_a_card_over_a_note_begun_leaves_the_note_as_it_was(tmp_path: Path, card: str) -> None:
    async with hand_on(tmp_path) as hand:
        await hand.press("f3")
        await hand.write("board is gone")
        await hand.press(card, "escape", "enter")

        assert "Note: board is gone" in hand.flat()


async def test_the_letter_u_goes_through_the_units_and_round_again(tmp_path: Path) -> None:
    answered(tmp_path, *[name for name, _ in GATE_ANSWERS[:5]])
    async with hand_on(tmp_path) as hand:
        await hand.write("100")
        for unit in ("mm", "cm", "ft", "in", "m"):
            await hand.press("u")
            assert f">{unit}<" in hand.screen()
        await hand.press("u", "u")
        assert "You wrote 100 cm, that is 1 m." in hand.flat()
        await hand.press("enter")
    assert answers(tmp_path)["pump.head_m"] == 1.0


async def test_a_question_mark_in_a_number_says_not_known(tmp_path: Path) -> None:
    answered(tmp_path, *[name for name, _ in GATE_ANSWERS[:5]])
    async with hand_on(tmp_path) as hand:
        await hand.write("3?")

        assert "Saved as not known: How high does the water stand above the valve?" in hand.flat()
    assert answers(tmp_path)["pump.head_m"] is None


async def test_a_question_mark_on_a_choice_says_not_known(tmp_path: Path) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        await hand.write("?")
    assert answers(tmp_path)["pump.state"] is None


async def test_at_forty_by_fifteen_a_number_can_be_saved_and_a_stop_has_named_fields(tmp_path: Path) -> None:
    answered(tmp_path, *[name for name, _ in GATE_ANSWERS[:5]])
    async with hand_on(tmp_path, size=(40, 15)) as hand:
        await hand.press("9")
        for part in (
            "How high does the water",
            "Ent Save what is written above.",
            "F2 I do not know.",
            "You wrote 9 m.",
        ):
            assert part in hand.flat()
        await hand.press("f9")
        for part in ("Who called the stop, if you like:", "Why, if you like:", "Enter save", "Esc skip"):
            assert part in hand.flat()


async def test_more_opened_twice_is_left_by_one_key(tmp_path: Path) -> None:
    async with hand_on(tmp_path) as hand:
        await hand.press("f10", "f10", "escape")

        assert "Which site is it?" in hand.flat()


async def test_the_end_of_words_longer_than_the_field_stays_in_sight(tmp_path: Path) -> None:
    words = " ".join(f"word{number}" for number in range(20))
    async with hand_on(tmp_path) as hand:
        await hand.write(words)
        assert "word19" in hand.screen()
        await hand.press("home")
        assert "word0 word1" in hand.screen()
        await hand.press("enter")
    assert answers(tmp_path)["job.site_name"] == words


async def test_a_control_is_planned_by_another_proved_and_left_out_again(tmp_path: Path) -> None:
    answered(tmp_path)
    async with hand_on(tmp_path) as hand:
        await hand.press("2", "1", "1", "3")
        await hand.write("Bo")
        await hand.press("enter", "enter")
        assert hand.session.state.job.planned["pump.second_valve"].by == "Bo"
        assert hand.session.state.job.planned["pump.second_valve"].evidence == "seen shut by two people"
        assert "Record the evidence: it is in place now." in hand.flat()
        await hand.press("2", "enter", "enter")
        assert "A control is proved by evidence: say what was seen or read" in hand.flat()
        await hand.press("escape", "3", "2")

        assert "administrative, planned: Stand to the side." not in hand.flat()
    assert acts_saved(tmp_path)[-2:] == ["plan", "leave out"]


async def test_a_kill_while_the_evidence_is_written_keeps_what_was_saved_and_asks_at_the_same_place(
    tmp_path: Path,
) -> None:
    answered(tmp_path, "job.site_name", "job.plant_id")
    async with hand_on(tmp_path) as hand:
        hand.interface.go("controls")
        await hand.settle()
        await hand.press("1", "1", "2")
        hand.interface.desk.controls.open("pump.second_valve")
        await hand.settle()
        await hand.press("2")
        await hand.write("half a sen")
    async with hand_on(tmp_path) as hand:
        assert "What will the pump do while you work?" in hand.flat()
        assert "pump.second_valve" in hand.session.state.job.planned
    assert acts_saved(tmp_path)[-1] == "plan"
