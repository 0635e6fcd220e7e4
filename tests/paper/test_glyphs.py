"""Letters: what may be printed, joined forms, and lines that fit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskhelper.paper.glyphs import printable, shortened
from riskhelper.paper.scripts import as_seen
from riskhelper.paper.typeface import covered_by_both, fitted, shaped, typefaces, wrapped


@given(st.text())
def test_whatever_is_typed_comes_out_printable(words: str) -> None:
    assert all(sign.isprintable() for sign in printable(words))


@given(st.text(min_size=1), st.floats(min_value=8, max_value=180))
def test_wrapped_lines_fit_and_keep_every_sign(words: str, width_mm: float) -> None:
    lines = wrapped(words, width_mm, 11.0)

    assert all(typefaces()[False].width_mm(line, 11.0) <= width_mm + 1e-6 for line in lines)
    assert "".join("".join(lines).split()) == "".join(shaped(words).split())


@given(st.text(), st.floats(min_value=8, max_value=180))
def test_a_fitted_line_fits_and_shows_its_cut(words: str, width_mm: float) -> None:
    line = fitted(words, width_mm, 9.0)
    whole = " ".join(shaped(words).split())

    assert typefaces()[False].width_mm(line, 9.0) <= width_mm + 1e-6
    assert line == whole or line.endswith("…")


def test_a_shortened_name_shows_its_cut() -> None:
    assert shortened("Lower Ferry Works", 8) == "Lower F…"
    assert shortened("Lower", 8) == "Lower"


# Joining forms read off the Unicode code charts, Arabic Presentation Forms-B (U+FE70 to U+FEFF).
@pytest.mark.parametrize(
    ("typed", "seen"),
    [
        ("\u0628\u0628\u0628", "\ufe90\ufe92\ufe91"),  # beh beh beh: initial, medial, final, drawn right to left
        ("\u062f\u0627\u0631", "\ufead\ufe8d\ufea9"),  # dal alef reh: none of them joins to its left
        ("\u0633\u0644\u0627\u0645", "\ufee1\ufefc\ufeb3"),  # seen, lam with alef, meem
    ],
)
def test_arabic_letters_are_joined_and_run_from_right_to_left(typed: str, seen: str) -> None:
    assert as_seen(typed, covered_by_both()) == seen


def test_hebrew_beside_latin_keeps_latin_and_digits_in_order() -> None:
    assert as_seen("T3 \u05d0\u05d1 12", covered_by_both()) == "T3 12 \u05d1\u05d0"
    assert as_seen("Bay 12", covered_by_both()) == "Bay 12"
