"""Answers that lead into the rows of a table that moved: there an example is looked for first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import zip_longest
from typing import Any

from riskhelper.ruleset.entries import FactEntry, TableEntry
from riskhelper.ruleset.model import RuleSet

MOST_ROWS = 4


def rows_that_moved(old: RuleSet, new: RuleSet, names: frozenset[str]) -> list[Mapping[str, Any]]:
    """For each row that moved an answer that is its first cell, to one of these questions that leads to the table."""
    found: list[Mapping[str, Any]] = []
    for name, entry in new.table_entries.items():
        was = old.table_entries.get(name)
        if was is None or was.rows == entry.rows:
            continue
        asked = [q for fact in facts_reading(new, name) for q in _numbers(new, fact) if q in names]
        for key in _first_cells(was, entry):
            for question in dict.fromkeys(asked):
                low, high = new.questions[question].range or (0.0, 0.0)
                if low <= key <= high:
                    found.append({question: (key, key)})
    return found[:MOST_ROWS]


def facts_reading(rules: RuleSet, table: str) -> list[str]:
    """Facts that a table feeds, under its own name or in the role the local code gives it."""
    local = rules.local.tables if rules.local else {}
    roles = {f"table:{role}" for role in (table, *(role for role, name in local.items() if name == table))}
    return [name for name, fact in rules.facts.items() if not roles.isdisjoint(_given(fact))]


def _given(fact: FactEntry) -> set[str]:
    return {value for value in fact.from_.values() if isinstance(value, str)}


def _numbers(rules: RuleSet, fact: str) -> Iterator[str]:
    given = _given(rules.facts[fact])
    yield from (q for q in rules.questions if q in given and rules.questions[q].type == "number")


def _first_cells(was: TableEntry, now: TableEntry) -> Iterator[float]:
    for before, after in zip_longest(was.rows, now.rows):
        if before != after:
            cell = (after or before)[0]
            if isinstance(cell, float | int):
                yield float(cell)
