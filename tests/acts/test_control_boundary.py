"""EIP-15 from the field to the paper: two firms work, each with its boundary, on a drawing held against the plant."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.permit import permit_words, permits
from riskhelper.acts.permit.permit_papers import DrawPermit, document
from riskhelper.acts.plan.plan_signed import rests_on_drawing
from riskhelper.acts.register import people
from riskhelper.acts.register.people import NewPerson
from riskhelper.evidence import Answer, Job
from riskhelper.paper.text import to_text
from riskhelper.permit.control_boundary import PARTY
from riskhelper.record.replay import History
from riskhelper.statement.permit_sheet import CopyShown
from tests.acts.crew import KEEPERS, Crew, passphrase
from tests.acts.test_permits import did, drawn_up
from tests.acts.workbench import START
from tests.content.shipped import NOW, rules

OTHER = "Tarn Instruments"
BOTH = {PARTY + "Crag End": "up to the links, shut side", PARTY + OTHER: "from the open side of the links"}


@pytest.fixture
def made(tmp_path: Path) -> Crew:
    """A permit approved, asked for by another firm than that of the plant."""
    made = drawn_up(tmp_path)
    hand = people.open_register(made.bench, made.keys, KEEPERS)
    new = NewPerson("the other requester", OTHER, ("requester",), START + timedelta(days=90), 11_000)
    people.vouch(made.bench, made.keys, hand, tuple(KEEPERS), new, passphrase(new.name))
    permits.act(made.signing(new.name, "requester"), "7/1", "request", {"measures_stated": "valve shut"})
    did(made, "evaluator", "evaluate")
    did(made, "issuer", "approve")
    return made


def test_each_firm_is_asked_for_by_its_name_and_one_left_out_is_named(made: Crew) -> None:
    """EIP-15: a boundary field per party; drawing, revision and the day it was checked on site."""
    asked = [field.key for field in permits.wanted_now(made.bench, "7/1", "isolate")]

    assert {*BOTH, "drawing", "drawing_revision", "drawing_checked_at"} <= set(asked)
    with pytest.raises(Refused, match="no boundary of control is written for Tarn Instruments"):
        did(made, "isolator", "isolate", **{PARTY + "Crag End": "up to the links"})


def test_page_and_papers_show_drawing_and_boundaries(made: Crew) -> None:
    did(made, "isolator", "isolate", **BOTH)
    sections = {section.title: section.lines for section in permit_words.shown(made.bench, "7/1").sections}
    lines = sections["Boundary of control"]

    assert lines[0].startswith("Drawing E-114, revision C, checked on site 2031-02-03 15:30")
    assert lines[1:] == ("Crag End: up to the links, shut side.", f"{OTHER}: from the open side of the links.")
    for kind in ("permit", "points"):
        text = " ".join(to_text(document(made.bench, DrawPermit("7/1", kind, Path()), CopyShown())).split())
        assert "E-114, revision C, checked on site" in text, kind
        assert "from the open side of the links" in text, kind


def test_where_one_firm_works_without_a_drawing_nothing_is_asked(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)
    for role, act in (("requester", "request"), ("evaluator", "evaluate"), ("issuer", "approve")):
        did(made, role, act)
    asked = {field.key for field in permits.wanted_now(made.bench, "7/1", "isolate")}

    assert not {"drawing", *BOTH} & asked


@pytest.mark.parametrize(
    ("answers", "rests"),
    [
        ({"plant.tx_during": Answer("isolated_earthed")}, True),
        ({"plant.tx_during": Answer("in_service"), "job.scope": Answer({"mount": "yes", "oil": "no"})}, False),
        ({"plant.tx_during": Answer("in_service"), "job.scope": Answer({"oil": "yes"})}, True),
    ],
)
def test_under_the_shipped_rules_a_plan_of_dead_plant_or_of_an_oil_valve_rests_on_a_drawing(
    answers: dict[str, Answer], rests: bool
) -> None:
    """The single-line of dead plant, and the drawing that says which valve it is; common practice."""
    near = {"plant.terminals": Answer("plug_in_or_cable_box"), "live.adjacent_live": Answer("no")}
    job = Job({**near, **answers})
    state = JobState(History(job, NOW, NOW, 1, (), (), (), plan_requested=True), rules("en50110"))

    assert rests_on_drawing(state, NOW) is rests
