"""An answer file on disk: read with its rules, assessed, entered into a store."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job.answer_files import MOST_BYTES, AnswerFile, Unread, opened
from riskhelper.acts.job.answer_reading import read
from riskhelper.acts.job.jobs import JobState, OpenJob, open_job, resume_job
from riskhelper.acts.job.site_details import site_lines, tell_site
from riskhelper.acts.setting_up import RuleShelf
from riskhelper.record.contents import answer_content
from riskhelper.record.entries import ANSWER, PLAN, PROVE
from riskhelper.ruleset.model import RuleSet


@dataclass(frozen=True)
class Taken:
    """An answer file with the rules it was read against."""

    rules: RuleSet
    file: AnswerFile


def take(path: Path, shelf: RuleShelf, local_code: str = "", milestone: str = "") -> Taken:
    """Reads an answer file under the local code it names, or the one given where it names none."""
    unread = opened(str(path), _bytes(path))
    code = _local_code(unread, local_code)
    if code and code not in shelf.local_codes:
        known = ", ".join(f"`{name}`" for name in sorted(shelf.local_codes))
        raise Refused(f"{path}: local code `{code}` is not known; known are {known}")
    rules = shelf(code)
    return Taken(rules, read(replace(unread, milestone=milestone or unread.milestone), rules, code))


def enter(context: Context, file: AnswerFile) -> JobState:
    """Opens a job in the store with all answers and planned controls of a file; a job already there is taken up."""
    number = file.job.number
    if number in context.store.jobs():
        return resume_job(context, number)
    state = open_job(context, OpenJob(file.job.local_code, number))
    for question, answer in file.job.answers.items():
        private = state.rules.questions[question].private
        context.append(state.number, ANSWER, answer_content(question, answer, private=private))
    for control, plan in file.job.planned.items():
        context.append(state.number, PLAN, {"control": control, "by": plan.by, "evidence": plan.evidence})
    for control, proof in file.job.proved.items():
        content = {"control": control, "evidence": proof.evidence, "second": proof.second}
        context.append(state.number, PROVE, dict(content))
    for line in site_lines(file.header):
        if line.words:
            tell_site(context, state.number, line.name, line.words)
    return resume_job(context, state.number)


def _local_code(unread: Unread, given: str) -> str:
    if given and unread.local and given != unread.local:
        raise Refused(
            f"{unread.parsed.file}: was opened under local code `{unread.local}`, which stays fixed; "
            f"you asked for `{given}`. Leave --local out, or open another job"
        )
    return unread.local or given


def _bytes(path: Path) -> bytes:
    """The bytes of a file; one byte more than is accepted is enough to refuse it."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as fault:
        raise Refused(f"{path}: cannot be read ({fault.strerror}). Check the name and its permissions") from fault
    return data
