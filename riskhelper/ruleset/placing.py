"""Hold points and steps that a supplement adds: each behind a hold point of the set it stands on."""

from __future__ import annotations

from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import Collected, Place
from riskhelper.ruleset.faults import nearest_name


def add_hold_points(base: Collected, added: Collected) -> None:
    """Puts each hold point of a supplement behind the one it names: all others keep their order."""
    for number, point in enumerate(added.listed["hold_point"], start=1):
        head = base.single.get("ruleset")
        if point is None or not isinstance(head, entries.RuleSetEntry):
            continue
        ids = [one.id for one in head.hold_points]
        place = added.places["hold_point", str(number)]
        if point.after not in ids:
            message, hint = f"there is no hold point `{point.after}` in the set", nearest_name(point.after, ids)
            base.faults.append(place.fault("after", message, hint))
            continue
        if point.id in ids:
            base.faults.append(place.fault("id", "a supplement may not change a hold point of the set it stands on"))
            continue
        keys = entries.HoldPointEntry.model_fields
        plain = entries.HoldPointEntry.model_construct(**{key: getattr(point, key) for key in keys})
        where = ids.index(point.after) + 1
        points = (*head.hold_points[:where], plain, *head.hold_points[where:])
        base.single["ruleset"] = head.model_copy(update={"hold_points": points})
        base.added_points[point.id] = place


def add_steps(base: Collected, added: Collected) -> None:
    """Puts each step of a supplement behind the last step that waits at the hold point it names."""
    for number, step in enumerate(added.listed["step"], start=1):
        place = added.places["step", str(number)]
        if step is None:
            continue
        waiting = [n for n, one in enumerate(base.listed["step"]) if one is not None and one.hold_point == step.after]
        if not step.after or not waiting:
            known = list(dict.fromkeys(one.hold_point for one in base.listed["step"] if one and one.hold_point))
            message = (
                f"no step of the set waits at `{step.after}`"
                if step.after
                else "is missing; a step of a supplement names the hold point it stands behind"
            )
            base.faults.append(place.fault("after", message, nearest_name(step.after, known)))
            continue
        _insert(base, waiting[-1] + 1, step, place)


def _insert(base: Collected, where: int, step: entries.StepEntry, place: Place) -> None:
    steps = base.listed["step"]
    places = [base.places["step", str(n)] for n in range(1, len(steps) + 1)]
    steps.insert(where, step)
    places.insert(where, place)
    for n, one in enumerate(places, start=1):
        base.places["step", str(n)] = one


def check_placed(found: Collected) -> None:
    """Note hold points and steps of the base set that are written as a supplement writes them."""
    for number in range(1, len(found.listed["hold_point"]) + 1):
        message = "belongs into a supplement; in the base set hold points stand in [ruleset], in order"
        found.fault("hold_point", str(number), "", message)
    for number, step in enumerate(found.listed["step"], start=1):
        if step is not None and step.after:
            message = "belongs into a supplement; in the base set steps stand in the order of the work"
            found.fault("step", str(number), "after", message)
