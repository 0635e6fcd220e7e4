"""Answer files: one job in TOML, read with every fault told at once, and written so that it reads back the same.

schema = "riskhelper.answers/1"
local = "en50110"
milestone = "gate"
not_known = ["job.permit_clash", "isolation.feeds_present:ups"]
[answers.oil]
head_m = { value = 10.5, unit = "ft" }
[planned."oil.second_valve"]
by = "work leader"
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, cast

import tomli_w

from riskhelper.evidence import Answer, Job
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.faults import Fault, nearest_name
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.toml_places import Parsed, parsed
from riskhelper.statement.header import Header
from riskhelper.terms import GATE

SCHEMA = "riskhelper.answers/1"
MOST_BYTES = 1_000_000
HEAD_KEYS = ("schema", "job", "local", "milestone", "not_known", "header", "answers", "planned", "proved")
ANSWER_KEYS = ("value", "unit", "note", "source")
HEADER_KEYS = (
    "site",
    "plant",
    "work_leader",
    "prepared_by",
    "next_review",
    "address",
    "directions",
    "muster_point",
    "permit_number",
    "isolation_number",
    "other_permits",
)


class AnswerFaults(ValueError):
    """Every fault of an answer file, one sentence each with its line."""

    def __init__(self, faults: list[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(faults))


@dataclass(frozen=True, slots=True)
class AnswerFile:
    """An answer file read against a rule set."""

    job: Job
    milestone: str = GATE
    header: Header = field(default_factory=Header)


@dataclass(frozen=True, slots=True)
class Unread:
    """An answer file that is valid TOML; its local code says which rules it will be read against."""

    local: str
    milestone: str
    parsed: Parsed


def opened(name: str, data: bytes) -> Unread:
    """The frame of an answer file; raises `AnswerFaults` where it is no such file."""
    if len(data) > MOST_BYTES:
        raise AnswerFaults(
            [f"{name}: has more than {MOST_BYTES:,} bytes, the most an answer file may have. Is it the right file?"]
        )
    file = parsed(name, data)
    if isinstance(file, Fault):
        raise AnswerFaults([str(file)])
    faults = [
        f"{where(file, '', key)}: not known here; {hint(key, HEAD_KEYS)}" for key in file.data if key not in HEAD_KEYS
    ]
    schema = file.data.get("schema")
    if schema != SCHEMA:
        faults.insert(
            0,
            f"{name}: {'has no `schema`' if schema is None else f'`schema` is `{schema}`'}; "
            f'an answer file for this program begins with `schema = "{SCHEMA}"`',
        )
    for key in ("job", "local", "milestone"):
        if not isinstance(file.data.get(key, ""), str):
            faults.append(f"{where(file, '', key)}: `{file.data[key]}` should be text in quotes")
    if faults:
        raise AnswerFaults(faults)
    return Unread(file.data.get("local", ""), file.data.get("milestone", ""), file)


def written(file: AnswerFile, rules: RuleSet) -> bytes:
    """The answer file as TOML; reading it back gives the same job."""
    job = file.job
    table: dict[str, Any] = {
        "schema": SCHEMA,
        "job": job.number,
        "local": job.local_code,
        "milestone": file.milestone,
    }
    not_known: list[str] = []
    answers: dict[str, dict[str, Any]] = {}
    for question, answer in job.answers.items():
        if answer.value is None:
            not_known.append(question)
            continue
        if isinstance(answer.value, Mapping):
            not_known += [f"{question}:{line}" for line, mark in answer.value.items() if mark == "not_known"]
        subject, _, name = question.partition(".")
        answers.setdefault(subject, {})[name] = _cell(answer, rules.questions[question])
    table["not_known"] = not_known
    table["header"] = {key: getattr(file.header, key) for key in HEADER_KEYS if getattr(file.header, key)}
    table["header"]["emergency_numbers"] = dict(file.header.emergency_numbers)
    table["answers"] = answers
    table["planned"] = {name: {"by": p.by, "evidence": p.evidence} for name, p in job.planned.items()}
    table["proved"] = {
        name: {"evidence": p.evidence, "who": p.who, "second": p.second} for name, p in job.proved.items()
    }
    return tomli_w.dumps(table, multiline_strings=False).encode("utf-8")


def _cell(answer: Answer, question: QuestionEntry) -> object:
    value: object
    if isinstance(answer.value, Mapping):
        value = [line for line, mark in answer.value.items() if mark == "yes"]
    elif question.type == "number":
        value = _number(answer)
    else:
        value = answer.value
    extra = {key: text for key, text in (("note", answer.note), ("source", answer.source)) if text}
    if question.type == "number" and answer.typed and answer.unit not in ("", question.unit):
        extra["unit"] = answer.unit
    return {"value": value, **extra} if extra else value


def _number(answer: Answer) -> int | float:
    """The number as typed where that is kept, else its value."""
    value = float(answer.typed.split()[0]) if answer.typed else float(cast(float, answer.value))
    return int(value) if value.is_integer() and abs(value) < 2**53 else value


def where(file: Parsed, table: str, key: str) -> str:
    """File, line and key of a fault, however the key was written."""
    line = file.line(table, key)
    return file.file + (f", line {line}" if line else "") + f", `{f'{table}.' if table else ''}{key}`"


def hint(name: str, known: Mapping[str, object] | tuple[str, ...]) -> str:
    found = nearest_name(name, known)
    if found:
        return f"did you mean `{found}`?"
    if len(known) <= 12:
        return f"known are {', '.join(f'`{one}`' for one in known)}"
    return "`riskhelper questions` lists what is asked"
