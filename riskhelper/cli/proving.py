"""`rules prove` and `rules ask`: what no job may do, over every job there is."""

from __future__ import annotations

import json
import sys
import time
from argparse import Namespace

from riskhelper.acts.rule_sets.proving import (
    Question,
    answer_file,
    ask_folder,
    example_lines,
    proof_json,
    proof_lines,
    prove_folder,
    save_example,
)
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode


def prove(place: Workplace, given: Namespace) -> ExitCode:
    """Prints what the proofs found; findings and what is not settled have exit codes of their own."""
    folder = RuleFolder(place.shelf.folder, tuple(given.supplement))
    plain, findings, unsettled = [], 0, 0
    for found in prove_folder(folder, given.local, given.seconds, time.monotonic):
        code, proofs = found.rules.local_code, found.proofs
        findings, unsettled = findings + len(proofs.findings), unsettled + len(proofs.unsettled)
        plain.append(proof_json(found))
        if not given.json:
            print("\n".join(proof_lines(found, with_waived=given.waived)), end="\n" if proofs.findings else "")
        for number, finding in enumerate(one for one in proofs.findings if one.example and given.out):
            assert finding.example is not None
            for path in save_example(found.rules, finding.example, given.out, f"{code}_{finding.kind}_{number + 1}"):
                print(path, file=sys.stderr)
        told = (
            f"{len(proofs.findings)} findings open, {len(proofs.waived)} waived, {len(proofs.unsettled)} not settled"
        )
        print(f"{place.shelf.folder}, {code}: {told}.", file=sys.stderr)
    if given.json:
        print(json.dumps(plain, indent=2, ensure_ascii=False))
    if findings:
        return ExitCode.FINDINGS
    return ExitCode.NOT_SETTLED if unsettled else ExitCode.NO_STOP_FOUND


def ask(place: Workplace, given: Namespace) -> ExitCode:
    """Prints the job that was found, or that there is none; the exit code tells proved from not settled."""
    folder = RuleFolder(place.shelf.folder, tuple(given.supplement))
    question = Question(given.condition, given.never, given.at)
    found, unsettled = False, False
    for answered in ask_folder(folder, given.local, question, given.seconds, time.monotonic):
        code = answered.rules.local_code
        if answered.example is not None:
            found = True
            if given.json:
                print(answer_file(answered.rules, answered.example, 0).decode())
            else:
                print("\n".join([f"{code}: there is such a job.", *example_lines(answered.rules, answered.example)]))
            if given.out:
                for path in save_example(answered.rules, answered.example, given.out, f"{code}_asked"):
                    print(path, file=sys.stderr)
        elif answered.proved:
            print(f"{code}: proved, there is no such job{f'; {answered.words}' if answered.words else ''}.")
        else:
            unsettled = True
            print(f"{code}: not settled; {answered.words}. Give it longer with --seconds.")
    if found:
        return ExitCode.FINDINGS
    return ExitCode.NOT_SETTLED if unsettled else ExitCode.NO_STOP_FOUND
