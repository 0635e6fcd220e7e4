"""What is known: answers with their status, planned controls and recorded proof."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

SeveralMark = Literal["yes", "no", "not_known"]


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as given by a person.

    `value` is the SI number, the option id, the text, or for `several` a mark per option;
    `None` means the person said that it is not known. `typed` and `unit` keep what was typed.
    """

    value: float | str | Mapping[str, SeveralMark] | None
    typed: str = ""
    unit: str = ""
    at: datetime | None = None
    who: str = ""
    source: str = ""
    note: str = ""

    @property
    def is_known(self) -> bool:
        """Whether a value was given (a `several` answer may still hold lines not known)."""
        return self.value is not None

    @property
    def open_lines(self) -> tuple[str, ...]:
        """Lines of a several-answer that are not known."""
        if not isinstance(self.value, Mapping):
            return ()
        return tuple(option for option, mark in self.value.items() if mark == "not_known")


@dataclass(frozen=True, slots=True)
class PlannedControl:
    """A control the plan counts on: who brings it about and the evidence it will need."""

    by: str = ""
    evidence: str = ""


@dataclass(frozen=True, slots=True)
class Proof:
    """Recorded evidence that a control is in place."""

    evidence: str
    who: str
    second: str = ""
    at: datetime | None = None
    entry: int | None = None


@dataclass(frozen=True, slots=True)
class Ruling:
    """A signed ruling on a stop of kind decision."""

    by_role: str
    who: str
    reason: str
    evidence: str
    scope: str
    until: datetime


@dataclass(frozen=True, slots=True)
class Job:
    """Everything an assessment reads about one job. `now` is never taken from a clock."""

    answers: Mapping[str, Answer] = field(default_factory=dict)
    planned: Mapping[str, PlannedControl] = field(default_factory=dict)
    proved: Mapping[str, Proof] = field(default_factory=dict)
    rulings: Mapping[str, Ruling] = field(default_factory=dict)
    number: str = ""
    local_code: str = ""
    rehearsal: bool = False
