"""Hazards that apply, how far each is raised, and what the controls leave of it."""

from __future__ import annotations

from dataclasses import dataclass

from riskhelper.assessment.credit import Counted, rated
from riskhelper.assessment.result import ControlState, HazardFinding, Rating, Reason
from riskhelper.assessment.telling import raised_reason, rests_on
from riskhelper.evidence import Job, Proof
from riskhelper.facts import Reading
from riskhelper.ruleset.entries import ControlEntry
from riskhelper.ruleset.meaning import CANNOT_TELL, NO, YES
from riskhelper.ruleset.model import HazardRule, Raise, RuleSet
from riskhelper.terms import ControlKind, Truth

Fired = tuple[Raise, int]


@dataclass(frozen=True, slots=True)
class RatedHazard:
    """A finding with the rating that the verdict counts: promises already overdue left out.

    `surely` is the rating that no answer still missing can make milder, none where the hazard may not apply at all;
    `surely_bare` says that no control counted on can come to be of use. `open_answers` are the answers that would
    settle what is not sure.
    """

    finding: HazardFinding
    counted: Rating
    surely: Rating | None
    surely_bare: bool
    open_answers: tuple[str, ...]


def level(least: int, raises: tuple[Raise, ...], reading: Reading) -> tuple[int, list[Fired]]:
    """Level on a scale of 1 to 5, and every entry that holds or cannot be ruled out."""
    fired = [(one, truth) for one in raises if (truth := one.check.test(reading)) != NO]
    base = max([least, *(one.level for one, _ in fired)])
    return min(5, base + sum(one.by for one, _ in fired)), fired


def _sure_level(least: int, fired: list[Fired]) -> int:
    """Level by the entries that surely hold."""
    sure = [one for one, truth in fired if truth == YES]
    return min(5, max([least, *(one.level for one in sure)]) + sum(one.by for one in sure))


def _reasons(fired: list[Fired], least: int, reached: int, reading: Reading) -> tuple[Reason, ...]:
    base = max([least, *(one.level for one, _ in fired)])
    chosen: list[tuple[Raise, int, bool]] = []
    decided = base == least
    for one, truth in sorted(fired, key=lambda f: (f[0].by, -f[0].level, -f[1])):
        decides = bool(one.by and base < reached) or (one.level == base and not decided)
        decided = decided or one.level == base
        chosen.append((one, truth, decides))
    return tuple(raised_reason(one, truth, reading, decides=decides) for one, truth, decides in chosen)


class HazardRater:
    """Rates hazards for one job at one position, in both readings."""

    def __init__(self, rules: RuleSet, job: Job, position: int, held: Reading, now: Reading) -> None:
        self._rules = rules
        self._job = job
        self._position = position
        self._held = held
        self._now = now

    def rate(self, name: str, rule: HazardRule) -> RatedHazard | None:
        """The finding for a hazard, or nothing when it surely does not apply."""
        applies = rule.applies.test(self._held)
        if applies == NO:
            return None
        entry = rule.entry
        likelihood, likely = level(entry.likelihood.least, rule.likelihood, self._held)
        severity, severe = level(entry.severity.least, rule.severity, self._held)
        likelihood_now, severity_now = likelihood, severity
        if self._now is not self._held:
            likelihood_now, _ = level(entry.likelihood.least, rule.likelihood, self._now)
            severity_now, _ = level(entry.severity.least, rule.severity, self._now)
        controls = self._rules.controls_of.get(name, ())
        states = tuple(self._state(c, self._rules.controls[c], name) for c in controls)
        accepted = bool(entry.administrative_accepted)
        held_ppe, now_ppe = self._ppe_counts(rule, self._held), self._ppe_counts(rule, self._now)

        def left(found: tuple[int, int], names: list[str], reading: Reading, ppe: bool) -> Rating:
            usable = [c for c in names if self._usable(c, reading, ppe=ppe)]
            counted = [self._credit(c, name) for c in self._once_per_proof(name, usable)]
            return rated(self._rules, *found, counted, administrative_accepted=accepted)

        proved = [state.id for state in states if state.proved]
        promised = [state.id for state in states if state.planned and not state.proved]
        ahead = [state.id for state in states if state.planned and not state.proved and not state.overdue]
        found = (likelihood, severity)
        sure = (_sure_level(entry.likelihood.least, likely), _sure_level(entry.severity.least, severe))
        finding = HazardFinding(
            id=name,
            title=entry.title,
            who=entry.who,
            harm=entry.harm,
            applies=Truth(applies),
            as_found=left(found, [], self._held, False),
            as_known=left(sure, [], self._held, False) if applies == YES else None,
            as_planned=left(found, proved + promised, self._held, held_ppe),
            as_proved=left((likelihood_now, severity_now), proved, self._now, now_ppe),
            likelihood_reasons=_reasons(likely, entry.likelihood.least, likelihood, self._held),
            severity_reasons=_reasons(severe, entry.severity.least, severity, self._held),
            controls=states,
            stops=entry.stops,
            source=entry.source,
            administrative_accepted=entry.administrative_accepted,
        )
        may_help = [c for c in proved + ahead if self._may_be_usable(c, rule)]
        counted = [self._credit(c, name) for c in self._once_per_proof(name, may_help)]
        surely = rated(self._rules, *sure, counted, administrative_accepted=accepted) if applies == YES else None
        counts = left(found, proved + ahead, self._held, held_ppe)
        bare = not any(self._may_be_usable(c, rule) for c in proved + promised)
        return RatedHazard(finding, counts, surely, bare, self._open_answers(rule, finding, may_help))

    def _may_be_usable(self, control: str, rule: HazardRule) -> bool:
        """Whether a control may come to be of use, whatever is answered yet."""
        if self._rules.control_checks[control].test(self._held) == NO:
            return False
        barred = rule.no_ppe_credit is not None and rule.no_ppe_credit.test(self._held) == YES
        return self._rules.controls[control].kind is not ControlKind.PPE or not barred

    def _open_answers(self, rule: HazardRule, finding: HazardFinding, controls: list[str]) -> tuple[str, ...]:
        """Answers that would settle whether the hazard applies, how far it is raised, and which control is of use."""
        raised = (*finding.likelihood_reasons, *finding.severity_reasons)
        found = [question for reason in raised for question in reason.rests_on]
        checks = [rule.applies, *(self._rules.control_checks[c] for c in controls)]
        if rule.no_ppe_credit is not None and any(self._rules.controls[c].kind is ControlKind.PPE for c in controls):
            checks.append(rule.no_ppe_credit)
        for check in checks:
            if check.test(self._held) == CANNOT_TELL:
                found += rests_on(check.node, self._held)[0]
        return tuple(sorted(set(found), key=self._rules.places.__getitem__))

    @staticmethod
    def _ppe_counts(rule: HazardRule, reading: Reading) -> bool:
        return rule.no_ppe_credit is None or rule.no_ppe_credit.test(reading) == NO

    def _usable(self, control: str, reading: Reading, *, ppe: bool) -> bool:
        if self._rules.controls[control].kind is ControlKind.PPE and not ppe:
            return False
        return self._rules.control_checks[control].test(reading) == YES

    def _credit(self, control: str, hazard: str) -> Counted:
        entry = self._rules.controls[control]
        credit = entry.lowers[hazard]
        return Counted(entry.kind, credit.likelihood, credit.severity)

    def _once_per_proof(self, hazard: str, controls: list[str]) -> list[str]:
        """Of controls resting on one recorded entry only the one with most credit counts."""
        if len(controls) < 2:
            return controls
        entries = {control: self._entry_of(control) for control in controls}
        best: dict[int, str] = {}
        for control, entry in entries.items():
            if entry is not None:
                rival = best.get(entry)
                if rival is None or self._worth(rival, hazard) < self._worth(control, hazard):
                    best[entry] = control
        return [c for c in controls if (entry := entries[c]) is None or best[entry] == c]

    def _entry_of(self, control: str) -> int | None:
        proof = self._job.proved.get(control)
        return proof.entry if proof is not None and is_proved(self._rules.controls[control], proof) else None

    def _worth(self, control: str, hazard: str) -> int:
        credit = self._rules.controls[control].lowers[hazard]
        return credit.likelihood + credit.severity

    def _state(self, name: str, control: ControlEntry, hazard: str) -> ControlState:
        planned, proved = name in self._job.planned, is_proved(control, self._job.proved.get(name))
        credit = control.lowers[hazard]
        return ControlState(
            id=name,
            kind=control.kind,
            do=control.do,
            evidence=control.evidence,
            by=self._job.planned[name].by or control.by if planned else control.by,
            hold_point=control.hold_point,
            likelihood_credit=credit.likelihood,
            severity_credit=credit.severity,
            planned=planned,
            proved=proved,
            overdue=is_overdue(self._rules, self._job, name, self._position),
            usable=self._usable(name, self._held, ppe=self._ppe_counts(self._rules.hazard_rules[hazard], self._held)),
        )


def is_proved(control: ControlEntry, proof: Proof | None) -> bool:
    """Whether evidence is recorded; an administrative control also needs a second person."""
    if proof is None or not proof.evidence:
        return False
    return control.kind is not ControlKind.ADMINISTRATIVE or bool(proof.second)


def is_overdue(rules: RuleSet, job: Job, control: str, position: int) -> bool:
    """Whether a control is planned, its hold point is reached, and no evidence is recorded."""
    entry = rules.controls[control]
    reached = rules.positions[entry.hold_point] <= position
    return control in job.planned and reached and not is_proved(entry, job.proved.get(control))
