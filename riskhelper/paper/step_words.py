"""The sentences of a step and of a hold point, the same in ink and in plain text."""

from __future__ import annotations

from riskhelper.statement.document import HoldBox, Step
from riskhelper.statement.figures import clause, sentence

_MAYBE = "If it applies (the answers do not tell): "


def step_lines(step: Step) -> tuple[tuple[str, bool], ...]:
    """The sentences of a step, the act first and marked strong; tools in short: the kit has them in full."""
    parts = (
        ("", step.who[:1].upper() + step.who[1:]),
        ("With: ", "; ".join(tool.partition(",")[0] for tool in step.tools)),
        ("Hazards: ", "; ".join(step.hazards)),
        ("Controls: ", "; ".join(step.controls)),
    )
    told = " ".join(f"{label}{sentence(words)}" for label, words in parts if words)
    warned = (("EASILY DONE WRONG: ", step.error_likely), ("Check: ", step.check))
    lines = [((_MAYBE if step.maybe else "") + step.do, True), (told, False)]
    lines += [(" ".join(f"{label}{sentence(words)}" for label, words in warned if words), False)]
    return tuple((words, strong) for words, strong in lines if words)


def hold_head(box: HoldBox) -> tuple[str, ...]:
    """The sentences of a hold point between its title and its checks."""
    return (f"Must be seen: {sentence(box.criterion)}",)


def released_words(box: HoldBox) -> str:
    """Who alone releases a hold point."""
    return f"Released by: {clause(box.released_by)}. Nobody else releases it."


def hold_title(box: HoldBox) -> str:
    """The title line of a hold point."""
    maybe = " (if it applies)" if box.maybe else ""
    return f"HOLD POINT {box.words}{maybe}: nothing moves past this line until it is signed"
