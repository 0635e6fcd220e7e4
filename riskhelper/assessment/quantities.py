"""Calculated figures with their working: relation, inputs, source, and what was assumed."""

from __future__ import annotations

import re
from collections.abc import Iterator

from riskhelper.assessment.result import QuantityShown
from riskhelper.assessment.wording import called, inside_sentence, plain_name, relation_words, span_words, value_words
from riskhelper.facts import Reading
from riskhelper.interval import Interval
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import NO
from riskhelper.ruleset.model import Derived, RuleSet
from riskhelper.terms import Standing, Status

_TABLE = "table:"
_SYMBOLS = ((r"\brho\b", "ρ"), (r"\bsqrt\(", "√("), (r"(?<=\s)x(?=\s)", "×"), (r"(?<=\s)-(?=\s)", "−"))


def shown_quantity(name: str, derived: Derived, rules: RuleSet, reading: Reading) -> QuantityShown | None:
    """A titled numeric fact as shown, or nothing where it has no title or does not apply."""
    if derived.check is not None or not derived.entry.title:
        return None
    if derived.shown_if is not None and derived.shown_if.test(reading) == NO:
        return None
    span = reading.grid[name]
    inputs = dict(_inputs(derived, rules, reading))
    relation = _relation(derived, rules)
    source, standing = _grounds(name, derived, reading)
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
    """A calculation's inputs by the names of its relation; those of any other fact as they are called."""
    if derived.calculation is None:
        for name in sorted(derived.inputs):
            yield called(rules, name), value_words(name, rules, reading)
        return
    for parameter, given in derived.entry.from_.items():
        if not isinstance(given, str):
            yield plain_name(parameter), f"{given:g}"
        elif ":" not in given:
            yield plain_name(parameter), inside_sentence(value_words(given, rules, reading))


def _table_roles(derived: Derived) -> Iterator[str]:
    for given in derived.entry.from_.values():
        if isinstance(given, str) and given.startswith(_TABLE):
            yield given.removeprefix(_TABLE)


def _relation(derived: Derived, rules: RuleSet) -> str:
    """The relation in standard symbols, or in the names of what it reads."""
    if derived.calculation is not None:
        relation = derived.calculation.relation
        for written, symbol in _SYMBOLS:
            relation = re.sub(written, symbol, relation)
        return relation
    if derived.expression is not None:
        return relation_words(derived.expression, rules)
    return f"by {plain_name(str((derived.entry.table or {}).get('of', '')))}"


def _grounds(name: str, derived: Derived, reading: Reading) -> tuple[str, Standing]:
    """Sources and standing: published tables first, then what the rule set lists, then the calculation's own.

    A figure that rests on one still to be confirmed is itself to be confirmed.
    """
    rules, entry = reading.rules, derived.entry
    listed = [rules.sources[part.strip()] for part in entry.source.split(",") if part.strip() in rules.sources]
    tables = [rules.tables[role] for role in _table_roles(derived) if role in rules.tables]
    if derived.calculation is not None:
        source, standing = derived.calculation.source, derived.calculation.standing
    else:
        standing = Standing.COMMON_PRACTICE if entry.source else Standing.OURS
        source = entry.source or "ours"
    standings = [table.standing for table in tables] if tables else [one.standing for one in listed]
    standings += [rules.limits[n].standing for n in derived.inputs if n in rules.limits]
    standings += [_grounds(n, rules.derived[n], reading)[1] for n in derived.inputs if n in rules.derived]
    standings += [Standing.MEMORY] if name in reading.to_be_confirmed else []
    if tables:
        source = "; ".join(dict.fromkeys(table.cited for table in tables))
    elif listed:
        source = entry.source
        standing = listed[0].standing if derived.calculation is None else standing
    return source, Standing.MEMORY if Standing.MEMORY in standings else standing
