"""What was decided on a plan on the plant's side: by whom, when and why."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.plan.gate import has_register
from riskhelper.permit import course
from riskhelper.record.entries import PERMIT, REHEARSE, Entry
from riskhelper.record.site import told_in
from riskhelper.statement.figures import sentence

SAID: Mapping[str, str] = {
    course.APPROVE: "APPROVED",
    course.RETURN: "GIVEN BACK",
    course.REFUSE: "REFUSED",
}
"""The acts that end the waiting of a plan, and what they are called beside it."""


@dataclass(frozen=True, slots=True)
class Decision:
    """One decision: the act, who did it, when, and the reason written with it; `again` once the plan was asked for
    anew after it."""

    act: str
    by: str
    at: datetime
    reason: str
    again: bool = False

    @property
    def words(self) -> str:
        """The decision in one line."""
        before = "Before it was asked for again: " if self.again else ""
        why = f": {sentence(self.reason)}" if self.reason else "."
        return f"{before}{SAID[self.act]} by {self.by}, {moment_words(self.at)}{why}"


def decision_in(context: Context, entries: Iterable[Entry]) -> Decision | None:
    """The latest decision on the plan of a job among its entries; with a register only a signed one counts."""
    prefix = PERMIT if has_register(context) else REHEARSE
    found: Decision | None = None
    for entry in entries:
        draft = entry.draft
        if not draft.act.startswith(prefix) or (prefix == PERMIT and not draft.signature):
            continue
        name = draft.act.removeprefix(prefix)
        if name in SAID:
            found = Decision(name, draft.who, entry.moment, told_in(entry).get("reason", ""))
        elif name == course.REQUEST and found is not None:
            found = Decision(found.act, found.by, found.at, found.reason, again=True)
    return found


def moment_words(at: datetime) -> str:
    """Day, time and zone, as they stand beside a decision."""
    return f"{at:%d %b %H:%M} {at:%Z}".rstrip()
