"""An entry of the record in words, as it is said when it can be taken back."""

from __future__ import annotations

from riskhelper.record.entries import ANSWER, LEAVE_OUT, NOTE, PLAN, PROVE, Entry
from riskhelper.ruleset.model import RuleSet


def entry_words(rules: RuleSet, entry: Entry) -> str:
    """An entry of the record as one says it."""
    content, act = entry.draft.content, entry.draft.act
    asked = rules.questions.get(str(content.get("question", "")))
    if act == ANSWER and asked is not None:
        return f"the answer to: {asked.ask}"
    if act == NOTE:
        return "a note" + (f" on: {asked.ask}" if asked is not None else "")
    control = rules.controls.get(str(content.get("control", "")))
    verb = {PLAN: "the plan to use", LEAVE_OUT: "leaving out", PROVE: "the evidence of"}.get(act, act)
    return f"{verb}: {control.do}" if control is not None else f"entry {entry.number}"
