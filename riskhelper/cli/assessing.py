"""`assess`: findings of an answer file as text, JSON, PDF."""

from __future__ import annotations

import json
import sys
from argparse import Namespace

from riskhelper.acts.context import printable
from riskhelper.acts.job.as_json import assessment_json
from riskhelper.acts.job.assessing import assessed, without_effect
from riskhelper.acts.job.findings import full_lines
from riskhelper.acts.job.from_file import take
from riskhelper.acts.job.papers import statement, write_pdf, write_text
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode, exit_of_verdict


def assess_file(place: Workplace, given: Namespace) -> ExitCode:
    """Assesses an answer file and prints or writes what was asked for."""
    taken = take(given.answers, place.shelf, given.local or "", given.milestone)
    rules, file, now = taken.rules, taken.file, place.now()
    assessment = assessed(rules, file.job, file.milestone, now)
    for question in without_effect(assessment, file.job):
        print(f"Kept without effect, as it is not asked: {question}", file=sys.stderr)
    if given.pdf or given.text:
        document = statement(rules, file.job, assessment, file.header, now)
        if given.pdf:
            write_pdf(document, given.pdf, given.paper or place.config.paper)
            print(f"Method statement for print: {given.pdf}", file=sys.stderr)
        if given.text:
            write_text(document, given.text)
            print(f"Method statement as text: {given.text}", file=sys.stderr)
    if given.json:
        print(json.dumps(assessment_json(rules, file.job, assessment), indent=2, ensure_ascii=False))
    else:
        print("\n".join(printable(line) for line in full_lines(rules, assessment)))
    return exit_of_verdict(assessment.verdict)
