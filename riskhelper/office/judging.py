"""Verdict, bands and stops of many jobs at once, as the ordinary assessment gives them one by one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from riskhelper.assessment.credit import STRONG
from riskhelper.office.answer_columns import Flags, JobColumns, uniform
from riskhelper.office.column_reading import ColumnReading
from riskhelper.office.figures_kept import KeptFigures
from riskhelper.ruleset.model import HazardRule, Raise, RuleSet
from riskhelper.terms import ControlKind, Verdict

Levels = NDArray[np.int8] | np.int8
OUT_OF_PLAY = -1


@dataclass(frozen=True, slots=True)
class HazardColumn:
    """A hazard in many jobs: levels as found, and the band that counts.

    The band is `OUT_OF_PLAY` where the hazard surely does not apply. `fired` holds for each raising entry, by its
    place in the file, the rows in which it holds or cannot be ruled out.
    """

    likelihood: Levels
    severity: Levels
    band: Levels
    fired: Mapping[str, Flags]


@dataclass(frozen=True)
class Judged:
    """Outcomes of many jobs. `broken` marks rows that are left to the ordinary assessment."""

    count: int
    verdict: NDArray[np.int8]
    hazards: Mapping[str, HazardColumn]
    stops: Mapping[str, Flags]
    broken: Flags


def judged(rules: RuleSet, columns: JobColumns, milestone: str, figures: KeptFigures) -> Judged:
    """The outcomes of the jobs in these columns at a milestone."""
    figures.broken = np.False_
    judge = _Judge(rules, columns, milestone, figures)
    hazards = dict(judge.hazards())
    stops, stopping = judge.stops(hazards)
    conditions = judge.conditions(hazards)
    verdict = np.where(stopping, np.int8(Verdict.STOP), np.where(conditions, np.int8(Verdict.CONDITIONS), np.int8(0)))
    return Judged(columns.count, np.broadcast_to(verdict, columns.count), hazards, stops, figures.broken)


class _Judge:
    def __init__(self, rules: RuleSet, columns: JobColumns, milestone: str, figures: KeptFigures) -> None:
        self.rules = rules
        self.columns = columns
        self.position = rules.positions[milestone]
        self.present = ColumnReading(rules, columns, milestone, figures, if_held=False)
        pending = [self.present.pending(name) for name in rules.questions]
        self.pending = _any(pending)
        # With nothing pending there is nothing to expect: both readings are one.
        self.held = (
            ColumnReading(rules, columns, milestone, figures, if_held=True) if np.any(self.pending) else self.present
        )
        self.ruled: Flags = np.False_
        self.verdicts = [band.verdict for band in rules.matrix.bands]
        self.band_of = np.array([rules.matrix.bands.index(band) for band in rules.band_of], dtype=np.int8)
        self.unplanned: dict[str, Flags] = {}

    # -- hazards

    def hazards(self) -> Iterator[tuple[str, HazardColumn]]:
        for name, rule in self.rules.hazard_rules.items():
            applies = uniform(self.held.possibly(rule.applies.node))
            if not np.any(applies):
                continue
            fired = {one.at: self.held.possibly(one.check.node) for one in (*rule.likelihood, *rule.severity)}
            likelihood = _level(rule.entry.likelihood.least, rule.likelihood, fired)
            severity = _level(rule.entry.severity.least, rule.severity, fired)
            band = self._band(name, rule, likelihood, severity)
            if isinstance(applies, np.ndarray):
                band = np.where(applies, band, np.int8(OUT_OF_PLAY))
            yield name, HazardColumn(likelihood, severity, band, fired)

    def _band(self, name: str, rule: HazardRule, likelihood: Levels, severity: Levels) -> Levels:
        counted = dict(self._counted(name, rule))
        as_found = self.band_of[likelihood * severity]
        if not counted:
            return as_found  # type: ignore[no-any-return]
        credit: dict[tuple[ControlKind, str], Any] = {}
        for control, counts in counted.items():
            entry = self.rules.controls[control]
            lowers = entry.lowers[name]
            for scale, most in (("likelihood", lowers.likelihood), ("severity", lowers.severity)):
                if most:
                    credit[entry.kind, scale] = credit.get((entry.kind, scale), np.int8(0)) + counts * np.int8(most)

        def sum_of(kinds: tuple[ControlKind, ...], scale: str) -> Any:
            return sum(
                (
                    np.minimum(credit[kind, scale], np.int8(self.rules.credit.most[kind]))
                    for kind in kinds
                    if (kind, scale) in credit
                ),
                start=np.int8(0),
            )

        strong_l = np.maximum(np.int8(1), likelihood - sum_of(STRONG, "likelihood"))
        strong_s = np.maximum(np.int8(1), severity - sum_of(STRONG, "severity"))
        left_l = np.maximum(np.int8(1), strong_l - sum_of((ControlKind.ADMINISTRATIVE,), "likelihood"))
        left_s = np.maximum(np.int8(1), strong_s - sum_of((ControlKind.PPE,), "severity"))
        reached = self.band_of[left_l * left_s]
        if rule.entry.administrative_accepted:
            return reached  # type: ignore[no-any-return]
        serious = next(
            n for n, band in enumerate(self.rules.matrix.bands) if band.id == self.rules.credit.serious_from
        )
        strong = strong_l * strong_s
        weak = np.maximum(np.int8(0), self.band_of[strong] - np.int8(self.rules.credit.weak_bands))
        floor = np.where(strong < likelihood * severity, weak, as_found)
        return np.where(as_found >= serious, np.maximum(reached, floor), reached)  # type: ignore[no-any-return]

    def _counted(self, name: str, rule: HazardRule) -> Iterator[tuple[str, Flags]]:
        """Controls whose credit counts: proved, or promised and not yet overdue; one for each proof."""
        usable: dict[str, Flags] = {}
        listed: list[Flags] = []
        for control in self.rules.controls_of.get(name, ()):
            planned, proved = self.columns.planned[control], self.columns.proved[control]
            if not np.any(planned) and not np.any(proved):
                continue
            use = self._usable(control, rule)
            listed.append(use & (planned | proved))
            reached = self.rules.positions[self.rules.controls[control].hold_point] <= self.position
            usable[control] = use & (proved if reached else proved | planned)
        self.unplanned[name] = ~_any(listed)
        for control, counts in usable.items():
            yield control, counts & ~self._outdone(control, usable, name)

    def _usable(self, control: str, rule: HazardRule) -> Any:
        use = self.held.surely(self.rules.control_checks[control].node)
        if self.rules.controls[control].kind is ControlKind.PPE and rule.no_ppe_credit is not None:
            use = use & ~self.held.possibly(rule.no_ppe_credit.node)
        return use

    def _outdone(self, control: str, usable: Mapping[str, Flags], hazard: str) -> Flags:
        """Rows in which another control rests on the same entry and gives more, or as much and stands first."""
        entries = self.columns.entries.get(control)
        if entries is None:
            return np.False_
        order, found = list(usable), []
        for other in order:
            others = self.columns.entries.get(other)
            if other == control or others is None:
                continue
            more = self._worth(other, hazard) - self._worth(control, hazard)
            if more > 0 or (more == 0 and order.index(other) < order.index(control)):
                found.append((entries == others) & (entries >= 0) & usable[other])
        return _any(found)

    def _worth(self, control: str, hazard: str) -> int:
        credit = self.rules.controls[control].lowers[hazard]
        return credit.likelihood + credit.severity

    # -- stops and conditions

    def stops(self, hazards: Mapping[str, HazardColumn]) -> tuple[dict[str, Flags], Flags]:
        """Stops that stand, and rows in which any does; stops that were ruled are remembered."""
        causes = dict(self._causes(hazards))
        unacceptable = self._in_bands(hazards, "stop")
        found: dict[str, Flags] = {}
        for name, rule in self.rules.stop_rules.items():
            reasons = [] if rule.check is None else [self.held.possibly(rule.check.node)]
            reasons += [
                self.held.not_known(question) & self.held.possibly(only_if.node)
                for question, only_if in rule.named_by.items()
            ]
            if rule.entry.fires_on in causes:
                reasons.append(causes[rule.entry.fires_on])
            fires, ruled = _any(reasons), self.columns.ruled[name]
            self.ruled = self.ruled | (fires & ruled)
            stands = uniform(fires & ~ruled)
            if np.any(stands):
                found[name] = stands
        return found, _any([*found.values(), unacceptable])

    def _causes(self, hazards: Mapping[str, HazardColumn]) -> Iterator[tuple[str, Flags]]:
        yield "unacceptable_as_planned", self._in_bands(hazards, "stop")
        serious = [n for n, verdict in enumerate(self.verdicts) if verdict == "conditions"]
        yield (
            "serious_without_control",
            _any([_among(column.band, serious) & self.unplanned[name] for name, column in hazards.items()]),
        )
        overdue = [
            self.columns.planned[name] & ~self.columns.proved[name]
            for name, control in self.rules.controls.items()
            if self.rules.positions[control.hold_point] <= self.position
        ]
        yield "control_overdue", _any(overdue)
        yield "no_local_code", np.bool_(not self.rules.local_code)

    def _in_bands(self, hazards: Mapping[str, HazardColumn], verdict: str) -> Flags:
        places = [n for n, one in enumerate(self.verdicts) if one == verdict]
        return _any([_among(column.band, places) for column in hazards.values()])

    def conditions(self, hazards: Mapping[str, HazardColumn]) -> Flags:
        """Rows in which anything must still come true."""
        promised = [self.columns.planned[name] & ~self.columns.proved[name] for name in self.rules.controls]
        unclear = [self.present.not_known(name) | self.present.open_lines(name) for name in self.rules.questions]
        return _any(
            [
                self.pending,
                *promised,
                *unclear,
                self._in_bands(hazards, "conditions"),
                self.ruled,
                self.held.possibly(self.rules.in_service.node),
            ]
        )


def _level(least: int, raises: tuple[Raise, ...], fired: Mapping[str, Flags]) -> Levels:
    found: Levels = np.int8(least)
    for one in raises:
        if one.level > least:
            found = np.maximum(found, fired[one.at] * np.int8(one.level))
    for one in raises:
        if one.by:
            found = found + fired[one.at] * np.int8(one.by)
    return np.minimum(found, np.int8(5))


def _among(bands: Levels, places: list[int]) -> Flags:
    return _any([bands == place for place in places])


def _any(flags: list[Flags]) -> Flags:
    found: Flags = np.False_
    for one in flags:
        if isinstance(one, np.ndarray) or one:
            found = found | one
    return found
