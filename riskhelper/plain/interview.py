"""One question after another in plain lines; every answer is saved before the next question is asked."""

from __future__ import annotations

import shlex
import sys
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import answering, assessing, jobs, known_plant, office
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.assessing import Progress
from riskhelper.acts.job.findings import CAUTION, brief_lines, certain_stops
from riskhelper.acts.job.jobs import JobState, OpenJob
from riskhelper.acts.permit import during_work
from riskhelper.acts.plan.given_back import given_back
from riskhelper.acts.setting_up import Workplace
from riskhelper.interview.reading import readable
from riskhelper.plain.at_any_moment import SAYS, listening, stopped_words
from riskhelper.plain.ending import end
from riskhelper.plain.lines import Left, Lines
from riskhelper.plain.more import Desk
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.terms import PLACE_WORDS, Verdict
from riskhelper.units import alternatives, spoken, with_unit

HELP = (
    "Keys, each followed by Enter: a number chooses; ? means I do not know; = means still so; "
    "< goes back; + and words adds a note; ! tells the findings so far; m is more: answers by place, controls, "
    "statement, day, handing over; u takes back the last entry; h repeats this; q leaves. Every answer is saved at "
    "once."
)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the interview is started with. `folder` takes the papers."""

    folder: Path
    job: str = ""
    local_code: str = ""
    milestone: str = "gate"
    paper: str = "A4"
    command: str = "riskhelper"


def start(
    place: Workplace,
    *,
    job: str,
    local_code: str,
    milestone: str,
    who: str,
    role: str,
    paper: str,
    folder: Path,
) -> Verdict | None:
    """The interview on standard input and output."""
    wanted = Wanted(folder, job, local_code, milestone, paper, place.command)
    return run(place.context(who, role), Lines(sys.stdin, sys.stdout, place.said), wanted)


def run(context: Context, lines: Lines, wanted: Wanted) -> Verdict | None:
    """The interview to its end, giving the verdict; `None` where the person left before it."""
    state: JobState | None = None
    try:
        if context.rehearsal:
            lines.say("REHEARSAL. NOT FOR WORK. Everything below is practice.")
        lines.say(CAUTION, "")
        state = _job(context, listening(context, lines), wanted)
        if state.rules.translation is not None:
            lines = replace(lines, in_language=state.rules.translation.say)
        lines = listening(context, lines, state.number, wanted.milestone)
        lines.say(f"Job {state.number}, local code {state.job.local_code}.", HELP, SAYS)
        interview = _Interview(context, lines, wanted, state.number)
        interview.ask_all()
        end(context, lines, state.number, wanted.milestone, wanted.folder, wanted.paper)
        return _after_the_end(context, lines, wanted, interview)
    except Left:
        lines.say("", "You have left. Every answer is saved.")
        if state is not None:
            lines.say(f"To take the job up again: {wanted.command} interview --job {shlex.quote(state.number)}")
        return None


def _after_the_end(context: Context, lines: Lines, wanted: Wanted, interview: _Interview) -> Verdict:
    """What else there is, and answers given once more, until the person leaves; the verdict as it then stands."""
    try:
        lines.say("")
        while (asked := interview.desk.talk()) is not None:
            interview.again = asked
            interview.ask_all()
            state, assessment = assessing.assess_job(context, interview.number, wanted.milestone)
            lines.say("", *brief_lines(state.rules, state.job, assessment), "")
    except Left:
        lines.say("", "You have left. Every answer is saved.")
    return assessing.assess_job(context, interview.number, wanted.milestone)[1].verdict


def _job(context: Context, lines: Lines, wanted: Wanted) -> JobState:
    known = {line.number: line for line in jobs.list_jobs(context)}
    number = wanted.job
    if not number and known:
        lines.say("Jobs in this store, the latest first:")
        for line in known.values():
            handed = f", {line.plan}" if line.plan else ""
            lines.say(f"  {line.number}: {line.answers} answers, last worked on {line.last:%d %B %Y %H:%M}{handed}")
        number = lines.ask("Number of the job to take up, or Enter alone for a new one:")
    if number in known:
        return _resumed(context, lines, number)
    code = wanted.local_code or _local_code(context, lines)
    return jobs.open_job(context, OpenJob(code, number))


def _resumed(context: Context, lines: Lines, number: str) -> JobState:
    state = jobs.resume_job(context, number)
    lines.say(f"Taking up job {number} again after a pause of {_spoken_span(state.paused(context.clock()))}.")
    back = given_back(context, state)
    if back is not None:
        about = state.rules.questions.get(back.question)
        to = f" This note belongs to: {about.ask}" if about is not None else ""
        lines.say(_sentence(f"GIVEN BACK by {back.by}: {back.reason}") + to)
    if state.rules_changed:
        changed = ", ".join(state.rules_changed)
        lines.say(
            f"The rules have changed since the job was opened: {changed}. Every answer is kept; findings are new."
        )
    return state


def _local_code(context: Context, lines: Lines) -> str:
    codes = sorted(context.local_codes)
    if not codes:
        raise Refused("These rules hold no local code, so no job can be opened. Look at `riskhelper where`")
    sentences = tuple(f"{context.local_codes[code]} ({code})" for code in codes)
    return codes[
        lines.choose("Which local code applies here? It stays fixed for this job; the site tells.", sentences)
    ]


def _spoken_span(span: timedelta) -> str:
    minutes = int(span.total_seconds() // 60)
    if minutes < 1:
        return "less than a minute"
    if minutes < 120:
        return f"{minutes} minute{'s' if minutes > 1 else ''}"
    return f"{minutes // 60} hours" if minutes < 2880 else f"{minutes // 1440} days"


class _Interview:
    """The walk through the questions of one job."""

    def __init__(self, context: Context, lines: Lines, wanted: Wanted, number: str) -> None:
        self.context = context
        self.lines = lines
        self.milestone = wanted.milestone
        self.number = number
        self.desk = Desk(context, lines, number, wanted.milestone, wanted.folder, wanted.paper)
        self.plants = known_plant.KnownPlants(context.plants)
        back = given_back(context, jobs.resume_job(context, number))
        self.again: str | None = (back.question or None) if back is not None else None
        self.stops_told: frozenset[str] = frozenset()

    def ask_all(self) -> None:
        """Asks until nothing is due."""
        state, assessment = assessing.assess_job(self.context, self.number, self.milestone)
        self.stops_told = frozenset(stop.id for stop in certain_stops(assessment))
        progress = assessing.progress(self.context, state, self.milestone)
        for question in progress.stale:
            self.lines.say(f"This answer has aged and is asked again: {state.rules.questions[question].ask}")
        while (name := self.again or self._next(state, progress)) is not None:
            self._ask(state, progress, name)
            state = jobs.resume_job(self.context, self.number)
            progress = assessing.progress(self.context, state, self.milestone)

    def _next(self, state: JobState, progress: Progress) -> str | None:
        """The next question due, or before it an office answer that a stop reads, to be picked again."""
        hidden = office.to_pick_again(self.context, state, self.milestone)
        following = [name for name in (progress.next_question, *hidden[:1]) if name]
        return min(following, key=state.rules.places.__getitem__) if following else None

    def _ask(self, state: JobState, progress: Progress, name: str) -> None:
        question = state.rules.questions[name]
        place = progress.due.index(name) + 1 if name in progress.due else progress.dealt_with + 1
        self.lines.say("", *stopped_words(self.context, self.number))
        self.lines.say(f"Question {place} of about {max(place, progress.about)}. {PLACE_WORDS[question.place]}.")
        self.lines.say(question.ask, f"Why: {question.why}")
        if question.private:
            self.lines.say("Private: ask the person alone.")
        self.lines.say(*_how(question, answering.site_unit(question, self.context.units)))
        kept = state.job.answers.get(name)
        if name in office.to_pick_again(self.context, state, self.milestone):
            self.lines.say("The office has answered this. Look for yourself, then choose; theirs is shown after.")
        elif kept is not None:
            self.lines.say(_sentence(f"Answered so far: {readable(question, kept)}"), "Enter alone keeps it.")
        before = known_plant.offered(state, self.plants, name)
        if before is not None:
            self.lines.say(f"Known before: {before.words} ({before.last_seen}). Look; if it is still so, type =")
        self.lines.say(*(f"Note: {note.text}" for note in state.history.notes if note.question == name))
        while True:
            typed = self.lines.ask("Answer:")
            try:
                if self._handled(state, progress, name, typed):
                    return
            except Refused as refusal:
                self.lines.say(_sentence(str(refusal)))

    def _handled(self, state: JobState, progress: Progress, name: str, typed: str) -> bool:
        """Does what was typed; whether the walk goes on to the next question."""
        question = state.rules.questions[name]
        if typed == "":
            hidden = office.to_pick_again(self.context, state, self.milestone)
            if name in state.job.answers and self.again == name and name not in hidden:
                self.again = None
                return True
            self.lines.say("Nothing was entered. Type a choice, or ? if you do not know.")
        elif typed == "?":
            answering.not_known(self.context, self.number, self.milestone, name)
            self.lines.say("Saved as not known. It counts at its worst.", f"To do: {question.if_unknown}")
            return self._saved()
        elif typed == "=":
            return self._confirmed(state, name)
        elif typed == "<":
            return self._back(state, progress, name)
        elif typed == "!":
            _, assessment = assessing.assess_job(self.context, self.number, self.milestone)
            self.lines.say(*brief_lines(state.rules, state.job, assessment))
        elif typed == "m":
            self.again = self.desk.talk() or self.again
            return True
        elif typed == "h":
            self.lines.say(HELP, SAYS)
        elif typed == "q":
            raise Left
        elif typed == "u":
            taken = answering.take_back(self.context, self.number)
            self.lines.say(f"Taken back: entry {taken.number} ({taken.draft.act}). It stays in the record.")
            self.again = None
            return True
        elif typed.startswith("+"):
            answering.note(self.context, self.number, typed[1:], name)
            self.lines.say("Note saved.")
        else:
            return self._answered(state, name, typed)
        return False

    def _confirmed(self, state: JobState, name: str) -> bool:
        """Takes what was known before, now that somebody has looked."""
        before = known_plant.offered(state, self.plants, name)
        if before is None:
            self.lines.say("Nothing is known before that could be confirmed here. Type an answer.")
            return False
        known_plant.confirm(self.context, self.number, self.milestone, before)
        self.lines.say(_sentence(f"Saved: {before.words}"))
        return self._saved()

    def _answered(self, state: JobState, name: str, typed: str) -> bool:
        question = state.rules.questions[name]
        if answering.unit_is_read_off(question) and typed[-1:].isdigit():
            units = ", ".join(map(spoken, alternatives(question.unit)))
            raise Refused(f"Write the unit the dial shows after the number: {units}")
        source = office.source_at(self.milestone)
        given = GiveAnswer(self.number, self.milestone, name, chosen(question, typed), source=source)
        looked = answering.look_at(self.context, given)
        doubts = [looked.outside_usual] if looked.outside_usual else []
        doubts += [
            f"This would no longer be asked; its answer is kept without effect: {state.rules.questions[q].ask}"
            for q in looked.falls_away
        ]
        if doubts:
            self.lines.say(_sentence(f"You entered: {looked.read_back}"), *doubts)
            if self.lines.ask("Type yes to keep it, or Enter alone to answer again:").lower() not in ("yes", "y"):
                self.lines.say("Not saved.")
                return False
        before, picked = state.job.answers.get(name), office.to_pick_again(self.context, state, self.milestone)
        now = answering.answer(self.context, given)
        self.lines.say(_sentence(f"Saved: {looked.read_back}"))
        if before is not None and name in picked:
            here = now.job.answers[name]
            there, said = readable(question, before), readable(question, here)
            self.lines.say(office.compared_words(there, before.at, said, same=before.value == here.value))
        otherwise = known_plant.differs(now, self.plants, name)
        if otherwise:
            self.lines.say(_sentence(otherwise))
        return self._saved()

    def _saved(self) -> bool:
        """After an answer: tells a stop that has become certain."""
        self.again = None
        _, assessment = assessing.assess_job(self.context, self.number, self.milestone)
        certain = certain_stops(assessment)
        for stop in certain:
            if stop.id not in self.stops_told:
                self.lines.say(f"STOP: {stop.title}. {stop.because}", f"  What to do: {stop.act}")
        self.stops_told = frozenset(stop.id for stop in certain)
        self.lines.say(*during_work.to_do_now(self.context, self.number))
        return True

    def _back(self, state: JobState, progress: Progress, name: str) -> bool:
        earlier = progress.due[: progress.due.index(name)] if name in progress.due else progress.due
        answered = [question for question in earlier if question in state.job.answers]
        if not answered:
            self.lines.say("This is the first question; there is nothing before it.")
            return False
        self.again = answered[-1]
        return True


def _sentence(words: str) -> str:
    """Words ended by one full stop."""
    return words if words.endswith((".", "?", "!")) else f"{words}."


def chosen(question: QuestionEntry, typed: str) -> str:
    """The option ids behind typed numbers; other text is passed on as it is."""
    options = tuple(question.options)
    if not options:
        return typed

    def option(word: str) -> str:
        mark = "?" if word.startswith("?") else ""
        digits = word.removeprefix("?")
        if digits.isascii() and digits.isdigit():
            if not 1 <= int(digits) <= len(options):
                raise Refused(f"`{digits}` is not one of 1 to {len(options)}. Type one of these numbers")
            return mark + options[int(digits) - 1]
        return word

    if question.type != "several":
        return option(typed)
    return ", ".join(option(word) for word in typed.replace(",", " ").split())


def _how(question: QuestionEntry, unit: str) -> list[str]:
    """How to answer, in words."""
    if question.options:
        lines = [f"  {number}. {sentence}" for number, sentence in enumerate(question.options.values(), start=1)]
        if question.type == "several":
            lines.append(
                "Type the numbers of all that hold, with blanks between; ? before a number where it is not known."
            )
        return lines
    if question.type != "number":
        return ["Type it in words."]
    if answering.unit_is_read_off(question):
        unit = ""
    others = [other for other in alternatives(question.unit) if other and other != unit]
    lines = [f"Type a number in {spoken(unit)}." if unit else "Type a number."]
    if question.range is not None:
        low, high = question.range
        usual = f", usually {question.usual[0]:g} to {question.usual[1]:g}" if question.usual else ""
        lines = [f"{lines[0]} Accepted: {with_unit(f'{low:g} to {high:g}', question.unit)}{usual}."]
    if answering.unit_is_read_off(question):
        lines.append(f"Write the unit the dial shows after the number: {', '.join(map(spoken, others))}.")
    elif others:
        lines.append(f"Other units may follow the number: {', '.join(map(spoken, others))}.")
    return lines
