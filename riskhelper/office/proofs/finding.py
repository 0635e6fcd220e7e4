"""What a proof comes to: a finding with its example jobs, or that it was not settled."""

from __future__ import annotations

from dataclasses import dataclass

from riskhelper.evidence import Job


@dataclass(frozen=True, slots=True)
class Example:
    """Jobs that show it, each assessed as any job is: one, or two that differ in one answer or in their rules."""

    milestone: str
    jobs: tuple[Job, ...]
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProofFinding:
    """One finding; without an example where there is nothing to show but its absence."""

    kind: str
    entry: str
    words: str
    example: Example | None = None
    waived: str = ""

    def __str__(self) -> str:
        reason = f" (waived: {self.waived})" if self.waived else ""
        return f"`{self.entry}`: {self.words} [{self.kind}]{reason}"


@dataclass(frozen=True, slots=True)
class Unsettled:
    """What was neither proved nor refuted in time."""

    kind: str
    entry: str
    words: str


Result = ProofFinding | Unsettled
