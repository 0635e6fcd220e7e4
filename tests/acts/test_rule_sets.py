"""The course of a rule set at a site: who may do what when, what stands in the way, what is due, what it touches."""

from __future__ import annotations

import csv
import io
import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.jobs import OpenJob
from riskhelper.acts.job.papers import WritePapers, read_papers
from riskhelper.acts.register.people import rules_digest
from riskhelper.acts.register.signing import append_signed, site
from riskhelper.acts.rule_sets import adopting
from riskhelper.acts.rule_sets.replaying import compared_with, csv_text, replay_lines, replay_record
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.permit.adoption import RULE_ROWS, RuleState
from riskhelper.permit.adoption_guards import RULE_GUARDS
from riskhelper.permit.meanings import RULES_MEANINGS
from riskhelper.permit.persons import SAFETY_OFFICER
from riskhelper.record.canonical import Content
from riskhelper.record.entries import RULES
from riskhelper.statement import cautions
from tests.acts.adopted_rules import AUTHOR, SECOND, TODAY, act, adopted, checked, folder_of, office_crew
from tests.acts.crew import Crew, ready_job
from tests.acts.workbench import START

MILDER = "there is no bleed"


@pytest.fixture
def made(tmp_path: Path) -> Crew:
    return office_crew(tmp_path)


def state(made: Crew) -> RuleState:
    rules = folder_of(made).under("dale")
    return adopting.standing_of(made.bench, rules, "dale").state


def second_set(made: Crew, was: str, now: str) -> RuleFolder:
    """The small set with one passage written otherwise, in a folder of its own."""
    here = folder_of(made).folder
    there = here.with_name("rules of another number")
    shutil.copytree(here, there)
    for file in there.rglob("*.toml"):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace(was, now).replace("number = 3", "number = 4"), encoding="utf-8")
    return RuleFolder(there)


def test_each_act_has_its_meaning_and_each_guard_its_check() -> None:
    assert set(RULE_ROWS) == set(RULES_MEANINGS)
    assert {name for row in RULE_ROWS.values() for name in row.guards} == set(RULE_GUARDS)


def test_a_set_goes_from_draft_to_in_force_by_two_officers(made: Crew) -> None:
    assert state(made) is RuleState.UNKNOWN
    act(made, AUTHOR, "propose")
    assert state(made) is RuleState.DRAFT
    act(made, SECOND, "check", findings="a pump house for tests")
    assert state(made) is RuleState.CHECKED
    act(made, AUTHOR, "adopt", from_=TODAY)
    assert state(made) is RuleState.CHECKED
    one = act(made, SECOND, "adopt", from_=TODAY)

    assert state(made) is RuleState.IN_FORCE
    assert one.signers == (AUTHOR, SECOND)
    assert one.cases == "0 worked cases and 0 rows at limits run, all hold"
    assert adopting.set_in_force(made.bench, "dale") == one


def test_a_set_is_in_force_from_its_day_and_not_before(made: Crew) -> None:
    adopted(made, f"{START + timedelta(days=3):%Y-%m-%d}")
    assert state(made) is RuleState.ADOPTED
    assert not site(made.bench).adopted(next(iter(site(made.bench).rule_sets)), START)

    made.clock.move(3 * 24 * 60)

    assert state(made) is RuleState.IN_FORCE


def test_nobody_checks_their_own_set(made: Crew) -> None:
    act(made, AUTHOR, "propose")

    with pytest.raises(Refused, match=r"the safety officer proposed it. Needed: a second officer checks it"):
        act(made, AUTHOR, "check", findings="x")


def test_a_comment_on_an_entry_stands_in_the_way_until_its_writer_settles_it(made: Crew) -> None:
    checked(made)
    act(made, AUTHOR, "adopt", from_=TODAY)
    with pytest.raises(Refused, match=r"`stop pump.nowhere` is no entry of this set"):
        act(made, "the worker", "comment", role="worker", entry="stop pump.nowhere", words="too late")
    entry = "stop " + next(iter(folder_of(made).under("dale").stops))
    one = act(made, "the worker", "comment", role="worker", entry=entry, words="nobody can see that at the gate")
    assert one.signers == ()
    assert state(made) is RuleState.DRAFT
    with pytest.raises(Refused, match=r"comments are open: the worker on stop .*: nobody can see that at the gate"):
        act(made, SECOND, "check", findings="x")
    with pytest.raises(Refused, match=r"the safety officer has no open comment"):
        act(made, AUTHOR, "settle", entry=entry)

    act(made, "the worker", "settle", role="worker", entry=entry)
    act(made, SECOND, "check", findings="x")

    assert state(made) is RuleState.CHECKED


def test_requirement_gov_03_a_failing_worked_case_stands_in_the_way(made: Crew) -> None:
    """GOV-03: golden cases run before approval; a failing case blocks it, the result is stored."""
    file = folder_of(made).folder / "cases" / "one.toml"
    file.parent.mkdir()
    file.write_text(
        '[case.quiet]\ntitle = "Quiet day"\nlocal = "dale"\nat = "gate"\n[case.quiet.answers]\n'
        '[case.quiet.expect]\nverdict = "NO STOP FOUND"\n',
        encoding="utf-8",
    )

    with pytest.raises(
        Refused, match=r"worked cases do not hold: quiet: verdict should be NO STOP FOUND, came out as STOP"
    ):
        act(made, AUTHOR, "propose")
    file.write_text(file.read_text(encoding="utf-8").replace("NO STOP FOUND", "STOP"), encoding="utf-8")

    assert act(made, AUTHOR, "propose").cases == "1 worked case and 0 rows at limits run, all hold"


def test_requirement_gov_01_an_edited_file_is_another_set_and_not_in_force(made: Crew) -> None:
    """GOV-01: only approved versions can be used; an edited rule file is refused in live use."""
    adopted(made)
    file = folder_of(made).folder / "ruleset.toml"
    file.write_text(file.read_text(encoding="utf-8") + "\n# one more line\n", encoding="utf-8")

    assert state(made) is RuleState.UNKNOWN
    assert adopting.set_in_force(made.bench, "dale") is not None


def test_a_second_set_is_compared_with_the_one_in_force_and_then_supersedes_it(made: Crew) -> None:
    adopted(made)
    ready_job(made)
    new = second_set(made, 'title = "Thunder near"', 'title = "Thunder is near"')
    author, second = (made.signing(name, SAFETY_OFFICER) for name in (AUTHOR, SECOND))
    adopting.act(author, new, "dale", "propose", {})
    adopting.act(second, new, "dale", "check", {"findings": "x"})
    with pytest.raises(Refused, match=r"it was not compared with the set in force, pump house, number 3"):
        adopting.act(author, new, "dale", "adopt", {"from": TODAY})
    compared = compared_with(made.bench, folder_of(made), new, "dale")
    assert compared.words == "No difference in meaning. 1 past job replayed: none comes out differently."
    adopting.act(author, new, "dale", "adopt", {"from": TODAY}, compared)
    made.clock.move(1)
    adopting.act(second, new, "dale", "adopt", {"from": TODAY}, compared)

    assert state(made) is RuleState.SUPERSEDED
    held = adopting.set_in_force(made.bench, "dale")
    assert held is not None
    assert held.number == 4


def test_requirement_gov_02_what_is_looser_needs_a_reason_and_two_signatures(made: Crew) -> None:
    """GOV-02: softer needs a second signature; here also a typed reason, which both sign."""
    adopted(made)
    ready_job(made)
    answering.answer(made.bench, GiveAnswer("7", "gate", "pump.thunder", "yes"))
    new = second_set(made, "pump.thunder == 'yes'", "pump.thunder == 'yes' and pump.state == 'stopped'")
    author, second = (made.signing(name, SAFETY_OFFICER) for name in (AUTHOR, SECOND))
    adopting.act(author, new, "dale", "propose", {})
    adopting.act(second, new, "dale", "check", {"findings": "x"})
    compared = compared_with(made.bench, folder_of(made), new, "dale")
    assert compared.looser >= 2  # the stop in the comparison, and the job that had it

    with pytest.raises(Refused, match=r"out milder or may, and no reason is written. Needed: a typed reason"):
        adopting.act(author, new, "dale", "adopt", {"from": TODAY}, compared)
    reason = {"from": TODAY, "looser": "the pump house has a lightning rod"}
    adopting.act(author, new, "dale", "adopt", reason, compared)
    assert state(made) is RuleState.IN_FORCE  # one signature changes nothing
    one = adopting.act(second, new, "dale", "adopt", {"from": TODAY}, compared)

    assert one.looser == "the pump house has a lightning rod"
    assert one.signers == (AUTHOR, SECOND)


def test_a_replay_of_the_record_names_job_stop_and_answer_and_writes_them_as_csv(made: Crew) -> None:
    ready_job(made)
    answering.answer(made.bench, GiveAnswer("7", "gate", "pump.thunder", "yes"))
    new = second_set(made, "pump.thunder == 'yes'", "pump.thunder == 'yes' and pump.state == 'stopped'")

    told = replay_record(made.bench, folder_of(made), new, "dale")

    assert told.found.looser == 1
    rows = list(csv.DictReader(io.StringIO(csv_text([told]))))
    assert {row["job"] for row in rows} == {"7"}
    stop = next(row for row in rows if row["what"] == "stop")
    assert (stop["entry"], stop["before"], stop["after"], stop["direction"]) == (
        "pump.thunder",
        "stands",
        "does not stand",
        "looser",
    )
    lines = "\n".join(replay_lines(told))
    assert "Thunder near [stop pump.thunder]: stands becomes does not stand, 1 job" in lines
    assert "in job 7:" in lines


def test_withdrawing_names_the_jobs_it_touches_and_stops_approval(made: Crew) -> None:
    one = adopted(made)
    number = ready_job(made)
    jobs.open_job(replace(made.bench, who="the worker"), OpenJob("dale", "8"))

    with pytest.raises(Refused, match="no reason is written"):
        act(made, SECOND, "withdraw")
    act(made, SECOND, "withdraw", reason="a figure is wrong")

    assert state(made) is RuleState.WITHDRAWN
    assert [job.number for job in adopting.touched(made.bench, one)] == [number, "8"]
    assert adopting.set_in_force(made.bench, "dale") is None


def test_requirement_gov_05_a_review_falls_due_on_its_day_or_when_it_is_asked_for(made: Crew) -> None:
    """GOV-05: review on a date, and when an incident or a change asks for it."""
    adopted(made)
    assert adopting.due(made.bench) == ()
    act(made, "the worker", "call review", role="worker", reason="the drip came back")
    assert [one.words for one in adopting.due(made.bench)] == [
        "pump house, number 3, under dale: a review was asked for: the drip came back"
    ]
    with pytest.raises(Refused, match="is not after today"):
        act(made, AUTHOR, "reviewed", next=TODAY)
    act(made, AUTHOR, "reviewed", next="2031-06-01")
    assert adopting.due(made.bench) == ()

    made.clock.move(30 * 24 * 60 * 4)

    late = adopting.due(made.bench)
    assert [one.late for one in late] == [True]
    assert late[0].words == "pump house, number 3, under dale: review was due on 2031-06-01"


def test_what_waits_for_a_second_officer_is_due(made: Crew) -> None:
    act(made, AUTHOR, "propose")
    assert "waits for a second officer to check it" in adopting.due(made.bench)[0].words
    act(made, SECOND, "check", findings="x")
    assert "waits for two officers to sign" in adopting.due(made.bench)[0].words
    act(made, SECOND, "adopt", from_=TODAY)
    assert "second officer has signed; waits for a second officer to sign" in adopting.due(made.bench)[0].words


def test_a_statement_says_that_its_rules_are_proposed_until_they_are_in_force(made: Crew) -> None:
    number = ready_job(made)
    wanted = WritePapers(number, "gate", folder_of(made).folder)
    proposed = "\n".join(read_papers(made.bench, wanted, 100))
    adopted(made)
    in_force = "\n".join(read_papers(made.bench, wanted, 100))

    assert cautions.NOT_ADOPTED in proposed
    assert cautions.NOT_ADOPTED not in in_force


def test_signatures_that_skip_the_course_put_no_set_in_force(made: Crew) -> None:
    """Two true signatures under `adopt`, written past the acts: nobody proposed or checked the set."""
    rules = folder_of(made).under("dale")
    content: dict[str, Content] = {
        "rules": rules_digest(rules),
        "name": "pump house",
        "number": 3,
        "code": "dale",
        "parts": [],
        "details": {"from": TODAY},
    }
    for name in (AUTHOR, SECOND):
        signing = made.signing(name, SAFETY_OFFICER)
        append_signed(made.bench, signing.hand, "", SAFETY_OFFICER, RULES + "adopt", content, made.bench.store.size())

    found = site(made.bench)
    assert not found.adopted(rules_digest(rules), START)
    assert len(found.apart) == 2
    assert "(rules adopt) does not count: it is no act on a rule set that is not proposed" in found.apart[0]
