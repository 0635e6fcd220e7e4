"""From entries to compiled conditions and facts, with types and units checked."""

from __future__ import annotations

from typing import Any

from riskhelper.calc.all_subjects import calculation_named, complete_catalogue
from riskhelper.ruleset import entries, tree
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.faults import AlreadyTold, ConditionFault, nearest_name
from riskhelper.ruleset.inputs import check_inputs
from riskhelper.ruleset.language import read_condition, read_expression
from riskhelper.ruleset.model import Check, Derived, HazardRule, Raise, StopRule
from riskhelper.units import UNITS, UnitMismatch, converted

ALWAYS = Check("True", tree.Constant(True))
_WRONG = Check("False", tree.Constant(False))


class Compiler:
    """Compiles the entries of one collected set; faults go to the collection."""

    def __init__(self, found: Collected) -> None:
        self._found = found
        self._types: dict[str, tree.ValueType] = {}
        self._derived: dict[str, Derived] = {}
        self._open: list[str] = []
        for name, question in found.named["question"].items():
            self._types[name] = _question_type(question)
        for name, limit in found.named["limit"].items():
            self._types[name] = tree.NumberType(limit.unit, 0.0, limit.unit == "")

    def compile(self) -> dict[str, Any]:
        """The compiled fields of a rule set, by name."""
        named = self._found.named
        for name in named["fact"]:
            self._type_of(name)
        # A guard that cannot be read counts as none, so that nobody is told to repeat it.
        asks = {n: self._check("question", n, "ask_if", q.ask_if, ALWAYS) for n, q in named["question"].items()}
        for name, question in named["question"].items():
            if isinstance(question.error, str):
                self._numeric_name("question", name, "error", question.error)
        hazards = {name: self._hazard(name, hazard) for name, hazard in named["hazard"].items()}
        stops = {name: self._stop(name, stop) for name, stop in named["stop"].items()}
        controls = {n: self._check("control", n, "if", c.if_ or "True") for n, c in named["control"].items()}
        head: entries.RuleSetEntry | None = self._found.single.get("ruleset")
        others: dict[str, Check] = {}
        for number, point in enumerate(head.hold_points if head else ()):
            if point.if_:
                others.setdefault(point.if_, self._check("ruleset", "", f"hold_points.{number}.if", point.if_))
        for key in entries.HEAD_CONDITIONS:
            text = getattr(head, key, None)
            if text:
                others.setdefault(text, self._check("ruleset", "", key, text))
        if head and head.live_work_shown:
            self._shown_names(head.live_work_shown)
        for kind in ("step", "isolation_row", "kit"):
            for number, entry in enumerate(self._found.listed[kind], start=1):
                if entry is not None and entry.if_:
                    others.setdefault(entry.if_, self._check(kind, str(number), "if", entry.if_))
        return {
            "ask_checks": asks,
            "derived": self._derived,
            "hazard_rules": hazards,
            "stop_rules": stops,
            "control_checks": controls,
            "other_checks": others,
            "in_service": self._check("ruleset", "", "plant_in_service", head.plant_in_service) if head else ALWAYS,
            "types": self._types,
        }

    def _check(self, kind: str, name: str, key: str, text: str, instead: Check = _WRONG) -> Check:
        try:
            return Check(text, read_condition(text, self._lookup))
        except AlreadyTold:
            return instead
        except ConditionFault as fault:
            self._found.fault(kind, name, key, fault.message, fault.nearest)
            return instead

    def _shown_names(self, shown: entries.LiveWorkShownEntry) -> None:
        """What an authorisation of live work shows are questions and calculated facts; its equipment, controls."""
        named = self._found.named
        readable = [
            *named["question"],
            *(name for name, fact in named["fact"].items() if getattr(fact, "calc", None)),
        ]
        allowed = {**dict.fromkeys(("shock", "flash", "boundaries"), readable), "equipment": [*named["control"]]}
        for key, known in allowed.items():
            for name in getattr(shown, key):
                if name not in known:
                    words = "control" if key == "equipment" else "question or calculated fact"
                    at = f"live_work_shown.{key}"
                    self._found.fault("ruleset", "", at, f"no {words} `{name}`", nearest_name(name, known))

    def _lookup(self, name: str) -> tree.ValueType:
        kind = self._type_of(name)
        if kind is None:
            if any((entry, name) in self._found.broken for entry in ("question", "fact", "limit")):
                raise AlreadyTold
            known = [*self._types, *self._found.named["fact"]]
            raise ConditionFault(f"unknown name `{name}`", nearest_name(name, known))
        if isinstance(kind, tree.TextType):
            raise ConditionFault(f"`{name}` is free text; no rule may read it")
        return kind

    def _type_of(self, name: str) -> tree.ValueType | None:
        if name in self._types:
            return self._types[name]
        fact = self._found.named["fact"].get(name)
        if not isinstance(fact, entries.FactEntry) or ("fact", name) in self._found.broken:
            return None
        if name in self._open:
            circle = " -> ".join([*self._open[self._open.index(name) :], name])
            self._found.broken.add(("fact", name))
            raise ConditionFault(f"the facts go in a circle: {circle}")
        self._open.append(name)
        try:
            derived = self._fact(name, fact)
        except ConditionFault as fault:
            if not isinstance(fault, AlreadyTold):
                key = "is" if fact.is_ is not None else "table" if fact.table is not None else "calc"
                self._found.fault("fact", name, key, fault.message, fault.nearest)
            self._found.broken.add(("fact", name))
            return None
        finally:
            self._open.pop()
        self._derived[name] = derived
        self._types[name] = derived.type
        return derived.type

    def _fact(self, name: str, fact: entries.FactEntry) -> Derived:
        shown = self._check("fact", name, "shown_if", fact.shown_if) if fact.shown_if else None
        if fact.is_ is not None:
            node, kind = read_expression(fact.is_, self._lookup)
            if isinstance(kind, tree.BoolType):
                if fact.resolution is not None or fact.unit:
                    raise ConditionFault("a yes-or-no fact has neither unit nor resolution")
                return Derived(kind, fact, check=Check(fact.is_, node), shown_if=shown)  # type: ignore[arg-type]
            assert isinstance(kind, tree.NumberType)
            self._check_declared_unit(fact, node, kind.unit)
            return Derived(self._number(fact), fact, expression=node, shown_if=shown)  # type: ignore[arg-type]
        if fact.table is not None:
            self._check_lookup_table(fact.table)
            return Derived(self._number(fact), fact, shown_if=shown)
        return self._calculated(name, fact, shown)

    @staticmethod
    def _number(fact: entries.FactEntry) -> tree.NumberType:
        return tree.NumberType(fact.unit, fact.resolution)

    @staticmethod
    def _check_declared_unit(fact: entries.FactEntry, node: tree.Node, unit: str) -> None:
        if unit in (fact.unit, ""):
            return
        if isinstance(node, tree.Sum) and len(node.terms) == 1 and unit in UNITS and fact.unit in UNITS:
            try:
                if abs(converted(1.0, unit, fact.unit) - node.terms[0][0]) < 1e-9:
                    return
            except UnitMismatch:
                pass
        raise ConditionFault(f"is in `{unit}`, but the fact says `{fact.unit or 'a plain count'}`")

    def _check_lookup_table(self, table: dict[str, Any]) -> None:
        of = table.get("of")
        kind = self._lookup(str(of))
        if not isinstance(kind, tree.ChoiceType):
            raise ConditionFault(f"`of` must name a question with a choice, not `{of}`")
        given = set(table) - {"of"}
        if given != kind.options:
            missing, extra = sorted(kind.options - given), sorted(given - kind.options)
            words = [
                f"lacks {', '.join(missing)}" if missing else "",
                f"has unknown {', '.join(extra)}" if extra else "",
            ]
            raise ConditionFault(f"the table for `{of}` " + " and ".join(w for w in words if w))
        for option in given:
            value = table[option]
            if isinstance(value, str) or (isinstance(value, tuple) and value[0] > value[1]):
                raise ConditionFault(f"`{option}` must be a number or `[low, high]`")

    def _calculated(self, name: str, fact: entries.FactEntry, shown: Check | None) -> Derived:
        calculation = calculation_named(str(fact.calc))
        if calculation is None:
            known = complete_catalogue()
            raise ConditionFault(f"there is no calculation `{fact.calc}`", nearest_name(str(fact.calc), known))
        if calculation.unit != fact.unit:
            raise ConditionFault(f"`{fact.calc}` gives `{calculation.unit}`, but the fact says `{fact.unit}`")
        roles = {role for head, _ in self._found.locals.values() for role in head.tables}
        problems = list(check_inputs(calculation, fact.from_, self._lookup, {*self._found.tables, *roles}))
        for problem in problems:
            key = f"from.{problem.key}" if problem.key else "from"
            self._found.fault("fact", name, key, problem.message, problem.nearest)
        if problems:
            raise AlreadyTold
        return Derived(self._number(fact), fact, calculation=calculation, shown_if=shown)

    def _numeric_name(self, kind: str, name: str, key: str, wanted: str) -> None:
        try:
            if not isinstance(self._lookup(wanted), tree.NumberType):
                self._found.fault(kind, name, key, f"`{wanted}` is not a number")
        except AlreadyTold:
            return
        except ConditionFault as fault:
            self._found.fault(kind, name, key, fault.message, fault.nearest)

    def _hazard(self, name: str, hazard: entries.HazardEntry) -> HazardRule:
        applies = self._check("hazard", name, "applies_if", hazard.applies_if)
        no_ppe = self._check("hazard", name, "no_ppe_credit", hazard.no_ppe_credit) if hazard.no_ppe_credit else None
        scales: dict[str, tuple[Raise, ...]] = {}
        for key in ("likelihood", "severity"):
            scale: entries.Scale = getattr(hazard, key)
            raises = [self._raised(name, f"{key}.at_least.{n}", one) for n, one in enumerate(scale.at_least)]
            raises += [self._raised(name, f"{key}.add.{n}", one) for n, one in enumerate(scale.add)]
            scales[key] = _distinct(raises)
        return HazardRule(hazard, applies, scales["likelihood"], scales["severity"], no_ppe)

    def _raised(self, name: str, key: str, one: entries.AtLeast | entries.Add) -> Raise:
        level, by = (one.level, 0) if isinstance(one, entries.AtLeast) else (0, one.by)
        at = f"{key}.if" if one.unless is None else f"{key}.unless"
        check = self._check("hazard", name, at, one.unless or one.if_ or "True")
        if one.unless is not None:
            check = Check(f"not ({one.unless})", tree.Not(check.node))
        return Raise(check, one.because, level, by, tree.canonical(check.node), at)

    def _stop(self, name: str, stop: entries.StopEntry) -> StopRule:
        check = None
        if stop.stops_if is not None:
            check = self._check("stop", name, "stops_if", stop.stops_if)
        elif stop.stops_unless is not None:
            inner = self._check("stop", name, "stops_unless", stop.stops_unless)
            check = Check(f"not ({stop.stops_unless})", tree.Not(inner.node))
        named = {
            question: self._check("question", question, "not_known_stops_if", entry.not_known_stops_if)
            for question, entry in self._found.named["question"].items()
            if entry.not_known_stops == name
        }
        return StopRule(stop, check, named)


def _distinct(raises: list[Raise]) -> tuple[Raise, ...]:
    """Among `add`s with the same condition only the largest counts; base cases all stay."""
    best: dict[str, Raise] = {}
    for one in raises:
        if one.by and (one.key not in best or best[one.key].by < one.by):
            best[one.key] = one
    return tuple(one for one in raises if not one.by or best[one.key] is one)


def _question_type(question: entries.QuestionEntry) -> tree.ValueType:
    match question.type:
        case "number":
            count = question.unit == "" and question.step == 1 and question.error is None
            return tree.NumberType(question.unit, 0.0, count)
        case "several":
            return tree.SeveralType(frozenset(question.options))
        case "text":
            return tree.TextType()
        case _:
            return tree.ChoiceType(frozenset(question.options))
