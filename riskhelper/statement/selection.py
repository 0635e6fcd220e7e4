"""What of a rule set belongs on the papers of this job: which conditions hold, and how things are named."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from riskhelper.assessment.result import Assessment, QuantityShown
from riskhelper.assessment.telling import figures_in
from riskhelper.evidence import Job
from riskhelper.facts import Reading, holds
from riskhelper.interval import Interval
from riskhelper.ruleset.entries import HoldPointEntry, StepEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import EARLY_MILESTONES, Standing, Status, Truth

_ARC = "arc."
_RAISES_FROM = 5
_NO_DOCUMENT = ("", Standing.COMMON_PRACTICE.value, Standing.OURS.value)


@dataclass(frozen=True)
class Selection:
    """One job seen through its rule set and its assessment."""

    rules: RuleSet
    job: Job
    assessment: Assessment
    now: datetime

    @property
    def stays_in_service(self) -> bool:
        """Whether the papers must treat the plant as in service: also where nobody can tell."""
        return self.assessment.in_service is not Truth.NO

    def applies(self, condition: str | None) -> Truth:
        """Whether a step, row, hold point or thing to bring belongs to this job."""
        if condition is None:
            return Truth.YES
        return holds(self.rules, self.job, condition, self.assessment.milestone, self.now)

    @cached_property
    def steps(self) -> tuple[tuple[StepEntry, bool], ...]:
        """Steps in order, each with whether it only may apply."""
        truths = ((step, self.applies(step.if_)) for step in self.rules.steps)
        return tuple((step, truth is Truth.CANNOT_TELL) for step, truth in truths if truth is not Truth.NO)

    @cached_property
    def hold_points(self) -> tuple[tuple[HoldPointEntry, bool], ...]:
        """Hold points in order, each with whether it only may apply."""
        truths = ((point, self.applies(point.if_)) for point in self.rules.head.hold_points)
        return tuple((point, truth is Truth.CANNOT_TELL) for point, truth in truths if truth is not Truth.NO)

    @property
    def hold_points_by_id(self) -> dict[str, tuple[HoldPointEntry, bool]]:
        """Hold points of this job by id, in order."""
        return {point.id: (point, maybe) for point, maybe in self.hold_points}

    @cached_property
    def quantities(self) -> tuple[QuantityShown, ...]:
        """Figures a stop or a hazard of 5 or more rests on; nothing that rests on an arc calculation."""
        return tuple(q for q in self.assessment.quantities if q.id in self._read and not self._rests_on_arc(q.id))

    @cached_property
    def _read(self) -> frozenset[str]:
        """Figures that conditions read, and what those that are sums and differences are made of."""
        rated = {h.id for h in self.assessment.hazards if h.as_found.product >= _RAISES_FROM}
        hazards = [rule for name, rule in self.rules.hazard_rules.items() if name in rated]
        checks = [raised.check for rule in hazards for raised in (*rule.likelihood, *rule.severity)]
        checks += [rule.check for rule in self.rules.stop_rules.values() if rule.check is not None]
        found: set[str] = set()
        waiting = [name for check in checks for name in figures_in(check.node, self.rules)]
        while waiting:
            name = waiting.pop()
            if name not in found:
                found.add(name)
                derived = self.rules.derived[name]
                if derived.expression is not None:
                    waiting += [read for read in derived.inputs if read in self.rules.derived]
        return frozenset(found)

    @cached_property
    def _reading(self) -> Reading:
        return Reading(self.rules, self.job, self.assessment.milestone, self.now, if_held=True)

    def span(self, name: str) -> Interval | None:
        """A number of the rule set as it counts if the plan is held; nothing where it is missing or has no end."""
        shown = next((quantity for quantity in self.assessment.quantities if quantity.id == name), None)
        if name in self.rules.derived:
            found = shown.value if shown is not None else None
        elif name in self.rules.limits or (name in self.rules.questions and self.is_asked(name)):
            found = Interval(*self._reading[name])
        else:
            return None
        return None if found is None or math.isinf(found.low) or math.isinf(found.high) else found

    def _rests_on_arc(self, name: str) -> bool:
        entry = self.rules.facts.get(name)
        if entry is None:
            return False
        if (entry.calc or "").startswith(_ARC):
            return True
        return any(self._rests_on_arc(read) for read in self.rules.derived[name].inputs)

    def hold_point_words(self, name: str) -> str:
        """How a hold point is printed and called out."""
        point = self.rules.hold_points.get(name)
        if point is not None:
            return point.words
        return name if name in EARLY_MILESTONES else "throughout"

    def asked(self, name: str) -> str:
        """A question in its own words."""
        question = self.rules.questions.get(name)
        return question.ask if question is not None else name

    def is_asked(self, name: str) -> bool:
        """Whether the question belongs to this job."""
        return self.assessment.statuses.get(name, Status.NOT_ASKED) is not Status.NOT_ASKED

    def places_cited(self, source: str) -> str:
        """A source by the numbers its documents bear among the references; in words where it names none."""
        listed = self._listed(source)
        if listed:
            told = [(self._number(self._document(name)), places) for name, places in listed.items()]
            return "; ".join(", ".join((f"[{number}]", *places)) for number, places in sorted(told))
        return self._numbered(self._references_of(source)) or source

    def cited_behind(self, quantity: QuantityShown) -> str:
        """The documents of a figure by their numbers: published tables where it reads any."""
        if self._tables_behind(quantity):
            return self._numbered(self._references_behind(quantity))
        return self.places_cited(quantity.source) or "ours"

    def _numbered(self, references: Iterable[str]) -> str:
        return ", ".join(f"[{number}]" for number in sorted(map(self._number, references)))

    def _number(self, reference: str) -> int:
        return self.references.index(reference) + 1

    def _document(self, name: str) -> str:
        entry = self.rules.sources[name]
        parts = (entry.title, entry.edition, entry.clause)
        return ", ".join(part for part in parts if part) + f" ({entry.standing.value})"

    def _listed(self, source: str) -> dict[str, list[str]]:
        """The listed documents a source names, each with the places named after it."""
        found: dict[str, list[str]] = {}
        for part in (part.strip() for part in source.split(",")):
            if part in self.rules.sources:
                found.setdefault(part, [])
            elif found:
                found[next(reversed(found))].append(part)
            else:
                return {}
        return found

    @cached_property
    def references(self) -> tuple[str, ...]:
        """Every document the printed findings rest on, each once, in alphabetical order."""
        sources: list[str] = [stop.source for stop in self.assessment.stops]
        for hazard in self.assessment.hazards:
            sources.append(hazard.source)
            sources += [self.rules.controls[c.id].source for c in hazard.controls if c.planned or c.proved]
        cited = {words for source in sources for words in self._references_of(source)}
        cited |= {words for quantity in self.quantities for words in self._references_behind(quantity)}
        if self.rules.local is not None:
            cited.add(f"{self.rules.local.title}, {self.rules.local.edition} (local code of this job)")
        return tuple(sorted(cited))

    def _references_of(self, source: str) -> frozenset[str]:
        """The documents a source names, each as it stands among the references."""
        listed = self._listed(source)
        if listed:
            return frozenset(self._document(name) for name in listed)
        return frozenset({source} - set(_NO_DOCUMENT))

    def _references_behind(self, quantity: QuantityShown) -> frozenset[str]:
        return self._tables_behind(quantity) or self._references_of(quantity.source)

    def _tables_behind(self, quantity: QuantityShown) -> frozenset[str]:
        entry = self.rules.facts.get(quantity.id)
        given = entry.from_.values() if entry is not None else ()
        roles = [value.removeprefix("table:") for value in given if isinstance(value, str) and value[:6] == "table:"]
        tables = [self.rules.tables[role] for role in roles if role in self.rules.tables]
        return frozenset(f"{table.cited} ({table.standing.value})" for table in tables)
