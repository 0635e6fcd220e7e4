"""Checks on single entries and the references between them, before conditions are compiled."""

from __future__ import annotations

from collections import Counter

from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.faults import nearest_name
from riskhelper.ruleset.question_checks import check_question
from riskhelper.ruleset.references import check_names, check_source, check_unit
from riskhelper.terms import APPROVAL, GATE, OFFICE, ControlKind

_FIXED_MILESTONES = (OFFICE, GATE, APPROVAL)


def check_entries(found: Collected) -> None:
    """Note every fault of entries and references in `found.faults`."""
    head: entries.RuleSetEntry | None = found.single.get("ruleset")
    points = [point.id for point in head.hold_points] if head else None
    for point, count in Counter(points or ()).items():
        if count > 1 or point in _FIXED_MILESTONES:
            found.fault("ruleset", "", "hold_points", f"`{point}` is named twice or is a fixed milestone")
    for name, question in found.named["question"].items():
        check_question(found, name, question, points)
    for name, fact in found.named["fact"].items():
        _check_fact(found, name, fact)
    for name, limit in found.named["limit"].items():
        check_unit(found, "limit", name, limit.unit)
        check_source(found, "limit", name, limit.source)
        check_names(found, "limit", name, "cases", limit.cases, found.names("case"))
    for name, hazard in found.named["hazard"].items():
        _check_raises(found, name, hazard)
        check_names(found, "hazard", name, "stops", hazard.stops, found.names("stop"))
        check_source(found, "hazard", name, hazard.source)
    for name, control in found.named["control"].items():
        check_names(found, "control", name, "lowers", control.lowers, found.names("hazard"))
        if points is not None:
            known = [*_FIXED_MILESTONES, *points]
            check_names(found, "control", name, "hold_point", [control.hold_point], known)
        _check_control(found, name, control)
    for name, stop in found.named["stop"].items():
        _check_stop(found, name, stop)
    for number, step in enumerate(found.listed["step"], start=1):
        if step is not None:
            _check_step(found, str(number), step, points)
    for number, edge in enumerate(found.listed["edge"], start=1):
        if edge is not None:
            _check_edge(found, str(number), edge)
    for number, turn in enumerate(found.listed["turn"], start=1):
        if turn is not None:
            _check_turn(found, str(number), turn, points)
    if "matrix" in found.single:
        _check_matrix(found, found.single["matrix"])
    if "credit" in found.single:
        _check_credit(found, found.single["credit"])
    for code, (_, limits) in found.locals.items():
        for name, figure in limits.items():
            check_source(found, f"local {code} limit", name, figure.source)
    _check_one_meaning(found)
    for name in [name for kind, name in found.broken if kind == "question"]:
        found.named["question"].pop(name, None)


def _check_one_meaning(found: Collected) -> None:
    facts, limits = found.names("fact"), found.names("limit")
    for name in found.names("question"):
        if name in facts or name in limits:
            found.fault("question", name, "", "is also the name of a fact or limit; a name means one thing")
    for name in facts:
        if name in limits:
            found.fault("fact", name, "", "is also the name of a limit; a name means one thing")


def _check_fact(found: Collected, name: str, fact: entries.FactEntry) -> None:
    ways = [key for key, way in (("is", fact.is_), ("table", fact.table), ("calc", fact.calc)) if way is not None]
    if len(ways) != 1:
        key = ways[1] if ways else ""
        found.fault("fact", name, key, "a fact has exactly one of `is`, `table` and `calc`")
        found.broken.add(("fact", name))
    if fact.from_ and fact.calc is None:
        found.fault("fact", name, "from", "belongs to `calc`")
    if fact.unit:
        check_unit(found, "fact", name, fact.unit)
    if fact.resolution is not None and fact.resolution <= 0:
        found.fault("fact", name, "resolution", "must be above 0")
    check_source(found, "fact", name, fact.source)


def _check_raises(found: Collected, name: str, hazard: entries.HazardEntry) -> None:
    for key in ("likelihood", "severity"):
        scale: entries.Scale = getattr(hazard, key)
        raises: list[tuple[str, entries.AtLeast | entries.Add]] = []
        raises += [(f"{key}.at_least.{number}", one) for number, one in enumerate(scale.at_least)]
        raises += [(f"{key}.add.{number}", one) for number, one in enumerate(scale.add)]
        for at, one in raises:
            if (one.if_ is None) == (one.unless is None):
                message = f"`{one.because}` needs exactly one of `if` and `unless`"
                found.fault("hazard", name, f"{at}.if", message)


def _check_control(found: Collected, name: str, control: entries.ControlEntry) -> None:
    check_source(found, "control", name, control.source)
    if not control.evidence:
        found.fault("control", name, "evidence", "a control names what will prove it")
    for hazard, credit in control.lowers.items():
        if control.kind is ControlKind.ADMINISTRATIVE and credit.severity:
            found.fault("control", name, f"lowers.{hazard}", "administrative controls lower likelihood only")
        if control.kind is ControlKind.PPE and credit.likelihood:
            found.fault("control", name, f"lowers.{hazard}", "PPE lowers severity only")


def _check_stop(found: Collected, name: str, stop: entries.StopEntry) -> None:
    check_source(found, "stop", name, stop.source)
    named = any(q.not_known_stops == name for q in found.named["question"].values())
    named = named or any(kind == "question" for kind, _ in found.broken)  # who knows what those name
    written = {"stops_if": stop.stops_if, "stops_unless": stop.stops_unless, "fires_on": stop.fires_on}
    conditions = [key for key, condition in written.items() if condition is not None]
    if len(conditions) > 1 or (not conditions and not named):
        message = "needs exactly one of `stops_if`, `stops_unless` and `fires_on`"
        if not conditions:
            message += ", or a question whose `not_known_stops` names it"
        found.fault("stop", name, conditions[1] if conditions else "", message)
    if bool(stop.lifted_by) == bool(stop.ruled_by):
        key = "ruled_by" if stop.ruled_by else ""
        found.fault("stop", name, key, "needs exactly one of `lifted_by` (a limit) and `ruled_by` (a decision)")
    if stop.fires_on and stop.ruled_by:
        found.fault("stop", name, "ruled_by", "a stop that fires on a rating is a limit; nobody can rule it away")


def _check_step(found: Collected, number: str, step: entries.StepEntry, points: list[str] | None) -> None:
    if points is not None and step.hold_point:
        check_names(found, "step", number, "hold_point", [step.hold_point], points)
    check_names(found, "step", number, "controls", step.controls, found.names("control"))
    check_names(found, "step", number, "hazards", step.hazards, found.names("hazard"))
    if step.error_likely and not step.check:
        found.fault("step", number, "check", "is missing; a step where people slip needs an independent check")


def _check_edge(found: Collected, number: str, edge: entries.EdgeEntry) -> None:
    check_names(found, "edge", number, "hazard", [edge.hazard], found.names("hazard"))
    check_names(found, "edge", number, "stop", [edge.stop] if edge.stop else [], found.names("stop"))
    check_names(found, "edge", number, "given", edge.given, found.names("question"))
    check_names(found, "edge", number, "vary", [edge.vary], found.names("question"))
    check_names(found, "edge", number, "local", [edge.local], found.locals)
    for place, row in enumerate(edge.rows):
        if len(row) not in (1, 3, 4):
            message = (
                "is `[value, likelihood, severity]`, with whether the stop fires where one is named, or `[value]`"
            )
            found.fault("edge", number, f"rows.{place}", message)


def _check_turn(found: Collected, number: str, turn: entries.TurnEntry, points: list[str] | None) -> None:
    check_names(found, "turn", number, "stop", [turn.stop], found.names("stop"))
    check_names(found, "turn", number, "given", turn.given, found.names("question"))
    check_names(found, "turn", number, "vary", [turn.vary], found.names("question"))
    check_names(found, "turn", number, "local", [turn.local], found.locals)
    if points is not None:
        check_names(found, "turn", number, "at", [turn.at], [OFFICE, GATE, *points])


def _check_matrix(found: Collected, matrix: entries.MatrixEntry) -> None:
    tops = [band.up_to for band in matrix.bands]
    if not tops or tops != sorted(set(tops)) or tops[-1] != 25:
        words = ", ".join(str(top) for top in tops)
        message = f"`up_to` must rise from band to band and the last must be 25; it goes {words}"
        found.fault("matrix", "", "bands", message)
    ranks = {"none": 0, "conditions": 1, "stop": 2}
    verdicts = [ranks[band.verdict] for band in matrix.bands]
    if verdicts != sorted(verdicts):
        found.fault("matrix", "", "bands", "a higher band may not have a milder verdict")
    for band, count in Counter(band.id for band in matrix.bands).items():
        if count > 1:
            found.fault("matrix", "", "bands", f"`{band}` is the id of two bands")


def _check_credit(found: Collected, credit: entries.CreditRules) -> None:
    if "matrix" in found.single:
        bands = [band.id for band in found.single["matrix"].bands]
        if credit.serious_from not in bands:
            hint = nearest_name(credit.serious_from, bands)
            found.fault("credit", "", "serious_from", f"there is no band `{credit.serious_from}`", hint)
    missing = [kind.value for kind in ControlKind if kind not in credit.most]
    if missing:
        found.fault("credit", "", "most", f"lacks {', '.join(missing)}; each kind of control needs its most")
