"""The solver as a comparison asks it, with a minute for each pair of sets."""

from __future__ import annotations

from time import monotonic

from riskhelper.office.pair_proofs import PairProofs
from riskhelper.office.proofs.proving import Patience
from riskhelper.ruleset.model import RuleSet

MOST_S = 60.0


def proofs(old: RuleSet, new: RuleSet) -> PairProofs:
    """Both sets side by side."""
    return PairProofs.of(old, new, Patience(monotonic, monotonic() + MOST_S))
