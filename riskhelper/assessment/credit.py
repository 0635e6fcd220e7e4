"""How controls lower a rating: credit by kind, capped, and the floor that weak controls cannot pass."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from riskhelper.assessment.result import Rating
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import ControlKind

STRONG = (ControlKind.ELIMINATION, ControlKind.SUBSTITUTION, ControlKind.ENGINEERING)


@dataclass(frozen=True, slots=True)
class Counted:
    """Credit of one control that counts."""

    kind: ControlKind
    likelihood: int
    severity: int


def rated(
    rules: RuleSet, likelihood: int, severity: int, counted: Iterable[Counted], *, administrative_accepted: bool
) -> Rating:
    """The rating left of likelihood and severity as found, 1 to 5 each, once the counted controls are credited.

    Strong kinds lower both scales, administrative controls likelihood only, PPE severity only. From the serious
    band on, weak kinds together move at most `weak_bands` below what strong ones reach, and nothing on their own.
    """
    per_kind: dict[ControlKind, tuple[int, int]] = {}
    counted = tuple(counted)
    if not counted:
        return Rating(likelihood, severity, rules.band_of[likelihood * severity].id)
    for one in counted:
        low, sev = per_kind.get(one.kind, (0, 0))
        per_kind[one.kind] = (low + one.likelihood, sev + one.severity)
    capped = {
        kind: (min(low, rules.credit.most[kind]), min(sev, rules.credit.most[kind]))
        for kind, (low, sev) in per_kind.items()
    }
    strong_likelihood = max(1, likelihood - sum(capped.get(kind, (0, 0))[0] for kind in STRONG))
    strong_severity = max(1, severity - sum(capped.get(kind, (0, 0))[1] for kind in STRONG))
    left_likelihood = max(1, strong_likelihood - capped.get(ControlKind.ADMINISTRATIVE, (0, 0))[0])
    left_severity = max(1, strong_severity - capped.get(ControlKind.PPE, (0, 0))[1])
    bands = [band.id for band in rules.matrix.bands]
    as_found = bands.index(rules.band_of[likelihood * severity].id)
    reached = bands.index(rules.band_of[left_likelihood * left_severity].id)
    floor = 0
    if as_found >= bands.index(rules.credit.serious_from) and not administrative_accepted:
        strong = strong_likelihood * strong_severity
        floor = as_found
        if strong < likelihood * severity:
            floor = max(0, bands.index(rules.band_of[strong].id) - rules.credit.weak_bands)
    held = ""
    if floor > reached:
        words = rules.matrix.bands[floor].words
        held = (
            f"{left_likelihood} x {left_severity}, held in {words}: administrative measures and PPE alone do not"
            " clear it"
        )
    return Rating(left_likelihood, left_severity, bands[max(reached, floor)], held)
