"""Words that say nothing, and texts that are hard to read."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pydantic import BaseModel

from riskhelper.review.finding import Finding
from riskhelper.ruleset.entries import ReviewEntry
from riskhelper.ruleset.model import RuleSet

_SHOWN = {
    "question": ("ask", "why", "if_unknown", "options", "can_change", "says", "if_not_known.because"),
    "fact": ("title",),
    "limit": ("title",),
    "hazard": ("title", "who", "harm", "likelihood", "severity", "administrative_accepted"),
    "control": ("do", "evidence", "by"),
    "stop": ("title", "because", "act", "lifted_by", "ruled_by"),
    "clash": ("safeguards", "because"),
    "step": ("do", "tools", "who", "error_likely", "check"),
    "isolation row": ("point", "purpose", "shut_down", "device", "secured", "by", "transferred", "proved_by"),
    "kit": ("item",),
    "hold point": ("words", "released_by", "text"),
    "band": ("words", "demands", "accepted_by"),
}
_SENTENCE_END = re.compile(r"[.!?:;]+(?:\s|$)")
_WORD = re.compile(r"[A-Za-z]+(?:['’-][A-Za-z]+)*")
_VOWELS = re.compile(r"[aeiouy]+")


def worded(rules: RuleSet) -> Iterator[Finding]:
    """Every vague text and every question above the grade that was set. Without settings nothing is looked for."""
    settings = rules.review
    if settings is None:
        return
    pattern = _pattern(settings)
    for name, key, text in shown_texts(rules):
        for match in pattern.finditer(text):
            yield Finding(name, "vague", key, f"`{match[0]}` leaves open what is meant: {text}")
    for name, question in rules.questions.items():
        text = f"{question.ask} {question.why} {question.if_unknown}"
        grade = reading_grade(text)
        if grade > settings.highest_grade:
            words = f"reads like school year {grade:.1f}, above {settings.highest_grade:g}: {text}"
            yield Finding(f"question {name}", "hard_to_read", "ask", words)


def _pattern(settings: ReviewEntry) -> re.Pattern[str]:
    phrases = sorted(settings.vague, key=len, reverse=True)
    joined = "|".join(re.escape(phrase).replace(r"\ ", r"\s+") for phrase in phrases)
    return re.compile(rf"\b(?:{joined or '(?!)'})\b", re.IGNORECASE)


def shown_texts(rules: RuleSet) -> Iterator[tuple[str, str, str]]:
    """Every text a person is shown: entry, key, text."""
    numbered: Mapping[str, Sequence[BaseModel]] = {
        "step": rules.steps,
        "isolation row": rules.isolation_rows,
        "kit": rules.kit,
        "hold point": rules.head.hold_points,
        "band": rules.matrix.bands,
    }
    every: list[tuple[str, str, BaseModel]] = [
        (kind, name, entry)
        for kind, entries in rules.named.items()
        if kind in _SHOWN
        for name, entry in entries.items()
    ]
    every += [(kind, str(n), entry) for kind, entries in numbered.items() for n, entry in enumerate(entries, start=1)]
    for kind, name, entry in every:
        for key in _SHOWN[kind]:
            value: Any = entry
            for part in key.split("."):
                value = getattr(value, part, None)
            yield from ((f"{kind} {name}", key, text) for text in _texts(value))


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from _texts(part)
    elif isinstance(value, tuple | list):
        for part in value:
            yield from _texts(part)
    elif isinstance(value, BaseModel):
        for name in ("at_least", "add", "because"):
            yield from _texts(getattr(value, name, None))


def reading_grade(text: str) -> float:
    """School year in which a text can be read, after Flesch and Kincaid (1975).

    grade = 0.39 words per sentence + 11.8 syllables per word - 15.59

    >>> round(reading_grade("The cat sat on the mat."), 2)
    -1.45
    """
    words = _WORD.findall(text)
    if not words:
        return 0.0
    sentences = max(1, len(_SENTENCE_END.findall(text)))
    syllables = sum(map(syllables_in, words))
    return 0.39 * len(words) / sentences + 11.8 * syllables / len(words) - 15.59


def syllables_in(word: str) -> int:
    """Syllables of an English word, by its groups of vowels; a silent ending does not count.

    >>> [syllables_in(word) for word in ("valve", "pressure", "isolated", "earthed", "table", "area", "oil")]
    [1, 2, 4, 1, 2, 3, 1]
    """
    total = 0
    for part in re.split(r"['’-]", word.lower()):
        count = len(_VOWELS.findall(part)) + len(re.findall(r"i[ao](?!u)|ea$|eo|uou", part))
        count -= len(re.findall(r"[tscg]i[ao]", part))
        count += bool(re.search(r"[aeiouy].*[iu]ers?$", part))
        if re.search(r"[^aeiouytd]ed$|[^aeiouy]e$|[^aeiouysxzcg]es$", part) and not re.search(r"[^aeiouy]le$", part):
            count -= 1
        total += max(1, count) if part else 0
    return max(1, total)
