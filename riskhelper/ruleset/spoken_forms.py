"""Sentences of the program with gaps: what stands in a gap is taken over, or said in the other language too.

`{}` takes over anything, `{number}` a number and nothing else, `{said}` is said too.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

SAID_TOO = "{said}"
_FILLS = {"{}": "(.+?)", SAID_TOO: "(.+?)", "{number}": r"(\d+(?:[.,]\d+)?)"}
_GAP = re.compile("|".join(map(re.escape, _FILLS)))


@dataclass(frozen=True)
class SpokenForm:
    """One sentence with gaps and the same in the other language."""

    begins: str
    ends: str
    pattern: re.Pattern[str]
    gaps: tuple[str, ...]
    pieces: tuple[str, ...]

    def said(self, words: str, say: Callable[[str], str]) -> str | None:
        """The sentence in the other language, or nothing where it is another sentence."""
        if not (words.startswith(self.begins) and words.endswith(self.ends)):
            return None
        found = self.pattern.fullmatch(words)
        if found is None:
            return None
        parts = [self.pieces[0]]
        for gap, filled, piece in zip(self.gaps, found.groups(), self.pieces[1:], strict=True):
            parts += [say(filled) if gap == SAID_TOO else filled, piece]
        return "".join(parts)


def gaps_in(words: str) -> tuple[str, ...]:
    """The gaps of a sentence in their order.

    >>> gaps_in("{} of about {}"), gaps_in("Why: {said}"), gaps_in("Stop")
    (('{}', '{}'), ('{said}',), ())
    """
    return tuple(_GAP.findall(words))


def forms(said: Mapping[str, str]) -> Iterator[SpokenForm]:
    """The sentences with gaps, those with the most fixed words first, so that the closest one is taken."""
    with_gaps = [words for words in said if gaps_in(words)]
    for words in sorted(with_gaps, key=lambda words: (-len(_GAP.sub("", words)), words)):
        fixed, gaps = _GAP.split(words), gaps_in(words)
        pattern = re.escape(fixed[0])
        for gap, part in zip(gaps, fixed[1:], strict=True):
            pattern += _FILLS[gap] + re.escape(part)
        yield SpokenForm(fixed[0], fixed[-1], re.compile(pattern, re.DOTALL), gaps, tuple(_GAP.split(said[words])))
