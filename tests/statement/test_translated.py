"""Papers in another language: fixed sentences by their words, the translation named in the foot."""

from __future__ import annotations

from datetime import UTC, datetime

from riskhelper.paper.text import to_text
from riskhelper.ruleset.model import Translation
from riskhelper.statement.document import Column, Document, Furniture, Grid, Heading, Listing, Notice, Paragraph
from riskhelper.statement.translated import in_language

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)
DOCUMENT = Document(
    Furniture("Method statement", "record 7, revision 1", "Heron Quay, T2", ("REHEARSAL",), ("Foot.",)),
    (
        Heading("References used"),
        Notice("First", ("Anyone may stop the work.",)),
        Grid((Column("Rule set", 1),), (("base",),)),
        Listing((("Kept words", "here"),)),
        Paragraph("3.1 m of oil"),
    ),
    NOW,
)
SAID = {"References used": "Quellen", "Anyone may stop the work.": "Jeder darf anhalten.", "REHEARSAL": "ÜBUNG"}
GERMAN = Translation("de", "Deutsch", 2, "ab" * 32, "", SAID)


def test_without_a_translation_the_paper_stays_as_it_is() -> None:
    assert in_language(DOCUMENT, None) is DOCUMENT


def test_sentences_with_words_are_said_and_what_has_none_stays() -> None:
    told = to_text(in_language(DOCUMENT, GERMAN))

    assert "Jeder darf anhalten." in told
    assert "ÜBUNG" in told
    assert "QUELLEN" in told.upper()
    assert "Anyone may stop" not in told
    assert "3.1 m of oil" in told


def test_the_foot_names_the_translation_with_digest_and_review() -> None:
    document = in_language(DOCUMENT, GERMAN)

    assert document.language == "de"
    assert document.furniture.foot[-1] == "Words: Deutsch no. 2 (abababab), not reviewed"
