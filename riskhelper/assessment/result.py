"""What an assessment says: values only, ready to be shown, printed or written as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from riskhelper.evidence import Answer
from riskhelper.interval import Interval
from riskhelper.terms import ControlKind, Standing, Status, StopKind, Truth, Verdict


@dataclass(frozen=True, slots=True)
class Reason:
    """One entry that reaches the shown result.

    `holds` is false where the entry only cannot be ruled out; `rests_on` then names the answers
    (question ids) that would settle it. `too_close` marks a known number whose error straddles the limit.
    """

    because: str
    condition: str
    holds: bool
    level: int = 0
    by: int = 0
    rests_on: tuple[str, ...] = ()
    too_close: bool = False
    facts: tuple[str, ...] = ()
    decides: bool = False


@dataclass(frozen=True, slots=True)
class Rating:
    """Likelihood, severity and band of one hazard. `held` explains a band kept up by weak controls."""

    likelihood: int
    severity: int
    band: str
    held: str = ""

    @property
    def product(self) -> int:
        """Likelihood times severity, 1 to 25: for ordering and bands only, never added up."""
        return self.likelihood * self.severity


@dataclass(frozen=True, slots=True)
class ControlState:
    """A control offered for a hazard, and how far it has come."""

    id: str
    kind: ControlKind
    do: str
    evidence: tuple[str, ...]
    by: str
    hold_point: str
    likelihood_credit: int
    severity_credit: int
    planned: bool
    proved: bool
    overdue: bool
    usable: bool


@dataclass(frozen=True, slots=True)
class HazardFinding:
    """A hazard that applies or cannot be ruled out.

    `as_known` is the rating as found by what is surely so; none where the hazard may not apply at all.
    """

    id: str
    title: str
    who: str
    harm: str
    applies: Truth
    as_found: Rating
    as_planned: Rating
    as_proved: Rating
    likelihood_reasons: tuple[Reason, ...]
    severity_reasons: tuple[Reason, ...]
    controls: tuple[ControlState, ...]
    stops: tuple[str, ...]
    source: str
    administrative_accepted: str = ""
    as_known: Rating | None = None

    @property
    def known_product(self) -> int:
        """Likelihood times severity as found by what is surely so, 0 where the hazard may not apply."""
        return self.as_known.product if self.as_known is not None else 0


@dataclass(frozen=True, slots=True)
class StopFinding:
    """A stop that fires or cannot be ruled out. `ruling` shows the signed ruling that turned it into a condition."""

    id: str
    title: str
    kind: StopKind
    who: str
    because: str
    act: str
    holds: bool
    reasons: tuple[Reason, ...]
    source: str
    ruling: str = ""


@dataclass(frozen=True, slots=True)
class QuantityShown:
    """A computed figure with what stands behind it."""

    id: str
    title: str
    value: Interval
    unit: str
    working: str
    relation: str
    inputs: Mapping[str, str]
    source: str
    standing: Standing
    assumed: tuple[str, ...] = ()
    outside: str = ""


@dataclass(frozen=True, slots=True)
class Condition:
    """Something that must come true before or while the work goes on."""

    kind: str  # pending, control, not_known, stop_later, band, in_service, ruling
    hold_point: str
    words: str
    ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Defect:
    """A rule that could not be evaluated: a stop and a fault of the rule set."""

    entry: str
    words: str


@dataclass(frozen=True, slots=True)
class Assessment:
    """The whole left side of the data flow for one milestone and moment.

    `ruled` are stops lifted by a ruling; `aged` are the questions asked now whose answer is too old, and those
    without an answer that may be asked only because of them.
    """

    milestone: str
    verdict: Verdict
    in_service: Truth
    stops: tuple[StopFinding, ...]
    later_stops: tuple[StopFinding, ...]
    conditions: tuple[Condition, ...]
    hazards: tuple[HazardFinding, ...]
    quantities: tuple[QuantityShown, ...]
    statuses: Mapping[str, Status]
    stale: tuple[str, ...]
    defects: tuple[Defect, ...]
    ruled: tuple[StopFinding, ...] = ()
    aged: tuple[str, ...] = ()

    @property
    def unknowns(self) -> tuple[str, ...]:
        """Questions asked now to which nobody has an answer, in the order of the walk."""
        return tuple(q for q, status in self.statuses.items() if status is Status.NOT_KNOWN)

    def partly_known(self, answers: Mapping[str, Answer]) -> tuple[str, ...]:
        """Questions answered but for a line or more that nobody knows."""
        return tuple(q for q, a in answers.items() if a.open_lines and self.statuses.get(q) is Status.GIVEN)

    def unknown_counts(self, answers: Mapping[str, Answer]) -> tuple[int, int, int]:
        """How many questions are said to be not known, whole or in part; answered too long ago; not answered."""
        aged = sum(1 for q in self.unknowns if q in self.stale)
        said = sum(1 for q in self.unknowns if q in answers and q not in self.stale)
        return said + len(self.partly_known(answers)), aged, len(self.unknowns) - aged - said

    @property
    def pending(self) -> tuple[str, ...]:
        """Questions that belong to a later hold point, in the order of the walk."""
        return tuple(q for q, status in self.statuses.items() if status is Status.PENDING)

    @property
    def worst(self) -> tuple[HazardFinding, ...]:
        """The three worst hazards as found, for reading only."""
        return self.hazards[:3]
