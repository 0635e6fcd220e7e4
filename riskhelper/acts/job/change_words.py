"""What would change a stop or a hazard, in words: acts in the world, never other answers."""

from __future__ import annotations

from riskhelper.assessment.changing import Change

INTRO = "Acts in the world, never other answers."


def change_lines(change: Change) -> list[str]:
    """Each way with its acts; where there is none, who can help."""
    lines = [INTRO, ""]
    for number, way in enumerate(change.ways, start=1):
        lines += [f"Way {number}:", *(f"- {act.words}" for act in way), ""]
    if not change.ways:
        lines.append("The rules know no three acts that would change it.")
        lines += [f"Who can help: {change.who}"] if change.who else []
        if change.more_is_missing:
            lines.append("More than three things are missing: another plan or another day may be the way.")
    return lines
