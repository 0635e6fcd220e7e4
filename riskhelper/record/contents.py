"""What each kind of entry holds, written and read back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, cast

from riskhelper.evidence import Answer, PlannedControl, Proof, SeveralMark
from riskhelper.record.canonical import Content
from riskhelper.record.entries import Entry

MARKS = ("yes", "no", "not_known")


class NotReadable(ValueError):
    """An entry whose content this program cannot read; the message names the entry."""


def answer_content(question: str, answer: Answer, *, private: bool = False) -> dict[str, Content]:
    """An answer as content; the number is kept as a decimal string beside what was typed. Of a private one what was
    typed is not kept."""
    return {
        **({"private": True} if private else {}),
        "question": question,
        "value": _value_content(answer.value),
        "typed": "" if private else answer.typed,
        "unit": answer.unit,
        "source": answer.source,
        "note": answer.note,
    }


def answer_read(entry: Entry) -> tuple[str, Answer]:
    """Question and answer of an `answer` entry."""
    content = entry.draft.content
    answer = Answer(
        value=_value_read(entry, content.get("value")),
        typed=text_of(entry, "typed"),
        unit=text_of(entry, "unit"),
        at=entry.moment,
        who=entry.draft.who,
        source=text_of(entry, "source"),
        note=text_of(entry, "note"),
    )
    return text_of(entry, "question"), answer


def plan_read(entry: Entry) -> tuple[str, PlannedControl]:
    """Control and plan of a `plan` entry."""
    planned = PlannedControl(by=text_of(entry, "by"), evidence=text_of(entry, "evidence"))
    return text_of(entry, "control"), planned


def proof_read(entry: Entry) -> tuple[str, Proof]:
    """Control and proof of a `prove` entry."""
    proof = Proof(
        evidence=text_of(entry, "evidence"),
        who=entry.draft.who,
        second=text_of(entry, "second"),
        at=entry.moment,
        entry=entry.number,
    )
    return text_of(entry, "control"), proof


def text_of(entry: Entry, key: str) -> str:
    """A text of the content by key."""
    value = entry.draft.content.get(key)
    if not isinstance(value, str):
        raise NotReadable(f"entry {entry.number}: `{key}` should be text")
    return value


def number_of(entry: Entry, key: str) -> int:
    """A whole number of the content by key."""
    value = entry.draft.content.get(key)
    if not isinstance(value, int) or isinstance(value, bool):
        raise NotReadable(f"entry {entry.number}: `{key}` should be a whole number")
    return value


def _value_content(value: float | str | Mapping[str, SeveralMark] | None) -> Content:
    if value is None:
        return None
    if isinstance(value, str):
        return {"words": value}
    if isinstance(value, Mapping):
        return {"lines": dict(value.items())}
    return {"number": repr(float(value))}


def _value_read(entry: Entry, content: Content) -> float | str | dict[str, SeveralMark] | None:
    if content is None:
        return None
    shape: dict[str, Any] = content if isinstance(content, dict) and len(content) == 1 else {}
    match shape:
        case {"words": str(words)}:
            return words
        case {"number": str(digits)}:
            number = _finite(digits)
            if number is not None:
                return number
        case {"lines": dict(lines)} if all(mark in MARKS for mark in lines.values()):
            return {option: cast(SeveralMark, mark) for option, mark in lines.items()}
    raise NotReadable(f"entry {entry.number}: the answer is written in a way this program does not know")


def _finite(digits: str) -> float | None:
    try:
        number = float(digits)
    except ValueError:
        return None
    return number if math.isfinite(number) else None
