"""All proofs of a loaded rule set, with the waivers that stand beside its entries."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from riskhelper.office.proofs.bench import Bench
from riskhelper.office.proofs.claims import claims
from riskhelper.office.proofs.entries_alone import contradictions, credited_twice, idle_with_figures, weak_controls
from riskhelper.office.proofs.finding import ProofFinding, Result, Unsettled
from riskhelper.office.proofs.loosening import loosened
from riskhelper.office.proofs.proving import Patience
from riskhelper.office.proofs.worse import unknown_answers, worse_answers
from riskhelper.review.finding import PROOF_KINDS
from riskhelper.review.review import waivers_of
from riskhelper.ruleset.model import RuleSet

ANALYSES: Mapping[str, Callable[[Bench], Iterator[Result]]] = {
    "worse_rated_lower": worse_answers,
    "unknown_milder": unknown_answers,
    "contradiction": contradictions,
    "never_with_figures": idle_with_figures,
    "weak_controls_clear": weak_controls,
    "credited_twice": credited_twice,
    "claim_broken": claims,
}


@dataclass(frozen=True, slots=True)
class Proofs:
    """What was found, what is waived with its reason, and what was not settled in time."""

    findings: tuple[ProofFinding, ...]
    waived: tuple[ProofFinding, ...]
    unsettled: tuple[Unsettled, ...]


def prove(rules: RuleSet, patience: Patience, base: RuleSet | None = None) -> Proofs:
    """All proofs of a set under its local code; with a `base`, also that the set nowhere loosens it."""
    bench = Bench.of(rules, patience)
    found: list[Result] = [result for analysis in ANALYSES.values() for result in analysis(bench)]
    if base is not None:
        found += loosened(bench, base)
    return _with_waivers(rules, found)


def _with_waivers(rules: RuleSet, found: list[Result]) -> Proofs:
    reasons = waivers_of(rules)
    findings: list[ProofFinding] = []
    waived: list[ProofFinding] = []
    for finding in (one for one in found if isinstance(one, ProofFinding)):
        reason = reasons.get(finding.entry.partition(",")[0], {}).get(finding.kind, "")
        if reason:
            waived.append(replace(finding, waived=reason))
        else:
            findings.append(finding)
    used = {(one.entry.partition(",")[0], one.kind) for one in waived}
    for entry, kinds in reasons.items():
        for kind in kinds:
            if kind in PROOF_KINDS and (entry, kind) not in used:
                words = f"`{kind}` is waived, but not found; leave it out"
                findings.append(ProofFinding("needless_waiver", entry, words))
    return Proofs(tuple(findings), tuple(waived), tuple(one for one in found if isinstance(one, Unsettled)))
