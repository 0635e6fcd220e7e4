"""Questions a plan may be given back with: what nobody knows, what stops rest on, what is too old, then the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from riskhelper.acts.context import Context
from riskhelper.acts.job.assessing import assess_job
from riskhelper.assessment.changing import find_out_first
from riskhelper.assessment.result import Assessment
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import APPROVAL


def in_order(context: Context, job: str, choices: Mapping[str, str]) -> dict[str, str]:
    """The questions among the choices in that order, each of the first with why it stands there."""
    state, found = assess_job(context, job, APPROVAL)
    open_ones = find_out_first(found)
    marked = {name: "NOT KNOWN" for name in open_ones if name not in found.aged}
    for name in _under_stops(state.rules, found):
        marked.setdefault(name, "A STOP RESTS ON IT")
    for name in open_ones:
        marked.setdefault(name, "TOO OLD")
    first = {name: f"{mark}: {choices[name]}" for name, mark in marked.items() if name in choices}
    return {**first, **{name: words for name, words in choices.items() if name not in first}}


def _under_stops(rules: RuleSet, found: Assessment) -> Iterator[str]:
    """Questions under the stops that are certain, in the order of the walk."""
    under: set[str] = set()
    for stop in found.stops:
        rule = rules.stop_rules.get(stop.id)
        if stop.holds and rule is not None:
            under.update(rule.named_by)
            under |= rules.support_of(rule.check.node) if rule.check is not None else frozenset()
    return (name for name in rules.questions if name in under)
