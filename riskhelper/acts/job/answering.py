"""Answer a question, say that it is not known, remark, plan and prove controls, take back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from riskhelper.acts.context import MOST_NAME, MOST_WORDS, Context, Refused, checked_words
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.acts.permit.during_work import consequence
from riskhelper.evidence import Answer, SeveralMark
from riskhelper.interview import reading
from riskhelper.interview.order import falls_away, too_early
from riskhelper.record.contents import answer_content
from riskhelper.record.entries import ANSWER, LEAVE_OUT, NOTE, PLAN, PROVE, REQUEST_PLAN, TAKE_BACK, Entry
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.faults import nearest_name
from riskhelper.units import alternatives, unit_named, written


@dataclass(frozen=True, slots=True)
class GiveAnswer:
    """Input: what was typed for a question, in a unit (empty: the site's own)."""

    job: str
    milestone: str
    question: str
    typed: str
    unit: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Looked:
    """An answer before it is saved: read back, checked against the usual range, with what it would take away."""

    answer: Answer
    read_back: str
    outside_usual: str
    falls_away: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlanControl:
    """Input: a control to count on, who brings it about, and the evidence it will need."""

    job: str
    control: str
    by: str = ""
    evidence: str = ""


@dataclass(frozen=True, slots=True)
class ProveControl:
    """Input: the evidence that a control is in place, and the second person who saw it."""

    job: str
    control: str
    evidence: str
    second: str = ""


def look_at(context: Context, given: GiveAnswer) -> Looked:
    """What an answer would mean; nothing is saved. Raises `Refused` for what cannot be an answer."""
    state = resume_job(context, given.job)
    question = _question(context, state, given.question, given.milestone)
    if question.private and given.source:
        raise context.refused(
            ANSWER, "private", "A private question keeps no source, so that nobody is recognised. Leave it out"
        )
    unit = given.unit or site_unit(question, context.units)
    try:
        read = read_typed(question, given.question, given.typed, unit)
    except (reading.Refused, Refused) as fault:
        raise context.refused(ANSWER, "not accepted", str(fault)) from fault
    read = replace(read, source=checked_words("The source", given.source, MOST_WORDS))
    away = falls_away(state.rules, state.job, given.milestone, context.clock(), given.question, read)
    return Looked(read, reading.readable(question, read), reading.outside_usual(question, read), away)


def answer(context: Context, given: GiveAnswer) -> JobState:
    """Saves an answer as it was typed, beside its value."""
    looked = look_at(context, given)
    _save(context, resume_job(context, given.job), given.question, looked.answer)
    return resume_job(context, given.job)


def not_known(context: Context, job: str, milestone: str, question: str) -> JobState:
    """Saves that nobody here can say: from here on it counts at its worst."""
    state = resume_job(context, job)
    entry = _question(context, state, question, milestone)
    if state.rules.due_positions[question] > state.rules.positions[milestone]:
        raise context.refused(
            ANSWER, "too early", f"`{entry.ask}` stays due until {entry.asked_at.replace('_', ' ')}. Nothing to save"
        )
    _save(context, state, question, Answer(value=None))
    return resume_job(context, job)


def note(context: Context, job: str, text: str, question: str = "") -> JobState:
    """Saves a remark on a question, or on the job as a whole. It changes no answer."""
    words = checked_words("A note", text, MOST_WORDS)
    if not words:
        raise context.refused(NOTE, "empty", "A note needs words. Type them after the plus sign")
    entry = resume_job(context, job).rules.questions.get(question)
    if entry is not None and entry.private:
        raise context.refused(
            NOTE,
            "private",
            "A private question keeps no note, so that nobody is recognised. Tell the issuer instead",
        )
    context.append(job, NOTE, {"question": question, "text": words})
    return resume_job(context, job)


def take_back(context: Context, job: str) -> Entry:
    """Takes back the latest entry that counts, again and again to the beginning, until the plan was handed over."""
    history = resume_job(context, job).history
    last = history.undoable
    if last is None:
        why = (
            "The plan was handed over; from there on a change is a new answer"
            if any(entry.draft.act == REQUEST_PLAN for entry in history.counting)
            else "Nothing is left to take back: the job stands as it was opened"
        )
        raise context.refused(TAKE_BACK, "nothing", why)
    context.append(job, TAKE_BACK, {"entry": last.number, "log": last.log})
    return last


def plan(context: Context, given: PlanControl) -> JobState:
    """Counts on a control from here on."""
    state = resume_job(context, given.job)
    control = _known_control(context, PLAN, state, given.control)
    context.append(
        given.job,
        PLAN,
        {
            "control": given.control,
            "by": checked_words("The name", given.by, MOST_NAME) or state.rules.controls[control].by,
            "evidence": checked_words("The evidence", given.evidence, MOST_WORDS)
            or "; ".join(state.rules.controls[control].evidence),
        },
    )
    return resume_job(context, given.job)


def leave_out(context: Context, job: str, control: str) -> JobState:
    """No longer counts on a control."""
    state = resume_job(context, job)
    if control not in state.job.planned:
        raise context.refused(
            LEAVE_OUT, "not planned", f"Control `{control}` is not in the plan; nothing to leave out"
        )
    context.append(job, LEAVE_OUT, {"control": control})
    return resume_job(context, job)


def prove(context: Context, given: ProveControl) -> JobState:
    """Records the evidence that a control is in place."""
    state = resume_job(context, given.job)
    _known_control(context, PROVE, state, given.control)
    evidence = checked_words("The evidence", given.evidence, MOST_WORDS)
    if not evidence:
        raise context.refused(
            PROVE, "empty", "A control is proved by evidence: say what was seen or read, and where it is kept"
        )
    context.append(
        given.job,
        PROVE,
        {
            "control": given.control,
            "evidence": evidence,
            "second": checked_words("The second name", given.second, MOST_NAME),
        },
    )
    return resume_job(context, given.job)


def read_typed(question: QuestionEntry, name: str, typed: str, unit: str) -> Answer:
    """What was typed as an answer: a unit may follow a number, `?` before a line of several says it is not known."""
    words = checked_words("An answer", typed, MOST_WORDS)
    if question.type == "number":
        number, _, written_unit = words.partition(" ")
        return reading.read_value(question, name, number, written(written_unit.strip()) or unit)
    if question.type == "several" and "?" in words:
        return _with_open_lines(question, name, words)
    return reading.read_value(question, name, words, unit)


def _with_open_lines(question: QuestionEntry, name: str, typed: str) -> Answer:
    words = typed.replace(",", " ").split()
    open_lines = {word.removeprefix("?") for word in words if word.startswith("?")}
    for line in open_lines:
        if line not in question.options:
            raise Refused(f"`{line}` is no line of this question. Put ? straight before one of its lines")
    sure = " ".join(word for word in words if not word.startswith("?"))
    held = reading.read_value(question, name, sure, "").value if sure else {}
    marks: dict[str, SeveralMark] = dict.fromkeys(question.options, "no")
    marks.update(held if isinstance(held, Mapping) else {})
    marks.update(dict.fromkeys(open_lines, "not_known"))
    reading.check_alone(question, marks)
    return Answer(marks, typed=typed)


def unit_is_read_off(question: QuestionEntry) -> bool:
    """Whether the unit must be told with the number: a dial of pressure shows it, and no site is used to it."""
    dial = question.type == "number" and bool(question.says) and unit_named(question.unit).dimension == "pressure"
    return dial and len(alternatives(question.unit)) > 1


def site_unit(question: QuestionEntry, units: Mapping[str, str]) -> str:
    """The unit in which people of this site type such a number."""
    if question.type != "number":
        return ""
    return units.get(unit_named(question.unit).dimension, question.unit)


def _save(context: Context, state: JobState, question: str, given: Answer) -> None:
    """Saves an answer; outside a signed plan it suspends the work with the same entry."""
    content = answer_content(question, given, private=state.rules.questions[question].private)
    context.append(state.number, ANSWER, {**content, **consequence(context, state, question, given)})


def _question(context: Context, state: JobState, name: str, milestone: str) -> QuestionEntry:
    if name not in state.rules.questions:
        hint = nearest_name(name, state.rules.questions)
        raise context.refused(
            ANSWER,
            "unknown question",
            f"No question `{name}` in these rules." + (f" Did you mean `{hint}`?" if hint else ""),
        )
    question = state.rules.questions[name]
    if too_early(state.rules, name, milestone):
        point = state.rules.hold_points[question.asked_at]
        raise context.refused(
            ANSWER,
            "too early",
            f"Too early: `{question.ask}` can only be seen at hold point {point.words}. Answer it there",
        )
    return question


def _known_control(context: Context, act: str, state: JobState, name: str) -> str:
    if name in state.rules.controls:
        return name
    hint = nearest_name(name, state.rules.controls)
    raise context.refused(
        act,
        "unknown control",
        f"No control `{name}` in these rules." + (f" Did you mean `{hint}`?" if hint else ""),
    )
