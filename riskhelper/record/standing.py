"""A site as it stands: the register, permits, points, adopted rule sets, holding, incidents, what does not count."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime

from riskhelper.permit import course
from riskhelper.permit.adoption import RuleCourse, RuleState, state_at
from riskhelper.permit.document import Permit
from riskhelper.permit.persons import EVALUATOR, ISSUER
from riskhelper.permit.points import Point
from riskhelper.permit.procedures import Procedure
from riskhelper.record.holding import Holding
from riskhelper.record.keeping import Incident
from riskhelper.record.people import Register

RESTS_ON = {course.EVALUATE: EVALUATOR, course.APPROVE: ISSUER, course.ISSUE: ISSUER}
"""Signatures that a permit rests on, each with its role."""


@dataclass
class Site:
    """A site as it stands. `requested` maps a permit to the place of the entry that last requested it, `drawn_up` to
    the digest of the entry that drew it up, `rules_of` to the rule set it was last signed under; `planned_elsewhere`
    are points planned by a store that does not hold their plant; `incidents` are those of each job, `destroyed` the
    entries whose text was destroyed; `apart` names entries that do not count, as another store held what they are
    about or as they are no act of the course, and what was suspended thereby; `uncounted` are those entries."""

    register: Register = field(default_factory=Register)
    permits: dict[str, Permit] = field(default_factory=dict)
    points: dict[str, Point] = field(default_factory=dict)
    procedures: dict[str, Procedure] = field(default_factory=dict)
    requested: dict[str, int] = field(default_factory=dict)
    drawn_up: dict[str, str] = field(default_factory=dict)
    rules_of: dict[str, str] = field(default_factory=dict)
    planned_elsewhere: set[str] = field(default_factory=set)
    incidents: dict[str, dict[tuple[str, int], Incident]] = field(default_factory=dict)
    destroyed: set[tuple[str, int]] = field(default_factory=set)
    rule_sets: dict[str, RuleCourse] = field(default_factory=dict)
    holding: Holding = field(default_factory=Holding)
    apart: list[str] = field(default_factory=list)
    uncounted: set[tuple[str, int]] = field(default_factory=set)
    last: datetime | None = None

    def copy(self) -> Site:
        """The same site as a value of its own, which further entries leave alone."""
        return replace(
            self,
            permits=dict(self.permits),
            points=dict(self.points),
            procedures=dict(self.procedures),
            requested=dict(self.requested),
            drawn_up=dict(self.drawn_up),
            rules_of=dict(self.rules_of),
            planned_elsewhere=set(self.planned_elsewhere),
            incidents={job: dict(each) for job, each in self.incidents.items()},
            destroyed=set(self.destroyed),
            rule_sets=dict(self.rule_sets),
            apart=list(self.apart),
            uncounted=set(self.uncounted),
        )

    def adopted(self, digest: str, now: datetime) -> bool:
        """Whether the rule set of that digest is in force: adopted by two officers, its day come, not withdrawn."""
        found = self.rule_sets.get(digest)
        return found is not None and state_at(self.rule_sets, found, now.date()) is RuleState.IN_FORCE

    def lapsed(self, permit: Permit, now: datetime) -> tuple[str, ...]:
        """Who evaluated, approved or issued and has since lost key or authority; in a rehearsal without a register
        nobody has either."""
        lapsed = []
        for part, role in RESTS_ON.items():
            name = permit.signed.get(part, "")
            if name and self.register.key:
                lack = self.register.people[name].lack(role, permit.plant, permit.voltage_v, now, permit.road.value)
                lapsed.append(
                    lack or ("" if self.register.key_of(name) else f"the key of {name} was taken out of use")
                )
        return tuple(filter(None, lapsed))
