"""Sentences of the program with gaps: what stands in a gap is taken over, or said in the other language too.

`{}` takes over anything, `{number}` a number and nothing else, `{said}` is said too.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

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


class Sentences:
    """The fixed sentences of the program in another language."""

    def __init__(self, said: Mapping[str, str]) -> None:
        self._said = said

    def say(self, words: str) -> str:
        """A sentence in that language; as it is where there is none for it."""
        exact = self._said.get(words)
        if exact is not None:
            return exact
        return next((found for form in self._forms if (found := form.said(words, self.say)) is not None), words)

    @cached_property
    def _forms(self) -> tuple[SpokenForm, ...]:
        return tuple(forms(self._said))


def fixed_sentences(data: bytes) -> Sentences:
    """The fixed sentences of a file of words, read from their table on: what stands before it is long.

    A file that cannot be read says nothing here. What is wrong with it is told when the rules are read.
    """
    _, table, rest = data.decode(errors="replace").partition("\n[said]\n")
    try:
        said = tomllib.loads(table + rest).get("said", {})
    except tomllib.TOMLDecodeError:
        said = {}
    return Sentences({words: other for words, other in said.items() if isinstance(other, str)})
