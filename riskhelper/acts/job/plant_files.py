"""Plant files: what stays true of one plant from visit to visit, in TOML, kept by the office and by earlier visits.

schema = "riskhelper.plant/1"
site = "Ferry Works"
plant = "T2"
[emergency_numbers]
"Nearest hospital" = "see the board at the gate"
[plates]
"Oil" = "8.4 t"
[[hazard]]
words = "Asbestos cement in the cable duct"
seen = 2026-03-02
source = "owner's register, sheet 4"
[known.oil]
valve_mm = { value = 50, seen = 2026-03-02, by = "N. N.", source = "valve plate" }
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from typing import Annotated, Any, Literal

import tomli_w
from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

from riskhelper.acts.context import printable
from riskhelper.acts.job.answer_files import where
from riskhelper.ruleset.faults import Fault
from riskhelper.ruleset.toml_places import Parsed, parsed

SCHEMA = "riskhelper.plant/1"
Words = Annotated[str, StringConstraints(strip_whitespace=True, max_length=200)]
Named = Annotated[Words, StringConstraints(min_length=1)]
_EXPECTED = {
    "missing": "is missing; write it",
    "extra_forbidden": "is not known here; check its spelling",
    "string_too_long": "should have at most 200 characters",
    "string_too_short": "should not be empty",
    "string_type": "should be text in quotes",
    "literal_error": f'should be "{SCHEMA}"',
    "date_type": "should be a day such as 2026-03-02, without quotes",
}


class PlantFaults(ValueError):
    """Every fault of the plant files, one sentence each with file and line."""

    def __init__(self, faults: list[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(faults))


class _Strict(BaseModel):
    model_config = ConfigDict(frozen=True, strict=True, extra="forbid")


class Seen(_Strict):
    """A value as it was last seen. `value` is what a person would type for the question."""

    value: str | int | float | bool | list[str]
    seen: date
    unit: Words = ""
    by: Words = ""
    source: Words = ""

    @property
    def typed(self) -> str:
        """The value as it would be typed."""
        if isinstance(self.value, list):
            return " ".join(self.value)
        if isinstance(self.value, bool):
            return "yes" if self.value else "no"
        return f"{self.value:g}" if isinstance(self.value, float) else str(self.value)


class KnownHazard(_Strict):
    """Something that waits at this plant, whoever comes."""

    words: Named
    seen: date
    source: Words = ""


class _File(_Strict):
    schema_: Literal["riskhelper.plant/1"] = Field(alias="schema")
    site: Named
    plant: Named
    address: Words = ""
    directions: Words = ""
    muster_point: Words = ""
    emergency_numbers: dict[str, Words] = {}
    plates: dict[str, Words] = {}
    hazard: list[KnownHazard] = []
    known: dict[str, dict[str, Seen]] = {}


@dataclass(frozen=True)
class PlantFile:
    """One plant. `known` maps question ids to what was last seen."""

    site: str
    plant: str
    address: str = ""
    directions: str = ""
    muster_point: str = ""
    emergency_numbers: Mapping[str, str] = field(default_factory=dict)
    plates: Mapping[str, str] = field(default_factory=dict)
    hazards: tuple[KnownHazard, ...] = ()
    known: Mapping[str, Seen] = field(default_factory=dict)


def read_plant(name: str, data: bytes) -> PlantFile:
    """A plant file; raises `PlantFaults` with every fault."""
    file = parsed(name, data)
    if isinstance(file, Fault):
        raise PlantFaults([str(file)])
    try:
        read = _File.model_validate(dict(file.data))
    except ValidationError as error:
        found = [_fault(file, one["loc"], one["type"], one["msg"]) for one in error.errors(include_url=False)]
        raise PlantFaults(list(dict.fromkeys(found))) from error
    unprintable = [words for words in _texts(file.data) if printable(words) != words or "\n" in words]
    if unprintable:
        raise PlantFaults([f"{name}: `{printable(unprintable[0])[:60]}` holds characters that cannot be printed"])
    return PlantFile(
        site=read.site,
        plant=read.plant,
        address=read.address,
        directions=read.directions,
        muster_point=read.muster_point,
        emergency_numbers=read.emergency_numbers,
        plates=read.plates,
        hazards=tuple(read.hazard),
        known={f"{subject}.{q}": seen for subject, named in read.known.items() for q, seen in named.items()},
    )


def written_plant(plant: PlantFile) -> bytes:
    """The plant file as TOML; reading it back gives the same plant."""
    table: dict[str, Any] = {"schema": SCHEMA}
    for each in fields(plant):
        value = getattr(plant, each.name)
        if each.name not in ("hazards", "known") and value:
            table[each.name] = dict(value) if isinstance(value, Mapping) else value
    if plant.hazards:
        table["hazard"] = [_table(one) for one in plant.hazards]
    for question, seen in plant.known.items():
        subject, _, name = question.partition(".")
        table.setdefault("known", {}).setdefault(subject, {})[name] = _table(seen)
    return tomli_w.dumps(table).encode("utf-8")


def _table(model: BaseModel) -> dict[str, Any]:
    return {key: value for key, value in model.model_dump().items() if value != ""}


def _fault(file: Parsed, loc: tuple[int | str, ...], kind: str, message: str) -> str:
    steps = [str(step) for step in loc if not (isinstance(step, str) and step in ("str", "int", "float", "bool"))]
    steps = [step for step in steps if not step.startswith("list[")]
    said = _EXPECTED.get(kind, message[0].lower() + message[1:])
    return f"{where(file, '.'.join(steps[:-1]), steps[-1])}: {said}"


def _texts(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    if isinstance(value, Mapping):
        return [text for key, inner in value.items() for text in (str(key), *_texts(inner))]
    return [text for inner in value for text in _texts(inner)] if isinstance(value, list) else []
