"""Whatever is typed, the interview never crashes and never loses an answer it has shown as saved."""

from __future__ import annotations

import io
import re
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from riskhelper.acts.job import jobs
from riskhelper.plain.interview import Wanted, run
from riskhelper.plain.lines import Lines
from tests.acts.workbench import context
from tests.plain.test_interview import GATE
from tests.thoroughness import examples

keys = st.sampled_from(
    [
        "1",
        "2",
        "3",
        "1 2",
        "?2",
        "?",
        "<",
        "u",
        "!",
        "h",
        "",
        "yes",
        "+ note",
        "+",
        "3.1",
        "20",
        "-0.5",
        "150",
        "4",
        "nan",
    ]
)
SAVED = re.compile(r"(?:^Answer:|again:) Saved(?:: | as not known)", re.MULTILINE)
lines_typed = st.lists(keys | st.text(max_size=12).filter(lambda t: "\n" not in t and "\r" not in t), max_size=25)


@settings(max_examples=examples(20), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, len(GATE)), lines_typed, lines_typed)
def test_two_sittings_of_random_lines_keep_every_answer(head: int, first: list[str], second: list[str]) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for typed in ([*GATE[:head], *first], second):
            shown = io.StringIO()
            before = len(context(folder).store.entries("7"))
            given_lines = io.StringIO("".join(f"{line}\n" for line in typed))
            run(context(folder), Lines(given_lines, shown), Wanted(folder / "papers", job="7", local_code="dale"))
            entries = context(folder).store.entries("7")[before:]
            acts = [entry.draft.act for entry in entries]

            assert acts.count("answer") == len(SAVED.findall(shown.getvalue()))
            assert acts.count("take back") == shown.getvalue().count("Taken back: entry")
        assert jobs.resume_job(context(folder), "7").number == "7"
