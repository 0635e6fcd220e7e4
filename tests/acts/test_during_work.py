"""While people work: readings inside the plan are entries, outside they suspend; checks age; rulings lift a stop."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.assessing import assess_job
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.permit import during_work, isolation
from riskhelper.acts.register.signing import site
from riskhelper.permit.document import State
from riskhelper.record.entries import ANSWER
from riskhelper.statement.header import Header
from riskhelper.statement.summary import summary_page
from riskhelper.terms import APPROVAL
from tests.acts.crew import Crew
from tests.acts.test_permits import did, drawn_up, in_force, proved, touched
from tests.acts.workbench import START
from tests.plain.test_interview import flat, talk

RULED = """
[question.pump.suction]
ask = "Does the gauge show suction?"
why = "Suction draws air in."
type = "yes_no"
place = "valve"
asked_at = "gate"
if_unknown = "Read the gauge."
options = { yes = "Below zero.", no = "Above zero." }

[stop.pump.suction]
title = "Suction at the valve"
stops_if = "pump.suction == 'yes'"
ruled_by = "owner's engineer"
because = "Air drawn in reaches the pump."
act = "Leave the valve shut."
"""


def says(made: Crew, question: str, typed: str, milestone: str = "valve_holds") -> None:
    answering.answer(made.bench, GiveAnswer("7", milestone, question, typed))


def state(made: Crew) -> State:
    found = site(made.bench)
    permit = found.permits["7/1"]
    return permit.at(made.clock())


def ruled_job(folder: Path) -> Crew:
    (folder / "rules").mkdir()
    (folder / "rules" / "ruling.toml").write_text(RULED, encoding="utf-8")
    made = drawn_up(folder)
    says(made, "pump.suction", "yes", "gate")
    did(made, "requester", "request")
    made.add("the owner's engineer", "owner's engineer")
    return made


def test_a_reading_the_plan_expects_is_an_entry_and_nothing_else(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    says(made, "pump.drip_dry", "yes")

    assert state(made) is State.IN_FORCE
    assert "suspends" not in made.bench.store.every()[-1].draft.content
    assert during_work.to_do_now(made.bench, "7") == ()


def test_a_reading_outside_the_plan_suspends_in_the_same_entry_and_says_what_to_do(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    before = made.bench.store.size()
    says(made, "pump.drip_dry", "no")
    entry = made.bench.store.every()[-1]

    assert made.bench.store.size() == before + 1
    assert entry.draft.act == ANSWER
    assert entry.draft.content["suspends"] == ["7/1"]
    assert state(made) is State.SUSPENDED
    assert during_work.to_do_now(made.bench, "7") == (
        "Permit 7/1 is suspended (the reading pump.drip_dry lies outside the plan). "
        "Stop. Everybody out. Leave points, locks and earths as they are. Tell the issuer now.",
    )
    proved(made)
    with pytest.raises(Refused, match=r"the plan changed since it was signed: the reading pump\.drip_dry"):
        did(made, "issuer", "allow resuming")
    says(made, "pump.drip_dry", "yes")
    assert state(made) is State.SUSPENDED
    did(made, "issuer", "allow resuming")
    did(made, "acceptor", "brief")
    assert did(made, "acceptor", "resume").state is State.IN_FORCE


def test_an_answer_of_the_plan_that_changes_while_people_work_suspends(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    says(made, "pump.head_m", "3.1")
    assert state(made) is State.IN_FORCE
    says(made, "pump.head_m", "3.4")

    assert state(made) is State.SUSPENDED


def test_a_known_answer_that_nobody_knows_any_longer_suspends(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    answering.not_known(made.bench, "7", "valve_holds", "pump.head_m")

    assert state(made) is State.SUSPENDED


def test_a_private_answer_outside_the_plan_suspends_without_naming_itself(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    says(made, "pump.unwell", "yes")
    (line,) = during_work.to_do_now(made.bench, "7")

    assert state(made) is State.SUSPENDED
    assert "an answer given in private" in line
    assert "unwell" not in line


def test_an_answer_that_ages_is_raised_and_then_suspends_by_the_clock_alone(tmp_path: Path) -> None:
    """LIF-07: each condition has its interval; overdue it raises, then suspends. Thunder: 60 minutes by its rule."""
    made = in_force(tmp_path)
    made.clock.moment = START + timedelta(minutes=46)
    (line,) = during_work.to_do_now(made.bench, "7")
    assert line == "Time to check again, before 16:30: Do you hear thunder?"
    made.clock.moment = START + timedelta(minutes=60)
    assert state(made) is State.IN_FORCE
    made.clock.move(1)
    assert state(made) is State.SUSPENDED
    assert "(overdue: Do you hear thunder?" in during_work.to_do_now(made.bench, "7")[0]
    says(made, "pump.thunder", "no")
    assert state(made) is State.SUSPENDED
    with pytest.raises(Refused, match="not proved, or not proved again: feeder"):
        did(made, "issuer", "allow resuming")


def test_a_check_done_in_time_runs_anew(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    made.clock.moment = START + timedelta(minutes=50)
    says(made, "pump.thunder", "no")
    made.clock.moment = START + timedelta(minutes=105)

    assert state(made) is State.IN_FORCE
    made.clock.move(6)
    assert state(made) is State.SUSPENDED


def test_stored_energy_is_looked_at_again_or_the_work_is_suspended(tmp_path: Path) -> None:
    """EIP-04. 29 CFR 1910.147(d)(5)(ii) (published): where stored energy can build up again, verifying goes on."""
    made = in_force(tmp_path, recheck_min="30")
    made.clock.move(15)
    touched(made, "check again", seen="gauge reads nought, bleed open")
    made.clock.move(25)
    assert state(made) is State.IN_FORCE
    made.clock.move(6)
    assert state(made) is State.SUSPENDED
    assert "stored energy at point feeder" in during_work.to_do_now(made.bench, "7")[0]


def test_a_point_is_checked_again_only_with_what_was_seen(tmp_path: Path) -> None:
    made = in_force(tmp_path, recheck_min="20")
    with pytest.raises(Refused, match="what was seen or read is not written"):
        isolation.act(made.signing("the isolator", "isolator"), "feeder", "check again", {})


def test_a_ruling_turns_a_stop_into_a_condition_on_every_page_and_falls_with_the_revision(tmp_path: Path) -> None:
    made = ruled_job(tmp_path)
    with pytest.raises(Refused, match="the assessment says stop: Suction at the valve"):
        did(made, "evaluator", "evaluate")
    ruling = {"stop": "pump.suction", "until": (START + timedelta(hours=6)).isoformat()}
    with pytest.raises(Refused, match="this stop is ruled on by the owner's engineer"):
        did(made, "issuer", "rule", **ruling)
    did(made, "owner's engineer", "rule", **ruling)
    state_, assessment = assess_job(made.bench, "7", APPROVAL)
    page = summary_page(state_.rules, state_.job, assessment, Header(), made.clock())

    assert assessment.stops == ()
    assert next(c.words for c in assessment.conditions if c.kind == "ruling").startswith(
        "Suction at the valve, ruled: the owner's engineer (owner's engineer): "
    )
    assert "CONDITION BY RULING: Suction at the valve" in page.furniture.marks
    assert did(made, "evaluator", "evaluate").state is State.EVALUATED
    did(made, "requester", "change")
    assert [stop.title for stop in assess_job(made.bench, "7", APPROVAL)[1].stops] == ["Suction at the valve"]
    assert resume_job(made.bench, "7").job.rulings == {}


def test_a_ruling_ends_at_its_moment(tmp_path: Path) -> None:
    made = ruled_job(tmp_path)
    until = made.clock() + timedelta(minutes=30)
    did(made, "owner's engineer", "rule", stop="pump.suction", until=until.isoformat())
    made.clock.move(31)

    with pytest.raises(Refused, match="the assessment says stop: Suction at the valve"):
        did(made, "evaluator", "evaluate")


def test_a_limit_is_never_ruled_away(tmp_path: Path) -> None:
    made = ruled_job(tmp_path)
    with pytest.raises(Refused, match=r"`pump.thunder` is no stop to rule on; there are pump.suction"):
        did(made, "owner's engineer", "rule", stop="pump.thunder", until=(START + timedelta(hours=6)).isoformat())


def test_the_worker_is_told_at_once_in_plain_lines(tmp_path: Path) -> None:
    in_force(tmp_path)
    shown, _ = talk(tmp_path, "2", rehearsal=True, milestone="valve_holds")

    assert "Permit 7/1 is suspended (the reading pump.drip_dry lies outside the plan). Stop. Everybody" in flat(shown)
