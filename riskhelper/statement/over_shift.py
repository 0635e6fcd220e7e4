"""Work planned longer than one shift: flagged while it is planned, on its papers and to whoever approves."""

from __future__ import annotations

from datetime import datetime

from riskhelper.evidence import Job
from riskhelper.facts.reading import holds
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.document import Block, Border, Notice
from riskhelper.statement.selection import Selection
from riskhelper.terms import APPROVAL, Truth

TITLE = "LONGER THAN ONE SHIFT"
KNOWN = "The work is planned longer than one shift"
NOT_KNOWN = "Nobody knows whether the work ends within one shift"
ASKS = (
    "Plan it within one, or write before approval how plant and work are left at the end of each shift and who takes "
    "over, face to face."
)


def over_shift(rules: RuleSet, job: Job, now: datetime) -> str:
    """That the plan is longer than one shift, or may be; empty where it is not, or the rule set does not say."""
    condition = rules.head.over_shift
    truth = Truth.NO if condition is None else holds(rules, job, condition, APPROVAL, now)
    return {Truth.NO: "", Truth.YES: KNOWN, Truth.CANNOT_TELL: NOT_KNOWN}[truth]


def shift_blocks(selection: Selection) -> tuple[Block, ...]:
    """The flag as it stands on a paper."""
    words = over_shift(selection.rules, selection.job, selection.now)
    return (Notice(TITLE, (f"{words}.", ASKS), Border.DASHED),) if words else ()
