"""Jobs that columns leave to the ordinary assessment: a calculation could not be carried out for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from riskhelper.assessment.assess import assess
from riskhelper.assessment.hazards import HazardRater
from riskhelper.facts import Reading
from riskhelper.office.answer_columns import Flags, PastJob, fitted
from riskhelper.office.judging import OUT_OF_PLAY, HazardColumn, Judged
from riskhelper.ruleset.model import RuleSet


def mended(rules: RuleSet, jobs: Sequence[PastJob], milestone: str, found: Judged) -> Judged:
    """The outcomes with the broken rows filled in from the ordinary assessment."""
    if not np.any(found.broken):
        return found
    rows = np.flatnonzero(np.broadcast_to(found.broken, found.count)).tolist()
    verdict = found.verdict.copy()
    stops: dict[str, Flags] = {}
    for name in rules.stop_rules:
        column = np.broadcast_to(found.stops.get(name, np.False_), found.count).copy()
        column[rows] = False
        stops[name] = column
    hazards = {name: _cleared(column, found.count, rows) for name, column in found.hazards.items()}
    bands = [band.id for band in rules.matrix.bands]
    for row in rows:
        job, moment = fitted(rules, jobs[row].job), jobs[row].moment
        shown = assess(rules, job, milestone, moment)
        verdict[row] = shown.verdict
        for stop in shown.stops:
            if stop.id in stops:
                stops[stop.id][row] = True
        held = Reading(rules, job, milestone, moment, if_held=bool(shown.pending))
        rater = HazardRater(
            rules, job, rules.positions[milestone], held, Reading(rules, job, milestone, moment, if_held=False)
        )
        broken = {defect.entry for defect in shown.defects}
        for name, column in hazards.items():
            rated = None if name in broken else rater.rate(name, rules.hazard_rules[name])
            if rated is not None:
                column.band[row] = bands.index(rated.counted.band)
    return replace(found, verdict=verdict, stops=stops, hazards=hazards)


def _cleared(column: HazardColumn, count: int, rows: list[int]) -> HazardColumn:
    band = np.broadcast_to(column.band, count).copy()
    band[rows] = OUT_OF_PLAY
    return replace(column, band=band)
