"""From rule files to entries: every table read into its model, every fault listed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import BaseModel, ValidationError

from riskhelper.ruleset import entries
from riskhelper.ruleset.faults import Fault, nearest_name
from riskhelper.ruleset.toml_places import Parsed, parsed
from riskhelper.ruleset.wording import problems

NAMED: dict[str, type[BaseModel]] = {
    "question": entries.QuestionEntry,
    "fact": entries.FactEntry,
    "limit": entries.LimitEntry,
    "hazard": entries.HazardEntry,
    "control": entries.ControlEntry,
    "stop": entries.StopEntry,
    "claim": entries.ClaimEntry,
    "clash": entries.ClashEntry,
    "raise": entries.RaiseEntry,
    "tighten": entries.TightenEntry,
}
LISTED: dict[str, type[BaseModel]] = {
    "step": entries.StepEntry,
    "isolation_row": entries.IsolationRowEntry,
    "kit": entries.KitEntry,
    "edge": entries.EdgeEntry,
    "hold_point": entries.AddedHoldPointEntry,
    "turn": entries.TurnEntry,
}
SINGLE: dict[str, type[BaseModel]] = {
    "ruleset": entries.RuleSetEntry,
    "supplement": entries.SupplementEntry,
    "matrix": entries.MatrixEntry,
    "credit": entries.CreditRules,
    "review": entries.ReviewEntry,
}
FLAT: dict[str, type[BaseModel]] = {"source": entries.SourceEntry, "case": entries.CaseEntry}
_TOP_LEVEL = (*NAMED, *LISTED, *SINGLE, *FLAT)
_ID = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*")
_NOT_AN_ID = "an id is `subject.name_in_words`, lower case letters, digits and single underscores"


@dataclass(frozen=True)
class Place:
    """Where an entry stands: its file and the dotted path to it, and how it is shown."""

    parsed: Parsed
    path: str
    shown: str

    def fault(self, key: str, message: str, nearest: str = "") -> Fault:
        """A fault of this entry."""
        return Fault(self.parsed.file, self.parsed.line(self.path, key), self.shown, key, message, nearest)


@dataclass
class Collected:
    """Entries of one part (base, local code or supplement) with the place of each.

    `broken` names entries that are written but cannot be read, so that nobody is told that they do not exist;
    `moved` the limits that a local code or supplement has tightened; `raise_origins` where a supplement wrote what
    it adds to a hazard; `added_points` where it wrote a hold point.
    """

    named: dict[str, dict[str, Any]] = field(default_factory=lambda: {kind: {} for kind in NAMED})
    listed: dict[str, list[Any]] = field(default_factory=lambda: {kind: [] for kind in LISTED})
    single: dict[str, Any] = field(default_factory=dict)
    sources: dict[str, entries.SourceEntry] = field(default_factory=dict)
    cases: dict[str, entries.CaseEntry] = field(default_factory=dict)
    tables: dict[str, entries.TableEntry] = field(default_factory=dict)
    locals: dict[str, tuple[entries.LocalEntry, dict[str, entries.LocalLimit]]] = field(default_factory=dict)
    places: dict[tuple[str, str], Place] = field(default_factory=dict)
    broken: set[tuple[str, str]] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)
    moved: dict[str, Place] = field(default_factory=dict)
    raise_origins: dict[tuple[str, str], tuple[Place, str]] = field(default_factory=dict)
    added_points: dict[str, Place] = field(default_factory=dict)

    def fault(self, kind: str, name: str, key: str, message: str, nearest: str = "") -> None:
        """Note a fault of an entry at its place in the file."""
        place = self.places.get((kind, name))
        entry, _, last = key.rpartition(".")
        if kind == "hazard" and (name, entry) in self.raise_origins:
            place, written = self.raise_origins[name, entry]
            key = f"{written}.{last}"
        elif kind == "hazard" and (name, key) in self.raise_origins:
            place, key = self.raise_origins[name, key]
        elif key.startswith("hold_points.") and self.added_points:
            point = self.single["ruleset"].hold_points[int(key.split(".")[1])].id
            place, key = (self.added_points[point], last) if point in self.added_points else (place, key)
        if place is None:
            self.faults.append(Fault("rules", 0, f"{kind} {name}".strip(), key, message, nearest))
        else:
            self.faults.append(place.fault(key, message, nearest))

    def names(self, kind: str) -> list[str]:
        """Every id of a kind that is written, readable or not."""
        read = self.sources if kind == "source" else self.cases if kind == "case" else self.named[kind]
        return [*read, *(name for other, name in self.broken if other == kind and name not in read)]


def collect(files: Mapping[str, bytes]) -> Collected:
    """All entries of the files of one part."""
    found = Collected()
    for file in sorted(files):
        outcome = parsed(file, files[file])
        if isinstance(outcome, Fault):
            found.faults.append(outcome)
        elif file.startswith("local/"):
            _local(found, outcome)
        elif file.startswith("tables/"):
            _table(found, outcome)
        else:
            _subject(found, outcome)
    return found


def _stem(file: str) -> str:
    return file.rpartition("/")[2].removesuffix(".toml")


def _subject(found: Collected, file: Parsed) -> None:
    for kind, content in file.data.items():
        if kind in NAMED:
            for name, data in named_entries(found, file, kind, content):
                _enter(found, file, kind, name, data, found.named[kind])
        elif kind in FLAT:
            store: dict[str, Any] = found.sources if kind == "source" else found.cases
            for name, data in _tables_in(found, file, kind, content, f"[{kind}.NAME]"):
                _enter(found, file, kind, name, data, store)
        elif kind in LISTED:
            for number, data in enumerate(content if isinstance(content, list) else [content]):
                name = str(len(found.listed[kind]) + 1)
                place = Place(file, f"{kind}.{number}", f"{kind.replace('_', ' ')} {name}")
                found.places[kind, name] = place
                found.listed[kind].append(read_entry(found, LISTED[kind], kind, name, data))
        elif kind in SINGLE:
            _enter(found, file, kind, "", content, found.single, kind)
        else:
            message = f"unknown table; expected one of {', '.join(_TOP_LEVEL)}"
            found.faults.append(Fault(file.file, file.line(kind), kind, "", message, nearest_name(kind, _TOP_LEVEL)))


def _tables_in(
    found: Collected, file: Parsed, path: str, content: Any, form: str
) -> Iterator[tuple[str, dict[str, Any]]]:
    """The tables inside a table; anything else there is a fault."""
    if not isinstance(content, dict):
        found.faults.append(Fault(file.file, file.line(path), path, "", f"is no table; write {form}"))
        return
    for name, data in content.items():
        if isinstance(data, dict):
            yield name, data
        else:
            message = f"stands in no entry; write {form}"
            found.faults.append(Fault(file.file, file.line(path, name), path, name, message))


def named_entries(found: Collected, file: Parsed, kind: str, content: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    """Entries `[kind.SUBJECT.NAME]` with their ids."""
    form = f"[{kind}.SUBJECT.NAME]"
    for subject, inner in _tables_in(found, file, kind, content, form):
        for local, data in _tables_in(found, file, f"{kind}.{subject}", inner, form):
            name = f"{subject}.{local}"
            if _ID.fullmatch(subject) and _ID.fullmatch(local):
                yield name, data
            else:
                path = f"{kind}.{name}"
                found.faults.append(Fault(file.file, file.line(path), path, "", _NOT_AN_ID))


def _enter(
    found: Collected, file: Parsed, kind: str, name: str, data: Any, store: dict[str, Any], key: str = ""
) -> None:
    place = Place(file, f"{kind}.{name}" if name else kind, f"{kind}.{name}" if name else kind)
    first = found.places.get((kind, name))
    if first is not None:
        where = f"{first.parsed.file}, line {first.parsed.line(first.path)}"
        found.faults.append(place.fault("", f"is defined twice; the first stands in {where}"))
        return
    found.places[kind, name] = place
    entry = read_entry(found, (NAMED | FLAT | SINGLE)[kind], kind, name, data)
    if entry is not None:
        store[key or name] = entry


def _local(found: Collected, file: Parsed) -> None:
    code = _stem(file.file)
    found.places["local", code] = Place(file, "local", "local")
    limits: dict[str, entries.LocalLimit] = {}
    for kind, content in file.data.items():
        if kind == "limit":
            for name, data in named_entries(found, file, kind, content):
                place = (f"local {code} limit", name)
                found.places[place] = Place(file, f"limit.{name}", f"limit.{name}")
                entry = read_entry(found, entries.LocalLimit, *place, data)
                if isinstance(entry, entries.LocalLimit):
                    limits[name] = entry
        elif kind == "source":
            for name, data in _tables_in(found, file, kind, content, "[source.NAME]"):
                _enter(found, file, kind, name, data, found.sources)
        elif kind != "local":
            known = ("local", "limit", "source")
            message = "unknown table; a local code has local, limit and source"
            found.faults.append(Fault(file.file, file.line(kind), kind, "", message, nearest_name(kind, known)))
    head = read_entry(found, entries.LocalEntry, "local", code, file.data.get("local", {}))
    if isinstance(head, entries.LocalEntry):
        found.locals[code] = (head, limits)


def _table(found: Collected, file: Parsed) -> None:
    name = _stem(file.file)
    found.places["table", name] = Place(file, "table", "table")
    for kind in file.data:
        if kind != "table":
            message = "unknown table; a file of tables/ holds one [table]"
            found.faults.append(Fault(file.file, file.line(kind), kind, "", message, nearest_name(kind, ["table"])))
    entry = read_entry(found, entries.TableEntry, "table", name, file.data.get("table", {}))
    if isinstance(entry, entries.TableEntry):
        found.tables[name] = entry
        for number, row in enumerate(entry.rows):
            if len(row) != len(entry.columns):
                message = f"row {number + 1} has {len(row)} cells; there are {len(entry.columns)} columns"
                found.fault("table", name, f"rows.{number}", message)


def read_entry(found: Collected, model: type[BaseModel], kind: str, name: str, data: Any) -> BaseModel | None:
    """An entry as its model, or `None` with every fault of it noted at its place."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        found.broken.add((kind, name))
        for problem in problems(model, kind, data, error):
            found.fault(kind, name, problem.key, problem.message, problem.nearest)
        return None
