"""From rule files to entries: every table read into its model, every fault listed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import BaseModel, ValidationError

from riskhelper.ruleset import entries
from riskhelper.ruleset.faults import Fault, nearest_name
from riskhelper.ruleset.toml_places import Parsed, parsed

_NAMED: dict[str, type[BaseModel]] = {
    "question": entries.QuestionEntry,
    "fact": entries.FactEntry,
    "limit": entries.LimitEntry,
    "hazard": entries.HazardEntry,
    "control": entries.ControlEntry,
    "stop": entries.StopEntry,
}
_LISTED: dict[str, type[BaseModel]] = {
    "step": entries.StepEntry,
    "isolation_row": entries.IsolationRowEntry,
    "kit": entries.KitEntry,
}
_SINGLE: dict[str, type[BaseModel]] = {
    "ruleset": entries.RuleSetEntry,
    "matrix": entries.MatrixEntry,
    "credit": entries.CreditRules,
}
_TOP_LEVEL = (*_NAMED, *_LISTED, *_SINGLE, "source", "case", "raise")
_ID = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*")
_WORDS = {
    "missing": "is missing; every {kind} needs it",
    "int_type": "must be a whole number",
    "float_type": "must be a number",
    "string_type": "must be text in quotes",
    "bool_type": "must be true or false",
    "tuple_type": "must be a list in square brackets",
    "dict_type": "must be a table in braces",
    "date_type": "must be a date such as 2026-03-01",
}


class RaiseEntry(entries.Entry):
    """What a supplement adds to a hazard of the set it stands on: raises only."""

    likelihood: entries.Scale | None = None
    severity: entries.Scale | None = None


@dataclass
class Collected:
    """Entries of one part (base, local code or supplement) with the place of each."""

    named: dict[str, dict[str, Any]] = field(default_factory=lambda: {kind: {} for kind in (*_NAMED, "raise")})
    listed: dict[str, list[Any]] = field(default_factory=lambda: {kind: [] for kind in _LISTED})
    single: dict[str, Any] = field(default_factory=dict)
    sources: dict[str, entries.SourceEntry] = field(default_factory=dict)
    cases: dict[str, entries.CaseEntry] = field(default_factory=dict)
    tables: dict[str, entries.TableEntry] = field(default_factory=dict)
    locals: dict[str, tuple[entries.LocalEntry, dict[str, entries.LocalLimit]]] = field(default_factory=dict)
    places: dict[tuple[str, str], Parsed] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, kind: str, name: str, key: str, message: str, nearest: str = "") -> None:
        """Note a fault of an entry at its place in the file."""
        place = self.places.get((kind, name))
        table = f"{kind}.{name}" if kind in {*_NAMED, "case", "source", "raise"} else f"{kind} {name}".strip()
        if place is None:
            self.faults.append(Fault("rules", 0, table, key, message, nearest))
        else:
            self.faults.append(Fault(place.file, place.line(table, key), table, key, message, nearest))


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


def _subject(found: Collected, parsed_file: Parsed) -> None:
    for kind, content in parsed_file.data.items():
        if kind in _NAMED or kind == "raise":
            _named(found, parsed_file, kind, content)
        elif kind in _LISTED:
            for number, data in enumerate(content if isinstance(content, list) else [content], start=1):
                name = str(len(found.listed[kind]) + 1)
                found.places[kind, name] = Parsed(
                    parsed_file.file,
                    {},
                    {(f"{kind} {name}", k): v for (t, k), v in parsed_file.lines.items() if t == f"{kind} {number}"},
                )
                entry = _read(found, _LISTED[kind], kind, name, data)
                found.listed[kind].append(entry)
        elif kind in _SINGLE:
            _single(found, parsed_file, kind, content)
        elif kind in ("source", "case"):
            model = entries.SourceEntry if kind == "source" else entries.CaseEntry
            store: dict[str, Any] = found.sources if kind == "source" else found.cases
            _flat(found, parsed_file, kind, model, content, store)
        else:
            line = min((n for (t, _), n in parsed_file.lines.items() if t.split(".")[0] == kind), default=0)
            found.faults.append(
                Fault(
                    parsed_file.file,
                    line,
                    kind,
                    "",
                    f"unknown table; expected one of {', '.join(_TOP_LEVEL)}",
                    nearest_name(kind, _TOP_LEVEL),
                )
            )


def _flat(
    found: Collected, place: Parsed, kind: str, model: type[BaseModel], content: Any, store: dict[str, Any]
) -> None:
    for name, data in content.items() if isinstance(content, dict) else ():
        if name in store:
            found.faults.append(
                Fault(place.file, place.line(f"{kind}.{name}"), f"{kind}.{name}", "", "is defined twice")
            )
            continue
        found.places[kind, name] = place
        entry = _read(found, model, kind, name, data)
        if entry is not None:
            store[name] = entry


def _named(found: Collected, place: Parsed, kind: str, content: Any) -> None:
    model = _NAMED.get(kind, RaiseEntry)
    for subject, inner in content.items() if isinstance(content, dict) else ():
        for local, data in inner.items() if isinstance(inner, dict) else ():
            name = f"{subject}.{local}"
            if not isinstance(data, dict):
                found.faults.append(
                    Fault(
                        place.file,
                        place.line(f"{kind}.{subject}", local),
                        f"{kind}.{subject}",
                        local,
                        f"write [{kind}.SUBJECT.NAME]",
                    )
                )
                continue
            if not (_ID.fullmatch(subject) and _ID.fullmatch(local)):
                found.faults.append(
                    Fault(
                        place.file,
                        place.line(f"{kind}.{name}"),
                        f"{kind}.{name}",
                        "",
                        "an id is `subject.name_in_words`, lower case letters, digits and single underscores",
                    )
                )
                continue
            if name in found.named[kind]:
                first = found.places[kind, name]
                found.faults.append(
                    Fault(
                        place.file,
                        place.line(f"{kind}.{name}"),
                        f"{kind}.{name}",
                        "",
                        f"is defined twice; the first stands in {first.file}",
                    )
                )
                continue
            found.places[kind, name] = place
            entry = _read(found, model, kind, name, data)
            if entry is not None:
                found.named[kind][name] = entry


def _single(found: Collected, place: Parsed, kind: str, content: Any) -> None:
    if kind in found.single:
        found.faults.append(Fault(place.file, place.line(kind), kind, "", "is defined twice"))
        return
    found.places[kind, ""] = place
    entry = _read(found, _SINGLE[kind], kind, "", content)
    if entry is not None:
        found.single[kind] = entry


def _local(found: Collected, place: Parsed) -> None:
    code = _stem(place.file)
    found.places["local", code] = Parsed(
        place.file,
        {},
        {(f"local {code}", k): n for (t, k), n in place.lines.items() if t in ("local", "local.tables")},
    )
    limits: dict[str, entries.LocalLimit] = {}
    for kind, content in place.data.items():
        if kind == "limit":
            for subject, inner in content.items():
                for local, data in inner.items():
                    entry = _read(found, entries.LocalLimit, "local", code, data, f"limit.{subject}.{local}")
                    if isinstance(entry, entries.LocalLimit):
                        limits[f"{subject}.{local}"] = entry
        elif kind == "source":
            _flat(found, place, "source", entries.SourceEntry, content, found.sources)
        elif kind != "local":
            found.fault("local", code, kind, "unknown table; a local code has local, limit and source")
    head = _read(found, entries.LocalEntry, "local", code, place.data.get("local", {}))
    if isinstance(head, entries.LocalEntry):
        found.locals[code] = (head, limits)


def _table(found: Collected, place: Parsed) -> None:
    name = _stem(place.file)
    found.places["table", name] = Parsed(
        place.file, {}, {(f"table {name}", k): n for (t, k), n in place.lines.items() if t == "table"}
    )
    entry = _read(found, entries.TableEntry, "table", name, place.data.get("table", {}))
    if isinstance(entry, entries.TableEntry):
        found.tables[name] = entry
        for number, row in enumerate(entry.rows, start=1):
            if len(row) != len(entry.columns):
                found.fault(
                    "table",
                    name,
                    "rows",
                    f"row {number} has {len(row)} cells; there are {len(entry.columns)} columns",
                )


def _read(
    found: Collected, model: type[BaseModel], kind: str, name: str, data: Any, prefix: str = ""
) -> BaseModel | None:
    try:
        return model.model_validate(data)
    except ValidationError as error:
        for detail in error.errors():
            key = ".".join(str(part) for part in detail["loc"])
            key = f"{prefix}.{key}" if prefix else key
            found.fault(kind, name, key, *_told(model, kind, detail))
        return None


def _told(model: type[BaseModel], kind: str, detail: Any) -> tuple[str, str]:
    known = [f.alias or n for n, f in model.model_fields.items()]
    last = str(detail["loc"][-1]) if detail["loc"] else ""
    value = detail.get("input")
    shown = f"`{str(value)[:40]}` " if isinstance(value, (str, int, float)) else ""
    what = detail["type"]
    if what == "extra_forbidden":
        where = known if len(detail["loc"]) == 1 else []
        return f"unknown key `{last}`" + (f"; a {kind} has {', '.join(known)}" if where else ""), nearest_name(
            last, where
        )
    if what in _WORDS:
        text = _WORDS[what].format(kind=kind)
        return (text if what == "missing" else f"{shown}{text}"), ""
    if what in ("literal_error", "enum"):
        expected = detail["ctx"]["expected"]
        options = re.findall(r"'([^']*)'", expected)
        return f"{shown}is not one of {', '.join(options)}", nearest_name(str(value), options)
    if what in ("greater_than_equal", "less_than_equal"):
        return f"{shown}is out of range: {detail['msg'][0].lower()}{detail['msg'][1:]}", ""
    return f"{shown}cannot be used: {detail['msg'][0].lower()}{detail['msg'][1:]}", ""
