"""The sentences of a step and of a hold point, the same in ink and in plain text."""

from __future__ import annotations

from riskhelper.statement.document import HoldBox, Step

_MAYBE = "If it applies (the answers do not tell): "


def step_lines(step: Step) -> tuple[tuple[str, bool], ...]:
    """The sentences of a step, the act itself first and marked strong."""
    parts = (
        ("Who: ", step.who),
        ("With: ", "; ".join(step.tools)),
        ("Hazards: ", "; ".join(step.hazards)),
        ("Controls: ", "; ".join(step.controls)),
    )
    told = " ".join(f"{label}{words}." for label, words in parts if words)
    lines = [((_MAYBE if step.maybe else "") + step.do, True), (told, False)]
    details = (
        ("EASILY DONE WRONG: ", step.error_likely),
        ("Check by a second person: ", step.check),
    )
    lines += [(label + words, False) for label, words in details if words]
    return tuple(lines)


def hold_lines(box: HoldBox) -> tuple[str, ...]:
    """The sentences of a hold point below its title."""
    due = ("To be true here:", *(f"– {words}" for words in box.due)) if box.due else ()
    return (f"Must be seen: {box.criterion}", *due, f"Released by: {box.released_by}. Nobody else releases it.")


def hold_title(box: HoldBox) -> str:
    """The title line of a hold point."""
    maybe = " (if it applies)" if box.maybe else ""
    return f"HOLD POINT {box.words}{maybe}: nothing moves past this line until it is signed"
