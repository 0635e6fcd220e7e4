"""The permit as far as approval without a register: the same table and guards, marked, and void beside a register."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import answering
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.permit import permits
from riskhelper.acts.permit.permits import DraftPermit
from riskhelper.acts.plan import rehearsing
from riskhelper.acts.plan.plan_signed import conditions_of
from riskhelper.permit.document import Permit, State
from riskhelper.permit.persons import EVALUATOR, ISSUER, REQUESTER
from riskhelper.record.entries import MEANINGS, REHEARSE, REHEARSED
from riskhelper.record.site import site_of
from riskhelper.store.sqlite import SqliteStore
from tests.acts.crew import Crew, ready_job
from tests.acts.workbench import START, Clock, context
from tests.permit.world import FULL

DRAFT = DraftPermit("7", "permit-to-work", "P2", "valve", "bay 4", 400, ("electrical", "water"), ())


def bench(folder: Path, *, rehearsal: bool = True) -> Context:
    clock = Clock()
    made = context(folder, clock, rehearsal=rehearsal)
    ready_job(Crew(made, clock, keys=None))  # type: ignore[arg-type]
    return made


def did(made: Context, name: str, role: str, act: str, **more: str) -> Permit:
    window = {"starts": START.isoformat(), "ends": (START + timedelta(hours=8)).isoformat()}
    marks = conditions_of(resume_job(made, "7"), made.clock())
    details = {**FULL, **window, "acknowledged": " ".join(marks), **more}
    return rehearsing.act(rehearsing.rehearse_as(made, name, role), "7", "7/1", act, details)


def evaluated(made: Context) -> Permit:
    rehearsing.draft(rehearsing.rehearse_as(made, "Ro", REQUESTER), DRAFT)
    did(made, "Ro", REQUESTER, "request")
    return did(made, "Eve", EVALUATOR, "evaluate")


@pytest.mark.parametrize("rehearsal", [True, False])
def test_a_plan_is_approved_as_a_rehearsal_and_the_record_says_so(tmp_path: Path, rehearsal: bool) -> None:
    made = bench(tmp_path, rehearsal=rehearsal)
    evaluated(made)
    approved = did(made, "Iris", ISSUER, "approve")
    last = made.store.entries("7")[-1]

    assert approved.state is State.APPROVED
    assert approved.ends == START + timedelta(hours=8)
    assert last.draft.act == "rehearse approve"
    assert last.meaning.startswith("as a rehearsal, binding nobody: approves the plan")
    assert last.draft.signature == ""
    assert any(str(line).startswith("Given: Which pump is it? P2") for line in last.draft.content["envelope"])  # type: ignore[union-attr]


def test_the_table_holds_in_a_rehearsal_too(tmp_path: Path) -> None:
    made = bench(tmp_path)
    evaluated(made)

    for name in ("the worker", "Ro", "Eve"):
        with pytest.raises(Refused, match=f"{name} had a part in preparing it"):
            did(made, name, ISSUER, "approve")
    with pytest.raises(Refused, match="conditions not acknowledged"):
        did(made, "Iris", ISSUER, "approve", acknowledged="")
    answering.answer(replace(made, who="the worker"), GiveAnswer("7", "gate", "pump.head_m", "12"))
    with pytest.raises(Refused, match=r"the plan changed since it was signed: the answer to pump\.head_m"):
        did(made, "Iris", ISSUER, "approve")


def test_a_return_carries_its_note_to_the_question(tmp_path: Path) -> None:
    made = bench(tmp_path)
    evaluated(made)
    given_back = did(made, "Iris", ISSUER, "return", reason="read the gauge again", question="pump.head_m")

    assert given_back.state is State.DRAFT
    assert given_back.returned is not None
    assert (given_back.returned.by, given_back.returned.question) == ("Iris", "pump.head_m")


def test_nobody_acts_without_a_name(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="Type the name of whoever does this"):
        rehearsing.rehearse_as(bench(tmp_path), "  ", ISSUER)


def test_rehearsal_acts_are_no_permit_of_the_site(tmp_path: Path) -> None:
    made = bench(tmp_path)
    evaluated(made)

    assert site_of(made.store.every()).permits == {}
    assert permits.sheet(made) == ()
    assert {act for act in MEANINGS if act.startswith(REHEARSE)} == {REHEARSE + act for act in REHEARSED}
    assert isinstance(made.store, SqliteStore)
