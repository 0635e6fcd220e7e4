"""Checks on single entries and the references between them, before conditions are compiled."""

from __future__ import annotations

from collections.abc import Iterable

from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.faults import nearest_name
from riskhelper.terms import APPROVAL, GATE, OFFICE, ControlKind
from riskhelper.units import UNITS

SUFFIX_UNITS = {
    "m": "m",
    "mm": "mm",
    "kg": "kg",
    "kpa": "kPa",
    "c": "degC",
    "l": "L",
    "ms": "m/s",
    "kv": "kV",
    "v": "V",
    "a": "A",
    "mm2": "mm2",
    "h": "h",
    "min": "min",
    "deg": "deg",
    "pct": "%",
    "j": "J",
}


def check_entries(found: Collected) -> None:
    """Note every fault of entries and references in `found.faults`."""
    head: entries.RuleSetEntry = found.single["ruleset"]
    points = [point.id for point in head.hold_points]
    _check_order(found, points)
    for name, question in found.named["question"].items():
        _check_question(found, name, question, points)
    for name, fact in found.named["fact"].items():
        _check_fact(found, name, fact)
    for name, limit in found.named["limit"].items():
        _check_unit(found, "limit", name, limit.unit)
        _check_source(found, "limit", name, limit.source)
    for name, hazard in found.named["hazard"].items():
        _check_raises(found, name, hazard)
        _refer(found, "hazard", name, "stops", hazard.stops, found.named["stop"])
        _check_source(found, "hazard", name, hazard.source)
    for name, control in found.named["control"].items():
        _refer(found, "control", name, "lowers", control.lowers, found.named["hazard"])
        _refer(found, "control", name, "hold_point", [control.hold_point], [OFFICE, GATE, APPROVAL, *points])
        _check_control(found, name, control)
    for name, stop in found.named["stop"].items():
        _check_stop(found, name, stop)
    for number, step in enumerate(found.listed["step"], start=1):
        if step is not None:
            _refer(found, "step", str(number), "hold_point", [step.hold_point] if step.hold_point else [], points)
            _refer(found, "step", str(number), "controls", step.controls, found.named["control"])
            _refer(found, "step", str(number), "hazards", step.hazards, found.named["hazard"])
            if step.error_likely and not step.check:
                found.fault("step", str(number), "check", "a step where people slip needs an independent check")
    _check_matrix(found, found.single["matrix"], found.single["credit"])
    for name in set(found.named["question"]) & (set(found.named["fact"]) | set(found.named["limit"])):
        found.fault("question", name, "", "is also the name of a fact or limit; a name means one thing")
    for name in set(found.named["fact"]) & set(found.named["limit"]):
        found.fault("fact", name, "", "is also the name of a limit; a name means one thing")


def _refer(found: Collected, kind: str, name: str, key: str, wanted: Iterable[str], known: Iterable[str]) -> None:
    names = list(known)
    for one in wanted:
        if one not in names:
            found.fault(kind, name, key, f"there is no `{one}`", nearest_name(one, names))


def _check_order(found: Collected, points: list[str]) -> None:
    for point in points:
        if points.count(point) > 1 or point in (OFFICE, GATE, APPROVAL):
            found.fault("ruleset", "", "hold_points", f"`{point}` is named twice or is a fixed milestone")


def _check_unit(found: Collected, kind: str, name: str, unit: str) -> None:
    if unit not in UNITS:
        found.fault(kind, name, "unit", f"`{unit}` is no unit this program knows", nearest_name(unit, UNITS))
        return
    suffix = name.rpartition("_")[2]
    wanted = (
        "L/s" if name.endswith("_l_per_s") else SUFFIX_UNITS.get(suffix) if "_" in name.rpartition(".")[2] else None
    )
    if wanted is not None and unit != wanted:
        found.fault(kind, name, "unit", f"is `{unit}` but the name ends in `_{suffix}`, which says `{wanted}`")


def _check_source(found: Collected, kind: str, name: str, source: str) -> None:
    if source in ("common practice", "ours", ""):
        return
    for one in (part.strip() for part in source.split(",")):
        if one not in found.sources and one != "common practice":
            found.fault(kind, name, "source", f"`{one}` is not in sources.toml", nearest_name(one, found.sources))


def _check_question(found: Collected, name: str, question: entries.QuestionEntry, points: list[str]) -> None:
    def fault(key: str, message: str) -> None:
        found.fault("question", name, key, message)

    _refer(found, "question", name, "asked_at", [question.asked_at], [OFFICE, GATE, *points])
    _check_source(found, "question", name, question.source)
    if question.type in ("choice", "several") and len(question.options) < 2:
        fault("options", "a choice needs at least two options")
    if question.type == "yes_no" and set(question.options) != {"yes", "no"}:
        fault("options", "a yes-or-no question has the two options `yes` and `no`, each with its sentence")
    for option in question.options:
        if option in ("dont_know", "dk", "unknown", "not_known"):
            fault("options", f"`{option}`: not knowing is a key everywhere, never an option")
    if question.alone and (question.type != "several" or not set(question.alone) <= set(question.options)):
        fault("alone", "names options of a question with several answers")
    if question.type == "number":
        _check_number(found, name, question)
    elif question.range is not None or question.step is not None:
        fault("range", "only a number has a range and a step")
    if question.asked_at in points and question.type != "text" and question.expect is None and not question.expect_as:
        fault("expect", "is missing; a question at a hold point says what the plan counts on")
    if question.expect_as:
        _refer(found, "question", name, "expect_as", [question.expect_as], found.named["question"])
    _check_expect(found, name, question)
    if question.not_known_stops:
        _refer(found, "question", name, "not_known_stops", [question.not_known_stops], found.named["stop"])
    if question.is_control and question.asked_at not in points:
        fault(
            "is_control",
            "an answer that describes a control is asked at a hold point, where a named person releases it",
        )
    if question.early and question.asked_at not in points:
        fault("early", "only a question of a hold point can be answered early")


def _check_number(found: Collected, name: str, question: entries.QuestionEntry) -> None:
    def fault(key: str, message: str) -> None:
        found.fault("question", name, key, message)

    if question.range is None or question.step is None or question.step <= 0:
        fault("range", "a number needs `range = [low, high]` and a `step` above 0")
        return
    _check_unit(found, "question", name, question.unit)
    low, high = question.range
    if not low < high:
        fault("range", "the first number must be below the second")
    for key, span in (
        ("usual", question.usual),
        ("if_not_known", question.if_not_known and question.if_not_known.range),
    ):
        if span and not (low <= span[0] <= span[1] <= high):
            fault(key, f"must lie inside the accepted range {low:g} to {high:g}")


def _check_expect(found: Collected, name: str, question: entries.QuestionEntry) -> None:
    expect = question.expect
    if expect is None:
        return
    if question.type == "number":
        numbers = isinstance(expect, tuple) and len(expect) == 2 and all(isinstance(x, float | int) for x in expect)
        if not numbers or not float(expect[0]) <= float(expect[1]):  # type: ignore[index]
            found.fault("question", name, "expect", "a number expects a range of true values, `[low, high]`")
        return
    for word in (expect,) if isinstance(expect, str) else expect if isinstance(expect, tuple) else (str(expect),):
        if str(word) not in question.options:
            found.fault(
                "question",
                name,
                "expect",
                f"`{word}` is no option",
                nearest_name(str(word), question.options),
            )


def _check_fact(found: Collected, name: str, fact: entries.FactEntry) -> None:
    ways = [way for way in (fact.is_, fact.table, fact.calc) if way is not None]
    if len(ways) != 1:
        found.fault("fact", name, "is", "a fact has exactly one of `is`, `table` and `calc`")
    if fact.from_ and fact.calc is None:
        found.fault("fact", name, "from", "belongs to `calc`")
    if fact.unit:
        _check_unit(found, "fact", name, fact.unit)
    if fact.resolution is not None and fact.resolution <= 0:
        found.fault("fact", name, "resolution", "must be above 0")
    _check_source(found, "fact", name, fact.source)


def _check_raises(found: Collected, name: str, hazard: entries.HazardEntry) -> None:
    for key in ("likelihood", "severity"):
        scale: entries.Scale = getattr(hazard, key)
        raises: list[entries.AtLeast | entries.Add] = [*scale.at_least, *scale.add]
        for one in raises:
            if (one.if_ is None) == (one.unless is None):
                found.fault("hazard", name, key, f"`{one.because}` needs exactly one of `if` and `unless`")


def _check_control(found: Collected, name: str, control: entries.ControlEntry) -> None:
    if not control.evidence:
        found.fault("control", name, "evidence", "a control names what will prove it")
    for hazard, credit in control.lowers.items():
        if control.kind is ControlKind.ADMINISTRATIVE and credit.severity:
            found.fault("control", name, f"lowers.{hazard}", "administrative controls lower likelihood only")
        if control.kind is ControlKind.PPE and credit.likelihood:
            found.fault("control", name, f"lowers.{hazard}", "PPE lowers severity only")


def _check_stop(found: Collected, name: str, stop: entries.StopEntry) -> None:
    _check_source(found, "stop", name, stop.source)
    named = any(q.not_known_stops == name for q in found.named["question"].values())
    conditions = [c for c in (stop.stops_if, stop.stops_unless, stop.fires_on) if c is not None]
    if len(conditions) > 1 or (not conditions and not named):
        found.fault("stop", name, "stops_if", "needs exactly one of `stops_if`, `stops_unless` and `fires_on`")
    if bool(stop.lifted_by) == bool(stop.ruled_by):
        found.fault(
            "stop",
            name,
            "lifted_by",
            "needs exactly one of `lifted_by` (a limit) and `ruled_by` (a decision)",
        )
    if stop.fires_on and stop.ruled_by:
        found.fault("stop", name, "ruled_by", "a stop that fires on a rating is a limit; nobody can rule it away")


def _check_matrix(found: Collected, matrix: entries.MatrixEntry, credit: entries.CreditRules) -> None:
    tops = [band.up_to for band in matrix.bands]
    if not tops or tops != sorted(set(tops)) or tops[-1] != 25:
        found.fault("matrix", "", "bands", "`up_to` must rise from band to band and the last must be 25")
    ranks = {"none": 0, "conditions": 1, "stop": 2}
    verdicts = [ranks[band.verdict] for band in matrix.bands]
    if verdicts != sorted(verdicts):
        found.fault("matrix", "", "bands", "a higher band may not have a milder verdict")
    bands = [band.id for band in matrix.bands]
    if credit.serious_from not in bands:
        found.fault(
            "credit",
            "",
            "serious_from",
            f"there is no band `{credit.serious_from}`",
            nearest_name(credit.serious_from, bands),
        )
    if len(credit.most) != 5:
        found.fault("credit", "", "most", "needs a figure for each of the five kinds of control")
