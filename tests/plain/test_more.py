"""What the screens do besides asking, in plain lines: at every prompt, from the list of acts, after the office."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering, jobs, stopping
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.assessing import progress
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.plain import waiting
from riskhelper.plain.interview import Wanted, _Interview, run
from riskhelper.plain.lines import Lines
from riskhelper.record.entries import END_STOP, LEAVE_OUT, PLAN, PROVE, STOP_WORK, TELL_SITE
from riskhelper.ruleset.spoken_forms import fixed_sentences
from riskhelper.store.rule_files import shipped_rules
from riskhelper.terms import Verdict
from tests.acts.workbench import context
from tests.plain.test_interview import END, GATE, answers, flat, talk

MORE = "m"
SHELF = RuleShelf(shipped_rules())


def acts(folder: Path) -> list[str]:
    return [entry.draft.act for entry in context(folder).store.entries("7")]


def numbered(shown: str, words: str) -> str:
    """The number under which a row stood when it was last offered."""
    found = [line for line in shown.splitlines() if words in line and line.lstrip()[:1].isdigit()]
    return found[-1].strip().partition(".")[0]


def more(folder: Path, *rest: str, row: str, before: tuple[str, ...] = ()) -> str:
    """What is shown after a row of the list of acts was chosen, and these lines were typed."""
    listed, _ = talk(folder, *before, MORE)
    shown, _ = talk(folder, MORE, numbered(listed, row), *rest)
    return flat(shown)


@pytest.mark.parametrize("place", [(), ("Crag End",), ("Crag End", "P2", MORE), GATE, (*GATE, "4")])
def test_stop_works_at_every_prompt_and_is_saved_before_anything_is_asked(
    tmp_path: Path, place: tuple[str, ...]
) -> None:
    shown, _ = talk(tmp_path, *place, "stop")

    assert acts(tmp_path)[-1] == STOP_WORK
    assert "Everybody stops." in shown


def test_who_stopped_and_why_may_follow_and_the_stop_stands_over_each_question(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag End", "STOP", "Ann", "he fell", "P2")
    stop = stopping.standing_stop(jobs.resume_job(context(tmp_path), "7").history)

    assert stop is not None
    assert (stop.called_by, stop.reason) == ("Ann", "he fell")
    assert answers(tmp_path)["job.plant_id"] == "P2"
    assert shown.count("WORK STOPPED 15:30. Only the issuer ends it.") == 2


def test_before_any_job_a_stop_says_that_it_is_to_be_written_on_paper(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "stop", "q", job="", local_code="")

    assert "No job is open here: write it down on paper." in flat(shown)


def test_both_cards_are_told_at_every_prompt_and_the_question_waits(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "emergency", "leak", "Crag End")

    assert "Shock: do not touch." in shown
    assert "PLANT IN SERVICE" in shown
    assert answers(tmp_path) == {"job.site_name": "Crag End"}


def test_a_stop_at_the_gate_stops_the_job_that_is_read(tmp_path: Path) -> None:
    talk(tmp_path, *GATE, "4", "", "yes")
    lines = Lines(io.StringIO("stop\n\n\n"), io.StringIO())
    waiting.run(context(tmp_path), lines, "7")

    assert STOP_WORK in acts(tmp_path)


def test_the_issuers_words_end_a_stop(tmp_path: Path) -> None:
    shown = more(tmp_path, "Iris", "go on at three", before=("stop", "", ""), row="The issuer has ended the stop")

    assert "Saved: the stop is ended." in shown
    assert acts(tmp_path)[-1] == END_STOP


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("See what was found, in full.", "Verdict at gate: STOP"),
        ("Read the method statement.", "METHOD STATEMENT"),
        ("The day on one line", "No permit window is set yet: whoever approves sets it."),
        ("Answers from the office", "No answer of this job comes from the office."),
    ],
)
def test_what_the_screens_let_one_read_can_be_read(tmp_path: Path, row: str, told: str) -> None:
    assert told in more(tmp_path, before=("Crag End",), row=row)


def test_an_answer_is_chosen_by_place_and_given_once_more(tmp_path: Path) -> None:
    listed = more(tmp_path, "2", "3", "P3", before=("Crag End", "P2"), row="Look at the answers by place")

    assert "Which pump is it? P2" in listed
    assert answers(tmp_path)["job.plant_id"] == "P3"


def test_what_is_not_known_is_listed_with_what_to_do_and_answered_from_there(tmp_path: Path) -> None:
    talk(tmp_path, *GATE[:3], "?")
    row = numbered(talk(tmp_path, MORE)[0], "Find out first")
    listed, _ = talk(tmp_path, MORE, row)
    talk(tmp_path, MORE, row, numbered(listed, "Do you hear thunder?"), "2")

    assert "Do you hear thunder? To do:" in flat(listed)
    assert answers(tmp_path)["pump.thunder"] == "no"


def test_what_would_change_a_stop_is_told_in_acts(tmp_path: Path) -> None:
    listed, _ = talk(tmp_path, *GATE[:3], "1", MORE)
    shown, _ = talk(tmp_path, MORE, numbered(listed, "Find what would change"), "2")

    assert "Acts in the world, never other answers." in shown


def test_a_control_is_planned_proved_and_left_out_at_any_time(tmp_path: Path) -> None:
    row = "Plan a control, record its evidence, or leave it out."
    more(tmp_path, "2", "2", "2", "Bo", "", "2", "2", "3", before=GATE[:2], row=row)
    assert acts(tmp_path)[-2:] == [PLAN, LEAVE_OUT]

    more(tmp_path, "2", "2", "2", "", "", "2", "2", "2", "seen shut", "Cy", row=row)
    assert acts(tmp_path)[-2:] == [PLAN, PROVE]


def test_a_line_of_the_emergency_page_is_written_at_any_time(tmp_path: Path) -> None:
    shown = more(tmp_path, "4", "lay-by", before=("Crag End",), row="Say where the site is")

    assert acts(tmp_path)[-1] == TELL_SITE
    assert "Muster point: lay-by" in shown


def test_the_latest_entry_is_taken_back_only_after_a_yes(tmp_path: Path) -> None:
    more(tmp_path, "", before=("Crag End",), row="Take back the latest entry.")
    assert answers(tmp_path) == {"job.site_name": "Crag End"}

    more(tmp_path, "yes", row="Take back the latest entry.")
    assert answers(tmp_path) == {}


def test_after_the_end_one_goes_on_reading_and_an_answer_changes_the_verdict(tmp_path: Path) -> None:
    listed, _ = talk(tmp_path, *GATE, *END)
    assert "What next?" in listed

    row = numbered(listed, "Look at the answers by place")
    _, verdict = talk(tmp_path, *END, row, "3", "2", "1")

    assert answers(tmp_path)["pump.thunder"] == "yes"
    assert verdict is Verdict.STOP


def test_office_answers_a_stop_reads_are_picked_again_before_they_are_told(tmp_path: Path) -> None:
    talk(tmp_path, *GATE, *END)
    answering.answer(context(tmp_path), GiveAnswer("7", "gate", "pump.thunder", "yes", source="office"))
    shown, _ = talk(tmp_path, "", "2")

    assert "The office has answered this. Look for yourself" in shown
    assert "Answered so far: Thunder" not in shown
    assert "The office said on 03 Feb 2031 15:30: Thunder heard. You say: No thunder. Yours counts." in flat(shown)
    assert answers(tmp_path)["pump.thunder"] == "no"


def test_an_answer_given_in_the_office_says_so(tmp_path: Path) -> None:
    talk(tmp_path, "Crag End", milestone="office")

    assert jobs.resume_job(context(tmp_path), "7").job.answers["job.site_name"].source == "office"


def test_a_dial_has_no_unit_beforehand(tmp_path: Path) -> None:
    bench = replace(context(tmp_path), rules=SHELF, local_codes=SHELF.local_codes)
    state = jobs.open_job(bench, jobs.OpenJob("en50110", "7"))
    interview = _Interview(bench, Lines(io.StringIO(), io.StringIO()), Wanted(tmp_path), "7")
    due = progress(bench, state, "gate")

    with pytest.raises(Refused, match="Write the unit the dial shows after the number: kPa"):
        interview._handled(state, due, "oil.gas_kpa", "-12")
    assert not jobs.resume_job(bench, "7").job.answers


def test_the_first_words_are_said_in_the_language_asked_for(tmp_path: Path) -> None:
    shelf = RuleShelf(shipped_rules(), "de")
    shown = io.StringIO()
    bench = replace(context(tmp_path), rules=shelf, local_codes=shelf.local_codes)
    run(bench, Lines(io.StringIO("q\n"), shown, fixed_sentences(shelf.words).say), Wanted(tmp_path))

    assert shown.getvalue().startswith("Dies ist eine Denkhilfe")
