"""How a local code and supplements stand on the base set: they add and tighten, never loosen."""

from __future__ import annotations

from typing import Any

from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import Collected, RaiseEntry
from riskhelper.ruleset.faults import nearest_name

_FIXED = ("matrix", "credit")


def _tightened(base: Collected, kind: str, where: str, name: str, figure: float, source: str, standing: Any) -> None:
    limit = base.named["limit"].get(name)
    if not isinstance(limit, entries.LimitEntry):
        base.fault(
            kind,
            where,
            f"limit.{name}",
            "no such limit in the base set",
            nearest_name(name, base.named["limit"]),
        )
        return
    stricter = figure > limit.is_ if limit.worse == "up" else figure < limit.is_
    if stricter:
        base.named["limit"][name] = limit.model_copy(update={"is_": figure, "source": source, "standing": standing})


def merge_local(base: Collected, local_code: str) -> None:
    """Let the chosen local code tighten limits; check that its tables exist."""
    if not local_code:
        return
    if local_code not in base.locals:
        if ("local", local_code) not in base.places:
            known = ", ".join(sorted(base.locals)) or "none at all"
            base.fault(
                "local",
                local_code,
                "",
                f"there is no such local code; known are {known}",
                nearest_name(local_code, base.locals),
            )
        return
    head, limits = base.locals[local_code]
    for role, name in head.tables.items():
        if name not in base.tables:
            base.fault("local", local_code, role, f"there is no table `{name}`", nearest_name(name, base.tables))
    for name, figure in limits.items():
        _tightened(base, "local", local_code, name, figure.is_, figure.source, figure.standing)


def merge_supplement(base: Collected, added: Collected) -> None:
    """Add a supplement: new entries, tighter limits, further raises. Anything else is a fault."""
    base.faults.extend(added.faults)
    base.places.update({place: parsed for place, parsed in added.places.items() if place not in base.places})
    for kind in _FIXED:
        if kind in added.single:
            added.fault(kind, "", "", "a supplement may not touch the matrix or the credit rules")
    for kind in ("question", "fact", "hazard", "control", "stop"):
        for name, entry in added.named[kind].items():
            if name in base.named[kind]:
                added.fault(kind, name, "", "a supplement may not change an entry of the set it stands on")
            elif kind == "control" and entry.lowers:
                added.fault(kind, name, "lowers", "a supplement may add a control, never credit")
            else:
                base.named[kind][name] = entry
    for name, limit in added.named["limit"].items():
        if name in base.named["limit"]:
            _tightened(base, "limit", name, name, limit.is_, limit.source, limit.standing)
        else:
            base.named["limit"][name] = limit
    for name, raised in added.named["raise"].items():
        _raise(base, added, name, raised)
    base.sources.update({name: source for name, source in added.sources.items() if name not in base.sources})
    base.faults.extend(fault for fault in added.faults if fault not in base.faults)


def _raise(base: Collected, added: Collected, name: str, raised: RaiseEntry) -> None:
    hazard = base.named["hazard"].get(name)
    if not isinstance(hazard, entries.HazardEntry):
        added.fault("raise", name, "", "no such hazard", nearest_name(name, base.named["hazard"]))
        return
    changes: dict[str, entries.Scale] = {}
    for scale in ("likelihood", "severity"):
        more: entries.Scale | None = getattr(raised, scale)
        if more is not None:
            old: entries.Scale = getattr(hazard, scale)
            changes[scale] = entries.Scale(
                least=max(old.least, more.least),
                at_least=(*old.at_least, *more.at_least),
                add=(*old.add, *more.add),
            )
    base.named["hazard"][name] = hazard.model_copy(update=changes)
