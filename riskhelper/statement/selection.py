"""What of a rule set belongs on the papers of this job: which conditions hold, and how things are named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from riskhelper.assessment.result import Assessment, QuantityShown
from riskhelper.calc.calculation import Table
from riskhelper.evidence import Job
from riskhelper.facts import holds
from riskhelper.ruleset.entries import HoldPointEntry, StepEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import EARLY_MILESTONES, Standing, Status, Truth

_ARC = "arc."
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
        """Figures that may be printed: nothing that rests on an arc calculation."""
        return tuple(q for q in self.assessment.quantities if not self._rests_on_arc(q.id))

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

    def cited(self, source: str, standing: Standing | None = None) -> str:
        """A source in words: its title and standing where the rule set lists it, else as it is written."""
        listed = self._listed(source)
        if not listed:
            return source if standing is None or standing.value == source else f"{source} ({standing.value})"
        return "; ".join(self._document(name, places) for name, places in listed.items())

    def cited_briefly(self, source: str, standing: Standing) -> str:
        """A source by its title alone; edition and clause stand among the references."""
        listed = self._listed(source)
        if not listed:
            return self.cited(source, standing)
        titles = {name: self.rules.sources[name] for name in listed}
        return "; ".join(
            ", ".join((entry.title, *listed[name])) + f" ({entry.standing.value})" for name, entry in titles.items()
        )

    def _document(self, name: str, places: Sequence[str] = ()) -> str:
        entry = self.rules.sources[name]
        parts = (entry.title, entry.edition, entry.clause, *places)
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
        sources: list[str] = [q.source for q in self.quantities]
        sources += [stop.source for stop in self.assessment.stops]
        for hazard in self.assessment.hazards:
            sources.append(hazard.source)
            sources += [self.rules.controls[c.id].source for c in hazard.controls if c.planned or c.proved]
        listed = {name for source in sources for name in self._listed(source)}
        cited = {self._document(name) for name in listed}
        cited |= {source for source in sources if source not in _NO_DOCUMENT and not self._listed(source)}
        cited |= {f"{table.cited} ({table.standing.value})" for table in self._tables_read()}
        if self.rules.local is not None:
            cited.add(f"{self.rules.local.title}, {self.rules.local.edition} (local code of this job)")
        return tuple(sorted(cited))

    def _tables_read(self) -> Iterable[Table]:
        for quantity in self.quantities:
            entry = self.rules.facts.get(quantity.id)
            for value in entry.from_.values() if entry is not None else ():
                role = value.removeprefix("table:") if isinstance(value, str) else ""
                if role != value and role in self.rules.tables:
                    yield self.rules.tables[role]
