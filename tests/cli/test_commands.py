"""Each command: data on standard output, words on standard error, its exit code."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from riskhelper.cli.exits import EXIT_WORDS, ExitCode
from tests.acts.small_rules import write_rules
from tests.cli.running import ROOT, environment, riskhelper

ANSWERS = """
schema = "riskhelper.answers/1"
job = "7"
local = "dale"
[answers.job]
site_name = "Crag End"
plant_id = "P2"
[answers.pump]
state = "running"
thunder = "no"
unwell = "no"
head_m = 3.1
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    write_rules(tmp_path / "rules")
    (tmp_path / "answers.toml").write_text(ANSWERS, encoding="utf-8")
    return tmp_path


def put(home: Path, old: str, new: str) -> None:
    (home / "answers.toml").write_text(ANSWERS.replace(old, new), encoding="utf-8")


def test_every_exit_code_is_documented_in_the_help() -> None:
    assert set(EXIT_WORDS) == set(ExitCode)


def test_the_help_lists_commands_and_exit_codes(home: Path) -> None:
    done = riskhelper(home, "--help")

    assert done.returncode == ExitCode.NO_STOP_FOUND
    assert all(words in done.stdout for words in EXIT_WORDS.values())


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("running", "stopped", ExitCode.CONDITIONS),
        ('thunder = "no"', 'thunder = "yes"', ExitCode.STOP),
        ("head_m = 3.1", "head_m = 15", ExitCode.STOP),
        ("head_m = 3.1", "head_m = 150", ExitCode.BAD_INPUT),
        ("head_m = 3.1", "head_m = ", ExitCode.BAD_INPUT),
    ],
)
def test_assess_ends_with_the_verdict_as_its_exit_code(home: Path, old: str, new: str, code: ExitCode) -> None:
    put(home, old, new)

    assert riskhelper(home, "--rules", "rules", "assess", "answers.toml").returncode == code


def test_assess_without_any_condition_ends_with_nought(home: Path) -> None:
    put(home, "running", "stopped")
    file = home / "answers.toml"
    file.write_text(
        file.read_text(encoding="utf-8").replace(
            'state = "stopped"', 'state = "stopped"\nfeeds = ["mains"]\ndrip_dry = "yes"'
        ),
        encoding="utf-8",
    )
    done = riskhelper(home, "--rules", "rules", "assess", "answers.toml", "--milestone", "valve_holds")

    assert "Verdict at valve holds: NO STOP FOUND" in done.stdout
    assert done.returncode == ExitCode.NO_STOP_FOUND


def test_assess_prints_the_findings_with_the_caution_first_and_last(home: Path) -> None:
    done = riskhelper(home, "--rules", "rules", "assess", "answers.toml")
    lines = done.stdout.splitlines()

    assert lines[0] == lines[-1]
    assert "not a permission to start" in lines[0]
    assert "Verdict at gate: CONDITIONS" in lines
    assert done.stderr == ""


def test_assess_prints_json_that_a_program_reads(home: Path) -> None:
    data = json.loads(riskhelper(home, "--rules", "rules", "assess", "answers.toml", "--json").stdout)

    assert (data["schema"], data["job"], data["verdict"]) == ("riskhelper.assessment/1", "7", "CONDITIONS")
    assert data["hazards"][0]["id"] == "pump.burst"
    assert data["hazards"][0]["as_found"]["likelihood"] == 2
    assert data["rules"][0]["name"] == "base"


def test_assess_writes_the_papers_where_it_is_told(home: Path) -> None:
    done = riskhelper(
        home,
        "--rules",
        "rules",
        "assess",
        "answers.toml",
        "--pdf",
        "out/a.pdf",
        "--text",
        "out/a.txt",
        "--paper",
        "Letter",
    )

    assert (home / "out/a.pdf").read_bytes().startswith(b"%PDF-")
    assert "CONDITIONS" in (home / "out/a.txt").read_text(encoding="utf-8")
    assert "out/a.pdf" in done.stderr
    assert done.returncode == ExitCode.CONDITIONS


def test_assess_says_when_a_paper_cannot_be_written(home: Path) -> None:
    (home / "out").write_text("a file in the way", encoding="utf-8")
    done = riskhelper(home, "--rules", "rules", "assess", "answers.toml", "--text", "out/a.txt")

    assert done.returncode == ExitCode.BAD_INPUT
    assert "could not be written" in done.stderr


def test_assess_names_answers_that_have_no_effect(home: Path) -> None:
    put(home, 'state = "running"', 'state = "running"\nfeeds = ["mains"]')
    done = riskhelper(home, "--rules", "rules", "assess", "answers.toml")

    assert done.stderr == "Kept without effect, as it is not asked: pump.feeds\n"


def test_a_job_without_a_local_code_is_a_stop(home: Path) -> None:
    put(home, 'local = "dale"\n', "")
    done = riskhelper(home, "--rules", "rules", "assess", "answers.toml")

    assert done.returncode == ExitCode.STOP
    assert "No local code" in done.stdout


def test_bad_rules_are_told_with_file_and_line_and_have_their_own_exit_code(home: Path) -> None:
    pump = home / "rules" / "pump.toml"
    pump.write_text(
        pump.read_text(encoding="utf-8").replace("pump.head_m >= 10", "pump.hed_m >= 10"), encoding="utf-8"
    )
    done = riskhelper(home, "--rules", "rules", "assess", "answers.toml")

    assert done.returncode == ExitCode.BAD_RULES
    assert "pump.toml, line" in done.stderr
    assert "did you mean `pump.head_m`?" in done.stderr
    assert done.stdout == ""


def test_a_folder_without_rules_has_the_same_exit_code(home: Path) -> None:
    done = riskhelper(home, "--rules", "nowhere", "where")

    assert done.returncode == ExitCode.BAD_RULES
    assert "no rule set there" in done.stderr


@pytest.mark.parametrize("words", [["asses"], ["assess"], ["assess", "a.toml", "--jsn"], ["--nothing"]])
def test_a_command_line_not_understood_ends_with_two(home: Path, words: list[str]) -> None:
    done = riskhelper(home, *words)

    assert done.returncode == ExitCode.USAGE
    assert done.stdout == ""


def test_where_prints_every_place(home: Path) -> None:
    done = riskhelper(home, "--rules", "rules", "where", "--json")
    lies = json.loads(done.stdout)

    assert lies["store"] == str(home / ".local/share/riskhelper/record.sqlite")
    assert lies["configuration"] == f"{home / '.config/riskhelper/config.toml'} (not there yet)"
    assert lies["rules"] == "rules"
    assert lies["log"] == str(home / ".local/state/riskhelper/log/riskhelper.log")


def test_a_wrong_configuration_is_told_by_every_command(home: Path) -> None:
    config = home / ".config/riskhelper/config.toml"
    config.parent.mkdir(parents=True)
    config.write_text('paper = "A5"', encoding="utf-8")
    done = riskhelper(home, "where")

    assert done.returncode == ExitCode.BAD_INPUT
    assert "key `paper`: `A5` should be `A4` or `Letter`" in done.stderr


def test_questions_prints_the_bank_and_those_asked_for_given_answers(home: Path) -> None:
    bank = riskhelper(home, "--rules", "rules", "questions", "--local", "dale").stdout
    asked = riskhelper(home, "--rules", "rules", "questions", "--for", "answers.toml").stdout

    assert "pump.feeds (Van, office)" in bank
    assert "pump.drip_dry" in bank
    assert "pump.feeds" not in asked
    assert "pump.drip_dry" not in asked
    assert "pump.head_m (Valve)" in asked


def test_compute_runs_one_calculation_and_names_its_source(home: Path) -> None:
    done = riskhelper(home, "compute", "oil.density", "liquid=mineral", "oil_c=20")

    assert done.returncode == ExitCode.NO_STOP_FOUND
    assert done.stdout.startswith("880 kg/m3\n")
    assert "source:" in done.stdout


def test_compute_reads_a_published_table_by_its_id(home: Path) -> None:
    words = ["voltage_kv=110", "altitude_m=0", "person=skilled"]
    done = riskhelper(home, "compute", "approach.no_closer_distance", "table=en_50110_1_a1", *words, "--json")
    wrong = riskhelper(home, "compute", "approach.no_closer_distance", "table=en_50110", *words)

    # EN 50110-1 Table A.1: 110 kV, inner distance 1.0 m
    assert json.loads(done.stdout)["outcome"] == "Computed"
    assert json.loads(done.stdout)["value"] == pytest.approx(1.0)
    assert "there is no table `en_50110`; did you mean `en_50110_1_a1`?" in wrong.stderr


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["oil.densty", "liquid=mineral"], "there is no calculation `oil.densty`; did you mean `oil.density`?"),
        (["oil.density", "liquid=mineral"], "also needs oil_c"),
        (
            ["oil.density", "liquid=mineral", "oil_c=warm"],
            "`oil_c` must be a number, such as 3.1 or 3.1 +/- 0.3; you entered `warm`",
        ),
        (["oil.density", "liquid=mineral", "oil_c=nan"], "`oil_c` must be a finite number; you entered `nan`"),
        (["oil.density", "liquid=mineral", "oil_c=20", "oil_c=30"], "`oil_c` is given twice"),
        (["oil.density", "liquid=mineral", "oil=20"], "there is no input `oil`; did you mean `oil_c`?"),
        (["oil.density", "liquid"], "should be written as name=value"),
        ([], "name a calculation"),
    ],
)
def test_compute_says_what_is_wrong_with_its_inputs(home: Path, words: list[str], message: str) -> None:
    done = riskhelper(home, "compute", *words)

    assert done.returncode == ExitCode.BAD_INPUT
    assert message in done.stderr


def test_compute_carries_a_hard_bound_through(home: Path) -> None:
    words = ["cushion_kpa=0", "liquid=mineral", "oil_c=38"]
    done = riskhelper(home, "compute", "oil.valve_pressure_kpa", "head_m=3.1 +/- 0.3", *words)

    # rho = 880 / (1 + 0.00075 x 18) = 868.3 kg/m3 give or take 1 %; 859.6 x 9.81 x 2.8 and 877.0 x 9.81 x 3.4
    assert done.stdout.startswith("23.6114 to 29.2502 kPa\n")
    assert "head_m = 2.8 to 3.4" in done.stdout


def test_compute_lists_every_calculation(home: Path) -> None:
    from riskhelper.calc.all_subjects import complete_catalogue

    lines = riskhelper(home, "compute", "--list").stdout.splitlines()

    assert [line.partition(" ")[0] for line in lines] == list(complete_catalogue())


def test_the_interview_killed_between_two_answers_goes_on_at_the_same_question(home: Path) -> None:
    command = [sys.executable, "-m", "riskhelper", "--rules", "rules", "interview", "--job", "7", "--local", "dale"]
    running = subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=environment(home), cwd=home, text=True
    )
    assert running.stdin is not None
    assert running.stdout is not None
    running.stdin.write("Crag End\nP2\n")
    running.stdin.flush()
    assert any("pump do while you work" in line for line in iter(running.stdout.readline, ""))
    running.send_signal(signal.SIGKILL)
    running.communicate()
    done = riskhelper(home, "--rules", "rules", "interview", "--job", "7")

    assert "Taking up job 7 again" in done.stdout
    assert "Question 3 of about" in done.stdout
    assert done.returncode == ExitCode.LEFT


def test_the_interview_reaches_its_end_over_a_pipe(home: Path) -> None:
    typed = "Crag End\nP2\n1\n2\n2\n3.1\n4\n\n\n"  # the last two leave the emergency page and the plan as they are
    done = riskhelper(
        home, "--rules", "rules", "interview", "--job", "7", "--local", "dale", "--papers", "out", typed=typed
    )

    assert done.returncode == ExitCode.CONDITIONS
    assert len(list((home / "out").iterdir())) == 2


def test_input_that_is_not_utf_8_is_refused_and_nothing_is_lost(home: Path) -> None:
    done = riskhelper(
        home, "--rules", "rules", "interview", "--job", "7", "--local", "dale", typed=b"Cr\xe9g End\nCrag End\nq\n"
    )

    assert "That line is not UTF-8 text. Nothing was saved." in done.stdout
    assert "Saved: Crag End" in done.stdout


def test_without_a_command_and_without_a_terminal_plain_lines_come(home: Path) -> None:
    done = riskhelper(home, "--rules", "rules", "--job", "7", "--local", "dale", typed="q\n")

    assert "Question 1 of about" in done.stdout
    assert done.returncode == ExitCode.LEFT


def test_a_store_that_is_no_store_is_told(home: Path) -> None:
    (home / "letter.txt").write_text("Dear sir, " * 100, encoding="utf-8")
    done = riskhelper(home, "--rules", "rules", "--store", "letter.txt", "interview")

    assert done.returncode == ExitCode.STORE
    assert "Keep the file as it is" in done.stderr


def test_a_fault_of_the_program_leaves_a_report_and_one_plain_sentence(home: Path) -> None:
    code = (
        "import sys; from riskhelper.cli import placed; from riskhelper.cli.run import main\n"
        "def broken(place, given): raise RuntimeError('gone')\n"
        "placed._command = lambda name: broken\n"
        "sys.exit(main(['where']))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=environment(home), cwd=home, check=False
    )
    (report,) = (home / ".local/state/riskhelper/log").glob("crash-*.txt")

    assert done.returncode == ExitCode.UNEXPECTED
    assert done.stderr.count("\n") == 1
    assert str(report) in done.stderr
    told = report.read_text(encoding="utf-8")
    assert told.endswith("RuntimeError")
    assert "RuntimeError: gone" not in told


@pytest.mark.parametrize(
    ("words", "absent"),
    [
        (["--rules", "rules", "assess", "answers.toml"], {"textual", "fpdf"}),
        (["compute", "oil.density", "liquid=mineral", "oil_c=20"], {"textual", "fpdf", "pydantic", "sqlite3"}),
        (["--rules", "rules", "assess", "answers.toml", "--pdf", "a.pdf"], {"textual"}),
    ],
)
def test_a_command_loads_only_what_it_needs(home: Path, words: list[str], absent: set[str]) -> None:
    code = f"import sys; from riskhelper.cli import main; main({words!r}); print(*sys.modules, file=sys.stderr)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=environment(home), cwd=home, check=True
    )
    loaded = {name.split(".")[0] for name in done.stderr.split()}

    assert "riskhelper" in loaded
    assert loaded.isdisjoint(absent)


def test_output_cut_short_by_its_reader_is_no_crash(home: Path) -> None:
    done = subprocess.run(
        f"{sys.executable} -m riskhelper questions | head -n 1",
        shell=True,
        capture_output=True,
        text=True,
        env=environment(home),
        cwd=home,
        check=True,
    )

    assert "Traceback" not in done.stderr
    assert "fault" not in done.stderr


def test_the_package_of_the_checkout_is_the_one_under_test(home: Path) -> None:
    code = "import riskhelper; print(riskhelper.__file__)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=environment(home), cwd=home, check=True
    )

    assert Path(done.stdout.strip()).parent == ROOT / "riskhelper"
    assert os.path.isdir(ROOT / "rules")
