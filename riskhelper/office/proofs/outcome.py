"""What an assessment says, in solver terms: levels, credit, bands, stops and verdict. The twin of `assessment`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from riskhelper.assessment.credit import STRONG
from riskhelper.office.proofs.answers import JobTerms
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.logic import (
    Ladder,
    Plain,
    conjoined,
    constant_ladder,
    disjoined,
    lowered_by,
    negated,
    product_at_least,
    raised_by,
)
from riskhelper.office.proofs.world import World
from riskhelper.ruleset.model import Raise, RuleSet
from riskhelper.terms import ControlKind, Verdict

_TOP = 5


@dataclass(frozen=True)
class RatingTerms:
    """A rating: likelihood and severity as ladders, and whether each band (by place) or a higher one is reached."""

    likelihood: Ladder
    severity: Ladder
    bands: tuple[Plain, ...]


@dataclass
class Outcome:
    """The assessment of a job in both readings; each part is worked out when it is asked for."""

    rules: RuleSet
    job: JobTerms
    held: World
    present: World
    _levels: dict[tuple[str, str, bool], Ladder] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        rules: RuleSet,
        job: JobTerms,
        figures: Figures,
        base: Outcome | None = None,
        affected: frozenset[str] = frozenset(),
    ) -> Outcome:
        """The outcome of a job; `base` lends what rests on nothing `affected`."""
        held = World(rules, job, figures, if_held=True, base=base.held if base else None, affected=affected)
        present = World(rules, job, figures, if_held=False, base=base.present if base else None, affected=affected)
        return cls(rules, job, held, present)

    # hazards

    def applies(self, hazard: str) -> Plain:
        """Whether a hazard applies or cannot be ruled out."""
        return self.held.test(self.rules.hazard_rules[hazard].applies.node).may

    def level(self, hazard: str, scale: str, *, now: bool = False) -> Ladder:
        """Likelihood or severity as found, IF HELD or NOW; 0 where the hazard does not apply."""
        key = (hazard, scale, now)
        if key not in self._levels:
            rule = self.rules.hazard_rules[hazard]
            entry = rule.entry.likelihood if scale == "likelihood" else rule.entry.severity
            raises = rule.likelihood if scale == "likelihood" else rule.severity
            self._levels[key] = _level(entry.least, raises, self.present if now else self.held)
        return self._levels[key]

    def shown_level(self, hazard: str, scale: str) -> Ladder:
        """Likelihood or severity as found, with 0 where the hazard does not apply."""
        applies = self.applies(hazard)
        ladder = self.level(hazard, scale)
        return (ladder[0], *(conjoined((applies, rung)) for rung in ladder[1:]))

    def usable(self, control: str, hazard: str, *, now: bool = False) -> Plain:
        """Whether a control surely counts for a hazard."""
        world = self.present if now else self.held
        usable = world.test(self.rules.control_checks[control].node).surely
        no_ppe = self.rules.hazard_rules[hazard].no_ppe_credit
        if self.rules.controls[control].kind is ControlKind.PPE and no_ppe is not None:
            return conjoined((usable, negated(world.test(no_ppe.node).may)))
        return usable

    def overdue(self, control: str) -> Plain:
        """Whether a promise has reached its hold point without evidence."""
        reached = self.job.reached[self.rules.positions[self.rules.controls[control].hold_point]]
        return conjoined((self.job.planned[control], reached, negated(self.job.proved[control])))

    def promised(self, control: str) -> Plain:
        """Whether a control is planned and without evidence yet."""
        return conjoined((self.job.planned[control], negated(self.job.proved[control])))

    def rating(self, hazard: str, counts: Mapping[str, Plain], *, now: bool = False) -> RatingTerms:
        """Rating of a hazard where each control counts if its term holds and it is usable."""
        likelihood, severity = (self.level(hazard, scale, now=now) for scale in ("likelihood", "severity"))
        usable = {c: conjoined((counts[c], self.usable(c, hazard, now=now))) for c in counts}
        return credited(self.rules, hazard, likelihood, severity, usable)

    def as_found(self, hazard: str) -> RatingTerms:
        """Rating with no credit."""
        return self.rating(hazard, {})

    def as_planned(self, hazard: str) -> RatingTerms:
        """Rating with promises and proofs."""
        controls = self.rules.controls_of.get(hazard, ())
        return self.rating(hazard, {c: disjoined((self.job.planned[c], self.job.proved[c])) for c in controls})

    def as_proved(self, hazard: str) -> RatingTerms:
        """Rating NOW with proofs only."""
        controls = self.rules.controls_of.get(hazard, ())
        return self.rating(hazard, {c: self.job.proved[c] for c in controls}, now=True)

    def counted(self, hazard: str) -> RatingTerms:
        """Rating that the verdict counts: promises already overdue left out."""
        controls = self.rules.controls_of.get(hazard, ())
        counts = {
            c: disjoined((self.job.proved[c], conjoined((self.promised(c), negated(self.overdue(c))))))
            for c in controls
        }
        return self.rating(hazard, counts)

    def has_verdict(self, rating: RatingTerms, verdict: str) -> Plain:
        """Whether the band of a rating has that verdict."""
        return disjoined(
            conjoined((rating.bands[n], negated(rating.bands[n + 1]) if n + 1 < len(rating.bands) else True))
            for n, band in enumerate(self.rules.matrix.bands)
            if band.verdict == verdict
        )

    # stops and verdict

    def condition_stop(self, stop: str, *, now: bool = False) -> Plain:
        """Whether a stop fires by its condition, or as a question that names it is not known."""
        world, rule = self.present if now else self.held, self.rules.stop_rules[stop]
        causes: list[Plain] = [] if rule.check is None else [world.test(rule.check.node).may]
        for question, only_if in rule.named_by.items():
            causes.append(conjoined((world.not_known(question), world.test(only_if.node).may)))
        return disjoined(causes)

    @cached_property
    def causes(self) -> Mapping[str, Plain]:
        """What the stops that fire on ratings and promises look for."""
        stop_bands, unguarded = [], []
        for hazard in self.rules.hazards:
            rating, applies = self.counted(hazard), self.applies(hazard)
            stop_bands.append(conjoined((applies, self.has_verdict(rating, "stop"))))
            relied_on = disjoined(
                conjoined((self.usable(c, hazard), disjoined((self.job.planned[c], self.job.proved[c]))))
                for c in self.rules.controls_of.get(hazard, ())
            )
            demands = self.has_verdict(rating, "conditions")
            unguarded.append(conjoined((applies, demands, negated(relied_on))))
        return {
            "unacceptable_as_planned": disjoined(stop_bands),
            "serious_without_control": disjoined(unguarded),
            "control_overdue": disjoined(self.overdue(c) for c in self.rules.controls),
            "no_local_code": not self.rules.local_code,
        }

    def stop(self, stop: str) -> Plain:
        """Whether a stop is shown."""
        fires_on = self.rules.stops[stop].fires_on
        return self.causes[fires_on] if fires_on else self.condition_stop(stop)

    @cached_property
    def stops(self) -> Plain:
        """Whether the verdict is STOP; rulings are left out, so that the rules alone are asked."""
        return disjoined((self.causes["unacceptable_as_planned"], *(self.stop(name) for name in self.rules.stops)))

    @cached_property
    def has_conditions(self) -> Plain:
        """Whether anything is left to come true before or while the work goes on."""
        parts: list[Plain] = [self.held.test(self.rules.in_service.node).may]
        for name, question in self.rules.questions.items():
            parts += [self.present.pending(name), self.present.not_known(name)]
            if question.type == "several":
                answer = self.job.answers[name]
                lines = disjoined(answer.open_lines.values())
                parts.append(conjoined((negated(self.present.absent(name)), answer.given, lines)))
        parts += [self.promised(c) for c in self.rules.controls]
        for hazard in self.rules.hazards:
            demands = self.has_verdict(self.counted(hazard), "conditions")
            parts.append(conjoined((self.applies(hazard), demands)))
        parts += [self.condition_stop(name, now=True) for name in self.rules.stops]
        return disjoined(parts)

    def verdict(self, verdict: Verdict) -> Plain:
        """Whether that is the verdict."""
        if verdict is Verdict.STOP:
            return self.stops
        if verdict is Verdict.CONDITIONS:
            return conjoined((negated(self.stops), self.has_conditions))
        return conjoined((negated(self.stops), negated(self.has_conditions)))


def _level(least: int, raises: tuple[Raise, ...], world: World) -> Ladder:
    ladder = constant_ladder(least, _TOP)
    fired: list[tuple[Raise, Any]] = [(one, world.test(one.check.node).may) for one in raises]
    for one, fires in fired:
        if one.level:
            base = constant_ladder(one.level, _TOP)
            ladder = tuple(disjoined((old, conjoined((fires, new)))) for old, new in zip(ladder, base, strict=True))
    for one, fires in fired:
        if one.by:
            ladder = raised_by(ladder, one.by, fires)
    return ladder


def credited(
    rules: RuleSet, hazard: str, likelihood: Ladder, severity: Ladder, counts: Mapping[str, Plain]
) -> RatingTerms:
    """The rating left once the controls that count are credited: the twin of `assessment.credit.rated`."""
    found = _bands(rules, likelihood, severity)
    if not counts:
        return RatingTerms(likelihood, severity, found)
    strong_likelihood, strong_severity = likelihood, severity
    for kind in STRONG:
        strong_likelihood = lowered_by(strong_likelihood, _credit(rules, hazard, counts, kind, "likelihood"))
        strong_severity = lowered_by(strong_severity, _credit(rules, hazard, counts, kind, "severity"))
    left_likelihood = lowered_by(
        strong_likelihood, _credit(rules, hazard, counts, ControlKind.ADMINISTRATIVE, "likelihood")
    )
    left_severity = lowered_by(strong_severity, _credit(rules, hazard, counts, ControlKind.PPE, "severity"))
    reached = _bands(rules, left_likelihood, left_severity)
    if rules.hazards[hazard].administrative_accepted:
        return RatingTerms(left_likelihood, left_severity, reached)
    ids = [band.id for band in rules.matrix.bands]
    serious = found[ids.index(rules.credit.serious_from)]
    strong = _bands(rules, strong_likelihood, strong_severity)
    # With levels of at least 1 the product falls exactly where one of the two falls.
    moved = disjoined(
        conjoined((was, negated(now)))
        for before, after in ((likelihood, strong_likelihood), (severity, strong_severity))
        for was, now in zip(before, after, strict=True)
    )
    weak = rules.credit.weak_bands
    bands = []
    for place, plain in enumerate(reached):
        lifted = strong[place + weak] if place + weak < len(strong) else False
        if place == 0:
            lifted = True
        floor = disjoined((conjoined((moved, lifted)), conjoined((negated(moved), found[place]))))
        bands.append(disjoined((plain, conjoined((serious, floor)))))
    return RatingTerms(left_likelihood, left_severity, tuple(bands))


def _bands(rules: RuleSet, likelihood: Ladder, severity: Ladder) -> tuple[Plain, ...]:
    tops = [0, *(band.up_to for band in rules.matrix.bands)]
    return tuple(product_at_least(likelihood, severity, top + 1) if top else True for top in tops[:-1])


def _credit(rules: RuleSet, hazard: str, counts: Mapping[str, Plain], kind: ControlKind, scale: str) -> Ladder:
    most = rules.credit.most[kind]
    ladder = constant_ladder(0, most)
    for control, when in counts.items():
        entry = rules.controls[control]
        by = getattr(entry.lowers[hazard], scale)
        if entry.kind is kind and by:
            ladder = raised_by(ladder, by, when)
    return ladder
