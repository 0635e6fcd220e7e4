"""Write a job's papers: method statement, summary, sheets and blank form, each as PDF and as plain text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job.assessing import assess_job, assessed
from riskhelper.acts.job.from_file import Taken
from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.job.site_details import site_header
from riskhelper.acts.job.stated_plant import plant_number, site_name
from riskhelper.acts.whole_files import write_whole
from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.faults import nearest_name
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.blank_form import blank_form
from riskhelper.statement.catalogue import JOB_PAPERS
from riskhelper.statement.document import Document
from riskhelper.statement.header import Header
from riskhelper.statement.translated import in_language

PAPERS = ("A4", "Letter")
METHOD_STATEMENT = "method-statement"
BLANK_FORM = "blank-form"
KINDS = (*JOB_PAPERS, BLANK_FORM)


@dataclass(frozen=True, slots=True)
class WritePapers:
    """Input: which job, at which milestone, into which folder, on which paper; `kind` is one of `KINDS`."""

    job: str
    milestone: str
    folder: Path
    paper: str = "A4"
    kind: str = METHOD_STATEMENT


@dataclass(frozen=True, slots=True)
class Written:
    """Where the papers lie."""

    pdf: Path
    text: Path


def write_papers(context: Context, given: WritePapers) -> Written:
    """A paper of a job in the store, as PDF and as text."""
    state, document = _stated(context, given)
    return _written(
        document, given.folder, f"{given.kind}-{in_a_name(given.job)}-{state.history.last_number}", given.paper
    )


def write_papers_of(taken: Taken, kinds: Sequence[str], folder: Path, paper: str, now: datetime) -> list[Written]:
    """Papers of an answer file, as PDF and as text; without kinds all there are."""
    file = taken.file
    assessment = assessed(taken.rules, file.job, file.milestone, now)
    documents = {k: paper_of(k, taken.rules, file.job, assessment, file.header, now) for k in kinds or KINDS}
    return [
        _written(document, folder, f"{kind}-{in_a_name(file.job.number)}".strip("-"), paper)
        for kind, document in documents.items()
    ]


def read_papers(context: Context, given: WritePapers, width: int) -> list[str]:
    """The same paper in lines, to be read on a screen; nothing is written."""
    from riskhelper.paper.text import to_text

    return to_text(_stated(context, given)[1], width).splitlines()


def _stated(context: Context, given: WritePapers) -> tuple[JobState, Document]:
    from riskhelper.acts.plan.gate import permit_of
    from riskhelper.acts.rule_sets.adopting import in_force_here

    state, assessment = assess_job(context, given.job, given.milestone)
    permit = permit_of(context, given.job)
    window = (permit.starts, permit.ends) if permit is not None and not permit.closed else (None, None)
    header = replace(
        site_header(context, state),
        record_number=f"{given.job}, entry {state.history.last_number}",
        site=site_name(state.job),
        plant=plant_number(state.job),
        work_leader=context.who,
        prepared_by=context.who,
        prepared_at=state.history.last,
        adopted=in_force_here(context, state.rules),
        permit_from=window[0],
        permit_until=window[1],
    )
    return state, paper_of(given.kind, state.rules, state.job, assessment, header, context.clock())


def paper_of(kind: str, rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """A paper as a value, by the name a person asks for, in the language its rules are read in."""
    if kind == BLANK_FORM:
        return in_language(blank_form(rules, header, now), rules.translation)
    if kind not in JOB_PAPERS:
        hint = nearest_name(kind, KINDS)
        known = f"Did you mean `{hint}`?" if hint else f"Known are {', '.join(KINDS)}"
        raise Refused(f"There is no paper `{kind}`. {known}")
    return in_language(JOB_PAPERS[kind](rules, job, assessment, header, now), rules.translation)


def statement(rules: RuleSet, job: Job, assessment: Assessment, header: Header, now: datetime) -> Document:
    """The method statement as a value."""
    return paper_of(METHOD_STATEMENT, rules, job, assessment, header, now)


def _written(document: Document, folder: Path, stem: str, paper: str) -> Written:
    pdf, text = folder / f"{stem}.pdf", folder / f"{stem}.txt"
    write_pdf(document, pdf, paper)
    write_text(document, text)
    return Written(pdf, text)


def in_a_name(words: str) -> str:
    """Words as part of a file name."""
    return re.sub(r"[^A-Za-z0-9-]+", "-", words)


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
