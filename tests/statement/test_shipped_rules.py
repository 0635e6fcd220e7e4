"""The papers of the shipped rule set for a job about which nobody knows anything: as much as they can ever print."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from io import BytesIO

import pytest
from pypdf import PdfReader

from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Answer, Job, SeveralMark
from riskhelper.paper.pdf import to_pdf
from riskhelper.paper.text import to_text
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.statement.blank_form import blank_form
from riskhelper.statement.catalogue import JOB_PAPERS
from riskhelper.statement.document import Block, Document, Heading, HoldBox, Step, Steps
from riskhelper.store.rule_files import rule_files, shipped_rules
from riskhelper.terms import APPROVAL, Truth
from tests.content import shipped
from tests.statement import ferry_works as works

SCOPE: dict[str, SeveralMark] = dict.fromkeys(("mount", "oil", "wire", "comms", "alarms"), "yes")
STATES = {"in_service": Truth.YES, "isolated_earthed": Truth.NO, "not_connected": Truth.NO, "": Truth.CANNOT_TELL}


@cache
def rules() -> RuleSet:
    return load_rules(rule_files(shipped_rules()), "en50110", prove_guards=False)


@cache
def job(state: str) -> Job:
    answers = {"job.scope": Answer({name: SCOPE.get(name, "no") for name in rules().questions["job.scope"].options})}
    if state:
        answers["plant.tx_during"] = Answer(state)
    return Job(answers=answers, number="FW-26-031", local_code="en50110")


@cache
def assessed(state: str) -> Assessment:
    return assess(rules(), job(state), APPROVAL, works.NOW)


def paper(name: str, state: str) -> Document:
    return JOB_PAPERS[name](rules(), job(state), assessed(state), works.HEADER, works.NOW)


@pytest.mark.parametrize("state", list(STATES))
@pytest.mark.parametrize("name", sorted(JOB_PAPERS))
def test_no_paper_of_the_shipped_rules_says_the_word_that_no_program_may_say_hum_08(name: str, state: str) -> None:
    text = to_text(paper(name, state))

    assert re.findall(r"\b(?:un)?safe(?:ly|r|st)?\b", text, re.IGNORECASE) == []


def test_the_blank_form_of_the_shipped_rules_does_not_say_it_either_hum_08() -> None:
    text = to_text(blank_form(rules(), works.HEADER, works.NOW))

    assert re.findall(r"\b(?:un)?safe(?:ly|r|st)?\b", text, re.IGNORECASE) == []


@pytest.mark.parametrize("state", list(STATES))
def test_the_road_follows_the_state_of_the_plant(state: str) -> None:
    assert assessed(state).in_service is STATES[state]


@pytest.mark.parametrize("paper_size", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["summary", "briefing-sheet", "emergency-page"])
@pytest.mark.parametrize("state", list(STATES))
def test_one_page_papers_are_one_page_hum_01(name: str, state: str, paper_size: str) -> None:
    assert len(PdfReader(BytesIO(to_pdf(paper(name, state), paper_size))).pages) == 1


@pytest.mark.parametrize("state", list(STATES))
def test_each_hold_point_of_the_job_has_its_box_and_steps_are_in_order_mst_02(state: str) -> None:
    items = next(block.items for block in paper("method-statement", state).blocks if isinstance(block, Steps))
    numbers = [item.number for item in items if isinstance(item, Step)]
    boxes = [item.words for item in items if isinstance(item, HoldBox)]
    order = [point.words for point in rules().head.hold_points]

    assert numbers == list(range(1, len(numbers) + 1))
    assert boxes == [words for words in order if words in boxes]
    assert ("BOUNDED" in boxes) is (STATES[state] is not Truth.NO)
    assert {"PLATE READ", "PERMIT TAKEN", "PRESSURE SHOWN", "VALVE HOLDS", "BOX DEAD"} <= set(boxes)


def sections(name: str) -> dict[str, list[Block]]:
    """The method statement of a worked case by its headings."""
    case = shipped.rules().cases[name]
    job = shipped.job_of(case)
    assessment = assess(shipped.rules(), job, case.at, shipped.NOW)
    header = replace(works.HEADER, plant=name)
    found: dict[str, list[Block]] = {}
    heading = ""
    for block in JOB_PAPERS["method-statement"](shipped.rules(), job, assessment, header, shipped.NOW).blocks:
        heading = block.words if isinstance(block, Heading) and block.level == 1 else heading
        found.setdefault(heading, []).append(block)
    return found


def test_every_section_is_written_for_its_own_place_and_job_mst_03() -> None:
    seen: dict[str, set[str]] = {}
    for name in ("winter_dusk_in_service", "dockside_grinding_near", "cavern_back_feed", "new_bay_not_connected"):
        for heading, blocks in sections(name).items():
            seen.setdefault(heading.partition(",")[0], set()).add(repr(blocks))

    alike = [
        heading for heading, texts in seen.items() if len(texts) == 1 and not heading.startswith("Points of the")
    ]
    assert alike == [], "these sections would read the same on any job"
