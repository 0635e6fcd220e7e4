"""What may be printed: line breaks become blanks, everything else that has no shape shows its code point."""

from __future__ import annotations

import unicodedata
from collections.abc import Container

_BLANKS = frozenset("\t\n\r\v\f\x1c\x1d\x1e\x85")
_SEPARATORS = frozenset({"Zs", "Zl", "Zp"})
_UNSHAPED = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})


def printable(words: str, covered: Container[int] | None = None) -> str:
    """One line that any reader or terminal shows as it stands.

    Controls, direction overrides, unassigned characters and, where `covered` names the code points a font
    draws, those it lacks become their code point in brackets: nothing vanishes and nothing acts.

    >>> printable("T3\\x1b[31m\\nbay 2")
    'T3[U+001B][31m bay 2'
    >>> printable("\\u202eabc", covered=range(0x20, 0x7F))
    '[U+202E]abc'
    """
    if words.isascii() and words.isprintable():
        return words
    return "".join(_shown(sign, covered) for sign in unicodedata.normalize("NFC", words))


def _shown(sign: str, covered: Container[int] | None) -> str:
    kind = unicodedata.category(sign)
    if sign in _BLANKS or kind in _SEPARATORS:
        return " "
    point = ord(sign)
    if kind in _UNSHAPED or (covered is not None and point not in covered):
        return f"[U+{point:04X}]"
    return sign


def shortened(words: str, length: int) -> str:
    """At most `length` characters; a cut is visible.

    >>> shortened("Harbour substation", 10)
    'Harbour s…'
    """
    return words if len(words) <= length else words[: max(0, length - 1)] + "…"
