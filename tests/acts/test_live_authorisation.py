"""An authorisation of live work from plan to paper: what the plan knows is shown, what a person knows is typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering
from riskhelper.acts.job.answering import GiveAnswer, PlanControl
from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.permit import permit_words, permits
from riskhelper.acts.permit.permit_papers import DrawPermit, document
from riskhelper.acts.plan.live_plan import LivePlan, live_plan
from riskhelper.evidence import Answer, Job
from riskhelper.paper.text import to_text
from riskhelper.record.replay import History
from riskhelper.statement.permit_sheet import CopyShown
from tests.acts import small_rules
from tests.acts.crew import Crew
from tests.acts.test_permits import did, drawn_up, proved, touched
from tests.content.shipped import NOW, rules

HEAD = small_rules.HEAD.replace(
    "\n[[ruleset.hold_points]]",
    """live_work = "pump.cover_live == 'yes'"

[ruleset.live_work_shown]
shock = ["pump.panel_kv"]
flash = ["pump.label"]
boundaries = []
equipment = ["pump.gloves"]

[[ruleset.hold_points]]""",
)
PUMP = (
    small_rules.PUMP
    + """
[question.pump.cover_live]
ask = "Will a cover be off over live parts?"
why = "It shocks and burns."
type = "yes_no"
place = "gate"
asked_at = "gate"
if_unknown = "Count it as yes."
options = { yes = "A cover is off.", no = "All dead." }

[question.pump.panel_kv]
ask = "Which voltage is behind it?"
why = "It shocks."
type = "number"
place = "gate"
asked_at = "gate"
unit = "kV"
range = [0.1, 1]
usual = [0.2, 0.5]
step = 0.01
ask_if = "pump.cover_live == 'yes'"
if_unknown = "Read the label."

[question.pump.label]
ask = "Is there a label of the arc?"
why = "It burns."
type = "yes_no"
place = "gate"
asked_at = "gate"
ask_if = "pump.cover_live == 'yes'"
if_unknown = "Count it as no."
options = { yes = "A label is there.", no = "No label." }

[hazard.pump.arc]
title = "Arc"
applies_if = "pump.cover_live == 'yes'"
who = "whoever opens it"
harm = "burns"
severity = { least = 3 }
likelihood = { least = 2 }

[control.pump.gloves]
kind = "ppe"
do = "Wear the gloves that the label names."
evidence = ["seen worn"]
by = "work leader"
hold_point = "valve_holds"
lowers = { "pump.arc" = {} }
"""
)
GROUNDS = small_rules.TABLE.replace('unit = "m"', 'unit = ""').replace(
    'columns = ["size_mm", "reach_m"]\nrows = [[15, 1.0], [25, 2.0]]\nbetween_rows = "next_row"',
    'columns = ["ground", "words"]\nrows = [["needed_live", "the test needs it live"]]\nbetween_rows = "exact"',
)


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Crew:
    """A plan that leaves the pump's panel live, evaluated."""
    local = small_rules.LOCAL + '\n[local.tables]\nlive_work = "grounds"\n'
    for name, text in (("ruleset.toml", HEAD), ("pump.toml", PUMP), ("local/dale.toml", local)):
        monkeypatch.setitem(small_rules.FILES, name, text)
    monkeypatch.setitem(small_rules.FILES, "tables/grounds.toml", GROUNDS)
    made = drawn_up(tmp_path)
    for question, typed in (("cover_live", "yes"), ("panel_kv", "0.4"), ("label", "yes")):
        answering.answer(made.bench, GiveAnswer("7", "gate", f"pump.{question}", typed))
    answering.plan(made.bench, PlanControl("7", "pump.gloves"))
    did(made, "requester", "request")
    did(made, "evaluator", "evaluate")
    return made


def field(made: Crew, title: str) -> str:
    """A field of the authorisation as the page of the permit has it."""
    sections = {section.title: section for section in permit_words.shown(made.bench, "7/1").sections}
    return next(line for line in sections["Work on parts left live"].lines if line.startswith(title))


def to_start(made: Crew) -> None:
    did(made, "issuer", "approve", live_no_closer="0.3 m, rule 4 of the site")
    did(made, "isolator", "isolate")
    touched(made, "secure", lock="1", tag="2", key="3")
    proved(made)
    for role, act in (("witness", "witness"), ("isolator", "prove"), ("issuer", "issue")):
        did(made, role, act)
    touched(made, "lock", "acceptor", lock="A1")
    for role, act in (("acceptor", "accept"), ("acceptor", "brief"), ("worker", "sign on"), ("acceptor", "start")):
        did(made, role, act)


def test_what_the_plan_knows_is_shown_and_not_asked(made: Crew) -> None:
    """APP-08: shock, arc and equipment are answers and controls of the plan."""
    asked = {each.key for each in permits.wanted_now(made.bench, "7/1", "approve")}

    assert {"live_circuit", "live_method", "live_flash", "live_boundaries", "live_kept_out"} < asked
    assert not any(key.startswith("plan_") for key in asked)
    assert field(made, "Shock") == "Shock: Which voltage is behind it: 0.4 kV."
    assert field(made, "Protective equipment") == "Protective equipment: Wear the gloves that the label names."
    assert field(made, "Method") == "Method (NOT ALL WRITTEN): method statement of job 7."


def test_all_ten_fields_stand_on_page_and_paper_once_the_work_starts(made: Crew) -> None:
    """APP-08, NFPA 70E, list of 2004 (published): ten fields, signatures among them."""
    to_start(made)
    page = {section.title: section for section in permit_words.shown(made.bench, "7/1").sections}
    lines = page["Work on parts left live"].lines
    text = " ".join(to_text(document(made.bench, DrawPermit("7/1", "permit", Path()), CopyShown())).split())

    assert len(lines) == 10
    assert not any("NOT ALL WRITTEN" in line for line in lines)
    assert "Signatures: evaluate the evaluator; approve the issuer; issue the issuer; accept the acceptor." in lines
    assert "PARTS STAY LIVE" in text
    assert "Not written" not in text
    for words in (
        "the test needs it live; the alarm is proved",
        "Which voltage is behind it: 0.4 kV",
        "0.3 m, rule 4",
    ):
        assert words in text
    assert "cal/cm" not in text


def test_nobody_types_what_the_plan_says(made: Crew) -> None:
    with pytest.raises(Refused, match="plan_shock is written by the program, from the plan"):
        did(made, "issuer", "approve", plan_shock="none")


def test_a_plan_without_equipment_is_not_approved_and_says_which_control_is_lacking(made: Crew) -> None:
    """APP-08, protective equipment."""
    answering.leave_out(made.bench, "7", "pump.gloves")
    with pytest.raises(
        Refused, match=r"the protective equipment \(not planned: Wear the gloves that the label names"
    ):
        did(made, "issuer", "approve", live_no_closer="0.3 m")


def test_a_code_without_a_distance_asks_for_that_of_the_site(made: Crew) -> None:
    with pytest.raises(Refused, match="the no-closer distance by the site's own rule"):
        did(made, "issuer", "approve")


def test_a_plan_that_works_dead_has_no_such_section(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)

    assert "Work on parts left live" not in [s.title for s in permit_words.shown(made.bench, "7/1").sections]


def plan_under(code: str, **more: Answer) -> LivePlan:
    """The shipped rules on a board of 400 V that is opened live."""
    answers = {"job.scope": Answer({part: "yes" if part == "wire" else "no" for part in ("mount", "oil", "wire")})}
    answers |= {"mains.cover_live": Answer("yes"), "mains.board_kv": Answer(0.4), "mains.arc_info": Answer("yes")}
    answers |= {"mains.board_incomer_a": Answer(63.0), "mains.board_battery": Answer("no")}
    answers |= {"job.altitude_m": Answer(100.0), "people.person_class": Answer("skilled")}
    job = Job({**answers, **{name.replace("__", "."): answer for name, answer in more.items()}})
    found = live_plan(JobState(History(job, NOW, NOW, 1, (), (), (), plan_requested=True), rules(code)), NOW)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (
            "en50110",
            "to parts left live behind the cover: 0.00 m, no contact; Outer distance of parts left live behind ",
        ),
        (
            "us269",
            "to parts left live behind the cover: 0.33 m; Outer distance of parts left live behind the cover: 3.05",
        ),
    ],
)
def test_the_shipped_rules_give_shock_arc_and_the_distances_of_the_code(code: str, words: str) -> None:
    """EN 50110-1 Table A.1 up to 1 kV: no contact; 29 CFR 1910.269 Table R-6, 301 to 750 V: 0.33 m, and
    1910.333(c)(3)(i): 305 cm for the unqualified (published)."""
    plan = plan_under(code)

    assert words in plan.shown["plan_boundaries"]
    assert "0.4 kV" in plan.shown["plan_shock"]
    assert "There is a label or a study" in plan.shown["plan_flash"]
    assert plan.gaps["plan_equipment"].startswith("not planned: Wear what the board's own label names")


def test_a_voltage_nobody_knows_is_a_gap_and_names_its_question() -> None:
    plan = plan_under("en50110", mains__board_kv=Answer(None))

    assert "plan_shock" not in plan.shown
    assert plan.gaps["plan_shock"].startswith(
        "not known: The board whose cover comes off: what is the highest voltage"
    )


def test_a_code_that_prints_no_altitude_factors_says_why_it_gives_no_distance() -> None:
    """29 CFR 1910.333 (published) prints none."""
    assert "`us333` gives no figure for altitude" in plan_under("us333").gaps["plan_boundaries"]
