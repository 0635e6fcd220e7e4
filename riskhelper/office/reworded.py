"""Entries whose text differs: what of it is meaning is told apart from this."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import BaseModel

from riskhelper.ruleset.model import RuleSet


def reworded_entries(old: RuleSet, new: RuleSet) -> Iterator[str]:
    """Entries both sets hold and whose text differs, by kind and id."""
    sides = [named(rules) for rules in (old, new)]
    for kind, olds in sides[0].items():
        news = sides[1][kind]
        for name, entry in olds.items():
            if name in news and news[name] != entry:
                yield f"{kind} {name}".strip()


def named(rules: RuleSet) -> Mapping[str, Mapping[str, BaseModel]]:
    """Everything that carries words of its own, by kind and id."""
    return {
        "question": rules.questions,
        "fact": rules.facts,
        "limit": rules.limits,
        "hazard": rules.hazards,
        "control": rules.controls,
        "stop": rules.stops,
        "clash": rules.clashes,
        "claim": rules.claims,
        "worked case": rules.cases,
        "source": rules.sources,
        "table": rules.table_entries,
        "hold point": rules.hold_points,
        "local code": {rules.local.name: rules.local} if rules.local else {},
        "matrix": {"": rules.matrix},
    }
