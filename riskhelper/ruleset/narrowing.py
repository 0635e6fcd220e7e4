"""What a supplement may tighten of a question: a narrower expectation, a larger error, a stop if it is not known."""

from __future__ import annotations

from typing import Any

from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import Collected, Place
from riskhelper.ruleset.faults import nearest_name


def tighten_questions(base: Collected, added: Collected) -> None:
    """Tightens each question that a supplement names; anything looser is a fault."""
    for name, tighter in added.named["tighten"].items():
        question = base.named["question"].get(name)
        place = added.places["tighten", name]
        if not isinstance(question, entries.QuestionEntry):
            if ("question", name) not in base.broken:
                hint = nearest_name(name, base.named["question"])
                base.faults.append(place.fault("", f"there is no question `{name}`", hint))
            continue
        changes: dict[str, Any] = {}
        if tighter.expect is not None and _may_expect(base, place, question, tighter.expect):
            changes["expect"] = tighter.expect
        if tighter.error is not None and _may_err(base, place, question, tighter.error):
            changes["error"] = tighter.error
        if tighter.not_known_stops:
            if question.not_known_stops:
                message = f"not knowing fires the stop `{question.not_known_stops}` already; it cannot be changed"
                base.faults.append(place.fault("not_known_stops", message))
            elif tighter.not_known_stops not in [*base.names("stop"), *added.names("stop")]:
                hint = nearest_name(tighter.not_known_stops, base.named["stop"])
                message = f"there is no `{tighter.not_known_stops}`"
                base.faults.append(place.fault("not_known_stops", message, hint))
            else:
                changes["not_known_stops"] = tighter.not_known_stops
        base.named["question"][name] = question.model_copy(update=changes)


def _may_expect(base: Collected, place: Place, question: entries.QuestionEntry, expect: Any) -> bool:
    message = _too_wide(question, expect)
    if message:
        base.faults.append(place.fault("expect", message))
    return not message


def _too_wide(question: entries.QuestionEntry, expect: Any) -> str:
    old: Any = question.expect
    if old is None or question.type == "several":
        return "can be narrowed only where the question expects a range or one of several options"
    if question.type == "number":
        if not (isinstance(expect, tuple) and len(expect) == 2 and all(isinstance(end, float) for end in expect)):
            return "a number expects a range of true values, `[low, high]`"
        inside = old[0] <= expect[0] <= expect[1] <= old[1]
        return "" if inside else f"must lie inside {old[0]:g} to {old[1]:g}, which the set expects"
    wider = sorted(str(word) for word in set(_words(expect)) - set(_words(old)))
    return f"may only leave out what the set expects; {', '.join(wider)} is not among it" if wider else ""


def _words(expect: Any) -> tuple[Any, ...]:
    return expect if isinstance(expect, tuple) else (expect,)


def _may_err(base: Collected, place: Place, question: entries.QuestionEntry, error: float) -> bool:
    if question.type != "number" or isinstance(question.error, str) or not question.unit:
        message = "can be enlarged only where a measured number has a fixed error or none"
    elif error >= (question.error or 0.0):
        return True
    else:
        message = f"`{error:g}` is less than the {question.error:g} of the set; only a larger error is stricter"
    base.faults.append(place.fault("error", message))
    return False
