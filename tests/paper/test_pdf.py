"""The PDF: read back with pypdf, an independent library, and compared with the document and the plain text."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from riskhelper.paper.pdf import UnknownPaper, to_pdf
from riskhelper.paper.text import to_text
from riskhelper.statement import cautions
from riskhelper.statement.build import method_statement
from riskhelper.statement.document import Document, Facts, Furniture, Grid, Paragraph
from riskhelper.statement.header import Header
from riskhelper.terms import Truth, Verdict
from tests.statement import ferry_works as works

ROOT = Path(__file__).parents[2]
PAPERS = ("A4", "Letter")


def statement(header: Header = works.HEADER, *, rehearsal: bool = True) -> Document:
    return method_statement(works.rules(), works.job(rehearsal=rehearsal), works.assessment(), header, works.NOW)


def pages(document: Document, paper: str = "A4") -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(to_pdf(document, paper))).pages]


def plain(*words: str) -> Document:
    return Document(Furniture("Note", "record 1", ""), tuple(Paragraph(line) for line in words), works.NOW)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_says_page_x_of_y_record_rule_sets_and_marks_mst_08(paper: str) -> None:
    document = statement()
    found = pages(document, paper)

    assert len(found) > 3
    for number, page in enumerate(found, start=1):
        assert f"page {number} of {len(found)}" in page
        assert "record FW-26-031, revision 2" in page
        assert document.furniture.foot[0] in page
        assert cautions.FOOT in page
        assert "REHEARSAL: NOT FOR WORK | RULE SET PROPOSED, NOT ADOPTED HERE" in page


@pytest.mark.parametrize("paper", PAPERS)
def test_fixed_clauses_stand_on_the_first_and_on_the_last_page_mst_06(paper: str) -> None:
    first, *_, last = pages(statement(), paper)

    for clause in cautions.FIRST_PAGE:
        assert clause in first
    for clause in cautions.LAST_PAGE:
        assert clause in last


def test_fixed_clauses_stay_on_the_first_page_however_long_the_names_are_mst_06() -> None:
    header = replace(works.HEADER, site="Long Reach " * 300, plant="T" * 4000, address="Quay\n" * 200)
    first, *_ = pages(statement(header))

    for clause in cautions.FIRST_PAGE:
        assert clause in first


def test_the_sections_can_be_found_in_the_extracted_text_mst_01() -> None:
    text = " ".join(pages(statement()))

    for title in (
        "The job: who, where, which plant",
        "Hazards and risks",
        "Controls",
        "put in, watched and reviewed",
    ):
        assert title in text


@pytest.mark.parametrize("paper", PAPERS)
def test_the_emergency_page_is_one_page(paper: str) -> None:
    (page,) = [page for page in pages(statement(), paper) if "Emergency page" in page]

    assert "Leak card" in page
    assert "trained first-aiders come first" in page


def test_numbers_on_paper_and_in_plain_text_are_the_same() -> None:
    document = statement()
    text = " ".join(to_text(document).split())
    paper = " ".join(pages(document))
    values = [row[1] for block in document.blocks if isinstance(block, Grid) for row in block.rows if "kPa" in row[1]]
    values += ["4 × 5 = 20", "2 × 5 = 10", "3 × 5 = 15"]
    values += [value for block in document.blocks if isinstance(block, Facts) for _, value in block.rows if value]

    assert "-1.5 to 31.0 kPa" in values
    for value in values:
        assert " ".join(value.split()) in text
        assert " ".join(value.split()) in paper


@pytest.mark.parametrize("paper", PAPERS)
def test_the_same_input_gives_the_same_bytes_in_two_processes(paper: str) -> None:
    program = (
        "import hashlib; from tests.paper.test_pdf import statement; from riskhelper.paper.pdf import to_pdf; "
        f"print(hashlib.sha256(to_pdf(statement(), {paper!r})).hexdigest())"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True, timeout=120
        ).stdout.strip()
        for _ in range(2)
    ]

    assert runs == [hashlib.sha256(to_pdf(statement(), paper)).hexdigest()] * 2


def test_a_paper_size_that_nobody_cuts_is_refused_in_words() -> None:
    with pytest.raises(UnknownPaper, match="paper `A3` is not known; choose A4 or Letter"):
        to_pdf(plain("x"), "A3")


def test_the_two_paper_sizes_have_their_measures() -> None:
    sizes = {}
    for paper in PAPERS:
        box = PdfReader(BytesIO(to_pdf(plain("x"), paper))).pages[0].mediabox
        sizes[paper] = (round(float(box.width) / 72 * 25.4, 1), round(float(box.height) / 72 * 25.4, 1))

    assert sizes == {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


def test_control_characters_and_overrides_are_shown_and_do_not_act() -> None:
    text = " ".join(pages(plain("T3\x1b[31m red\x00 \u202egnp")))

    assert "T3[U+001B][31m red[U+0000] [U+202E]gnp" in text


def test_a_sign_the_font_lacks_is_shown_as_its_code_point() -> None:
    text = " ".join(pages(plain("bay \U0001f6a7 and \u4e2d")))

    assert "bay [U+1F6A7] and [U+4E2D]" in text


def test_names_in_other_scripts_print_in_the_order_they_are_read() -> None:
    text = " ".join(pages(plain("Łukasz Ångström Ελένη Юлия", "שלום")))

    assert "Łukasz Ångström Ελένη Юлия" in text
    assert "םולש" in text or "שלום" in text


def test_the_placeholder_of_the_pdf_library_is_printed_as_it_stands() -> None:
    assert "bay {nb} north" in pages(plain("bay {nb} north"))[0]


def test_a_word_wider_than_the_page_and_a_cell_longer_than_the_page_lose_nothing() -> None:
    long_word = "".join(f"{n:04d}" for n in range(1000))
    row = " ".join(f"w{n}" for n in range(3000))
    header = replace(works.HEADER, site=long_word, other_permits=row)
    joined = "".join("".join(pages(statement(header))).split())
    text = re.sub(r"MethodstatementrecordFW.*?page\d+of\d+", "", joined)

    assert all(f"{n:04d}" in text for n in range(0, 1000, 97))
    assert all(f"w{n}" in text for n in range(0, 3000, 111))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("in_service", list(Truth))
def test_no_word_leaves_the_page(paper: str, in_service: Truth) -> None:
    header = replace(works.HEADER, work_leader="Ω" * 500, emergency_numbers=(("Ambulance", "9" * 300),))
    job = works.job("in_service" if in_service is Truth.YES else "isolated")
    document = method_statement(works.rules(), job, works.assessment(Verdict.STOP, in_service), header, works.NOW)
    for page in PdfReader(BytesIO(to_pdf(document, paper))).pages:
        places: list[tuple[float, float]] = []

        def visit(text: str, _cm: object, matrix: list[float], _font: object, _size: object) -> None:
            if text.strip():
                places.append((matrix[4], matrix[5]))  # noqa: B023

        page.extract_text(visitor_text=visit)

        assert places
        assert all(0 < x < float(page.mediabox.width) - 20 for x, _ in places)
        assert all(20 < y < float(page.mediabox.height) - 20 for _, y in places)
