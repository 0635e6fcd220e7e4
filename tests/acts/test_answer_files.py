"""Answer files: read with every fault told at once, written so that they read back the same."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskhelper.acts.context import Refused
from riskhelper.acts.job.answer_files import MOST_BYTES, AnswerFaults, AnswerFile, opened, written
from riskhelper.acts.job.answer_reading import read
from riskhelper.acts.job.from_file import enter, take
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.evidence import Answer, Job, PlannedControl, Proof
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.statement.header import Header
from tests.acts.small_rules import FILES, write_rules
from tests.acts.workbench import context

FRAME = 'schema = "riskhelper.answers/1"\nlocal = "dale"\n'
RULES: RuleSet = load_rules({name: text.encode() for name, text in FILES.items()}, "dale")


def reading(text: str | bytes) -> AnswerFile:
    data = text if isinstance(text, bytes) else text.encode("utf-8")
    return read(opened("answers.toml", data), RULES, "dale")


def faults(text: str | bytes) -> tuple[str, ...]:
    with pytest.raises(AnswerFaults) as refused:
        reading(text)
    return refused.value.faults


def test_answers_are_read_whichever_way_toml_lets_them_be_written() -> None:
    texts = (
        FRAME + '[answers]\n"pump.head_m" = 3.1\n"pump.state" = "running"',
        FRAME + '[answers]\npump.head_m = 3.1\npump.state = "running"',
        FRAME + '[answers.pump]\nhead_m = 3.1\nstate = "running"',
        FRAME + '[answers.pump]\nhead_m = { value = 3.1 }\nstate = { value = "running" }',
    )
    for text in texts:
        job = reading(text).job
        assert {name: answer.value for name, answer in job.answers.items()} == {
            "pump.head_m": pytest.approx(3.1),
            "pump.state": "running",
        }


def test_units_notes_and_sources_are_kept() -> None:
    answer = reading(
        FRAME + '[answers.pump]\nhead_m = { value = 10, unit = "ft", note = "by tape", source = "drawing 4" }'
    ).job.answers["pump.head_m"]

    assert answer.value == pytest.approx(3.048)
    assert (answer.typed, answer.unit, answer.note, answer.source) == ("10", "ft", "by tape", "drawing 4")


def test_lines_that_hold_and_lines_not_known_make_one_answer() -> None:
    file = reading(
        FRAME
        + 'not_known = ["pump.feeds:standby", "pump.head_m"]\n[answers.pump]\nfeeds = ["mains"]\nstate = "stopped"'
    )

    assert file.job.answers["pump.feeds"].value == {"mains": "yes", "standby": "not_known", "none_of_these": "no"}
    assert file.job.answers["pump.head_m"] == Answer(value=None)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "",
            'has no `schema`; an answer file for this program begins with `schema = "riskhelper.answers/1"`',
        ),
        ('schema = "riskhelper.answers/9"', "`schema` is `riskhelper.answers/9`"),
        (FRAME + "answer = 3", "`answer`: not known here; did you mean `answers`?"),
        (FRAME + "job = 7", "answers.toml, line 3, `job`: `7` should be text in quotes"),
        (FRAME + "answers = 3", "`answers`: should be a table of answers"),
        (
            FRAME + "[answers.pump]\nhead = 3",
            "line 4, `answers.pump.head`: no such question; did you mean `pump.head_m`?",
        ),
        (FRAME + "[answers]\nmoon.phase = 3", "no such question"),
        (
            FRAME + '[answers.pump]\nhead_m = "3"',
            "line 4, `answers.pump.head_m`: `3` should be a number without quotes, in m",
        ),
        (FRAME + "[answers.pump]\nhead_m = true", "`True` should be a number without quotes"),
        (FRAME + "[answers.pump]\nhead_m = nan", "`nan` is no number that can be measured"),
        (FRAME + "[answers.pump]\nhead_m = -inf", "`-inf` is no number that can be measured"),
        (FRAME + "[answers.pump]\nhead_m = 1e300", "line 4, `answers.pump.head_m`:"),
        (FRAME + "[answers.pump]\nhead_m = 150", "line 4, `answers.pump.head_m`:"),
        (FRAME + "[answers.pump]\nhead_m = 3.14", "line 4, `answers.pump.head_m`:"),
        (FRAME + "[answers.pump]\nhead_m = [3]", "`[3]` should be a number without quotes"),
        (FRAME + '[answers.pump]\nhead_m = { value = 3, unit = "kPa" }', "line 4, `answers.pump.head_m`:"),
        (
            FRAME + "[answers.pump]\nhead_m = { value = 3, units = 1 }",
            "key `units` is not known here; did you mean `unit`?",
        ),
        (FRAME + "[answers.pump]\nhead_m = { value = 3, unit = 1 }", "unit, note and source are text in quotes"),
        (
            FRAME + '[answers.pump]\nstate = "runing"',
            "`runing` is no answer to this question; did you mean `running`?",
        ),
        (FRAME + "[answers.pump]\nthunder = false", '`false` should be one of "yes", "no", in quotes'),
        (FRAME + '[answers.pump]\nfeeds = "mains"', '`mains` should be a list of lines that hold, such as ["mains"]'),
        (FRAME + '[answers.pump]\nfeeds = ["moon"]', "`moon` is no line of this question; known are `mains`"),
        (
            FRAME + '[answers.pump]\nfeeds = ["mains", "none_of_these"]',
            "`none_of_these` excludes the rest, but mains was given too",
        ),
        (FRAME + '[answers.job]\nplant_id = "P2\\u001b[2J"', "line 4, `answers.job.plant_id`:"),
        (FRAME + '[answers.job]\nplant_id = "' + "P" * 100_000 + '"', "line 4, `answers.job.plant_id`:"),
        (FRAME + "[answers.job]\nplant_id = 2031-02-03", "should be text in quotes"),
        (FRAME + "[answers.pump]\nfeeds = []", "line 4, `answers.pump.feeds`: Nothing was chosen"),
        (FRAME + 'not_known = "pump.head_m"', "`not_known`: should be a list of questions in quotes"),
        (FRAME + 'not_known = ["pump.head"]', "no question `pump.head`; did you mean `pump.head_m`?"),
        (FRAME + 'not_known = ["pump.feeds:moon"]', "`moon` is no line of `pump.feeds`"),
        (FRAME + 'not_known = ["pump.head_m:x"]', "`x` is no line of `pump.head_m`"),
        (
            FRAME + 'not_known = ["pump.head_m"]\n[answers.pump]\nhead_m = 3',
            "`pump.head_m` is answered as well as not known. Keep one of the two",
        ),
        (
            FRAME + 'not_known = ["pump.feeds:mains"]\n[answers.pump]\nfeeds = ["mains"]',
            "`pump.feeds:mains` holds and is not known. Keep one of the two",
        ),
        (FRAME + 'milestone = "gat"', "`gat` is no milestone; did you mean `gate`?"),
        (FRAME + "[planned]\npump.second_valv = {}", "no such control; did you mean `pump.second_valve`?"),
        (FRAME + "[planned]\npump.second_valve = 3", "should be a table with `by`, `evidence`"),
        (FRAME + '[planned."pump.second_valve"]\nwho = "Bo"', "`planned.pump.second_valve.who`: not known here"),
        (FRAME + '[proved."pump.second_valve"]\nevidence = "x"', "a proof needs `evidence` and `who`"),
        (FRAME + "header = 3", "`header`: should be a table"),
        (FRAME + '[header]\nplace = "x"', "`header.place`: not known here"),
        (FRAME + "[header]\nsite = 3", "line 4, `header.site`: `3` should be text in quotes"),
        (
            FRAME + '[header]\nwork_leader = "' + "a" * 5_000 + '"',
            "must be at most 2000 characters; you entered 5000",
        ),
        (FRAME + '[header]\nwork_leader = "Ada\\u202eatsuQ"', "holds characters that cannot be printed"),
        (FRAME + "[answers.pump]\nhead_m = ", "line 4: is not valid TOML"),
        (FRAME + "[answers.pump]\nhead_m = 3\nhead_m = 4", "is not valid TOML"),
        (FRAME + '[answers.pump]\nstate = "runn', "is not valid TOML"),
        (FRAME.encode() + b'[answers.job]\nplant_id = "\xe9"', "line 4: is not UTF-8 text; save it as UTF-8"),
        (FRAME + "a = " + "[" * 50_000, "answers.toml"),
        (b"\x00" * 100, "answers.toml"),
        (FRAME + "#" * 10_000_000, f"has more than {MOST_BYTES:,} bytes, the most an answer file may have"),
        (
            FRAME + "[answers.pump]\nhead_m = " + "9" * 5000,
            "a number in it has thousands of digits; mend it",
        ),
        (FRAME + "job = " + "[" * 5000, "is not valid TOML: it is nested too deeply; mend it and load again"),
    ],
)
def test_each_fault_says_where_what_and_what_was_expected(text: str | bytes, words: str) -> None:
    found = faults(text)

    assert words in "\n".join(found)
    assert found[0].startswith("answers.toml")


def test_every_fault_is_told_in_one_pass() -> None:
    text = (
        FRAME
        + 'not_known = ["moon"]\n[answers.pump]\nhead_m = 150\nstate = "flying"\nthunder = 3\n[planned]\nx.y = {}'
    )

    assert len(faults(text)) == 5


def test_messages_hold_no_characters_that_move_the_cursor() -> None:
    shown = "\n".join(faults(FRAME + '[answers."\\u001b[2J"]\nx = 3\n[answers.pump]\nstate = "\\u001b[2J"'))

    from riskhelper.acts.telling import told

    assert "\x1b" in shown or "?" in shown
    assert all("\x1b" not in line for line in told(AnswerFaults(shown.splitlines())))


words = st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=30)
some_answers: st.SearchStrategy[Mapping[str, Answer]] = st.fixed_dictionaries(
    {},
    optional={
        "job.plant_id": words.map(lambda w: Answer(value=w)),
        "pump.state": st.sampled_from(["running", "stopped", None]).map(lambda v: Answer(value=v)),
        "pump.head_m": st.integers(-10, 250).map(lambda n: Answer(value=round(n / 10, 1))),
        "pump.thunder": st.sampled_from(["yes", "no"]).map(lambda v: Answer(value=v, note="seen")),
        "pump.feeds": st.fixed_dictionaries(
            {"mains": st.sampled_from(["yes", "no"]), "standby": st.sampled_from(["yes", "no", "not_known"])}
        ).map(lambda marks: Answer(value={**marks, "none_of_these": "no" if {*marks.values()} != {"no"} else "yes"})),
    },
)


@given(some_answers, words)
def test_a_file_written_reads_back_as_the_same_job(answers: Mapping[str, Answer], name: str) -> None:
    job = Job(
        answers=answers,
        planned={"pump.second_valve": PlannedControl(by=name, evidence="seen")},
        proved={"pump.stand_aside": Proof(evidence="photo", who=name, second="Bo")},
        number="7",
        local_code="dale",
    )
    header = Header(record_number="7", site=name, emergency_numbers=(("control room", "555"),))
    back = reading(written(AnswerFile(job, "office", header), RULES))

    assert {q: (a.value, a.note) for q, a in back.job.answers.items()} == {
        q: (a.value, a.note) for q, a in answers.items()
    }
    assert (back.job.planned, back.job.proved, back.milestone) == (job.planned, job.proved, "office")
    assert back.header == header


def test_a_number_typed_in_another_unit_is_written_as_it_was_typed() -> None:
    text = FRAME + '[answers.pump]\nhead_m = { value = 10, unit = "ft" }'
    again = written(reading(text), RULES)

    assert b'unit = "ft"' in again
    assert reading(again).job.answers == reading(text).job.answers


def test_a_file_is_entered_into_a_store_as_entries_and_taken_up_when_it_is_there(tmp_path: Path) -> None:
    bench = context(tmp_path)
    file = reading(FRAME + 'job = "7"\n[answers.pump]\nhead_m = 3\n[planned."pump.second_valve"]\nby = "Bo"')
    first = enter(bench, file)
    second = enter(bench, file)

    assert first.job.answers["pump.head_m"].value == 3
    assert first.job.planned["pump.second_valve"].by == "Bo"
    assert len(bench.store.entries("7")) == 3
    assert second.history.last_number == first.history.last_number


def test_the_local_code_of_a_file_stays_fixed(tmp_path: Path) -> None:
    shelf = RuleShelf(write_rules(tmp_path / "rules"))
    file = tmp_path / "a.toml"
    file.write_text(FRAME, encoding="utf-8")

    with pytest.raises(Refused, match="was opened under local code `dale`, which stays fixed; you asked for `fell`"):
        take(file, shelf, "fell")
    file.write_text(FRAME.replace("dale", "dael"), encoding="utf-8")
    with pytest.raises(Refused, match="local code `dael` is not known; known are `dale`, `fell`"):
        take(file, shelf)


def test_a_file_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    shelf = RuleShelf(write_rules(tmp_path / "rules"))

    with pytest.raises(Refused, match="cannot be read"):
        take(tmp_path / "none.toml", shelf)
    with pytest.raises(Refused, match="cannot be read"):
        take(tmp_path, shelf)
