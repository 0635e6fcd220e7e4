"""All analyses of one rule set, with the waivers that stand beside its entries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from riskhelper.review.completeness import (
    control_answers,
    gaps_in_the_isolation_plan,
    lonely_entries,
    unproved_hazards,
    unsaid_clashes,
    unturned_stops,
)
from riskhelper.review.coverage import uncovered
from riskhelper.review.entries_idle import idle_entries
from riskhelper.review.figures import figures, unproved_limits
from riskhelper.review.finding import KINDS, PROOF_KINDS, Finding
from riskhelper.review.matrix import matrix
from riskhelper.review.words import worded
from riskhelper.ruleset.faults import nearest_name
from riskhelper.ruleset.model import RuleSet

_OF_THE_SET = (
    idle_entries,
    uncovered,
    lonely_entries,
    unturned_stops,
    unsaid_clashes,
    gaps_in_the_isolation_plan,
    worded,
    matrix,
)


@dataclass(frozen=True, slots=True)
class Review:
    """What was found: open findings, waived ones with their reasons, answers that describe a control."""

    findings: tuple[Finding, ...]
    waived: tuple[Finding, ...]
    control_answers: tuple[str, ...]


def review(codes: Mapping[str, RuleSet]) -> Review:
    """The review of one rule set. `codes` holds it under each local code, by name; at least one."""
    rules = next(iter(codes.values()))
    waivers = waivers_of(rules)
    found = {finding for analysis in _OF_THE_SET for finding in analysis(rules)}
    found |= {finding for one in codes.values() for finding in figures(one)}
    found |= {*unproved_hazards(codes), *unproved_limits(codes)}
    findings: list[Finding] = []
    waived: list[Finding] = []
    for finding in sorted(found):
        reason = waivers.get(finding.entry, {}).get(finding.kind, "")
        if reason:
            waived.append(replace(finding, waived=reason))
        else:
            findings.append(finding)
    findings.extend(_needless(waivers, {(finding.entry, finding.kind) for finding in waived}))
    return Review(tuple(findings), tuple(waived), control_answers(rules))


def waivers_of(rules: RuleSet) -> Mapping[str, Mapping[str, str]]:
    """Waivers by entry: kind of finding to reason."""
    found = {
        f"{kind} {name}": entry.waived for kind, entries in rules.named.items() for name, entry in entries.items()
    }
    listed = {"step": rules.steps, "isolation row": rules.isolation_rows, "kit": rules.kit}
    found.update({f"{kind} {n}": one.waived for kind, many in listed.items() for n, one in enumerate(many, start=1)})
    return {**found, "matrix": rules.matrix.waivers}


def _needless(waivers: Mapping[str, Mapping[str, str]], used: set[tuple[str, str]]) -> Iterator[Finding]:
    for entry, kinds in waivers.items():
        for kind in kinds:
            if kind in PROOF_KINDS:
                continue
            if kind not in KINDS:
                hint = nearest_name(kind, [*KINDS, *PROOF_KINDS])
                words = f"there is no finding `{kind}`" + (f"; did you mean `{hint}`?" if hint else "")
                yield Finding(entry, "needless_waiver", "waived", words)
            elif (entry, kind) not in used:
                yield Finding(entry, "needless_waiver", "waived", f"`{kind}` is waived, but not found; leave it out")
