"""Write a job's papers: method statement as PDF and as plain text."""

from __future__ import annotations

import os
import re
import tempfile
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from riskhelper.acts.assessing import assess_job
from riskhelper.acts.context import Context, Refused
from riskhelper.acts.jobs import JobState
from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.build import method_statement
from riskhelper.statement.document import Document
from riskhelper.statement.header import Header

PAPERS = ("A4", "Letter")


@dataclass(frozen=True, slots=True)
class WritePapers:
    """Input: which job, at which milestone, into which folder, on which paper."""

    job: str
    milestone: str
    folder: Path
    paper: str = "A4"
    header: Header = field(default_factory=Header)


@dataclass(frozen=True, slots=True)
class Written:
    """Where the papers lie."""

    pdf: Path
    text: Path


def write_papers(context: Context, given: WritePapers) -> Written:
    """The method statement of a job in the store, as PDF and as text."""
    state, document = _stated(context, given)
    stem = f"method-statement-{re.sub(r'[^A-Za-z0-9-]+', '-', given.job)}-{state.history.last_number}"
    pdf, text = given.folder / f"{stem}.pdf", given.folder / f"{stem}.txt"
    write_pdf(document, pdf, given.paper)
    write_text(document, text)
    return Written(pdf, text)


def read_papers(context: Context, given: WritePapers, width: int) -> list[str]:
    """The same method statement in lines, to be read on a screen; nothing is written."""
    from riskhelper.paper.text import to_text

    return to_text(_stated(context, given)[1], width).splitlines()


def _stated(context: Context, given: WritePapers) -> tuple[JobState, Document]:
    state, assessment = assess_job(context, given.job, given.milestone)
    answers = state.job.answers
    header = replace(
        given.header,
        record_number=f"{given.job}, entry {state.history.last_number}",
        site=given.header.site or _words(answers.get("job.site_name")),
        plant=given.header.plant or _words(answers.get("job.plant_id")),
        work_leader=given.header.work_leader or context.who,
        prepared_by=given.header.prepared_by or context.who,
        prepared_at=state.history.last,
    )
    return state, statement(state.rules, state.job, assessment, header, context.clock())


def statement(rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """The method statement as a value."""
    return method_statement(rules, job, assessment, header, now)


def write_pdf(document: Document, file: Path, paper: str) -> None:
    """Draws a document as PDF; the drawing library is loaded here and nowhere else."""
    from riskhelper.paper.pdf import to_pdf

    if paper not in PAPERS:
        raise Refused(f"Paper `{paper}` is not known; known are {' and '.join(PAPERS)}")
    write_whole(file, to_pdf(document, paper))


def write_text(document: Document, file: Path) -> None:
    """Writes a document as plain text."""
    from riskhelper.paper.text import to_text

    write_whole(file, to_text(document).encode("utf-8"))


def write_whole(file: Path, data: bytes) -> None:
    """Writes a file whole or not at all; a file that was there stays until the new one is complete."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=file.parent, prefix=f".{file.name}.", delete=False) as partial:
            try:
                partial.write(data)
                partial.flush()
                os.fsync(partial.fileno())
                os.replace(partial.name, file)
            except BaseException:
                os.unlink(partial.name)
                raise
    except OSError as fault:
        raise Refused(
            f"{file}: could not be written ({fault.strerror}). Answers and findings are kept; name another place"
        ) from fault


def _words(answer: object) -> str:
    value = getattr(answer, "value", None)
    return value if isinstance(value, str) else ""
