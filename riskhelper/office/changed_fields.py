"""What of an entry is written otherwise, field by field, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import BaseModel

from riskhelper.office.direction import Direction
from riskhelper.terms import Standing

FIRMNESS = (Standing.MEMORY, Standing.OURS, Standing.COMMON_PRACTICE, Standing.DERIVED, Standing.PUBLISHED)


def changed_fields(
    one: BaseModel, other: BaseModel, without: frozenset[str] = frozenset()
) -> Iterator[tuple[str, str]]:
    """Each field that differs, with what it says now and said before."""
    for field in type(other).model_fields:
        was, now = getattr(one, field), getattr(other, field)
        if was != now and field not in without:
            words = field.strip("_").replace("_", " ")
            yield field, f"{words}: {_said(now)}, before {_said(was)}"


def _said(value: object) -> str:
    if isinstance(value, BaseModel):
        return "; ".join(f"{name.replace('_', ' ')} {_said(each)}" for name, each in value if each)
    if isinstance(value, Mapping):
        return "; ".join(f"{name} {_said(each)}" for name, each in value.items()) or "nothing"
    if isinstance(value, tuple):
        return ", ".join(_said(each) for each in value) or "nothing"
    if isinstance(value, float):
        return f"{value:g}"
    return str(value) if value not in (None, "") else "nothing"


def firmer(was: Standing, now: Standing) -> Direction:
    """Which way another standing goes: what stands on less is looser."""
    return Direction.of(FIRMNESS.index(was), FIRMNESS.index(now))
