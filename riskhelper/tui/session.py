"""One sitting with one job: every act of the interface goes through here, and after each the job is read again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from riskhelper.acts.context import Context
from riskhelper.acts.job import (
    answering,
    assessing,
    jobs,
    known_plant,
    office,
    points_of_work,
    site_details,
    stopping,
)
from riskhelper.acts.job.answering import GiveAnswer, Looked, PlanControl, ProveControl
from riskhelper.acts.job.assessing import Progress
from riskhelper.acts.job.findings import certain_stops
from riskhelper.acts.job.jobs import JobState, OpenJob
from riskhelper.acts.job.kept_page import KeptPage, keep_page, kept_page
from riskhelper.acts.job.known_plant import KnownPlants, Offered
from riskhelper.acts.job.papers import WritePapers, Written, read_papers, write_papers
from riskhelper.acts.job.plant_files import PlantFaults
from riskhelper.acts.job.points_of_work import PointOfWork
from riskhelper.acts.job.stopping import StandingStop
from riskhelper.acts.permit import during_work
from riskhelper.acts.plan.decided import decision_in
from riskhelper.acts.plan.given_back import can_ask, given_back
from riskhelper.acts.plan.job_day import told_day
from riskhelper.assessment.result import Assessment, StopFinding
from riskhelper.evidence import Answer
from riskhelper.interview.reading import readable
from riskhelper.permit.document import Returned
from riskhelper.record.entries import ANSWER
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.header import Header
from riskhelper.terms import Verdict
from riskhelper.tui import wording
from riskhelper.tui.taken_back import entry_words


@dataclass(frozen=True)
class Place:
    """Where one question stands in the walk."""

    name: str
    question: QuestionEntry
    number: int
    of_about: int
    picked_again: bool


class Session:
    """State of the sitting. Screens show it and call its acts; they never keep an answer themselves."""

    def __init__(self, context: Context, milestone: str, folder: Path, paper: str, kept: Path | None) -> None:
        self.context = context
        self.milestone = milestone
        self.kept = kept
        self.folder = folder
        self.paper = paper
        self.changed = ""
        self.notice = ""
        self.warns = False
        """Whether the notice is a warning, which stands bold."""
        self.only_reads = False
        """Whether whoever sits here changes nothing in the job: then nothing they did last is told."""
        self.plants = KnownPlants(context.plants)
        self.asked_again: str | None = None
        self._state: JobState | None = None
        self._progress: Progress | None = None
        self._pick_again: tuple[str, ...] = ()
        self._assessment: Assessment | None = None
        self._assessed_at = -1

    # -- what stands

    @property
    def state(self) -> JobState:
        """The job as it stands."""
        assert self._state is not None
        return self._state

    @property
    def rules(self) -> RuleSet:
        """The rules of the job."""
        return self.state.rules

    def say(self, words: str) -> str:
        """A sentence of the interface in the language the rules are read in; as it is where that has none for it."""
        translation = self.rules.translation
        return translation.say(words) if translation is not None else words

    @property
    def progress(self) -> Progress:
        """How far the interview has come."""
        assert self._progress is not None
        return self._progress

    @property
    def now(self) -> datetime:
        """The moment on the site's clock."""
        return self.context.clock()

    @property
    def stop(self) -> StandingStop | None:
        """A stop called by a person that stands."""
        return stopping.standing_stop(self.state.history)

    @property
    def known_assessment(self) -> Assessment | None:
        """The latest assessment, which may be one answer behind; none before the first."""
        return self._assessment

    @property
    def is_behind(self) -> bool:
        """Whether the latest assessment does not know the latest entry."""
        return self._assessed_at != self.state.history.last_number

    @property
    def standing_stops(self) -> Sequence[StopFinding]:
        """Stops that no answer still to come can rule out."""
        found = self._assessment
        return certain_stops(found) if found is not None else ()

    @property
    def to_answer(self) -> int:
        """About how many questions are still to be answered now, as the head counts them; exactly, for a reader."""
        if self.only_reads:
            answers = self.state.job.answers
            return sum(question not in answers for question in self.assessment.unknowns)
        return self.progress.about - self.progress.dealt_with

    @property
    def pick_again(self) -> tuple[str, ...]:
        """Office answers a stop reads, to be picked again before they are shown."""
        return self._pick_again

    @property
    def assessment(self) -> Assessment:
        """The assessment of the job as it stands."""
        if self._assessment is None or self._assessed_at != self.state.history.last_number:
            self.assess()
        assert self._assessment is not None
        return self._assessment

    @property
    def given_back(self) -> Returned | None:
        """Why the plan was given back, as long as it has not been asked for again."""
        return given_back(self.context, self.state)

    @property
    def can_ask_for_permit(self) -> bool:
        """Whether the permit is to be drawn up and asked for, or asked for again."""
        return self.state.history.plan_requested and can_ask(self.context, self.state.number)

    @property
    def verdict_if_complete(self) -> Verdict | None:
        """The verdict, where nothing more is due."""
        return self.assessment.verdict if self.next_question is None else None

    @property
    def next_question(self) -> str | None:
        """The question to be asked next: one asked for by name, an office answer to pick again, or the next due."""
        if self.asked_again is not None:
            return self.asked_again
        following = [q for q in (self.progress.next_question, *self._pick_again[:1]) if q]
        return min(following, key=self.rules.places.__getitem__) if following else None

    def keep_page(self, place: Place) -> None:
        """Keeps the words of the question on the screen, to be shown at once after a pause."""
        question = place.question
        keys = [str(number) for number in range(1, 10)] + [""] * len(question.options)
        rows = tuple(zip(keys, question.options.values(), strict=False))
        if self.kept is not None:
            last = self.state.history.last_number
            keep_page(self.kept, KeptPage(self.state.number, place.name, question.ask, question.why, rows, last))

    def place_of(self, name: str) -> Place:
        """A question with its place in the walk."""
        due = self.progress.due
        number = due.index(name) + 1 if name in due else self.progress.dealt_with + 1
        about = max(number, self.progress.about)
        return Place(name, self.rules.questions[name], number, about, name in self._pick_again)

    def answer_to(self, name: str) -> Answer | None:
        """The answer that counts."""
        return self.state.job.answers.get(name)

    def unit_of(self, question: QuestionEntry) -> str:
        """The unit people of this site type such a number in."""
        return answering.site_unit(question, self.context.units)

    # -- acts

    def open(self, local_code: str, number: str) -> None:
        """Opens a job."""
        self._take(jobs.open_job(self.context, OpenJob(local_code, number)))

    def resume(self, number: str) -> None:
        """Takes a job up again, and says how long the pause was and what has aged."""
        state = jobs.resume_job(self.context, number)
        now = self.now
        self._take(state)
        self._go_to_kept()
        stale = [self.rules.questions[q].ask for q in self.progress.stale]
        self.notice = wording.resumed(state.paused(now), stale, state.rules_changed)
        if (back := self.given_back) is not None:
            self.notice = f"GIVEN BACK by {back.by}: {wording.sentence(back.reason)} {self.notice}"
            self.asked_again = back.question if back.question in self.rules.questions else None
        decided = decision_in(self.context, state.history.counting)
        if decided is not None and not decided.again and self.given_back is None:
            self.notice = f"{decided.words} {self.notice}"

    def _go_to_kept(self) -> None:
        """Goes to the question that stood on the screen before the pause, unless one was answered after it."""
        kept = kept_page(self.kept, self.state.number) if self.kept is not None else None
        if kept is None or kept.question not in self.progress.due or kept.question == self.next_question:
            return
        since = (e for e in self.state.history.counting if e.number > kept.after_entry)
        if not any(entry.draft.act == ANSWER for entry in since):
            self.asked_again = kept.question

    def look(self, name: str, typed: str, unit: str = "") -> Looked:
        """What an answer would mean; nothing is saved."""
        return answering.look_at(self.context, self._given(name, typed, unit))

    def answer(self, name: str, typed: str, unit: str = "") -> None:
        """Saves an answer."""
        before, picked = self.answer_to(name), name in self._pick_again
        self._after(answering.answer(self.context, self._given(name, typed, unit)))
        after = self.answer_to(name)
        if picked and before is not None and after is not None:
            question = self.rules.questions[name]
            there, here = readable(question, before), readable(question, after)
            self.notice = office.compared_words(there, before.at, here, same=before.value == after.value)
        otherwise = known_plant.differs(self.state, self.plants, name)
        if otherwise:
            self.notice, self.warns = f"{wording.sentence(otherwise)} {self.notice}".strip(), True

    def offered(self, name: str) -> Offered | None:
        """What an earlier visit saw, to be confirmed after looking. A plant file with faults is told of once."""
        try:
            return known_plant.offered(self.state, self.plants, name)
        except PlantFaults as told:
            self.plants = KnownPlants(None)
            self.notice = f"Nothing of an earlier visit is offered. {wording.sentence(' '.join(told.faults))}"
            self.warns = True
            return None

    def confirm(self, item: Offered) -> None:
        """Saves what an earlier visit saw as looked at and found the same."""
        self._after(known_plant.confirm(self.context, self.state.number, self.milestone, item))

    @property
    def knows_of_plant(self) -> bool:
        """Whether an answer of this job stays true of the plant."""
        questions = self.rules.questions
        return any(q in questions and questions[q].of_plant for q in self.state.job.answers)

    def keep_plant(self) -> tuple[Path, int]:
        """Keeps what stays true of the plant for the next visit; the file, and how many answers are new in it."""
        file, changed = known_plant.keep(self.context, self.plants, self.state.number)
        self.plants = KnownPlants(self.context.plants)
        return file, len(changed)

    def not_known(self, name: str) -> None:
        """Saves that nobody here can say."""
        self._after(answering.not_known(self.context, self.state.number, self.milestone, name))

    def note(self, words: str, name: str) -> None:
        """Saves a remark on a question."""
        self._take(answering.note(self.context, self.state.number, words, name))

    def take_back(self) -> str:
        """Takes back the latest entry, and says which."""
        words = entry_words(self.rules, answering.take_back(self.context, self.state.number))
        self._take(jobs.resume_job(self.context, self.state.number))
        self.asked_again = None
        return words

    def plan(self, control: str, by: str = "", evidence: str = "") -> None:
        """Counts on a control."""
        self._take(answering.plan(self.context, PlanControl(self.state.number, control, by, evidence)))

    def leave_out(self, control: str) -> None:
        """No longer counts on a control."""
        self._take(answering.leave_out(self.context, self.state.number, control))

    def prove(self, control: str, evidence: str, second: str) -> None:
        """Records the evidence of a control."""
        self._take(answering.prove(self.context, ProveControl(self.state.number, control, evidence, second)))

    @property
    def site(self) -> Header:
        """Where the site is and whom to call, as far as anybody has said."""
        return site_details.site_header(self.context, self.state)

    def tell_site(self, name: str, words: str) -> None:
        """Saves one line of the emergency page."""
        site_details.tell_site(self.context, self.state.number, name, words)
        self._take(jobs.resume_job(self.context, self.state.number))

    def hand_over(self) -> None:
        """Hands the plan over to be read."""
        self._take(jobs.request_plan(self.context, self.state.number, self.milestone))

    @property
    def point(self) -> str:
        """The point of the work one stands at, in words."""
        return points_of_work.point_words(self.state, self.milestone)

    @property
    def points(self) -> Sequence[PointOfWork]:
        """The points the work can have come to, with what is open at each."""
        return points_of_work.points_of_work(self.state, self.now)

    def stand_at(self, milestone: str) -> None:
        """The work has come to another point: its questions are asked now."""
        self.milestone = milestone
        self._after(self.state)
        self.assess()

    def write_papers(self) -> Written:
        """Writes the method statement as PDF and as text."""
        given = WritePapers(self.state.number, self.milestone, self.folder, self.paper)
        return write_papers(self.context, given)

    def statement_lines(self, width: int) -> Sequence[str]:
        """The method statement in lines."""
        given = WritePapers(self.state.number, self.milestone, self.folder, self.paper)
        return read_papers(self.context, given, width)

    def day_lines(self, width: int) -> Sequence[str]:
        """The day of the job in lines."""
        return told_day(self.context, self.state.number, self.milestone, width)

    def stop_work(self) -> None:
        """Stops the work; saved before anything is drawn."""
        number = self.state.number
        stopping.stop_work(self.context, number, self.milestone)
        self._take(jobs.resume_job(self.context, number))

    def tell_stop(self, called_by: str, reason: str) -> None:
        """Saves who called the stop and why."""
        stopping.tell_stop(self.context, self.state.number, called_by, reason)
        self._take(jobs.resume_job(self.context, self.state.number))

    def end_stop(self, ended_by: str, words: str) -> None:
        """Saves that the issuer has ended the stop."""
        stopping.end_stop(self.context, self.state.number, ended_by, words)
        self._take(jobs.resume_job(self.context, self.state.number))

    def back_from(self, name: str | None) -> bool:
        """Goes to the answered question before this one; whether there is one."""
        due = self.progress.due
        earlier = due[: due.index(name)] if name in due else due
        answered = [q for q in earlier if q in self.state.job.answers]
        if answered:
            self.asked_again = answered[-1]
        return bool(answered)

    def assess(self) -> bool:
        """Assesses the job as it stands and says what changed; whether anything did."""
        before = self._assessment
        _, self._assessment = assessing.assess_job(self.context, self.state.number, self.milestone)
        self._assessed_at = self.state.history.last_number
        if before is not None:
            self.changed = " ".join(map(self.say, wording.what_changed(before, self._assessment)))
        return before != self._assessment

    # -- inside

    def _given(self, name: str, typed: str, unit: str) -> GiveAnswer:
        return GiveAnswer(
            self.state.number, self.milestone, name, typed, unit, source=office.source_at(self.milestone)
        )

    @property
    def at_once(self) -> Sequence[str]:
        """What the worker is told before anything else: a permit that is suspended, a check that is due."""
        return during_work.to_do_now(self.context, self.state.number)

    def _after(self, state: JobState) -> None:
        self.notice, self.warns = "", False
        self.asked_again = None
        self._take(state)

    def _take(self, state: JobState) -> None:
        self._state = state
        self._progress = assessing.progress(self.context, state, self.milestone)
        self._pick_again = office.to_pick_again(self.context, state, self.milestone)
