"""How a local code and supplements stand on the base set: they add and tighten, never loosen."""

from __future__ import annotations

from typing import Any

from riskhelper.ruleset import entries
from riskhelper.ruleset.clashing import tighten_clashes
from riskhelper.ruleset.collecting import Collected, Place
from riskhelper.ruleset.faults import Fault, nearest_name
from riskhelper.ruleset.narrowing import tighten_questions
from riskhelper.ruleset.placing import add_hold_points, add_steps, check_placed

_FIXED = {
    "matrix": "a supplement may not touch the matrix",
    "credit": "a supplement may not touch the credit rules",
    "review": "a supplement may not touch what the review looks for",
    "ruleset": "a supplement has the head [supplement]; it adds a hold point as [[hold_point]], with `after`",
}
_ADDED = ("question", "fact", "hazard", "control", "stop", "claim")


def check_base(base: Collected) -> None:
    """Note what only a supplement may hold."""
    for kind, own in (("raise", "hazard"), ("tighten", "question")):
        for name in base.names(kind):
            base.fault(kind, name, "", f"belongs into a supplement; in the base set write it at the {own} itself")
    check_placed(base)
    if ("supplement", "") in base.places:
        base.fault("supplement", "", "", "belongs into a supplement, not into the base set")


def merge_local(base: Collected, local_code: str) -> None:
    """Let the chosen local code tighten limits; check that its tables exist."""
    if not local_code or ("local", local_code) in base.broken:
        return
    if local_code not in base.locals:
        if not any(fault.file == f"local/{local_code}.toml" for fault in base.faults):
            known = ", ".join(sorted(base.locals)) or "none at all"
            hint = nearest_name(local_code, base.locals)
            message = f"there is no such local code; known are {known}"
            base.faults.append(Fault("rules", 0, f"local {local_code}", "", message, hint))
        return
    head, limits = base.locals[local_code]
    for role, name in head.tables.items():
        if ("table", name) in base.broken:
            continue
        if name not in base.tables:
            hint = nearest_name(name, base.tables)
            base.fault("local", local_code, f"tables.{role}", f"there is no table `{name}`", hint)
        elif role in base.tables and role != name:
            base.fault("local", local_code, f"tables.{role}", "is the name of another table; choose another role")
    for name, figure in limits.items():
        _tighten(base, base.places[f"local {local_code} limit", name], name, figure)


def _tighten(base: Collected, place: Place, name: str, figure: Any) -> None:
    """Move a limit of the base set to the stricter side; anything else is a fault."""
    limit = base.named["limit"].get(name)
    if not isinstance(limit, entries.LimitEntry):
        if ("limit", name) not in base.broken:
            hint = nearest_name(name, base.named["limit"])
            base.faults.append(place.fault("", "there is no such limit in the base set", hint))
        return
    if isinstance(figure, entries.LimitEntry):
        for key in ("unit", "worse"):
            here, there = getattr(figure, key), getattr(limit, key)
            if here != there:
                base.faults.append(
                    place.fault(key, f"is `{here}`, but the limit has `{there}`; it cannot be changed")
                )
                return
    stricter = figure.is_ >= limit.is_ if limit.worse == "up" else figure.is_ <= limit.is_
    if not stricter:
        side = "above" if limit.worse == "up" else "below"
        base.faults.append(
            place.fault(
                "is",
                f"`{figure.is_:g}` is milder than {limit.is_:g}; only a figure {side} it is stricter. Leave it out",
            )
        )
        return
    if figure.is_ != limit.is_:
        base.moved.setdefault(name, place)
    changes = {"is_": figure.is_, "source": figure.source, "standing": figure.standing}
    base.named["limit"][name] = limit.model_copy(update=changes)


def merge_supplement(base: Collected, added: Collected) -> None:
    """Add a supplement: new entries, tighter limits and questions, further raises. Anything else is a fault."""
    _refuse(added)
    for kind in _ADDED:
        for name in added.names(kind):
            if (kind, name) in base.places:
                added.fault(kind, name, "", "a supplement may not change an entry of the set it stands on")
                continue
            base.places[kind, name] = added.places[kind, name]
            if (kind, name) in added.broken:
                base.broken.add((kind, name))
                continue
            entry = added.named[kind][name]
            if kind == "control" and entry.lowers:
                added.fault(kind, name, "lowers", "a supplement may add a control, never credit")
            base.named[kind][name] = entry
    for name, limit in added.named["limit"].items():
        if ("limit", name) in base.places:
            _tighten(base, added.places["limit", name], name, limit)
        else:
            base.named["limit"][name] = limit
            base.places["limit", name] = added.places["limit", name]
    for name, raised in added.named["raise"].items():
        _raise(base, added, name, raised)
    tighten_questions(base, added)
    tighten_clashes(base, added)
    add_hold_points(base, added)
    add_steps(base, added)
    for kind in ("isolation_row", "kit", "edge", "turn"):
        for number, entry in enumerate(added.listed[kind], start=1):
            base.listed[kind].append(entry)
            base.places[kind, str(len(base.listed[kind]))] = added.places[kind, str(number)]
    for kind, theirs, ours in (
        ("source", added.sources, base.sources),
        ("case", added.cases, base.cases),
        ("table", added.tables, base.tables),
    ):
        _add_documents(base, added, kind, theirs, ours)
    base.faults.extend(added.faults)


def _refuse(added: Collected) -> None:
    for kind, message in _FIXED.items():
        if (kind, "") in added.places:
            added.fault(kind, "", "", message)
    if ("supplement", "") not in added.places:
        added.faults.append(Fault("supplement", 0, "supplement", "", "no file holds the table [supplement]"))
    for code in added.locals:
        added.fault("local", code, "", "a local code belongs to the base set; a supplement cannot bring one")


def _add_documents(
    base: Collected, added: Collected, kind: str, theirs: dict[str, Any], ours: dict[str, Any]
) -> None:
    for name, entry in theirs.items():
        if name not in ours:
            ours[name] = entry
            base.places.setdefault((kind, name), added.places[kind, name])
        elif ours[name] != entry:
            added.fault(kind, name, "", f"a supplement may not change a {kind} of the set it stands on")


def _raise(base: Collected, added: Collected, name: str, raised: entries.RaiseEntry) -> None:
    hazard = base.named["hazard"].get(name)
    if not isinstance(hazard, entries.HazardEntry):
        if ("hazard", name) not in base.broken:
            hint = nearest_name(name, base.named["hazard"])
            added.fault("raise", name, "", f"there is no hazard `{name}`", hint)
        return
    changes: dict[str, Any] = {}
    if raised.applies_if:
        changes["applies_if"] = f"({hazard.applies_if}) or ({raised.applies_if})"
        base.raise_origins[name, "applies_if"] = (added.places["raise", name], "applies_if")
    for scale in ("likelihood", "severity"):
        more: entries.Scale | None = getattr(raised, scale)
        if more is None:
            continue
        old: entries.Scale = getattr(hazard, scale)
        for key in ("at_least", "add"):
            first = len(getattr(old, key))
            for number in range(len(getattr(more, key))):
                origin = (added.places["raise", name], f"{scale}.{key}.{number}")
                base.raise_origins[name, f"{scale}.{key}.{first + number}"] = origin
        changes[scale] = entries.Scale(
            least=max(old.least, more.least),
            at_least=(*old.at_least, *more.at_least),
            add=(*old.add, *more.add),
        )
    base.named["hazard"][name] = hazard.model_copy(update=changes)
