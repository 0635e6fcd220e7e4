"""Lines in scripts that run from right to left: letters joined, then put in the order they are seen.

Fonts without a shaping engine draw one glyph per character, left to right. The joined forms of Arabic letters are
characters of their own (Unicode Standard, Arabic Presentation Forms-B), and their decompositions say which
letter takes which form; the order follows the Unicode Bidirectional Algorithm (UAX 9) as fpdf2 implements it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Container
from functools import cache

from fpdf.bidi import BidiParagraph

_LAM = "\u0644"


@cache
def _forms() -> dict[tuple[str, str], str]:
    """(form, letters) to the presentation character."""
    table: dict[tuple[str, str], str] = {}
    for point in range(0xFE80, 0xFEFD):
        kind, *letters = unicodedata.decomposition(chr(point)).split()
        table[kind, "".join(chr(int(letter, 16)) for letter in letters)] = chr(point)
    return table


def runs_right_to_left(words: str) -> bool:
    """Whether any character of the line runs from right to left."""
    return not words.isascii() and any(unicodedata.bidirectional(sign) in ("R", "AL", "AN") for sign in words)


def _joined(words: str, covered: Container[int]) -> str:
    forms = _forms()
    letters: list[str] = []
    for sign in words:
        if letters and letters[-1] == _LAM and ("<isolated>", _LAM + sign) in forms:
            letters[-1] += sign
        else:
            letters.append(sign)
    shown = []
    for place, unit in enumerate(letters):
        before = letters[place - 1] if place else ""
        after = letters[place + 1] if place + 1 < len(letters) else ""
        from_right = ("<initial>", before) in forms and ("<final>", unit) in forms
        to_left = ("<initial>", unit) in forms and ("<final>", after) in forms
        kind = {(0, 0): "<isolated>", (0, 1): "<initial>", (1, 0): "<final>", (1, 1): "<medial>"}
        form = forms.get((kind[int(from_right), int(to_left)], unit), unit)
        shown.append(form if all(ord(sign) in covered for sign in form) else unit)
    return "".join(shown)


def as_seen(words: str, covered: Container[int]) -> str:
    """The line in the order in which it is drawn; lines that run from left to right come back as they are."""
    if not runs_right_to_left(words):
        return words
    return BidiParagraph(_joined(words, covered)).get_reordered_string()
