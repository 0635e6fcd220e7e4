"""`where`, `questions` and `demo`: what there is, and the whole path on one job."""

from __future__ import annotations

import json
from argparse import Namespace

from riskhelper.acts.context import printable
from riskhelper.acts.demonstrating import demonstrate
from riskhelper.acts.job.as_json import plain_value
from riskhelper.acts.job.findings import full_lines
from riskhelper.acts.job.from_file import take
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.conversing import open_rehearsal
from riskhelper.cli.exits import ExitCode
from riskhelper.interview.order import due_now
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.terms import GATE, PLACE_WORDS, spoken


def where(place: Workplace, given: Namespace) -> ExitCode:
    """Prints where everything lies."""
    lies = place.lies()
    if given.json:
        print(json.dumps(lies, indent=2, ensure_ascii=False))
    else:
        for what, path in lies.items():
            print(f"{what}: {path}")
    return ExitCode.NO_STOP_FOUND


def questions(place: Workplace, given: Namespace) -> ExitCode:
    """Prints the whole bank, or the questions asked for the answers of a file."""
    if given.answers:
        taken = take(given.answers, place.shelf, given.local or "", given.milestone)
        rules, job, milestone = taken.rules, taken.file.job, taken.file.milestone
        asked = due_now(rules, job, milestone, place.now())
    else:
        rules = place.shelf(given.local or place.config.local_code)
        asked = tuple(rules.questions)
    if given.json:
        print(
            json.dumps({name: plain_value(rules.questions[name].model_dump()) for name in asked}, ensure_ascii=False)
        )
    else:
        for name in asked:
            print("\n".join(printable(line) for line in _question_lines(name, rules.questions[name])))
    return ExitCode.NO_STOP_FOUND


def demo(place: Workplace, given: Namespace) -> ExitCode:
    """The whole path on the demo job: answers, findings, verdict, papers; then, if asked, the interface."""
    shown = demonstrate(place.shelf, given.out, given.paper or place.config.paper, place.now())
    job, rules = shown.taken.file.job, shown.taken.rules
    print("REHEARSAL. NOT FOR WORK. An invented job at an invented place.\n")
    unknown = sum(1 for answer in job.answers.values() if not answer.is_known)
    print(
        f"1. Answers: {len(job.answers)}, {unknown} of them not known, local code {job.local_code}: {shown.answers}"
    )
    print(f"2. Controls planned: {len(job.planned)}")
    print(f"3. Rules: {', '.join(f'{part.name} number {part.number}' for part in rules.parts)}")
    print("4. Findings and verdict:\n")
    print("\n".join(f"   {printable(line)}".rstrip() for line in full_lines(rules, shown.assessment)))
    print("\n5. Papers:")
    print(f"   method statement for print: {shown.pdf.resolve()}")
    print(f"   the same as plain text:     {shown.text.resolve()}")
    print(f"   the assessment as JSON:     {shown.json.resolve()}")
    print(f"\nVerdict at {spoken(shown.assessment.milestone)}: {shown.assessment.verdict.words}")
    if given.open:
        return open_rehearsal(place, shown.taken.file, given.out)
    return ExitCode.NO_STOP_FOUND


def _question_lines(name: str, question: QuestionEntry) -> list[str]:
    stage = "" if question.asked_at == GATE else f", {spoken(question.asked_at)}"
    lines = [f"{name} ({PLACE_WORDS[question.place]}{stage})", f"  {question.ask}", f"  Why: {question.why}"]
    lines += [f"    {option}: {sentence}" for option, sentence in question.options.items()]
    if question.range is not None:
        lines.append(
            f"    number in {question.unit or 'whole steps'}: {question.range[0]:g} to {question.range[1]:g}"
        )
    return [*lines, f"  If not known: {question.if_unknown}"]
