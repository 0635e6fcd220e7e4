"""The plain text: narrow, complete, harmless to a terminal."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskhelper.paper.text import to_text
from riskhelper.statement import cautions
from riskhelper.statement.build import method_statement
from riskhelper.statement.header import Header
from riskhelper.terms import Verdict
from tests.statement import ferry_works as works


def text(header: Header = works.HEADER, width: int = 78) -> str:
    return to_text(method_statement(works.rules(), works.job(), works.assessment(), header, works.NOW), width)


@pytest.mark.parametrize("width", [60, 78, 100])
def test_no_line_is_wider_than_asked_for_even_with_names_without_a_blank(width: int) -> None:
    header = replace(works.HEADER, site="S" * 500, work_leader="ß" * 300)

    assert max(len(line) for line in text(header, width).splitlines()) <= width


def test_no_control_character_reaches_a_terminal() -> None:
    header = replace(works.HEADER, site="bay\x1b]0;x\x07 3", plant="T3\u202e\u2028x")
    shown = text(header)

    assert all(sign == "\n" or sign.isprintable() for sign in shown)
    assert "bay[U+001B]]0;x[U+0007] 3" in shown


def test_the_clauses_and_the_foot_are_there() -> None:
    shown = " ".join(text().split())

    for clause in cautions.LAST_PAGE:
        assert clause in shown
    assert shown.endswith(cautions.FOOT)


def test_a_blank_field_is_a_line_to_fill_in() -> None:
    assert "Permit or limitation no.: ______" in text()


def test_the_verdict_is_spelt_as_one_word_for_a_reader_that_speaks() -> None:
    document = method_statement(
        works.rules(), works.job(), works.assessment(Verdict.NO_STOP_FOUND), works.HEADER, works.NOW
    )

    assert "  NO STOP FOUND\n" in to_text(document)
