"""Nothing of an entry can change unsaid: each field, changed alone, is told as a difference or as other words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from enum import Enum
from functools import cache
from typing import Any

import pytest

from riskhelper.office.comparing import compare
from riskhelper.office.reworded import named
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.store.rule_files import rule_files, shipped_rules

KINDS = {
    "question": "questions",
    "fact": "facts",
    "limit": "limits",
    "hazard": "hazards",
    "control": "controls",
    "stop": "stops",
    "clash": "clashes",
    "claim": "claims",
    "worked case": "cases",
    "source": "sources",
    "table": "table_entries",
}

NAMES_OF_OTHERS = {  # another word there names nothing; `planted_differences` has one of each that is compared
    ("question", "error"),
    ("question", "not_known_stops"),
    ("control", "hold_point"),
    ("control", "lowers"),
    ("worked case", "answers"),
}


@cache
def shipped() -> RuleSet:
    return load_rules(rule_files(shipped_rules()), "en50110", prove_guards=False)


def changed(value: Any) -> Any:
    """Another value of the same sort."""
    match value:
        case bool():
            return not value
        case Enum():
            return next(one for one in type(value) if one is not value)
        case int() | float():
            return value + 1
        case str():
            return f"{value} otherwise".strip()
        case date():
            return value + timedelta(days=1)
        case tuple():
            return (*value, value[-1]) if value else ("otherwise",)
        case dict():
            return {**value, "otherwise": "otherwise"}
        case _:
            return None


def fields() -> Iterator[tuple[str, str]]:
    for kind, those in KINDS.items():
        entries = getattr(shipped(), those)
        model = type(next(iter(entries.values())))
        yield from ((kind, field) for field in model.model_fields)


def with_field(kind: str, field: str) -> RuleSet | None:
    """The shipped set with that field of one entry changed in its text; the meaning compiled from it stays."""
    those = KINDS[kind]
    entries: dict[str, Any] = dict(getattr(shipped(), those))
    for name, entry in entries.items():
        other = changed(getattr(entry, field))
        if other is not None and (kind, field) not in NAMES_OF_OTHERS:
            entries[name] = entry.model_copy(update={field: other})
            whole: dict[str, Any] = {those: entries}
            return replace(shipped(), **whole)
    return None


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "field"), list(fields()))
def test_no_field_of_an_entry_changes_unsaid(kind: str, field: str) -> None:
    new = with_field(kind, field)
    if new is None:
        pytest.skip("no entry of the shipped set has it, or it is compared by its meaning")

    found = compare({"en50110": shipped()}, {"en50110": new})

    assert found.differences or found.reworded


def test_everything_with_words_is_among_what_is_looked_at() -> None:
    assert KINDS.keys() <= named(shipped()).keys()
