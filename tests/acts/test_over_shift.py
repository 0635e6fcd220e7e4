"""HOV-04, guidance on permits (published): work longer than one shift is flagged while it is planned, everywhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.permit import permit_words, permits
from riskhelper.acts.permit.permit_papers import DrawPermit, document
from riskhelper.acts.plan import plan_words
from riskhelper.acts.plan.plan_reading import begin_look, read_plan
from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job
from riskhelper.paper.text import to_text
from riskhelper.statement.build import method_statement
from riskhelper.statement.header import Header
from riskhelper.statement.over_shift import KNOWN, NOT_KNOWN, over_shift
from riskhelper.statement.permit_sheet import CopyShown
from riskhelper.statement.summary import summary_page
from riskhelper.terms import APPROVAL
from tests.acts import small_rules
from tests.acts.crew import Crew
from tests.acts.test_permits import did, drawn_up
from tests.content.shipped import NOW, rules

HOURS = """
[question.pump.hours]
ask = "How long will it take?"
why = "People tire."
type = "number"
place = "gate"
asked_at = "gate"
unit = "h"
range = [0.5, 14]
usual = [1, 8]
step = 0.5
if_unknown = "Ask the work leader."
"""


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Crew:
    """A plan of ten hours under rules whose shift has eight."""
    head = small_rules.HEAD.replace("\n[[ruleset", 'over_shift = "pump.hours > 8"\n\n[[ruleset', 1)
    monkeypatch.setitem(small_rules.FILES, "ruleset.toml", head)
    monkeypatch.setitem(small_rules.FILES, "pump.toml", small_rules.PUMP + HOURS)
    made = drawn_up(tmp_path)
    answering.answer(made.bench, GiveAnswer("7", "gate", "pump.hours", "10"))
    did(made, "requester", "request")
    did(made, "evaluator", "evaluate")
    return made


def test_whoever_reads_the_waiting_plan_is_told(made: Crew) -> None:
    """HOV-04, in the words of screen and plain lines alike."""
    state, entries = resume_job(made.bench, "7"), made.bench.store.entries("7")
    found = assess(state.rules, state.job, APPROVAL, made.clock())
    read = read_plan(made.bench, state, entries, found, begin_look(made.bench, entries))

    assert plan_words.stands_words(read).endswith(" The work is planned longer than one shift.")


def test_the_approval_says_how_each_shift_ends_and_the_permit_repeats_it(made: Crew) -> None:
    asked = {field.key for field in permits.wanted_now(made.bench, "7/1", "approve")}
    assert "shift_end" in asked
    with pytest.raises(Refused, match=r"planned longer than one shift\. Needed: write how the work is left"):
        did(made, "issuer", "approve", shift_end="")
    did(made, "issuer", "approve", shift_end="blanked, over to the night crew")
    text = " ".join(to_text(document(made.bench, DrawPermit("7/1", "permit", Path()), CopyShown())).split())

    assert (
        "Longer than one shift. Each ends so: blanked, over to the night crew."
        in permit_words.shown(made.bench, "7/1").around
    )
    assert "blanked, over to the night crew" in text


def test_a_plan_within_one_shift_asks_nothing_of_it(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)

    assert "shift_end" not in {field.key for field in permits.wanted_now(made.bench, "7/1", "approve")}


@pytest.mark.parametrize(("hours", "words"), [(7.5, ""), (8.0, ""), (8.5, KNOWN), (None, NOT_KNOWN)])
def test_under_the_shipped_rules_a_shift_is_eight_hours(hours: float | None, words: str) -> None:
    """Eight hours are ours: a limit that a site may lower."""
    assert over_shift(rules("en50110"), Job({"job.planned_h": Answer(hours)}), NOW) == words


@pytest.mark.parametrize(("hours", "flagged"), [(8.0, False), (9.0, True)])
def test_statement_and_summary_carry_the_flag(hours: float, flagged: bool) -> None:
    shipped, job = rules("en50110"), Job({"job.planned_h": Answer(hours)})
    found = assess(shipped, job, APPROVAL, NOW)
    for paper in (method_statement, summary_page):
        text = to_text(paper(shipped, job, found, Header(), NOW))
        assert ("LONGER THAN ONE SHIFT" in text) is flagged
