"""What the method statement says, whatever paper it is drawn on. Tests name the requirements they check."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from riskhelper.assessment.result import Assessment, Condition, Rating
from riskhelper.interval import Interval
from riskhelper.paper.text import to_text
from riskhelper.statement import cautions
from riskhelper.statement.build import method_statement
from riskhelper.statement.document import (
    Border,
    Document,
    Facts,
    Grid,
    Heading,
    HoldBox,
    Notice,
    Paragraph,
    RatingRuler,
    Step,
    Steps,
    Together,
)
from riskhelper.statement.due import counted_on
from riskhelper.terms import Standing, StopKind, Truth, Verdict
from tests.statement import ferry_works as works

FORBIDDEN = re.compile(r"\b(un)?safe(ly|r|st)?\b", re.IGNORECASE)


def statement(verdict: Verdict = Verdict.STOP, in_service: Truth = Truth.NO, *, rehearsal: bool = False) -> Document:
    state = "in_service" if in_service is Truth.YES else "isolated"
    job = works.job(state, rehearsal=rehearsal)
    return method_statement(works.rules(), job, works.assessment(verdict, in_service), works.HEADER, works.NOW)


def of(assessment: Assessment) -> Document:
    return method_statement(works.rules(), works.job(), assessment, works.HEADER, works.NOW)


def headings(document: Document) -> list[str]:
    return [block.words for block in document.blocks if isinstance(block, Heading) and block.level == 1]


def section(document: Document, title: str) -> list[object]:
    """Blocks below the heading that starts with these words, up to the next section."""
    start = next(
        i for i, block in enumerate(document.blocks) if isinstance(block, Heading) and block.words.startswith(title)
    )
    found: list[object] = []
    for block in document.blocks[start + 1 :]:
        if isinstance(block, Heading) and block.level == 1:
            break
        found.append(block)
    return found


def flat(document: Document) -> str:
    return " ".join(to_text(document).split())


def hold_boxes(document: Document) -> list[HoldBox]:
    return [
        item
        for block in document.blocks
        if isinstance(block, Steps)
        for item in block.items
        if isinstance(item, HoldBox)
    ]


def steps(document: Document) -> list[Step]:
    return [
        item
        for block in document.blocks
        if isinstance(block, Steps)
        for item in block.items
        if isinstance(item, Step)
    ]


@pytest.mark.parametrize(
    "title",
    [
        "The job: who, where, which plant",
        "Hazards and risks",
        "Controls and other conditions",
        "How the controls are put in, watched and reviewed",
        "Steps in the order of work",
        "Equipment and kit",
        "People and qualifications needed",
    ],
)
def test_every_section_the_law_asks_for_is_there_and_not_empty_mst_01_mst_04(title: str) -> None:
    assert section(statement(), title) != []


def test_steps_are_numbered_in_the_order_of_work_mst_02() -> None:
    document = statement()

    assert [step.number for step in steps(document)] == [1, 2, 3, 4]
    assert [step.do for step in steps(document)][1] == "Switch, lock and earth by the plan"


def test_each_hold_point_of_the_road_stands_after_its_last_step_with_role_and_criterion_mst_02() -> None:
    items = next(block.items for block in statement().blocks if isinstance(block, Steps))
    order = [item.words if isinstance(item, HoldBox) else item.number for item in items]

    assert order == [1, "PLATE READ", 2, "DEAD AND EARTHED", 3, "PRESSURE SHOWN", 4]
    for box in hold_boxes(statement()):
        assert box.released_by
        assert box.criterion


def test_a_hold_point_repeats_what_falls_due_there() -> None:
    (box,) = [box for box in hold_boxes(statement()) if box.words == "PRESSURE SHOWN"]

    assert box.due == (
        "Pressure on the dial at the valve? → 2.0 to 30.0 kPa",
        "In place: oil filled tube → seen by T. Brandvold",
    )


@pytest.mark.parametrize(
    ("error", "counted"),
    [
        (0.5, "a reading of 2.5 to 29.5 kPa"),
        ("plant.wind_ms", "2.0 to 30.0 kPa, less the error of the reading at both ends"),
        (None, "2.0 to 30.0 kPa"),
    ],
)
def test_an_expected_reading_stays_inside_the_expected_value_by_its_error(
    error: float | str | None, counted: str
) -> None:
    question = works.rules().questions["plant.oil_kpa"].model_copy(update={"error": error})

    assert counted_on(question) == counted


def test_conditions_name_controls_checks_and_waiting_stops_by_hold_point() -> None:
    waiting = replace(works.assessment().stops[0], title="Suction at the valve")
    given = works.assessment(Verdict.CONDITIONS)
    given = replace(
        given,
        later_stops=(waiting,),
        conditions=(
            *given.conditions,
            Condition("stop_later", "", "Can still become a stop: Suction at the valve", ("plant.suction",)),
            Condition("band", "", "Air drawn into the tank: each control is a condition", ("plant.air_drawn_in",)),
        ),
    )
    blocks = section(of(given), "Controls and other conditions")
    grid = next(b for b in blocks if isinstance(b, Grid))

    assert [row[1] for row in grid.rows] == [
        "oil filled tube: crack the valve through a tube full of oil",
        "dial each litre: read the dial after each litre",
        "1 check in its box; a stop until shown: Suction at the valve",
    ]
    assert {row[0] for row in grid.rows} == {"PRESSURE SHOWN"}
    assert Paragraph("Air drawn into the tank: each control is a condition.", bullet=True) in blocks


def test_hazards_below_ten_stand_in_one_table_and_the_others_beside_their_ruler() -> None:
    given = works.assessment(Verdict.CONDITIONS)
    low = replace(given.hazards[1], title="Slip on the quay", as_found=Rating(1, 4, "low"))
    blocks = section(of(replace(given, hazards=(given.hazards[0], low))), "Hazards")
    rulers = [b for b in blocks if isinstance(b, RatingRuler)]
    table = [b for b in blocks if isinstance(b, Grid)][-1]

    assert [ruler.title for ruler in rulers] == ["Air drawn into the tank"]
    assert [row[:2] for row in table.rows] == [("Slip on the quay", "1×4=4")]
    assert table.rows[0][-1] == "none planned"


def test_a_step_whose_condition_cannot_be_told_is_printed_as_if_it_applies() -> None:
    *_, last = steps(statement())

    assert last.maybe
    assert "If it applies (the answers do not tell): Tie everything down against the wind" in flat(statement())


def test_an_error_likely_step_asks_for_an_independent_check() -> None:
    assert "EASILY DONE WRONG: A twin stands in the next bay" in flat(statement())
    assert "Check: second person reads the number back." in flat(statement())


def test_the_head_says_who_prepared_it_when_and_who_makes_it_happen_mst_05() -> None:
    (facts,) = [block for block in section(statement(), "The job") if isinstance(block, Facts)]
    rows = dict(facts.rows)

    assert rows["Prepared by"] == "Ines Okonjo"
    assert rows["Prepared at"] == "2026-11-20 07:40 UTC+00:00"
    assert rows["Work leader (makes it happen)"] == "Ines Okonjo"
    assert rows["Next review"] == "at the shift change, 14:00"
    assert rows["Address"] == "Slip Road 4, Lower Ferry"
    assert "Local code: Quay code, 2026. It defers to: The harbour's licensed electrician decides." in flat(
        statement()
    )


def test_references_to_other_papers_are_there_or_blank_to_fill_in_mst_08() -> None:
    (facts,) = [block for block in section(statement(), "The job") if isinstance(block, Facts)]
    rows = dict(facts.rows)

    assert rows["Permit or limitation no."] == ""
    assert rows["Isolation document no."] == ""
    assert rows["Other permits in the area"] == ""


def test_a_reprint_of_an_old_revision_says_superseded_mst_08() -> None:
    header = replace(works.HEADER, superseded_by="3")
    document = method_statement(works.rules(), works.job(), works.assessment(), header, works.NOW)

    assert document.furniture.marks[0] == "SUPERSEDED BY REVISION 3"


@pytest.mark.parametrize("clause", cautions.FIRST_PAGE)
def test_the_fixed_clauses_stand_before_the_first_section_mst_06(clause: str) -> None:
    document = statement()
    first = document.blocks[: next(i for i, b in enumerate(document.blocks) if isinstance(b, Facts))]

    assert any(clause in block.lines for block in first if isinstance(block, Notice))


def test_the_last_block_is_the_fixed_notice_and_no_rule_set_reaches_it_mst_06() -> None:
    document = statement()

    last = document.blocks[-1]

    assert isinstance(last, Together)
    assert last.blocks[-1] == cautions.last_page_notice()


def test_leaving_the_statement_means_stopping_mst_09() -> None:
    assert cautions.DEPARTED in flat(statement())


@pytest.mark.parametrize(
    ("verdict", "border"),
    [
        (Verdict.STOP, Border.DOUBLE),
        (Verdict.CONDITIONS, Border.DASHED),
        (Verdict.NO_STOP_FOUND, Border.SINGLE),
    ],
)
def test_the_verdict_is_told_by_its_words_and_by_its_frame(verdict: Verdict, border: Border) -> None:
    notice = statement(verdict).blocks[1]

    assert isinstance(notice, Notice)
    assert notice.title == verdict.words
    assert notice.border is border
    assert notice.large


def test_a_stop_says_kind_reason_act_and_who_alone_lifts_it() -> None:
    (notice,) = [block for block in section(statement(), "Stops") if isinstance(block, Notice)]

    assert notice.title == "STOP: Suction at the valve"
    assert notice.lines == (
        "LIMIT: it goes only when the fact changes.",
        "Why: air can be drawn into the tank. This cannot be ruled out, and so it stops.",
        "Not ruled out until this is known: Pressure on the dial at the valve?",
        "What to do: Wait for warmer oil, or have the owner fill the tank.",
        "Only this person may lift it: owner's transformer engineer.",
        "Source: [1].",
    )


def test_a_decision_names_the_ruling_as_its_other_way_out() -> None:
    decision = replace(works.assessment().stops[0], kind=StopKind.DECISION)

    assert "DECISION: it goes when the fact changes, or by the signed ruling" in flat(
        of(replace(works.assessment(), stops=(decision,)))
    )


def test_a_ruled_stop_is_a_condition_on_every_page_and_no_stop_any_more() -> None:
    document = of(works.ruled(works.assessment(Verdict.CONDITIONS)))

    assert "CONDITION BY RULING: Suction at the valve" in document.furniture.marks
    assert not [b for b in section(document, "Stops") if isinstance(b, Notice)]
    assert "one litre only, until 12:00, page 9" in flat(document)


def test_what_is_not_known_comes_with_what_to_do() -> None:
    (grid,) = [block for block in section(statement(), "Not known") if isinstance(block, Grid)]

    assert grid.rows == (("Wind at the work?", "Read the gust meter at the fence.", ""),)


def test_a_number_carries_unit_working_source_and_a_mark_on_assumed_input_mst_07() -> None:
    (grid,) = [block for block in section(statement(), "Numbers") if isinstance(block, Grid)]

    assert grid.rows == (
        (
            "Pressure at the valve",
            "-1.5 to 31.0 kPa",
            "dial + head; dial -2.5 to 30.0 kPa",
            "[1], relation 4",
            "ASSUMED: oil",
        ),
    )


def test_a_figure_from_memory_is_marked_to_be_confirmed_mst_07() -> None:
    quantity = replace(works.PRESSURE, assumed=(), standing=Standing.MEMORY, value=Interval(2.0, 2.0))
    (grid,) = [
        b for b in section(of(replace(works.assessment(), quantities=(quantity,))), "Numbers") if isinstance(b, Grid)
    ]

    assert grid.rows[0][1] == "2.0 kPa"
    assert grid.rows[0][4] == "TO BE CONFIRMED"


def test_each_hazard_has_one_ruler_with_three_readings_sco_06() -> None:
    text = flat(statement())

    assert "as found |....|.....|.....|.....#.....| 4 × 5 = 20, very high" in text
    assert "as planned |....|.....|o....|...........| 2 × 5 = 10, high" in text
    assert "as proved |....|.....|.....|x..........| 3 × 5 = 15, very high" in text
    assert "(cannot be ruled out: oil)" in text
    assert "too close to call: a better measurement is needed" in text


def test_a_control_shows_owner_evidence_and_hold_point() -> None:
    grid = next(block for block in section(statement(), "Controls and other") if isinstance(block, Grid))

    assert grid.rows[0] == (
        "PRESSURE SHOWN",
        "oil filled tube: crack the valve through a tube full of oil",
        "engineering",
        "Ines Okonjo: seen by T. Brandvold",
    )
    assert grid.rows[1][3] == "second person: log. Seen: log page 3, T. Brandvold, second person I. Okonjo"


def test_reinstatement_is_the_isolation_plan_in_reverse_with_locks_and_earths_counted() -> None:
    plan, back = [b for b in section(statement(), "Isolation plan") if isinstance(b, Grid)]
    counts = [b for b in section(statement(), "Isolation plan") if isinstance(b, Facts)][1]

    assert [row[0] for row in plan.rows] == ["1", "2", "3", "4", "5"]
    assert [row[0] for row in back.rows] == ["5", "4", "3", "2", "1"]
    assert [row[1] for row in back.rows[2:]] == ["Mains supply of the unit", "High-voltage side", "Remote control"]
    assert [label for label, _ in counts.rows] == [
        "Earths on / earths off",
        "Locks on / locks off",
        "Keys in / keys out",
    ]


def test_local_titles_are_printed_beside_the_roles() -> None:
    grid = next(b for b in section(statement(), "People") if isinstance(b, Grid))

    assert ("switching person (appointed harbour switcher): releases DEAD AND EARTHED; step 2", "") in grid.rows


def test_plant_in_service_is_never_called_isolated_or_dead() -> None:
    text = flat(statement(Verdict.CONDITIONS, Truth.YES))

    assert "Limitation of access (plant in service)" in text
    assert "HOLD POINT BOUNDED" in text
    assert re.findall(r"\b(isolated|dead|DEAD)\b", text) == []
    assert "High-voltage side" not in text


def test_a_plant_whose_state_is_not_settled_counts_as_in_service() -> None:
    assert "treated as plant in service" in flat(statement(Verdict.STOP, Truth.CANNOT_TELL))
    assert "High-voltage side" not in flat(statement(Verdict.STOP, Truth.CANNOT_TELL))


def test_every_page_carries_record_rule_sets_local_code_and_marks() -> None:
    furniture = statement(rehearsal=True).furniture
    base, local = works.rules().parts

    assert furniture.record == "record FW-26-031, revision 2"
    assert furniture.marks == ("REHEARSAL: NOT FOR WORK", "RULE SET PROPOSED, NOT ADOPTED HERE")
    assert furniture.foot[0] == (
        f"Rule sets: base no. 7 ({base.digest[:8]}), quay no. {local.number} ({local.digest[:8]}); "
        "local code Quay code"
    )
    assert furniture.foot[1] == cautions.FOOT


def test_an_adopted_rule_set_is_not_marked_as_proposed() -> None:
    header = replace(works.HEADER, adopted=True)
    document = method_statement(works.rules(), works.job(), works.assessment(), header, works.NOW)

    assert document.furniture.marks == ()


def test_the_emergency_page_prints_given_numbers_and_blanks_for_the_rest_emg_01() -> None:
    facts = next(b for b in section(statement(), "Emergency page") if isinstance(b, Facts))
    rows = dict(facts.rows)

    assert rows["Ambulance"] == "112"
    assert rows["Bridge watch"] == "channel 6"
    assert rows["Control room"] == ""
    assert "30 minutes from the LAST thunder" in flat(statement())


def all_documents() -> Iterator[Document]:
    for verdict in Verdict:
        for in_service in Truth:
            yield statement(verdict, in_service, rehearsal=True)


def test_nothing_printed_says_the_word_that_no_program_may_say_hum_08() -> None:
    for document in all_documents():
        assert FORBIDDEN.findall(flat(document)) == []
