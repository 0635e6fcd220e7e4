"""Reading grade and syllables (DIS-06).

The relation is that of J. P. Kincaid and others, Derivation of New Readability Formulas for Navy Enlisted Personnel
(1975): grade = 0.39 words per sentence + 11.8 syllables per word - 15.59. Syllables are those of a dictionary.
"""

from __future__ import annotations

import pytest

from riskhelper.review.words import reading_grade, syllables_in


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("oil", 1),
        ("valve", 1),
        ("hose", 1),
        ("earthed", 1),
        ("closed", 1),
        ("gauge", 1),
        ("flange", 1),
        ("pressure", 2),
        ("table", 2),
        ("isolate", 3),
        ("isolated", 4),
        ("reading", 2),
        ("transformer", 3),
        ("conservator", 4),
        ("permit", 2),
        ("area", 3),
        ("radio", 3),
        ("liquid", 2),
        ("electrician", 4),
        ("issuer", 3),
        ("barrier", 3),
        ("weather", 2),
        ("station", 2),
    ],
)
def test_syllables_of_words_of_the_trade(word: str, count: int) -> None:
    assert syllables_in(word) == count


@pytest.mark.parametrize(
    ("text", "words", "sentences", "syllables"),
    [
        ("Read the dial. Say it aloud.", 6, 2, 8),
        ("Is the valve shut?", 4, 1, 4),
        ("Look at the breather: is the oil in its cup above the line?", 13, 2, 15),
        ("The permit names the work leader and the issuer of the day.", 12, 1, 16),
    ],
)
def test_the_grade_is_the_published_relation_of_counts_made_by_hand(
    text: str, words: int, sentences: int, syllables: int
) -> None:
    expected = 0.39 * words / sentences + 11.8 * syllables / words - 15.59

    assert reading_grade(text) == pytest.approx(expected, abs=1e-9)


def test_nothing_to_read_has_no_grade() -> None:
    assert reading_grade("?") == 0.0
