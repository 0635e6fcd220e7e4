"""An assessment as JSON-ready values: every field by its own name, units and words as they are."""

from __future__ import annotations

import math
from collections.abc import Mapping, Set
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.interval import Interval
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Truth, Verdict

SCHEMA = "riskhelper.assessment/1"

Plain = None | bool | int | float | str | list["Plain"] | dict[str, "Plain"]


def assessment_json(rules: RuleSet, job: Job, assessment: Assessment) -> dict[str, Plain]:
    """The assessment with the job's number and the rule sets it rests on."""
    found = plain_value(assessment)
    assert isinstance(found, dict)
    return {
        "schema": SCHEMA,
        "job": job.number,
        "rehearsal": job.rehearsal,
        "local_code": job.local_code,
        "rules": plain_value(rules.parts),
        **found,
        "sources": {name: plain_value(rules.sources[name].model_dump()) for name in _cited(rules, assessment)},
        "unknowns": list(assessment.unknowns),
        "pending": list(assessment.pending),
    }


def _cited(rules: RuleSet, assessment: Assessment) -> list[str]:
    """Ids of the listed documents that figures, stops and hazards name."""
    named = [shown.source for shown in assessment.quantities]
    named += [stop.source for stop in assessment.stops] + [hazard.source for hazard in assessment.hazards]
    parts = {part.strip() for source in named for part in source.split(",")}
    return sorted(parts & set(rules.sources))


def plain_value(value: object) -> Plain:
    """A value of the core as JSON-ready values; an end of a range without bound is `null`."""
    if isinstance(value, Verdict):
        return value.words
    if isinstance(value, Truth):
        return value.name.lower().replace("_", " ")
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, Interval):
        return [_bounded(value.low), _bounded(value.high)]
    if isinstance(value, float):
        return _bounded(value)
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(key): plain_value(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain_value(inner) for inner in value]
    if isinstance(value, Set):
        return [plain_value(inner) for inner in sorted(value)]
    if is_dataclass(value):
        return {field.name: plain_value(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"`{type(value).__name__}` has no form in JSON")


def _bounded(number: float) -> float | None:
    return number if math.isfinite(number) else None
