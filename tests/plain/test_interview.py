"""The interview in plain lines, driven as a person would: line by line."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from riskhelper.acts.job import jobs
from riskhelper.plain.interview import Wanted, run
from riskhelper.plain.lines import LONGEST_LINE, Lines
from riskhelper.terms import Verdict
from tests.acts.workbench import Clock, context

GATE = ("Crag End", "P2", "1", "2", "2", "3.1")  # running, no thunder, nobody ill, 3.1 m
END = ("4", "", "")  # end the planning, leave the emergency page and the plan as they are


def talk(
    folder: Path, *typed: str, clock: Clock | None = None, rehearsal: bool = False, **wanted: str
) -> tuple[str, Verdict | None]:
    """What is shown for what is typed, and how it ended."""
    shown = io.StringIO()
    lines = Lines(io.StringIO("".join(f"{line}\n" for line in typed)), shown)
    settings = {"job": "7", "local_code": "dale", **wanted}
    verdict = run(context(folder, clock, rehearsal=rehearsal), lines, Wanted(folder / "papers", **settings))
    return shown.getvalue(), verdict


def answers(folder: Path) -> dict[str, object]:
    return {q: a.value for q, a in jobs.resume_job(context(folder), "7").job.answers.items()}


def flat(shown: str) -> str:
    """The text without its line breaks, so that sentences are found whole."""
    return " ".join(shown.split())


def test_the_interview_goes_from_the_first_question_to_the_papers(tmp_path: Path) -> None:
    shown, verdict = talk(tmp_path, *GATE, *END)

    assert verdict is Verdict.CONDITIONS
    assert answers(tmp_path)["pump.head_m"] == pytest.approx(3.1)
    assert "Question 1 of about 7. Van." in shown
    assert "Verdict at gate: CONDITIONS" in shown
    papers = sorted(path.suffix for path in (tmp_path / "papers").iterdir())
    assert papers == [".pdf", ".txt"]


def test_each_question_is_asked_with_its_reason_and_its_choices_as_sentences(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag End", "P2")

    assert (
        "What will the pump do while you work?\nWhy: A running pump pulls.\n  1. It runs.\n  2. It stands still"
        in shown
    )


def test_do_not_know_is_saved_and_says_what_to_do(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag End", "?")

    assert answers(tmp_path)["job.plant_id"] is None
    assert "It counts at its worst.\nTo do: Ask the control room." in shown


def test_the_end_of_the_input_leaves_and_every_answer_is_kept(tmp_path: Path) -> None:
    shown, verdict = talk(tmp_path, "Crag End", "P2")

    assert verdict is None
    assert answers(tmp_path) == {"job.site_name": "Crag End", "job.plant_id": "P2"}
    assert "riskhelper interview --job 7" in shown


def test_taken_up_again_it_goes_on_at_the_same_question_and_tells_the_pause(tmp_path: Path) -> None:
    clock = Clock()
    talk(tmp_path, "Crag End", "P2", "q", clock=clock)
    clock.move(95)
    shown, _ = talk(tmp_path, clock=clock)

    assert "Taking up job 7 again after a pause of 95 minutes." in shown
    assert "Question 3 of about" in shown
    assert "What will the pump do while you work?" in shown


def test_an_answer_that_aged_is_named_and_asked_again(tmp_path: Path) -> None:
    clock = Clock()
    talk(tmp_path, *GATE, clock=clock)
    clock.move(61)
    shown, _ = talk(tmp_path, clock=clock)

    assert "This answer has aged and is asked again: Do you hear thunder?" in shown


def test_back_asks_the_question_before_and_enter_keeps_it(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag End", "P2", "<", "", "1")

    assert "Answered so far: P2.\nEnter alone keeps it." in shown
    assert answers(tmp_path) == {"job.site_name": "Crag End", "job.plant_id": "P2", "pump.state": "running"}


def test_back_reaches_the_first_question_and_says_so_there(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag End", "<", "<")

    assert "This is the first question" in shown


def test_a_change_says_first_what_falls_away_and_is_made_only_on_yes(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag End", "P2", "2", "1 ?2", "<", "<", "1", "", "1", "yes")

    assert "no longer be asked; its answer is kept without effect: Which feeds does the drawing show?" in flat(shown)
    assert "Not saved." in shown
    assert answers(tmp_path)["pump.state"] == "running"
    assert answers(tmp_path)["pump.feeds"] == {"mains": "yes", "standby": "not_known", "none_of_these": "no"}


def test_outside_the_usual_range_is_confirmed(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, *GATE[:-1], "20", "", "20", "yes")

    assert shown.count("Type yes to keep it") == 2
    assert answers(tmp_path)["pump.head_m"] == pytest.approx(20)


def test_a_stop_is_told_at_once(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, *GATE[:3], "1")

    assert "STOP: Thunder near." in shown
    assert "What to do: Go indoors." in shown


def test_notes_findings_help_and_undo_leave_the_question_open(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag End", "+ board is faded", "!", "h", "")

    assert "Note saved." in shown
    assert "Questions still to be answered: 6." in shown
    assert " ".join(shown.split()).count("Every answer is saved at once.") == 2
    assert "Nothing was entered." in shown
    assert answers(tmp_path) == {"job.site_name": "Crag End"}


def test_undo_takes_the_last_answer_back_and_asks_it_again(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag Edn", "u", "Crag End")

    assert "It stays in the record." in shown
    assert answers(tmp_path) == {"job.site_name": "Crag End"}


def test_private_questions_say_so(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, *GATE[:4])

    assert "Private: ask the person alone." in shown


@pytest.mark.parametrize(
    "nonsense", ["9", "0", "-1", "maybe", "\x1b[2J", "1" * 5_000, "\u202e1", "2.5", "yes no", "\udcff"]
)
def test_nonsense_is_refused_and_the_same_question_stays(tmp_path: Path, nonsense: str) -> None:
    shown, _ = talk(tmp_path, "Crag End", "P2", nonsense, "2")

    assert answers(tmp_path)["pump.state"] == "stopped"
    assert "\x1b" not in shown
    assert "\u202e" not in shown


def test_a_line_without_end_is_refused_as_a_whole(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "x" * (3 * LONGEST_LINE), "Crag End")

    assert f"more than {LONGEST_LINE} characters" in shown
    assert answers(tmp_path) == {"job.site_name": "Crag End"}


def test_controls_are_offered_one_by_one_higher_kinds_first(tmp_path: Path) -> None:
    shown, verdict = talk(tmp_path, *GATE[:-1], "15", "yes", "1", "", "", "2", "", "")
    planned = jobs.resume_job(context(tmp_path), "7").job.planned

    assert verdict is Verdict.CONDITIONS
    assert set(planned) == {"pump.second_valve"}
    assert shown.index("Fit a second valve") < shown.index("Stand to the side")
    assert "It counts as proved only when its evidence is recorded." in shown


def test_without_a_plan_an_unacceptable_hazard_ends_in_stop(tmp_path: Path) -> None:
    _, verdict = talk(tmp_path, *GATE[:-1], "15", "yes", *END)

    assert verdict is Verdict.STOP


def test_the_plan_is_handed_over_only_on_yes(tmp_path: Path) -> None:
    talk(tmp_path, *GATE, *END)
    assert not jobs.resume_job(context(tmp_path), "7").history.plan_requested
    talk(tmp_path, "4", "", "yes")

    assert jobs.resume_job(context(tmp_path), "7").history.plan_requested


def test_a_line_of_the_emergency_page_is_given_once_and_stands_on_the_paper(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, *GATE, "4", "muster point: red gate", "Bosun : 555 0100", "Ambulance:", "", "")
    (paper,) = (tmp_path / "papers").glob("*.txt")
    page = flat(paper.read_text(encoding="utf-8"))

    assert "Nobody has said this yet for the emergency page: - Address" in flat(shown)
    assert "Nothing was written." in shown
    assert "Muster point: red gate" in page
    assert "Bosun: 555 0100" in page


def test_a_new_job_without_a_code_asks_for_one_among_those_that_exist(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "2", "q", job="", local_code="")

    assert "1. Dale water rules (dale)" in shown
    assert jobs.list_jobs(context(tmp_path))[0].local_code == "fell"


def test_jobs_in_the_store_are_offered_by_number(tmp_path: Path) -> None:
    talk(tmp_path, "Crag End", "q")
    shown, _ = talk(tmp_path, "7", "q", job="")

    assert "7: 1 answers" in shown
    assert "Taking up job 7 again" in shown


def test_a_rehearsal_is_marked_from_the_first_line_to_the_paper(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, *GATE, *END, rehearsal=True)
    (paper,) = (tmp_path / "papers").glob("*.txt")

    assert shown.startswith("REHEARSAL. NOT FOR WORK.")
    assert "REHEARSAL" in paper.read_text(encoding="utf-8")


def test_no_line_is_wider_than_a_terminal_and_none_moves_the_cursor(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, "Crag End \u2265 " + "long " * 30, *GATE[1:], *END)

    assert max(len(line) for line in shown.splitlines() if not line.startswith(str(tmp_path))) < 200
    assert all(character.isprintable() or character == "\n" for character in shown)


def test_it_never_promises(tmp_path: Path) -> None:
    shown, _ = talk(tmp_path, *GATE, *END)

    assert "safe" not in shown.lower().split()
    assert "aid to thinking, not a permission to start" in flat(shown)
