"""Everything of a job that is not a question, in plain lines: to read, to plan, to hand over, to answer once more."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import answering, assessing, jobs, known_plant, office, site_details, stopping
from riskhelper.acts.job.assessing import assess_job
from riskhelper.acts.job.change_words import change_lines
from riskhelper.acts.job.findings import full_lines
from riskhelper.acts.job.papers import WritePapers, read_papers, write_papers
from riskhelper.acts.job.plant_files import PlantFaults
from riskhelper.acts.plan.given_back import can_ask
from riskhelper.acts.plan.job_day import told_day
from riskhelper.assessment.changing import find_out_first, what_would_change
from riskhelper.assessment.result import Assessment
from riskhelper.plain import asking_permit, planning
from riskhelper.plain.lines import WIDTH, Lines
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import PLACE_WORDS

Way = tuple[str, Callable[[], "str | None"]]
"""What one may do, in words, and doing it; a question comes back where it is to be asked next."""


@dataclass(frozen=True)
class Desk:
    """One job and where its papers go."""

    context: Context
    lines: Lines
    number: str
    milestone: str
    folder: Path
    paper: str

    def talk(self) -> str | None:
        """What to do, until the person goes back; the question to be asked next, where one was chosen."""
        while True:
            ways = self._ways()
            choice = self.lines.choose("What next?", ("Go on.", *(words for words, _ in ways)), empty=0)
            if choice == 0:
                return None
            try:
                asked = ways[choice - 1][1]()
            except Refused as refusal:
                self.lines.say(f"{refusal}.")
                continue
            if asked is not None:
                return asked

    @property
    def state(self) -> jobs.JobState:
        """The job as it stands."""
        return jobs.resume_job(self.context, self.number)

    def _ways(self) -> list[Way]:
        state, told = self.state, self._told
        ways: list[Way] = [
            ("See what was found, in full.", told(self._findings)),
            ("Find out first: what is not known. Choose one to answer it.", self._find_out),
            ("Find what would change a stop or a hazard.", self._change),
            ("Look at the answers by place, and change one.", self._answers),
            (
                "Plan a control, record its evidence, or leave it out.",
                self._act(planning.choose, self.context, self.lines, self.number, self.milestone),
            ),
            ("Read the method statement.", told(self._statement)),
            ("Write the method statement as PDF and as text.", self._act(self._write)),
            ("The day on one line: daylight, weather, permit window, hold points.", told(self._day)),
            ("Say where the site is and whom to call.", self._act(self._site)),
            ("Answers from the office, with source and date.", told(self._office)),
            ("Take back the latest entry.", self._act(self._take_back)),
        ]
        if any(q in state.rules.questions and state.rules.questions[q].of_plant for q in state.job.answers):
            ways.append(("Keep what stays true of this plant for the next visit.", self._act(self._keep_plant)))
        if not state.history.plan_requested:
            ways.append(("Hand the plan over to be read.", self._act(self._hand_over)))
        elif can_ask(self.context, self.number):
            ways.append(("Ask for the permit.", self._act(asking_permit.ask, self.context, self.lines, self.number)))
        if stopping.standing_stop(state.history) is not None:
            ways.append(("The issuer has ended the stop: write down the issuer's words.", self._act(self._end_stop)))
        return ways

    def _told(self, read: Callable[[], Sequence[str]]) -> Callable[[], None]:
        return lambda: self.lines.say("", *read(), "")

    @staticmethod
    def _act(do: Callable[..., object], *given: object) -> Callable[[], None]:
        def done() -> None:
            do(*given)

        return done

    # -- to read

    def _findings(self) -> Sequence[str]:
        state, found = assess_job(self.context, self.number, self.milestone)
        return full_lines(state.rules, found)

    def _statement(self) -> Sequence[str]:
        return read_papers(self.context, WritePapers(self.number, self.milestone, self.folder), WIDTH)

    def _day(self) -> Sequence[str]:
        return told_day(self.context, self.number, self.milestone, WIDTH)

    def _office(self) -> Sequence[str]:
        state = self.state
        return office.office_lines(state, office.to_pick_again(self.context, state, self.milestone))

    def _change(self) -> None:
        state, found = assess_job(self.context, self.number, self.milestone)
        targets = _targets(state.rules, found)
        if not targets:
            self.lines.say("Nothing was found that could change.")
            return
        words = tuple(words for _, words in targets)
        picked = self.lines.choose("What would change which?", ("Go back.", *words), empty=0)
        if picked == 0:
            return
        self.lines.say("Looking for acts ...")
        target, now = targets[picked - 1][0], self.context.clock()
        change = what_would_change(state.rules, state.job, self.milestone, now, target)
        self.lines.say("", *change_lines(change))

    # -- to answer once more

    def _find_out(self) -> str | None:
        state, found = assess_job(self.context, self.number, self.milestone)
        names = find_out_first(found)
        if not names:
            self.lines.say("Nothing that was asked so far is not known.")
            return None
        questions = [state.rules.questions[name] for name in names]
        said = tuple(f"{question.ask} To do: {question.if_unknown}" for question in questions)
        picked = self.lines.choose("Not known, the most telling first:", ("Go back.", *said), empty=0)
        return names[picked - 1] if picked else None

    def _answers(self) -> str | None:
        state = self.state
        due = assessing.progress(self.context, state, self.milestone).due
        hidden, now = office.to_pick_again(self.context, state, self.milestone), self.context.clock()
        places = list(dict.fromkeys(state.rules.questions[name].place for name in due))
        at = self.lines.choose("At which place?", ("Go back.", *(PLACE_WORDS[place] for place in places)), empty=0)
        if at == 0:
            return None
        here = [name for name in due if state.rules.questions[name].place == places[at - 1]]
        said = (f"{state.rules.questions[name].ask} {office.answer_words(state, name, hidden, now)}" for name in here)
        picked = self.lines.choose("Which one?", ("Go back.", *said), empty=0)
        return here[picked - 1] if picked else None

    # -- to do

    def _write(self) -> None:
        written = write_papers(self.context, WritePapers(self.number, self.milestone, self.folder, self.paper))
        self.lines.say(f"Method statement for print: {written.pdf}", f"The same as plain text: {written.text}")

    def _site(self) -> None:
        while True:
            lines = site_details.site_lines(site_details.site_header(self.context, self.state))
            said = (f"{line.name}: {line.words or 'nobody has said it yet'}" for line in lines)
            picked = self.lines.choose("Where the site is, whom to call:", ("Go back.", *said), empty=0)
            if picked == 0:
                return
            name = lines[picked - 1].name
            if typed := self.lines.words(f"{name}, or Enter alone to leave it:"):
                site_details.tell_site(self.context, self.number, name, typed)
                self.lines.say("Saved.")

    def _take_back(self) -> None:
        if self.lines.ask("Type yes to take back the latest entry, or Enter alone to keep it:").lower() != "yes":
            return
        taken = answering.take_back(self.context, self.number)
        self.lines.say(f"Taken back: entry {taken.number} ({taken.draft.act}). It stays in the record.")

    def _keep_plant(self) -> None:
        try:
            file, changed = known_plant.keep(self.context, known_plant.KnownPlants(self.context.plants), self.number)
        except PlantFaults as told:
            self.lines.say("Nothing was kept: the plant files have faults.", *told.faults)
            return
        count = "1 answer is" if len(changed) == 1 else f"{len(changed)} answers are"
        self.lines.say(f"Kept: {count} new or changed: {file}")

    def _hand_over(self) -> None:
        hand_over(self.context, self.lines, self.number, self.milestone)

    def _end_stop(self) -> None:
        def once() -> str:
            name = self.lines.words("Name of the issuer:")
            said = self.lines.words("What the issuer said, word for word:")
            stopping.end_stop(self.context, self.number, name, said)
            return "Saved: the stop is ended."

        self.lines.until_taken(once)


def hand_over(context: Context, lines: Lines, number: str, milestone: str) -> None:
    """Asks whether the plan is handed over, and then for the permit."""
    lines.say("", "The plan can now be handed over to be read. Nothing before that can be taken back afterwards.")
    if lines.ask("Type yes to hand it over, or Enter alone to leave it open:").lower() == "yes":
        jobs.request_plan(context, number, milestone)
        lines.say("Handed over. Approving the plan and issuing a permit are two acts by other people.")
        asking_permit.ask(context, lines, number)


def _targets(rules: RuleSet, found: Assessment) -> list[tuple[str, str]]:
    """Stops and hazards whose change can be looked for, by id and in words."""
    stops = [(stop.id, f"Stop: {stop.title}") for stop in found.stops if stop.id in rules.stop_rules]
    return stops + [(h.id, f"Hazard: {h.title}") for h in found.hazards if h.id in rules.hazard_rules]
