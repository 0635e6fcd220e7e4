"""Review the rules of a folder under every local code it offers."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.context import printable
from riskhelper.review.finding import KINDS, Finding
from riskhelper.review.review import Review, review
from riskhelper.ruleset.faults import Fault, RuleFaults
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import languages, load_rules, local_codes
from riskhelper.store.rule_files import rule_files


def review_folder(folder: Path) -> Review:
    """The review of the rule set in a folder, worked cases included.

    Every local code is loaded and every guard proved, every translation laid over the base set; raises `RuleFaults`
    with the faults under all of them.
    """
    files = rule_files(folder)
    codes = list(local_codes(files)) or [""]
    loaded: dict[str, RuleSet] = {}
    faults: set[Fault] = set()
    for code in codes:
        try:
            loaded[code] = load_rules(files, code)
        except RuleFaults as fault:
            faults.update(fault.faults)
    for language in languages(files):
        try:
            load_rules(files, codes[0], prove_guards=False, language=language)
        except RuleFaults as fault:
            faults.update(fault.faults)
    if faults:
        raise RuleFaults(faults)
    return review(loaded)


def review_lines(found: Review, *, with_waived: bool = False) -> list[str]:
    """The review in lines: open findings by kind, what is waived and why, answers that describe a control."""
    lines = _by_kind(found.findings)
    if with_waived:
        lines += ["", f"Waived, each with its reason: {len(found.waived)}", *_by_kind(found.waived)]
        lines += ["", "Answers that describe a control, each released at a hold point:"]
        lines += [f"  {name}" for name in found.control_answers] or ["  none"]
    return [printable(line) for line in lines]


def _by_kind(findings: tuple[Finding, ...]) -> list[str]:
    lines: list[str] = []
    for kind, meaning in KINDS.items():
        those = [finding for finding in findings if finding.kind == kind]
        if those:
            lines += ["", f"{kind}: {meaning} ({len(those)})", *(f"  {finding}" for finding in those)]
    return lines[1:]


def review_json(found: Review) -> dict[str, object]:
    """The review as plain values."""
    return {
        "findings": [_plain(finding) for finding in found.findings],
        "waived": [_plain(finding) for finding in found.waived],
        "control_answers": list(found.control_answers),
    }


def _plain(finding: Finding) -> dict[str, str]:
    return {
        "kind": finding.kind,
        "entry": finding.entry,
        "key": finding.key,
        "words": finding.words,
        **({"reason": finding.waived} if finding.waived else {}),
    }
