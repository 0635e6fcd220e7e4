"""What a proof comes to: the kinds, a finding with its example jobs, and how a job is told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from riskhelper.evidence import Job

KINDS: Mapping[str, str] = {
    "worse_rated_lower": "an answer that the set calls graver, and something comes out milder",
    "unknown_milder": "an answer not known, and something comes out milder than with a value",
    "contradiction": "entries that between them leave no way through: whatever is answered, the job stops",
    "never_with_figures": "an entry that can never matter, as no figure comes to what it asks for",
    "weak_controls_clear": "briefings and PPE alone bring a hazard below the band that stops or demands controls",
    "credited_twice": "a control that is credited twice under two names",
    "claim_broken": "something that the set claims can never be, and can",
    "supplement_loosens": "a supplement under which something comes out milder than without it",
    "needless_waiver": "a waiver of something that is not found",
}


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
