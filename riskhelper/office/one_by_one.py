"""Jobs that columns leave to the ordinary assessment: a calculation could not be carried out for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from riskhelper.assessment.assess import assess
from riskhelper.assessment.hazards import HazardRater
from riskhelper.facts import Reading
from riskhelper.office.answer_columns import PastJob, fitted
from riskhelper.office.judging import OUT_OF_PLAY, Judged, Levels
from riskhelper.ruleset.model import RuleSet


def mended(rules: RuleSet, jobs: Sequence[PastJob], milestone: str, found: Judged) -> Judged:
    """The outcomes with the broken rows filled in from the ordinary assessment."""
    if not np.any(found.broken):
        return found
    rows = np.flatnonzero(np.broadcast_to(found.broken, found.count)).tolist()
    verdict = found.verdict.copy()
    stops: dict[str, NDArray[np.bool_]] = {}
    for name in rules.stop_rules:
        stops[name] = np.broadcast_to(found.stops.get(name, np.False_), found.count).copy()
        stops[name][rows] = False
    counted = {name: _cleared(column.band, found.count, rows) for name, column in found.hazards.items()}
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
        for name, band in counted.items():
            rated = None if name in broken else rater.rate(name, rules.hazard_rules[name])
            if rated is not None:
                band[row] = bands.index(rated.counted.band)
    hazards = {name: replace(column, band=counted[name]) for name, column in found.hazards.items()}
    return replace(found, verdict=verdict, stops=dict(stops), hazards=hazards)


def _cleared(bands: Levels, count: int, rows: list[int]) -> NDArray[np.int8]:
    band = np.broadcast_to(bands, count).copy()
    band[rows] = OUT_OF_PLAY
    return band
