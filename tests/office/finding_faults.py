"""Who finds a planted fault: the loader, the review, the proofs or the worked cases."""

from __future__ import annotations

import time
from collections.abc import Iterator
from functools import cache

from riskhelper.office.case_runs import run_cases
from riskhelper.office.proofs.bench import Bench
from riskhelper.office.proofs.finding import ProofFinding
from riskhelper.office.proofs.loosening import loosened
from riskhelper.office.proofs.prove import ANALYSES
from riskhelper.office.proofs.proving import Patience
from riskhelper.review.finding import Finding
from riskhelper.review.review import review
from riskhelper.ruleset.faults import RuleFaults
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from tests.content.shipped import files
from tests.office.planted import CASES, LOAD, PROVE, REVIEW, SUPPLEMENT, Planted

CODE = "en50110"
HEAD = b'[supplement]\nname = "site"\nnumber = 1\nlanguage = 1\n'
MOST_S = 300.0
Told = tuple[str, str, str]  # who found it, which kind, which entry


@cache
def known_findings() -> frozenset[Finding]:
    """What the review finds under this one local code without any fault."""
    return frozenset(review({CODE: shipped()}).findings)


@cache
def shipped() -> RuleSet:
    """The unchanged set."""
    return load_rules(files(), CODE)


def planted_files(fault: Planted) -> dict[str, bytes]:
    """The shipped files with the fault in them; a fault that no longer fits its file is no fault."""
    if fault.file == SUPPLEMENT:
        return files()
    text = files()[fault.file].decode()
    assert fault.old in text, f"`{fault.old}` stands no longer in {fault.file}"
    return {**files(), fault.file: text.replace(fault.old, fault.new, 1).encode()}


def found(fault: Planted, finders: tuple[str, ...]) -> Iterator[Told]:
    """Everything that these finders say about the set with the fault that they do not say without it."""
    supplements = [{"site.toml": HEAD + fault.new.encode()}] if fault.file == SUPPLEMENT else []
    try:
        rules = load_rules(planted_files(fault), CODE, supplements, prove_guards=LOAD in finders)
    except RuleFaults as faults:
        yield from ((LOAD, "", str(one)) for one in faults.faults)
        return
    if CASES in finders:
        yield from ((CASES, "", name) for name in run_cases({CODE: rules}).failing)
    if REVIEW in finders:
        fresh = set(review({CODE: rules}).findings) - known_findings()
        yield from ((REVIEW, one.kind, one.entry) for one in sorted(fresh))
    if PROVE in finders:
        bench = Bench.of(rules, Patience(time.process_time, time.process_time() + MOST_S))
        results = loosened(bench, shipped()) if supplements else ANALYSES[fault.kind](bench)
        for one in results:
            yield PROVE, one.kind if isinstance(one, ProofFinding) else "not settled", one.entry.partition(",")[0]
