"""The demo job: the whole path from answers to papers, always a rehearsal."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from riskhelper.acts.context import Refused
from riskhelper.acts.job.as_json import assessment_json
from riskhelper.acts.job.assessing import assessed
from riskhelper.acts.job.from_file import Taken, take
from riskhelper.acts.job.papers import statement, write_pdf, write_text
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.acts.whole_files import write_whole
from riskhelper.assessment.result import Assessment

NAME = "transformer_at_dusk"


@dataclass(frozen=True)
class Shown:
    """What the demo made, and where it lies."""

    taken: Taken
    assessment: Assessment
    answers: Path
    pdf: Path
    text: Path
    json: Path


def demo_folder() -> Path:
    """The demo job: `demo/` at the top of a checkout, `shipped_demo` inside an installed package."""
    package = Path(__file__).parents[1]
    in_checkout, in_wheel = package.parent / "demo" / NAME, package / "shipped_demo"
    for folder in (in_checkout, in_wheel):
        if (folder / "answers.toml").is_file():
            return folder
    raise Refused(f"The demo job was not found in {in_checkout} or {in_wheel}. Install the program again")


def demonstrate(shelf: RuleShelf, out: Path, paper: str, now: datetime) -> Shown:
    """Assesses the demo job and writes its papers into a folder."""
    answers = demo_folder() / "answers.toml"
    taken = take(answers, shelf)
    taken = replace(taken, file=replace(taken.file, job=replace(taken.file.job, rehearsal=True)))
    job = taken.file.job
    assessment = assessed(taken.rules, job, taken.file.milestone, now)
    document = statement(taken.rules, job, assessment, taken.file.header, now)
    shown = Shown(
        taken,
        assessment,
        answers,
        out / "method-statement.pdf",
        out / "method-statement.txt",
        out / "assessment.json",
    )
    write_pdf(document, shown.pdf, paper)
    write_text(document, shown.text)
    data = json.dumps(assessment_json(taken.rules, job, assessment), indent=2, ensure_ascii=False)
    write_whole(shown.json, data.encode("utf-8"))
    return shown
