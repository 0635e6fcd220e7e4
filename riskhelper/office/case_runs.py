"""Runs the worked cases and edges of a rule set: which of them do not give what they say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment
from riskhelper.assessment.stops import found_stop
from riskhelper.evidence import Job
from riskhelper.facts import Reading
from riskhelper.office.looks import MOMENT, hazard_look
from riskhelper.review.cases import case_job, varied_job
from riskhelper.ruleset.entries import CaseEntry, EdgeEntry, TurnEntry
from riskhelper.ruleset.model import RuleSet


@dataclass(frozen=True, slots=True)
class CaseRun:
    """How many worked cases and rows of edges were run, and what failed, in words."""

    cases: int
    rows: int
    failing: tuple[str, ...]

    @property
    def words(self) -> str:
        """The outcome in one line."""
        cases, rows = ("" if n == 1 else "s" for n in (self.cases, self.rows))
        told = f"{self.cases} worked case{cases} and {self.rows} row{rows} at limits run"
        return f"{told}, {len(self.failing)} do not hold" if self.failing else f"{told}, all hold"


def run_cases(codes: Mapping[str, RuleSet]) -> CaseRun:
    """Every worked case and edge of a set, each under its own local code."""
    cases = rows = 0
    failing: list[str] = []
    for code, rules in codes.items():
        for name, case in rules.cases.items():
            if case.local == code:
                cases += 1
                shown = assess(rules, case_job(rules, case), case.at, MOMENT)
                failing += [f"{name}: {words}" for words in _misses(case, shown)]
        for edge in rules.edges:
            if edge.local == code:
                rows += len(edge.rows)
                failing += [f"{edge.name}: {words}" for words in _off_the_edge(rules, edge)]
        for turn in rules.turns:
            if turn.local == code:
                rows += 1 + len(turn.fires) + len(turn.silent)
                failing += [f"turn of {turn.stop}: {words}" for words in _off_the_turn(rules, turn)]
    return CaseRun(cases, rows, tuple(failing))


def _misses(case: CaseEntry, shown: Assessment) -> Iterator[str]:
    found: dict[str, Any] = {
        "verdict": shown.verdict.words,
        "stops": sorted(stop.id for stop in shown.stops),
        "conditions": [one.hold_point for one in shown.conditions if one.kind == "pending"],
        "worst": [
            {
                "id": one.id,
                "found": [one.as_found.likelihood, one.as_found.severity],
                "planned": [one.as_planned.likelihood, one.as_planned.severity],
            }
            for one in shown.worst
        ],
    }
    for key, got in found.items():
        if key in case.expect:
            wanted: Any = case.expect[key]
            wanted = sorted(wanted) if key == "stops" else wanted
            if got != (list(wanted) if isinstance(wanted, tuple) else wanted):
                yield f"{key} should be {_told(wanted)}, came out as {_told(got)}"


def _told(value: Any) -> str:
    if isinstance(value, str):
        return value
    return ", ".join(str(one["id"]) if isinstance(one, dict) else str(one) for one in value) or "none"


def _off_the_edge(rules: RuleSet, edge: EdgeEntry) -> Iterator[str]:
    look = hazard_look(edge.hazard).quick
    assert look is not None
    for row in edge.rows:
        job = varied_job(rules, edge, row[0])
        in_play, *levels = look(rules, job, edge.at)
        got: list[Any] = [*levels] if in_play else []
        if in_play and edge.stop and len(row) > 3:
            got.append(_fires(rules, job, edge.at, edge.stop))
        if got != list(row[1:]):
            yield f"at {row[0]} should give {list(row[1:])}, gives {got}"


def _off_the_turn(rules: RuleSet, turn: TurnEntry) -> Iterator[str]:
    wanted = [*((value, True) for value in turn.fires), *((value, False) for value in turn.silent)]
    for value, fires in [*wanted, (None, turn.not_known == "fires")]:
        if _fires(rules, varied_job(rules, turn, value), turn.at, turn.stop) is not fires:
            said = "not known" if value is None else value
            yield f"{turn.vary} {said} should {'fire it' if fires else 'leave it silent'}"


def _fires(rules: RuleSet, job: Job, milestone: str, stop: str) -> bool:
    reading = Reading(rules, job, milestone, MOMENT, if_held=True)
    return found_stop(stop, rules.stop_rules[stop], reading) is not None
