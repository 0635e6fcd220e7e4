"""Names by which a question may speak of the outcome of a job, in solver terms and as it was assessed.

`verdict`: one of the three printed verdicts. `stops`: the ids of the stops shown. `not_known`, `pending`: the
questions with that status. `planned`, `proved`: the controls promised and those with evidence. `likelihood.HAZARD`,
`severity.HAZARD`: levels as found, 0 where the hazard does not apply. `band_found.HAZARD`, `band_planned.HAZARD`,
`band_proved.HAZARD`: the band without credit, with promises and proofs, with proofs only; or `does_not_apply`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cached_property
from typing import Any

from riskhelper.assessment.hazards import is_proved
from riskhelper.assessment.result import Assessment, HazardFinding
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.office.proofs.bench import SCALES
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.jobs import MOMENT
from riskhelper.office.proofs.logic import Ladder, Plain, conjoined, negated
from riskhelper.office.proofs.outcome import Outcome, RatingTerms
from riskhelper.office.proofs.spans import Span, chosen
from riskhelper.office.proofs.world import World
from riskhelper.ruleset import tree
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Status, Verdict

VERDICTS = {verdict.words: verdict for verdict in reversed(Verdict)}
ABSENT = "does_not_apply"
WAYS = {"band_found": "as_found", "band_planned": "as_planned", "band_proved": "as_proved"}


def outcome_names(rules: RuleSet) -> Iterator[str]:
    """Every such name."""
    yield from ("verdict", "stops", "not_known", "pending", "planned", "proved")
    for kind in (*SCALES, *WAYS):
        yield from (f"{kind}.{hazard}" for hazard in rules.hazards)


def outcome_type(rules: RuleSet, name: str) -> tree.ValueType | None:
    """The type of such a name; `None` for any other."""
    if name == "verdict":
        return tree.ChoiceType(frozenset(VERDICTS))
    several = {"stops": rules.stops, "planned": rules.controls, "proved": rules.controls}
    several |= {"not_known": rules.questions, "pending": rules.questions}
    if name in several:
        return tree.SeveralType(frozenset(several[name]))
    kind, _, hazard = name.partition(".")
    if hazard not in rules.hazards:
        return None
    if kind in SCALES:
        return tree.NumberType("", 0.0, count=True)
    return tree.ChoiceType(frozenset({*_bands(rules), ABSENT})) if kind in WAYS else None


def _bands(rules: RuleSet) -> list[str]:
    return [band.id for band in rules.matrix.bands]


class OutcomeWorld(World):
    """The values of a job IF HELD, with what comes out of it."""

    def __init__(self, outcome: Outcome, figures: Figures) -> None:
        super().__init__(outcome.rules, outcome.job, figures, if_held=True, base=outcome.held)
        self._outcome = outcome

    def value(self, name: str) -> Any:
        if outcome_type(self.rules, name) is None:
            return super().value(name)
        if name not in self._values:
            self._values[name] = self._of_outcome(name)
        return self._values[name]

    def _of_outcome(self, name: str) -> Any:
        outcome, job = self._outcome, self._outcome.job
        match name:
            case "verdict":
                return {words: outcome.verdict(verdict) for words, verdict in VERDICTS.items()}
            case "stops":
                return _surely({stop: outcome.stop(stop) for stop in self.rules.stops})
            case "not_known":
                return _surely({question: outcome.held.not_known(question) for question in self.rules.questions})
            case "pending":
                return _surely({question: outcome.held.pending(question) for question in self.rules.questions})
            case "planned" | "proved":
                return _surely(job.planned if name == "planned" else job.proved)
        kind, _, hazard = name.partition(".")
        if kind in SCALES:
            number = _as_number(outcome.shown_level(hazard, kind))
            return Span(number, number)
        return self._band(hazard, getattr(outcome, WAYS[kind])(hazard))

    def _band(self, hazard: str, rating: RatingTerms) -> Mapping[str, Plain]:
        applies, next_up = self._outcome.applies(hazard), (*rating.bands[1:], False)
        found = {
            band: conjoined((applies, here, negated(higher)))
            for band, here, higher in zip(_bands(self.rules), rating.bands, next_up, strict=True)
        }
        return {**found, ABSENT: negated(applies)}

    def grid(self, name: str) -> Span:
        return self.value(name) if outcome_type(self.rules, name) else super().grid(name)

    def test(self, node: tree.Condition) -> Any:
        names = [name for name in tree.names_in(node) if outcome_type(self.rules, name)]
        return self._tested(node) if names else super().test(node)


def _surely(holds: Mapping[str, Plain]) -> Mapping[str, tuple[Plain, Plain]]:
    return {option: (truth, truth) for option, truth in holds.items()}


def _as_number(ladder: Ladder) -> Any:
    number: Any = Fraction(0)
    for level in range(1, len(ladder)):
        number = chosen(ladder[level], Fraction(level), number)
    return number


class OutcomeReading(Reading):
    """The reading IF HELD of a job that has been assessed, with what came out of it."""

    def __init__(self, rules: RuleSet, job: Job, assessment: Assessment) -> None:
        super().__init__(rules, job, assessment.milestone, MOMENT, if_held=True)
        self._assessed, self._of_job = assessment, job

    @cached_property
    def _hazards(self) -> Mapping[str, HazardFinding]:
        return {hazard.id: hazard for hazard in self._assessed.hazards}

    def _of_outcome(self, name: str) -> Any:
        job, rules = self._of_job, self.rules
        match name:
            case "verdict":
                return frozenset({self._assessed.verdict.words})
            case "stops":
                return _alike(stop.id for stop in self._assessed.stops)
            case "not_known" | "pending":
                wanted = Status.NOT_KNOWN if name == "not_known" else Status.PENDING
                return _alike(question for question in rules.questions if self.status(question) is wanted)
            case "planned":
                return _alike(job.planned)
            case "proved":
                return _alike(c for c, control in rules.controls.items() if is_proved(control, job.proved.get(c)))
        kind, _, hazard = name.partition(".")
        finding = self._hazards.get(hazard)
        if kind in SCALES:
            level = float(getattr(finding.as_found, kind)) if finding is not None else 0.0
            return (level, level)
        return frozenset({getattr(finding, WAYS[kind]).band if finding is not None else ABSENT})

    def __missing__(self, name: str) -> Any:
        if outcome_type(self.rules, name) is None:
            return super().__missing__(name)
        self[name] = value = self._of_outcome(name)
        return value

    def _on_grid(self, name: str) -> Any:
        return self[name] if outcome_type(self.rules, name) else super()._on_grid(name)


def _alike(names: Any) -> tuple[frozenset[str], frozenset[str]]:
    held = frozenset(names)
    return held, held
