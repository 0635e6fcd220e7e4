"""Summary, briefing, emergency, isolation, hand-back and blank form: what each must say, and on how many pages."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from riskhelper.assessment.result import Assessment, Condition
from riskhelper.paper.pdf import to_pdf
from riskhelper.paper.text import to_text
from riskhelper.ruleset.entries import FactEntry
from riskhelper.ruleset.model import Derived, RuleSet
from riskhelper.statement import cautions
from riskhelper.statement.blank_form import blank_form
from riskhelper.statement.briefing import briefing_sheet
from riskhelper.statement.build import method_statement
from riskhelper.statement.catalogue import JOB_PAPERS
from riskhelper.statement.document import Document
from riskhelper.statement.hand_back import hand_back_sheet
from riskhelper.statement.isolation import isolation_sheet
from riskhelper.statement.summary import summary_page
from riskhelper.terms import Status, Truth, Verdict
from tests.statement import ferry_works as works

ROOT = Path(__file__).parents[2]
LONG = "Oil runs out of the open valve faster than the tray, the drain and two people can take it away"


def made(name: str, in_service: Truth = Truth.NO) -> Document:
    state = "in_service" if in_service is Truth.YES else "isolated"
    verdict = Verdict.STOP if in_service is Truth.NO else Verdict.CONDITIONS
    return JOB_PAPERS[name](
        works.rules(), works.job(state), works.assessment(verdict, in_service), works.HEADER, works.NOW
    )


def flat(document: Document) -> str:
    return " ".join(to_text(document).split())


def page_count(document: Document, paper: str) -> int:
    return len(PdfReader(BytesIO(to_pdf(document, paper))).pages)


def many_points() -> RuleSet:
    """The rule set with twelve hold points."""
    rules = works.rules()
    first = rules.head.hold_points[0]
    points = tuple(
        first.model_copy(update={"id": f"point_{n}", "words": f"BACK IN FORCE AND READ {n}"}) for n in range(9)
    )
    return replace(rules, head=rules.head.model_copy(update={"hold_points": (*rules.head.hold_points[:3], *points)}))


def crowded() -> Assessment:
    """As much as a hard job brings: many stops, twelve places where conditions fall due, long words everywhere."""
    given = works.assessment()
    stops = tuple(replace(given.stops[0], id=f"plant.s{n}", title=f"{LONG} {n}", who=LONG) for n in range(9))
    conditions = tuple(
        Condition("pending", point, f"{LONG} {n}")
        for n in range(5)
        for point in ("approval", *(point.id for point in many_points().head.hold_points))
    )
    hazards = tuple(replace(given.hazards[0], id=f"plant.h{n}", title=LONG, harm=LONG) for n in range(20))
    unknown = dict.fromkeys(works.rules().questions, Status.NOT_KNOWN)
    quantities = tuple(replace(works.PRESSURE, title=LONG) for _ in range(9))
    return replace(
        given, stops=stops, conditions=conditions, hazards=hazards, statuses=unknown, quantities=quantities
    )


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("make", [summary_page, briefing_sheet])
def test_summary_and_briefing_fit_one_page_even_when_the_job_is_crowded_hum_01(paper: str, make: object) -> None:
    assert callable(make)
    document = make(many_points(), works.job(), crowded(), works.HEADER, works.NOW)

    assert page_count(document, paper) == 1


def test_the_summary_says_how_much_it_leaves_out() -> None:
    text = flat(summary_page(many_points(), works.job(), crowded(), works.HEADER, works.NOW))

    assert "6 more in the method statement" in text
    assert "9 stops, 65 conditions, 3 answers not known" in text


def test_the_summary_names_verdict_who_lifts_and_worst_hazards() -> None:
    text = flat(made("summary"))

    assert "STOP - Work must not start" in text
    assert "Stop 1: Suction at the valve. Lifted only by: owner's transformer engineer" in text
    assert "20, planned 10: Air drawn into the tank" in text
    assert "-1.5 to 31.0 kPa: Pressure at the valve (ASSUMED input)" in text


def test_the_briefing_has_hold_points_half_way_state_and_room_for_names_dis_03() -> None:
    text = flat(made("briefing-sheet"))

    assert "PLATE READ - DEAD AND EARTHED - PRESSURE SHOWN" in text
    assert "never a full adapter shut at both ends" in text
    assert "STOP is said by anybody, works at once, and needs no reason." in text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_hand_back_sheet_is_one_sheet_printed_on_both_sides(paper: str) -> None:
    assert page_count(made("hand-back-sheet"), paper) == 2


def test_hand_back_counts_earths_only_where_the_plant_was_earthed() -> None:
    assert "Own earths on / off, by number" in flat(made("hand-back-sheet"))
    assert "Own earths on / off, by number" not in flat(made("hand-back-sheet", Truth.YES))


@pytest.mark.parametrize("name", sorted(JOB_PAPERS))
def test_no_paper_calls_plant_in_service_isolated_or_dead(name: str) -> None:
    assert re.findall(r"\b(isolated|dead|DEAD)\b", flat(made(name, Truth.YES))) == []


@pytest.mark.parametrize("name", sorted(JOB_PAPERS))
@pytest.mark.parametrize("in_service", list(Truth))
def test_no_paper_says_the_word_that_no_program_may_say_hum_08(name: str, in_service: Truth) -> None:
    assert re.findall(r"\b(un)?safe(ly|r|st)?\b", flat(made(name, in_service)), re.IGNORECASE) == []


@pytest.mark.parametrize("name", sorted(JOB_PAPERS))
def test_every_paper_says_that_it_is_not_permission_to_start_mst_06(name: str) -> None:
    assert cautions.FOOT in flat(made(name))


def test_the_blank_form_asks_every_question_and_lists_every_stop() -> None:
    rules = works.rules()
    text = flat(blank_form(rules, works.HEADER, works.NOW))

    for question in rules.questions.values():
        assert question.ask in text
    for stop in rules.stops.values():
        assert stop.title in text
    assert "[PRESSURE SHOWN] Pressure on the dial at the valve? (in kPa)" in text


def test_no_figure_that_rests_on_an_arc_calculation_is_printed() -> None:
    rules = works.rules()
    type_ = rules.derived["plant.pressure_kpa"].type
    flash = FactEntry.model_validate({"calc": "arc.flash", "from": {}, "unit": "J"})
    worst = FactEntry.model_validate({"calc": "burn.worst", "from": {"energy": "plant.flash_j"}, "unit": "J"})
    facts = {**rules.facts, "plant.flash_j": flash, "plant.worst_j": worst}
    derived = {
        **rules.derived,
        "plant.flash_j": Derived(type_, flash),
        "plant.worst_j": Derived(type_, worst),
    }
    quantities = (
        works.PRESSURE,
        replace(works.PRESSURE, id="plant.flash_j", title="Flash at the box"),
        replace(works.PRESSURE, id="plant.worst_j", title="Worst burn"),
    )
    given = replace(works.assessment(), quantities=quantities)
    text = flat(
        method_statement(replace(rules, facts=facts, derived=derived), works.job(), given, works.HEADER, works.NOW)
    )

    assert "Figure: Pressure at the valve" in text
    assert "Flash at the box" not in text
    assert "Worst burn" not in text


def test_isolation_and_hand_back_are_made_for_both_roads() -> None:
    for in_service in Truth:
        given = works.assessment(Verdict.CONDITIONS, in_service)
        for make in (isolation_sheet, hand_back_sheet):
            document = make(works.rules(), works.job(), given, works.HEADER, works.NOW)

            assert page_count(document, "A4") >= 1


def test_plain_text_needs_no_pdf_library() -> None:
    program = "import sys, riskhelper.paper.text; print('fpdf' in sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True, timeout=60
    )

    assert run.stdout.strip() == "False"
