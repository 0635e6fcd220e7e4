"""A rule set as a value: entries, their compiled conditions, tables and where it all came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from riskhelper.calc.calculation import Calculation, Table
from riskhelper.ruleset import entries, tree
from riskhelper.ruleset.meaning import Measure, Test, marked, measured, tested
from riskhelper.ruleset.spoken_forms import Sentences
from riskhelper.terms import APPROVAL, GATE, OFFICE, ControlKind


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a rule set: the base, the local code or a supplement."""

    name: str
    number: int
    digest: str


@dataclass(frozen=True)
class Check:
    """A condition with its tree and its meaning."""

    text: str
    node: tree.Condition

    @cached_property
    def test(self) -> Test:
        """Strict meaning."""
        return tested(self.node)

    @cached_property
    def marked(self) -> Test:
        """Meaning where a question not asked leaves a mark."""
        return marked(self.node)


@dataclass(frozen=True)
class Derived:
    """A fact ready to be worked out: its type and exactly one way to get it."""

    type: tree.ValueType
    entry: entries.FactEntry
    check: Check | None = None
    expression: tree.Expression | None = None
    calculation: Calculation | None = None
    shown_if: Check | None = None

    @cached_property
    def measure(self) -> Measure:
        """The span of a numeric `is`."""
        assert self.expression is not None
        return measured(self.expression)

    @cached_property
    def inputs(self) -> frozenset[str]:
        """Names this fact reads directly."""
        if self.check is not None:
            return tree.names_in(self.check.node)
        if self.expression is not None:
            return tree.names_in(self.expression)
        if self.entry.table is not None:
            return frozenset({str(self.entry.table["of"])})
        return frozenset(v for v in self.entry.from_.values() if isinstance(v, str) and ":" not in v)


@dataclass(frozen=True)
class Raise:
    """A base case or an aggravating circumstance of a hazard, with its condition as it fires.

    `key` says the same for conditions that say the same; `at` is where the condition is written.
    """

    check: Check
    because: str
    level: int = 0
    by: int = 0
    key: str = ""
    at: str = ""


@dataclass(frozen=True)
class HazardRule:
    """A hazard with its conditions compiled."""

    entry: entries.HazardEntry
    applies: Check
    likelihood: tuple[Raise, ...]
    severity: tuple[Raise, ...]
    no_ppe_credit: Check | None


@dataclass(frozen=True)
class StopRule:
    """A stop with its condition compiled; `None` where it fires only through a question or a rating.

    `named_by` maps each question that fires it by not being known to the condition under which it does.
    """

    entry: entries.StopEntry
    check: Check | None
    named_by: Mapping[str, Check]


@dataclass(frozen=True)
class Translation:
    """Which words a rule set is read in. `said` maps a sentence of the program to the same in that language.

    A sentence may have gaps, see `riskhelper.ruleset.spoken_forms`.
    """

    language: str
    title: str
    number: int
    digest: str
    reviewed: str
    said: Mapping[str, str] = field(default_factory=dict)

    @property
    def named(self) -> str:
        """How it is named beside a signature and on paper."""
        return f"{self.title} no. {self.number} ({self.digest[:8]}), {self.reviewed or 'not reviewed'}"

    def say(self, words: str) -> str:
        """A sentence of the program in that language; as it is where it has none."""
        return self._sentences.say(words)

    @cached_property
    def _sentences(self) -> Sentences:
        return Sentences(self.said)


@dataclass(frozen=True)
class RuleSet:
    """Base set, one local code and supplements, checked and ready to evaluate."""

    head: entries.RuleSetEntry
    matrix: entries.MatrixEntry
    credit: entries.CreditRules
    questions: Mapping[str, entries.QuestionEntry]
    facts: Mapping[str, entries.FactEntry]
    limits: Mapping[str, entries.LimitEntry]
    hazards: Mapping[str, entries.HazardEntry]
    controls: Mapping[str, entries.ControlEntry]
    stops: Mapping[str, entries.StopEntry]
    steps: tuple[entries.StepEntry, ...]
    isolation_rows: tuple[entries.IsolationRowEntry, ...]
    kit: tuple[entries.KitEntry, ...]
    local_code: str
    local: entries.LocalEntry | None
    tables: Mapping[str, Table]
    sources: Mapping[str, entries.SourceEntry]
    cases: Mapping[str, entries.CaseEntry]
    parts: tuple[Part, ...]
    ask_checks: Mapping[str, Check]
    derived: Mapping[str, Derived]
    hazard_rules: Mapping[str, HazardRule]
    stop_rules: Mapping[str, StopRule]
    control_checks: Mapping[str, Check]
    other_checks: Mapping[str, Check]
    in_service: Check
    types: Mapping[str, tree.ValueType] = field(default_factory=dict)
    table_entries: Mapping[str, entries.TableEntry] = field(default_factory=dict)
    review: entries.ReviewEntry | None = None
    edges: tuple[entries.EdgeEntry, ...] = ()
    claims: Mapping[str, entries.ClaimEntry] = field(default_factory=dict)
    clashes: Mapping[str, entries.ClashEntry] = field(default_factory=dict)
    turns: tuple[entries.TurnEntry, ...] = ()
    translation: Translation | None = None

    @cached_property
    def milestones(self) -> tuple[str, ...]:
        """Office, gate, approval and the hold points in order."""
        return (OFFICE, GATE, APPROVAL, *(point.id for point in self.head.hold_points))

    @cached_property
    def positions(self) -> Mapping[str, int]:
        """Place of each milestone in the order of the work."""
        return {name: place for place, name in enumerate(self.milestones)}

    @cached_property
    def figures(self) -> tuple[str, ...]:
        """Facts in the order of the subjects, then as written."""
        subjects = {subject: place for place, subject in enumerate(self.head.subjects)}
        return tuple(sorted(self.derived, key=lambda n: subjects.get(n.partition(".")[0], len(subjects))))

    @cached_property
    def places(self) -> Mapping[str, int]:
        """Place of each question in the order of asking."""
        return {name: place for place, name in enumerate(self.questions)}

    @cached_property
    def named(self) -> Mapping[str, Mapping[str, entries.Reviewed]]:
        """Entries that are called by an id of their own, by kind and id."""
        return {
            "question": self.questions,
            "fact": self.facts,
            "limit": self.limits,
            "hazard": self.hazards,
            "control": self.controls,
            "stop": self.stops,
            "claim": self.claims,
            "clash": self.clashes,
            "source": self.sources,
            "table": self.table_entries,
        }

    @cached_property
    def hold_points(self) -> Mapping[str, entries.HoldPointEntry]:
        """Hold points by id, in order."""
        return {point.id: point for point in self.head.hold_points}

    @cached_property
    def due_positions(self) -> Mapping[str, int]:
        """Position from which each question is due."""
        return {name: self.positions[q.asked_at] for name, q in self.questions.items()}

    @cached_property
    def controls_of(self) -> Mapping[str, tuple[str, ...]]:
        """Controls that lower a hazard, higher kinds first, then in the order of the file."""
        ranks = {kind: rank for rank, kind in enumerate(ControlKind)}
        found: dict[str, list[str]] = {}
        for name, control in self.controls.items():
            for hazard in control.lowers:
                found.setdefault(hazard, []).append(name)
        return {h: tuple(sorted(names, key=lambda n: ranks[self.controls[n].kind])) for h, names in found.items()}

    @cached_property
    def band_of(self) -> tuple[entries.BandEntry, ...]:
        """Band of each product 0 to 25 (product 0 is never used)."""
        bands = self.matrix.bands
        return tuple(next(b for b in bands if product <= b.up_to) for product in range(26))

    @cached_property
    def supports(self) -> Mapping[str, frozenset[str]]:
        """Questions each question, fact or limit rests on."""
        found: dict[str, frozenset[str]] = {name: frozenset({name}) for name in self.questions}
        found.update({name: frozenset() for name in self.limits})

        def support(name: str) -> frozenset[str]:
            if name not in found:
                found[name] = frozenset().union(*(support(n) for n in self.derived[name].inputs))
            return found[name]

        for name in self.derived:
            support(name)
        return found

    @cached_property
    def figures_read(self) -> Mapping[str, tuple[str, ...]]:
        """For each fact the calculated figures it is, or reads through yes-or-no facts."""
        found: dict[str, tuple[str, ...]] = {}

        def figures(name: str) -> tuple[str, ...]:
            derived = self.derived.get(name)
            if derived is None:
                return ()
            if name not in found:
                below = (
                    [f for n in sorted(derived.inputs) for f in figures(n)] if derived.check is not None else [name]
                )
                found[name] = tuple(dict.fromkeys(below))
            return found[name]

        for name in self.derived:
            figures(name)
        return found

    @cached_property
    def private_names(self) -> frozenset[str]:
        """Questions and facts that rest on a private answer."""
        return frozenset(n for n, rests in self.supports.items() if any(self.questions[q].private for q in rests))

    def support_of(self, node: tree.Node) -> frozenset[str]:
        """Questions a condition rests on, through the facts it reads."""
        return frozenset().union(*(self.supports[name] for name in tree.names_in(node)))
