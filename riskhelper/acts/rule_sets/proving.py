"""Prove a rule set over every job there is, or ask one thing of it; the solver is needed here alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import tomli_w

from riskhelper.acts.context import Refused, printable
from riskhelper.acts.job.answer_files import AnswerFile, written
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.interview.reading import readable
from riskhelper.review.finding import PROOF_KINDS
from riskhelper.ruleset.faults import ConditionFault
from riskhelper.ruleset.model import RuleSet

if TYPE_CHECKING:
    from riskhelper.office.proofs.finding import Example, ProofFinding
    from riskhelper.office.proofs.prove import Proofs

SOLVER = "z3"


@dataclass(frozen=True)
class ProvedUnder:
    """The proofs of a set under one local code."""

    rules: RuleSet
    proofs: Proofs


@dataclass(frozen=True)
class Answered:
    """What came of a question under one local code: an example, or why there is none (`proved` or not settled)."""

    rules: RuleSet
    example: Example | None
    proved: bool
    words: str = ""


@dataclass(frozen=True)
class Question:
    """What an officer asks: can there be a job in which `condition` and `never` both hold or cannot be ruled out?"""

    condition: str
    never: str
    milestone: str = ""


def prove_folder(
    folder: RuleFolder, codes: list[str], most_s: float, clock: Callable[[], float]
) -> Iterator[ProvedUnder]:
    """All proofs of a folder, under each local code asked for or all of them; `most_s` for each."""
    _solver_there()
    from riskhelper.office.proofs.prove import prove
    from riskhelper.office.proofs.proving import Patience

    for code in codes or folder.codes:
        base = RuleFolder(folder.folder).under(code) if folder.supplements else None
        rules = folder.under(code)
        yield ProvedUnder(rules, prove(rules, Patience(clock, clock() + most_s), base))


def ask_folder(
    folder: RuleFolder, codes: list[str], question: Question, most_s: float, clock: Callable[[], float]
) -> Iterator[Answered]:
    """The answer under each local code asked for, or all of them; `most_s` for each."""
    _solver_there()
    from riskhelper.office.proofs.asking import Asked, ask, asked_condition, says_nothing
    from riskhelper.office.proofs.bench import Bench
    from riskhelper.office.proofs.proving import Found, Patience, Proved

    for code in codes or folder.codes:
        rules = folder.under(code)
        if question.milestone and question.milestone not in rules.positions:
            known = ", ".join(rules.milestones)
            raise Refused(f"`{question.milestone}` is no milestone of this set; known are {known}.")
        read = []
        for place, text in (("The condition", question.condition), ("What should never hold", question.never)):
            try:
                read.append(asked_condition(rules, text))
            except ConditionFault as fault:
                hint = f" Did you mean `{fault.nearest}`?" if fault.nearest else ""
                raise Refused(f"{place} cannot be read: {printable(fault.message)}.{hint}") from None
        asked = Asked(*read)
        bench = Bench.of(rules, Patience(clock, clock() + most_s), question.milestone or None)
        settled = ask(bench, asked)
        if isinstance(settled, Found):
            yield Answered(rules, settled.example, False)
        elif isinstance(settled, Proved):
            words = (
                "no job at all meets the condition, so nothing is said by it" if says_nothing(bench, asked) else ""
            )
            yield Answered(rules, None, True, words)
        else:
            yield Answered(rules, None, False, settled.words)


def _solver_there() -> None:
    if find_spec(SOLVER) is None:
        raise Refused("Proofs need the solver. Install it with: pip install 'riskhelper[office]'")


def save_example(rules: RuleSet, example: Example, folder: Path, name: str) -> list[Path]:
    """Writes each job of an example as an answer file and as a worked case; gives where they lie."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for place, _ in enumerate(example.jobs):
        stem = f"{name}_{'before' if place == 0 else 'after'}" if len(example.jobs) > 1 else name
        answers, case = folder / f"{stem}.answers.toml", folder / f"{stem}.case.toml"
        answers.write_bytes(answer_file(rules, example, place))
        case.write_bytes(case_file(rules, example, place, stem))
        paths += [answers, case]
    return paths


def answer_file(rules: RuleSet, example: Example, place: int) -> bytes:
    """One job of an example as an answer file, to be opened, assessed and printed like any other."""
    return written(AnswerFile(example.jobs[place], example.milestone), rules)


def case_file(rules: RuleSet, example: Example, place: int, name: str) -> bytes:
    """One job of an example as a worked case; what it expects is what the set says now, for an officer to correct."""
    from riskhelper.assessment.assess import assess
    from riskhelper.office.proofs.jobs import MOMENT

    job = example.jobs[place]
    assessment = assess(rules, job, example.milestone, MOMENT)
    answers: dict[str, object] = {}
    not_known: list[str] = []
    for question, answer in job.answers.items():
        if answer.value is None:
            not_known.append(question)
        elif isinstance(answer.value, float | int | str):
            answers[question] = answer.value
        else:
            answers[question] = [line for line, mark in answer.value.items() if mark == "yes"]
            not_known += [f"{question}:{line}" for line in answer.open_lines]
    case = {
        "title": f"{rules.head.name}: {'; '.join(example.words)}",
        "local": rules.local_code,
        "at": example.milestone,
        "planned": list(job.planned),
        "proved": list(job.proved),
        "not_known": not_known,
        "source": "found by a proof; what it expects is recorded from the set, not worked by hand",
        "answers": answers,
        "expect": {
            "verdict": assessment.verdict.words,
            "stops": [stop.id for stop in assessment.stops],
            "worst": [
                {
                    "id": hazard.id,
                    "found": [hazard.as_found.likelihood, hazard.as_found.severity],
                    "planned": [hazard.as_planned.likelihood, hazard.as_planned.severity],
                }
                for hazard in assessment.worst
            ],
            "conditions": [c.hold_point for c in assessment.conditions if c.kind == "pending"],
        },
    }
    head = "# Found by a proof. `expect` holds what the set says now: put right what should come out.\n\n"
    return head.encode() + tomli_w.dumps({"case": {name: case}}).encode()


def example_lines(rules: RuleSet, example: Example) -> list[str]:
    """An example in lines: what it shows, and each answer as read back; of a second job what differs alone."""
    lines = [f"  Local code {rules.local_code}, milestone {example.milestone}: {words}" for words in example.words]
    first = example.jobs[0]
    for name, answer in first.answers.items():
        lines.append(f"    {name}: {readable(rules.questions[name], answer)}")
    for title, controls in (("planned", first.planned), ("proved", first.proved)):
        if controls:
            lines.append(f"    {title}: {', '.join(controls)}")
    for other in example.jobs[1:]:
        changed = [n for n in {**first.answers, **other.answers} if first.answers.get(n) != other.answers.get(n)]
        for name in changed:
            if name in rules.questions:
                said = other.answers.get(name)
                lines.append(f"    then {name}: {readable(rules.questions[name], said) if said else 'no answer'}")
    return [printable(line) for line in lines]


def proof_lines(found: ProvedUnder, *, with_waived: bool = False) -> list[str]:
    """Proofs in lines: open findings by kind with their examples, what is waived, what was not settled."""
    lines: list[str] = []
    lists = [found.proofs.findings, *([found.proofs.waived] if with_waived else [])]
    for findings in lists:
        for kind, meaning in PROOF_KINDS.items():
            for place, finding in enumerate(one for one in findings if one.kind == kind):
                lines += [f"{kind}: {meaning}"] if place == 0 else []
                lines.append(f"  {finding}")
                lines += example_lines(found.rules, finding.example) if finding.example else []
    lines += [f"not settled: `{one.entry}`, {one.kind}: {one.words}" for one in found.proofs.unsettled]
    return [printable(line) for line in lines]


def proof_json(found: ProvedUnder) -> dict[str, object]:
    """Proofs as plain values."""
    return {
        "local": found.rules.local_code,
        "findings": [_plain(one) for one in found.proofs.findings],
        "waived": [_plain(one) for one in found.proofs.waived],
        "unsettled": [{"kind": one.kind, "entry": one.entry, "words": one.words} for one in found.proofs.unsettled],
    }


def _plain(finding: ProofFinding) -> dict[str, object]:
    plain: dict[str, object] = {"kind": finding.kind, "entry": finding.entry, "words": finding.words}
    if finding.example is not None:
        plain["shows"] = list(finding.example.words)
        plain["milestone"] = finding.example.milestone
        plain["jobs"] = [{name: answer.value for name, answer in job.answers.items()} for job in finding.example.jobs]
    return {**plain, **({"reason": finding.waived} if finding.waived else {})}
