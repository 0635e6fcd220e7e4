"""The typeface of all papers: measured here, drawn by fpdf2. DejaVu Sans Condensed, licence beside the files."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import Final

from fpdf import FPDF

from riskhelper.paper.glyphs import printable

FAMILY: Final = "Sheet"
MM_PER_POINT: Final = 25.4 / 72
LINE_SPACING: Final = 1.12
_FILES = {False: "DejaVuSansCondensed.ttf", True: "DejaVuSansCondensed-Bold.ttf"}


def font_path(bold: bool) -> str:
    """Where the font file lies."""
    return str(files("riskhelper.paper") / "fonts" / _FILES[bold])


class Typeface:
    """Widths of one weight, in millimetres at a size in points."""

    def __init__(self, bold: bool) -> None:
        measuring = FPDF()
        measuring.add_font(FAMILY, "", font_path(bold))
        per_thousand = measuring.fonts[FAMILY.lower()].cw
        self._widths: dict[int, float] = {int(point): width / 1000 for point, width in per_thousand.items()}
        self._words: dict[str, float] = {}

    @property
    def covered(self) -> frozenset[int]:
        """Code points with a glyph."""
        return frozenset(self._widths)

    def width_mm(self, words: str, size_pt: float) -> float:
        """Width of a printable line."""
        ems = self._words.get(words)
        if ems is None:
            ems = sum(self._widths[ord(sign)] for sign in words)
            self._words[words] = ems
        return ems * size_pt * MM_PER_POINT


@cache
def typefaces() -> tuple[Typeface, Typeface]:
    """Plain and bold, read once."""
    return Typeface(bold=False), Typeface(bold=True)


@cache
def covered_by_both() -> frozenset[int]:
    """Code points that both weights draw."""
    plain, bold = typefaces()
    return plain.covered & bold.covered


def shaped(words: str) -> str:
    """A line of which every character has a glyph in both weights."""
    return printable(words, covered_by_both())


def wrapped(words: str, width_mm: float, size_pt: float, bold: bool = False) -> tuple[str, ...]:
    """Lines that fit the width; a word wider than the line is broken at the last character that fits."""
    face = typefaces()[bold]
    blank = face.width_mm(" ", size_pt)
    lines: list[str] = []
    line: list[str] = []
    used = 0.0
    for word in _pieces(shaped(words).split(), face, width_mm, size_pt):
        needs = face.width_mm(word, size_pt)
        if line and used + blank + needs > width_mm:
            lines.append(" ".join(line))
            line, used = [word], needs
        else:
            used += needs + (blank if line else 0.0)
            line.append(word)
    return (*lines, " ".join(line))


def _pieces(words: Sequence[str], face: Typeface, width_mm: float, size_pt: float) -> list[str]:
    pieces: list[str] = []
    for word in words:
        if face.width_mm(word, size_pt) <= width_mm:
            pieces.append(word)
            continue
        start, used = 0, 0.0
        for place, sign in enumerate(word):
            needs = face.width_mm(sign, size_pt)
            if used + needs > width_mm and place > start:
                pieces.append(word[start:place])
                start, used = place, 0.0
            used += needs
        pieces.append(word[start:])
    return pieces


def fitted(words: str, width_mm: float, size_pt: float, bold: bool = False) -> str:
    """One line cut to the width; the cut shows as three dots."""
    face = typefaces()[bold]
    line = " ".join(shaped(words).split())
    if face.width_mm(line, size_pt) <= width_mm:
        return line
    room = width_mm - face.width_mm("…", size_pt)
    used, place = 0.0, 0
    while place < len(line) and used + face.width_mm(line[place], size_pt) <= room:
        used += face.width_mm(line[place], size_pt)
        place += 1
    return line[:place].rstrip() + "…"
