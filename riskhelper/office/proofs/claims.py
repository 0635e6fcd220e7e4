"""What a rule set claims of itself: when this holds, that is never so. Each claim is put to the solver."""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.office.proofs.asking import Asked, ask, asked_condition, says_nothing
from riskhelper.office.proofs.bench import Bench
from riskhelper.office.proofs.finding import ProofFinding, Result, Unsettled
from riskhelper.office.proofs.proving import Found, Proved
from riskhelper.ruleset.faults import ConditionFault

MOST_S_FOR_A_CLAIM = 20.0


def claims(bench: Bench) -> Iterator[Result]:
    """Every claim that does not hold, or cannot be read."""
    for name, claim in bench.rules.claims.items():
        entry = f"claim {name}"
        try:
            asked = Asked(*(asked_condition(bench.rules, text) for text in (claim.when, claim.never)))
        except ConditionFault as fault:
            hint = f"; did you mean `{fault.nearest}`?" if fault.nearest else ""
            yield ProofFinding("claim_broken", entry, f"cannot be read: {fault.message}{hint}")
            continue
        settled = ask(bench, asked, MOST_S_FOR_A_CLAIM)
        if isinstance(settled, Found):
            yield ProofFinding("claim_broken", entry, f"there is such a job: {claim.because}", settled.example)
        elif isinstance(settled, Proved) and says_nothing(bench, asked):
            yield ProofFinding("claim_broken", entry, "says nothing: no job at all meets its `when`")
        elif not isinstance(settled, Proved):
            yield Unsettled("claim_broken", entry, settled.words)
