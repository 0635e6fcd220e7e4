"""What is wrong with an entry that does not fit its model, in words an officer can act on."""

from __future__ import annotations

import re
import typing
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError

from riskhelper.ruleset.faults import nearest_name

_WORDS = {
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "float_type": "must be a number",
    "finite_number": "must be a finite number",
    "string_type": "must be text in quotes",
    "bool_type": "must be true or false",
    "tuple_type": "must be a list in square brackets",
    "dict_type": "must be a table",
    "model_type": "must be a table",
    "date_type": "must be a date such as 2026-03-01",
    "date_from_datetime_inexact": "must be a date such as 2026-03-01, without a time",
}
_ONE_OF_SEVERAL = {
    "expect": "must be an option, a list of options, or `[low, high]` for a number",
    "error": "must be a number or the id of the question or fact that gives it",
    "not_asked": "must be a number or an option",
    "table": "must be a number or `[low, high]`; `of` names the question",
    "from": "must be a number, an id, `table:ROLE` or `text:WORD`",
    "rows": "must be a number or text in quotes",
}


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault inside an entry: the dotted key, what is wrong, the nearest name."""

    key: str
    message: str
    nearest: str = ""


def problems(model: type[BaseModel], kind: str, data: Any, error: ValidationError) -> Iterator[Problem]:
    """Every fault of an entry, each key told once."""
    told: set[str] = set()
    for detail in error.errors():
        path, is_one_of_several = _path(data, detail)
        key = ".".join(str(part) for part in path)
        if key not in told:
            told.add(key)
            yield _problem(model, kind, path, detail, is_one_of_several)


def _path(data: Any, detail: Any) -> tuple[tuple[str | int, ...], bool]:
    """The keys that lead to a fault; a value that may be one of several kinds is told as a whole."""
    path: list[str | int] = []
    here = data
    for part in detail["loc"]:
        if isinstance(here, dict) and part in here:
            here = here[part]
        elif isinstance(here, list) and isinstance(part, int):
            if part >= len(here):
                return tuple(path), False
            here = here[part]
        elif detail["type"] != "missing" or not isinstance(here, dict):
            return tuple(path), True
        path.append(part)
    return tuple(path), False


def _problem(
    model: type[BaseModel], kind: str, path: tuple[str | int, ...], detail: Any, is_one_of_several: bool
) -> Problem:
    key = ".".join(str(part) for part in path)
    value, what = detail.get("input"), detail["type"]
    shown = f"`{str(value)[:40]}` " if isinstance(value, (str, int, float)) else ""
    last = str(path[-1]) if path else ""
    if what == "extra_forbidden":
        known = _keys_at(model, path[:-1])
        return Problem(key, f"unknown key; known here are {', '.join(known)}", nearest_name(last, known))
    if what == "missing" and path == tuple(detail["loc"]):
        where = f"every {kind.replace('_', ' ')}" if len(path) == 1 else "every entry of this kind"
        return Problem(key, f"is missing; {where} needs it")
    if what in ("literal_error", "enum"):
        options = re.findall(r"'([^']*)'", detail["ctx"]["expected"])
        return Problem(key, f"{shown}is not one of {', '.join(options)}", nearest_name(str(value), options))
    if is_one_of_several:
        names = [part for part in path if part in _ONE_OF_SEVERAL]
        words = _ONE_OF_SEVERAL[str(names[-1])] if names else "must be a number or text in quotes"
        return Problem(key, f"{shown}{words}")
    if what in ("missing", "too_long", "too_short") and _is_span(path):
        return Problem(key, "must hold exactly two numbers, `[low, high]`")
    if what in _WORDS:
        return Problem(key, f"{shown}{_WORDS[what]}")
    said = f"{detail['msg'][0].lower()}{detail['msg'][1:]}"
    limited = what in ("greater_than_equal", "less_than_equal")
    return Problem(key, f"{shown}is out of range: {said}" if limited else f"{shown}cannot be used: {said}")


def _is_span(path: Sequence[str | int]) -> bool:
    return bool(path) and path[-1] in ("range", "usual")


def _keys_at(model: type[BaseModel], path: Sequence[str | int]) -> list[str]:
    """Keys of the table that stands at a path inside an entry."""
    here = model
    for part in path:
        if isinstance(part, int):
            continue
        for name, field in here.model_fields.items():
            if part in (name, field.alias):
                here = next(_models_in(field.annotation), here)
                break
    return [field.alias or name for name, field in here.model_fields.items()]


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in typing.get_args(annotation):
        yield from _models_in(part)
