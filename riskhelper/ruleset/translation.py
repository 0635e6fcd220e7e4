"""The words of a rule set in another language, laid over the base words before the set is compiled.

A translation changes what is read and nothing that is decided: ids, conditions and figures stay. It must cover every
question, stop, hazard and hold point of the base set; what a supplement adds may stand in the base language and is
marked. Until somebody has reviewed it, each stop is shown in both languages.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from pydantic import Field

from riskhelper.ruleset.collecting import Collected, Place, named_entries, read_entry
from riskhelper.ruleset.entries import Entry, Whole
from riskhelper.ruleset.faults import Fault, nearest_name
from riskhelper.ruleset.model import Translation
from riskhelper.ruleset.spoken_forms import gaps_in
from riskhelper.ruleset.toml_places import Parsed, parsed

FOLDER = "words/"
NOT_TRANSLATED = "not translated"


class WordsHead(Entry):
    """Head of a translation. Without reviewer and date it counts as not reviewed."""

    language: str
    title: str
    number: Whole
    reviewed_by: str = ""
    reviewed_on: date | None = None


class QuestionWords(Entry):
    """A question in the other language; options and says by the ids of the base set."""

    ask: str
    why: str
    if_unknown: str
    options: dict[str, str] = Field(default_factory=dict)
    says: dict[str, str] = Field(default_factory=dict)
    can_change: str = ""
    worse: str = ""


class StopWords(Entry):
    """A stop in the other language."""

    title: str
    because: str
    act: str


class HazardWords(Entry):
    """A hazard in the other language."""

    title: str
    who: str
    harm: str


class HoldPointWords(Entry):
    """A hold point in the other language."""

    words: str
    text: str


_MODELS: Mapping[str, type[Entry]] = {"question": QuestionWords, "stop": StopWords, "hazard": HazardWords}


def lay_over(base: Collected, file: str, data: bytes) -> Translation | None:
    """Puts the words of a translation in the place of the base words, and notes what is missing or too much."""
    outcome = parsed(file, data)
    if isinstance(outcome, Fault):
        base.faults.append(outcome)
        return None
    base.places["words", ""] = Place(outcome, "words", "words")
    head = read_entry(base, WordsHead, "words", "", outcome.data.get("words", {}))
    said = _said(base, outcome)
    for kind in outcome.data:
        if kind not in ("words", "said", "hold_point", *_MODELS):
            known = ("words", "question", "stop", "hazard", "hold_point", "said")
            message = "unknown table; a translation has words, question, stop, hazard, hold_point and said"
            base.faults.append(Fault(file, outcome.line(kind), kind, "", message, nearest_name(kind, known)))
    reviewed = isinstance(head, WordsHead) and bool(head.reviewed_by) and head.reviewed_on is not None
    for kind, model in _MODELS.items():
        given = dict(_read(base, outcome, kind, model))
        _place(base, outcome, kind, given, both=kind == "stop" and not reviewed)
    _hold_points(base, outcome)
    if not isinstance(head, WordsHead):
        return None
    review = f"reviewed by {head.reviewed_by} on {head.reviewed_on:%d %B %Y}" if reviewed else ""
    return Translation(head.language, head.title, head.number, hashlib.sha256(data).hexdigest(), review, said)


def mark_added(added: Collected, translation: Translation) -> None:
    """Marks what a supplement adds: it stands in the base language."""
    mark = translation.say(NOT_TRANSLATED)
    for kind in _MODELS:
        key = "ask" if kind == "question" else "title"
        for name, entry in added.named[kind].items():
            added.named[kind][name] = entry.model_copy(update={key: f"{getattr(entry, key)} ({mark})"})


def _read(base: Collected, file: Parsed, kind: str, model: type[Entry]) -> Iterator[tuple[str, Any]]:
    for name, data in named_entries(base, file, kind, file.data.get(kind, {})):
        base.places[f"words of {kind}", name] = Place(file, f"{kind}.{name}", f"{kind}.{name}")
        if name not in base.names(kind):
            hint = nearest_name(name, base.names(kind))
            base.fault(f"words of {kind}", name, "", f"there is no {kind} `{name}` in the rules", hint)
            continue
        entry = read_entry(base, model, f"words of {kind}", name, data)
        if entry is not None:
            yield name, entry


def _place(base: Collected, file: Parsed, kind: str, given: Mapping[str, Any], *, both: bool) -> None:
    written = {name for place, name in base.places if place == f"words of {kind}"}
    for name, entry in base.named[kind].items():
        words = given.get(name)
        if words is None:
            if name not in written:  # what is there and cannot be read was told already
                base.faults.append(Fault(file.file, 0, f"{kind}.{name}", "", "has no words in this translation"))
            continue
        texts = {key: value for key, value in words.model_dump().items() if value}
        for key in ("options", "says"):
            if kind == "question":
                texts[key] = _by_id(base, name, key, getattr(entry, key), getattr(words, key))
        if both:
            texts = {key: f"{text} / {getattr(entry, key)}" for key, text in texts.items()}
        base.named[kind][name] = entry.model_copy(update=texts)


def _by_id(
    base: Collected, name: str, key: str, wanted: Mapping[str, str], given: Mapping[str, str]
) -> dict[str, str]:
    for option in given:
        if option not in wanted:
            hint = nearest_name(option, wanted)
            base.fault("words of question", name, f"{key}.{option}", "is not in the rules; leave it out", hint)
    for option in wanted:
        if option not in given:
            base.fault("words of question", name, key, f"lacks `{option}`")
    return {option: given.get(option, words) for option, words in wanted.items()}


def _hold_points(base: Collected, file: Parsed) -> None:
    head = base.single.get("ruleset")
    given = file.data.get("hold_point", {})
    if head is None or not isinstance(given, dict):
        return
    points = []
    for point in head.hold_points:
        base.places["words of hold point", point.id] = Place(file, f"hold_point.{point.id}", f"hold_point.{point.id}")
        if point.id not in given:
            base.fault("words of hold point", point.id, "", "has no words in this translation")
        words = read_entry(base, HoldPointWords, "words of hold point", point.id, given.get(point.id, {}))
        points.append(point.model_copy(update=words.model_dump()) if words is not None else point)
    for name in given:
        if name not in {point.id for point in head.hold_points}:
            line = file.line("hold_point", name)
            base.faults.append(Fault(file.file, line, f"hold_point.{name}", "", "is no hold point of the rules"))
    base.single["ruleset"] = head.model_copy(update={"hold_points": tuple(points)})


def _said(base: Collected, file: Parsed) -> dict[str, str]:
    given = file.data.get("said", {})
    if isinstance(given, dict) and all(isinstance(words, str) for words in given.values()):
        for words, other in given.items():
            if gaps_in(words) != gaps_in(other):
                message = f"must hold the gaps {' '.join(gaps_in(words)) or 'of its sentence: none'}, in this order"
                base.faults.append(Fault(file.file, file.line("said", words), f"said.{words}", "", message))
        return dict(given)
    message = "maps a sentence of the program in quotes to the same in the other language"
    base.faults.append(Fault(file.file, file.line("said"), "said", "", message))
    return {}
