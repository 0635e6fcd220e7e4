"""Calculated figures with their working: relation, inputs, source, and what was assumed."""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.assessment.result import QuantityShown
from riskhelper.assessment.telling import span_words
from riskhelper.evidence import Interval
from riskhelper.facts import Reading
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import NO
from riskhelper.ruleset.model import Derived, RuleSet
from riskhelper.terms import Standing, Status, spoken


def shown_quantity(name: str, derived: Derived, rules: RuleSet, reading: Reading) -> QuantityShown | None:
    """A titled numeric fact as shown, or nothing where it has no title or does not apply."""
    if derived.check is not None or not derived.entry.title:
        return None
    if derived.shown_if is not None and derived.shown_if.test(reading) == NO:
        return None
    span = reading.grid[name]
    inputs = dict(_inputs(derived, rules, reading))
    relation, source, standing = _grounds(derived, rules)
    tables = [rules.tables[t] for t in _table_roles(derived) if t in rules.tables]
    if tables:
        source = "; ".join([*(table.cited for table in tables), *([source] if source else [])])
        if any(table.standing is Standing.MEMORY for table in tables):
            standing = Standing.MEMORY
    assumed = tuple(
        q
        for q in rules.questions
        if q in rules.supports[name] and reading.status(q) in (Status.NOT_KNOWN, Status.PENDING)
    )
    kind = derived.type
    unit = kind.unit if isinstance(kind, tree.NumberType) else ""
    given = "; ".join(f"{key} {value}" for key, value in inputs.items())
    return QuantityShown(
        id=name,
        title=derived.entry.title,
        value=Interval(*span),
        unit=unit,
        working=f"{relation} = {span_words(span, unit)}, with {given}"
        if given
        else f"{relation} = {span_words(span, unit)}",
        relation=relation,
        inputs=inputs,
        source=source,
        standing=standing,
        assumed=assumed,
        outside=reading.notes.get(name, ""),
    )


def _inputs(derived: Derived, rules: RuleSet, reading: Reading) -> Iterator[tuple[str, str]]:
    for name in sorted(derived.inputs):
        yield spoken(name), value_words(name, rules, reading)
    for parameter, given in derived.entry.from_.items():
        if not isinstance(given, str):
            yield parameter, f"{given:g}"


def value_words(name: str, rules: RuleSet, reading: Reading) -> str:
    """The value of a question, fact or limit as it counted."""
    value = reading[name]
    if isinstance(value, frozenset):
        if name in rules.questions and len(value) == len(rules.questions[name].options):
            return "not known"
        return " or ".join(option.replace("_", " ") for option in sorted(value))
    if isinstance(value, tuple) and not isinstance(value[0], frozenset):
        kind = rules.types[name]
        return span_words(value, kind.unit if isinstance(kind, tree.NumberType) else "")
    return str(value)


def _table_roles(derived: Derived) -> Iterator[str]:
    for given in derived.entry.from_.values():
        if isinstance(given, str) and given.startswith("table:"):
            yield given.removeprefix("table:")


def _grounds(derived: Derived, rules: RuleSet) -> tuple[str, str, Standing]:
    entry = derived.entry
    if derived.calculation is not None:
        calculation = derived.calculation
        return calculation.relation, calculation.source, calculation.standing
    cited = rules.sources.get(entry.source)
    standing = cited.standing if cited else Standing.COMMON_PRACTICE if entry.source else Standing.OURS
    relation = entry.is_ if entry.is_ is not None else f"by {spoken(str((entry.table or {}).get('of', '')))}"
    return relation, cited.title if cited else entry.source or "ours", standing
