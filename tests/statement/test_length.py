"""As short as the job allows, hum_01: pages of the demo job's method statement, and what stands in columns."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from riskhelper.acts.job.from_file import Taken, take
from riskhelper.acts.setting_up import workplace
from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer
from riskhelper.paper.pdf import to_pdf
from riskhelper.paper.text import to_text
from riskhelper.statement.answers import answer_blocks
from riskhelper.statement.build import method_statement
from riskhelper.statement.document import Document, Listing, Picture, Together
from riskhelper.statement.selection import Selection
from tests.statement import ferry_works as works

DEMO = Path(__file__).parents[2] / "demo" / "transformer_at_dusk" / "answers.toml"
NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


@cache
def taken() -> Taken:
    home = Path("/nonexistent")
    return take(DEMO, workplace({}, home).shelf)


def demo() -> Document:
    file = taken().file
    found = assess(taken().rules, file.job, file.milestone, NOW)
    return method_statement(taken().rules, file.job, found, file.header, NOW)


@pytest.mark.parametrize(("paper", "most"), [("A4", 18), ("Letter", 19)])
def test_the_demo_job_fits_on_few_pages(paper: str, most: int) -> None:
    assert len(PdfReader(BytesIO(to_pdf(demo(), paper))).pages) <= most


def test_every_answer_and_every_reference_stands_in_the_pdf_and_in_the_text() -> None:
    document = demo()
    listings = [block for block in document.blocks if isinstance(block, Listing)]
    paper = "".join("".join(page.extract_text().split()) for page in PdfReader(BytesIO(to_pdf(document, "A4"))).pages)
    text = "".join(to_text(document).split())

    assert sum(len(block.items) for block in listings) > 100
    for block in listings:
        for words, more in block.items:
            assert "".join(words.split())[:25] in paper
            for part in (words, more):
                assert "".join(part.split()) in text


def test_both_pictures_stand_beside_the_numbers() -> None:
    pictures = [b for block in demo().blocks if isinstance(block, Together) for b in block.blocks]

    assert [b.title for b in pictures if isinstance(b, Picture)] == [
        "From the worker to the live part",
        "Pressure at the valve",
    ]


def test_a_private_answer_is_told_only_by_what_follows_from_it() -> None:
    rules = works.rules()
    state = rules.questions["plant.state"].model_copy(update={"private": True})
    private = {**rules.questions, "plant.state": state}
    selection = Selection(replace(rules, questions=private), works.job(), works.assessment(), works.NOW)
    (listing,) = [block for block in answer_blocks(selection) if isinstance(block, Listing)]

    assert ("What state will the plant be in while you work?", "private: nothing stops on it") in listing.items
    assert "Switched off" not in str(listing)


def test_an_answer_shows_who_gave_it_and_on_which_day() -> None:
    at = datetime(2026, 11, 20, 7, 0, tzinfo=UTC)
    answers = {
        "plant.state": Answer("isolated", at=at, who="I. Okonjo"),
        "plant.wind_ms": Answer(4.0, at=at, who="T. Brandvold"),
    }
    given = works.assessment()
    statuses = {**given.statuses, "plant.wind_ms": given.statuses["plant.state"]}
    selection = Selection(
        works.rules(),
        replace(works.job(), answers=answers),
        replace(given, statuses=statuses),
        works.NOW,
    )
    (listing,) = [block for block in answer_blocks(selection) if isinstance(block, Listing)]

    assert ("Wind at the work?", "4 m/s; T. Brandvold, 2026-11-20") in listing.items
