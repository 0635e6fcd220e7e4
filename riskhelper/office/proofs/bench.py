"""Everything the analyses of one rule set share: its terms, its outcome, its solver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from riskhelper.assessment.assess import assess
from riskhelper.assessment.hazards import level
from riskhelper.assessment.result import Assessment
from riskhelper.assessment.stops import found_stop
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.office.proofs.answers import AnswerTerms, JobTerms, any_job
from riskhelper.office.proofs.dependence import Dependence
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.jobs import MOMENT
from riskhelper.office.proofs.logic import Plain, conjoined, negated, outranks
from riskhelper.office.proofs.outcome import Outcome
from riskhelper.office.proofs.proving import Patience, Prover
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import NO
from riskhelper.ruleset.model import RuleSet

SCALES = ("likelihood", "severity")


@dataclass(frozen=True)
class Cause:
    """A condition that makes an entry fire; with a question, only where that is not known."""

    node: tree.Condition
    question: str = ""

    def fires(self, outcome: Outcome) -> Plain:
        """Whether it does."""
        truth = outcome.held.test(self.node).may
        return conjoined((outcome.held.not_known(self.question), truth)) if self.question else truth


@dataclass
class Bench:
    """One rule set with every job there is, and a solver that knows both."""

    rules: RuleSet
    job: JobTerms
    figures: Figures
    outcome: Outcome
    prover: Prover
    milestone: str | None = None
    dependence: Dependence = field(init=False)

    def __post_init__(self) -> None:
        self.dependence = Dependence(self.rules)

    @classmethod
    def of(cls, rules: RuleSet, patience: Patience, milestone: str | None = None) -> Bench:
        """The bench of a set, over jobs at one milestone or at any."""
        job, figures = any_job(rules, milestone), Figures()
        outcome = Outcome.of(rules, job, figures)
        read_everything(outcome)
        return cls(rules, job, figures, outcome, Prover(rules, job, figures, patience), milestone)

    def with_answer(self, question: str, answer: AnswerTerms) -> Outcome:
        """The outcome of the same job with one answer of its own."""
        job = self.job.replacing(question, answer)
        affected = self.dependence.affected_by[question]
        return Outcome.of(self.rules, job, self.figures, self.outcome, affected)

    def assessed(self, job: Job, milestone: str) -> Assessment:
        """What the ordinary assessment says."""
        return assess(self.rules, job, milestone, MOMENT)

    @cached_property
    def causes_by_entry(self) -> Mapping[str, tuple[Cause, ...]]:
        """What makes each scale of a hazard, and each stop, fire."""
        found: dict[str, tuple[Cause, ...]] = {}
        for name, rule in self.rules.hazard_rules.items():
            for scale, raises in (("likelihood", rule.likelihood), ("severity", rule.severity)):
                inside = (tree.both(rule.applies.node, one.check.node) for one in raises)
                found[f"hazard {name}, {scale}"] = tuple(Cause(node) for node in (rule.applies.node, *inside))
        for name, stop in self.rules.stop_rules.items():
            plain = () if stop.check is None else (Cause(stop.check.node),)
            named = (Cause(check.node, question) for question, check in stop.named_by.items())
            found[f"stop {name}"] = (*plain, *named)
        return found

    @cached_property
    def causes_by_question(self) -> Mapping[str, Mapping[str, tuple[Cause, ...]]]:
        """For each question, by entry, the causes that its answer can change."""
        found: dict[str, dict[str, list[Cause]]] = {name: {} for name in self.rules.questions}
        for entry, causes in self.causes_by_entry.items():
            for cause in causes:
                rests = self.dependence.questions_of(cause.node)
                if cause.question:
                    rests |= self.dependence.rests_on[cause.question]
                for question in rests:
                    found[question].setdefault(entry, []).append(cause)
        return {name: {e: tuple(c) for e, c in entries.items()} for name, entries in found.items()}

    def hazards_on(self, names: frozenset[str]) -> list[str]:
        """Hazards that read one of these names."""
        return [
            name
            for name, rule in self.rules.hazard_rules.items()
            if any(
                not names.isdisjoint(tree.names_in(check.node))
                for check in (rule.applies, *(one.check for one in (*rule.likelihood, *rule.severity)))
            )
        ]

    def stops_on(self, names: frozenset[str]) -> list[str]:
        """Stops that read one of these names, or fire where one of these questions is not known."""
        found = []
        for name, rule in self.rules.stop_rules.items():
            checks = [*rule.named_by.values(), *([rule.check] if rule.check else [])]
            if any(not names.isdisjoint(tree.names_in(c.node)) for c in checks) or not names.isdisjoint(
                rule.named_by
            ):
                found.append(name)
        return found


def read_everything(outcome: Outcome) -> None:
    """Makes every term of an outcome before the solver starts, so that none is made in a stretch of its own."""
    for hazard in outcome.rules.hazards:
        for scale in SCALES:
            outcome.shown_level(hazard, scale)
    for stop in outcome.rules.stops:
        outcome.condition_stop(stop)


def milder(before: Outcome, after: Outcome, hazards: list[str], stops: list[str]) -> dict[str, Plain]:
    """By entry, whether it comes out milder after than before."""
    found: dict[str, Plain] = {}
    for hazard in hazards:
        for scale in SCALES:
            found[f"hazard {hazard}, {scale}"] = outranks(
                before.shown_level(hazard, scale), after.shown_level(hazard, scale)
            )
    for stop in stops:
        found[f"stop {stop}"] = conjoined((before.condition_stop(stop), negated(after.condition_stop(stop))))
    return {entry: truth for entry, truth in found.items() if truth is not False}


def rank(rules: RuleSet, job: Job, milestone: str, entry: str) -> int:
    """How grave one entry is in a job: the level of a scale, 0 where the hazard does not apply; 1 for a stop."""
    reading = Reading(rules, job, milestone, MOMENT, if_held=True)
    kind, _, rest = entry.partition(" ")
    if kind == "stop":
        return int(found_stop(rest, rules.stop_rules[rest], reading) is not None)
    name, _, scale = rest.partition(", ")
    rule = rules.hazard_rules[name]
    if rule.applies.test(reading) == NO:
        return 0
    entries, raises = (
        (rule.entry.likelihood, rule.likelihood) if scale == "likelihood" else (rule.entry.severity, rule.severity)
    )
    return level(entries.least, raises, reading)[0]


def seen_milder(before: Assessment, after: Assessment) -> Mapping[str, str]:
    """By entry, in words, what the assessment shows as milder after than before."""
    found: dict[str, str] = {}
    levels = {h.id: (h.as_found.likelihood, h.as_found.severity) for h in after.hazards}
    for hazard in before.hazards:
        old = (hazard.as_found.likelihood, hazard.as_found.severity)
        new = levels.get(hazard.id)
        for place, scale in enumerate(SCALES):
            if new is None:
                found[f"hazard {hazard.id}, {scale}"] = f"{scale} {old[place]} falls away: it does not apply"
            elif new[place] < old[place]:
                found[f"hazard {hazard.id}, {scale}"] = f"{scale} {old[place]} becomes {new[place]}"
    left = {stop.id for stop in after.stops}
    for stop in before.stops:
        if stop.id not in left:
            found[f"stop {stop.id}"] = "the stop no longer fires"
    return found
