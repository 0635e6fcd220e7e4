"""The plans at the gate in plain lines: the list, one plan, everything that stands behind it, and what is decided."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from functools import partial

from riskhelper.acts.context import Context
from riskhelper.acts.job.assessing import assess_job
from riskhelper.acts.job.findings import full_lines
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.job.papers import WritePapers, read_papers
from riskhelper.acts.plan import gate, plan_reading, plan_words
from riskhelper.acts.plan.condition_words import grouped
from riskhelper.acts.plan.pace import pace_lines
from riskhelper.acts.plan.plan_envelope import plan_envelope
from riskhelper.acts.plan.plan_reading import PlanRead, age
from riskhelper.acts.plan.waiting import AtTheGate, at_the_gate, decided_words, named
from riskhelper.acts.setting_up import Workplace
from riskhelper.interview.reading import readable
from riskhelper.permit import course
from riskhelper.permit.document import Permit
from riskhelper.permit.meanings import PERMIT_MEANINGS
from riskhelper.plain.at_any_moment import SAYS, listening
from riskhelper.plain.gate_acts import done, read_back, written
from riskhelper.plain.lines import WIDTH, Left, Lines
from riskhelper.terms import APPROVAL


def start(place: Workplace, *, who: str, role: str, job: str) -> None:
    """The plans at the gate on standard input and output."""
    run(place.context(who, role), Lines(sys.stdin, sys.stdout, place.said), job)


def run(context: Context, lines: Lines, job: str = "") -> None:
    """The list again and again, until the person leaves; with a job that plan first."""
    try:
        if context.rehearsal:
            lines.say("REHEARSAL. NOT FOR WORK. Everything below is practice.")
        lines = listening(context, lines)
        lines.say(SAYS)
        acknowledged: dict[str, set[str]] = {}
        while True:
            found = at_the_gate(context)
            number = job or _chosen(context, lines, found)
            job = ""
            if not number:
                return
            seen = acknowledged.setdefault(number, set())
            _Plan(context, listening(context, lines, number, APPROVAL), number, seen).talk()
    except Left:
        lines.say("", "You have left. What was said to be done is saved.")


def _chosen(context: Context, lines: Lines, gate_: AtTheGate) -> str:
    """The job chosen from the list; empty where none waits or the person is through."""
    found = gate_.waiting
    if gate_.decided:
        lines.say("", "Lately decided:", *(f"- {decided_words(context, mark)}" for mark in gate_.decided))
    if not found:
        lines.say("No plan waits at the gate.")
        return ""
    now = context.clock()
    said = [
        f"{line.job}, {named(context, line.job)}. Waits {age(line.since, now)}. {line.next_step}." for line in found
    ]
    lines.say("", "Approving a plan is not issuing a permit.")
    choice = lines.choose("Plans that wait at the gate, the oldest first:", ("Leave.", *said), empty=0)
    return found[choice - 1].job if choice else ""


class _Plan:
    """One plan and what is done with it."""

    def __init__(self, context: Context, lines: Lines, number: str, seen: set[str]) -> None:
        self.context = context
        self.seen = seen
        self.lines = lines
        self.number = number

    def talk(self) -> None:
        """The ten-second view, then what to read or to do, until the person goes back."""
        resume_job(self.context, self.number)  # refuses a number nobody knows
        baseline = plan_reading.begin_look(self.context, self.context.store.entries(self.number))
        while True:
            state, assessment = assess_job(self.context, self.number, APPROVAL)
            entries = self.context.store.entries(self.number)
            read = plan_reading.read_plan(self.context, state, entries, assessment, baseline)
            self.lines.say("", f"Job {self.number}.", *plan_words.plain_lines(read))
            ways = self._ways(read)
            words = ("Back to the list.", *(said for said, _ in ways))
            choice = self.lines.choose("What next?", words, empty=0)
            if choice == 0:
                return
            ways[choice - 1][1]()

    def _ways(self, read: PlanRead) -> list[tuple[str, Callable[[], object]]]:
        def told(lines: list[str]) -> Callable[[], None]:
            return lambda: self.lines.say("", *lines)

        ways: list[tuple[str, Callable[[], object]]] = [
            (
                gate.DECISION_WORDS[act] + (f" NOT YET: {lacks[0]}" if lacks else ""),
                partial(self._decide, read, act, lacks),
            )
            for act, lacks in gate.all_decisions(self.context, read.permit).items()
        ]
        ways += [
            (
                "Read the findings in full, with reasons and working.",
                told(full_lines(read.state.rules, read.assessment)),
            ),
            ("Read what changed.", told(plan_words.change_lines(read))),
            ("Read how it was answered.", told(pace_lines(read.pace))),
            ("Read every answer: who gave it, when, from where.", told(self._answers(read))),
            ("Read the envelope: within what this holds.", told([*plan_envelope(read.state, read.now).lines])),
            ("Read the day: daylight, weather, permit window, hold points.", told(self._day(read))),
            ("Read the method statement.", lambda: self.lines.say("", *self._statement())),
        ]
        return ways

    def _answers(self, read: PlanRead) -> list[str]:
        rules, said = read.state.rules, []
        for name, answer in read.state.job.answers.items():
            question = rules.questions.get(name)
            if question is None:
                continue
            words = "answered in private" if question.private else readable(question, answer)
            known = ", ".join(
                p for p in (answer.who, f"{answer.at:%d %b %H:%M}" if answer.at else "", answer.source) if p
            )
            said.append(f"- {question.ask} {words} ({known}){f' Note: {answer.note}' if answer.note else ''}")
        return said

    def _day(self, read: PlanRead) -> list[str]:
        return plan_reading.day_lines(self.context, read, WIDTH)

    def _statement(self) -> list[str]:
        given = WritePapers(self.number, APPROVAL, self.context.logbook.folder)
        return read_papers(self.context, given, WIDTH)

    def _decide(self, read: PlanRead, act: str, lacks: Sequence[str]) -> None:
        if lacks:
            self.lines.say("", "Not possible now; nothing was changed.", *(f"- {words}" for words in lacks))
            return
        assert read.permit is not None
        self._act(read, read.permit, act)

    def _act(self, read: PlanRead, permit: Permit, act: str) -> None:
        fields = gate.fields(self.context, permit, act)
        before = {"starts": self.context.clock().replace(microsecond=0).isoformat()} if act == course.APPROVE else {}
        marked = next((field.choices or {} for field in fields if field.key == gate.ACKNOWLEDGED), {})
        conditions = grouped(read.state, self.context.clock(), marked) if act == course.APPROVE else ()
        given = written(self.context, self.lines, fields, before, conditions, self.seen)
        if given is None:
            return
        now = self.context.clock()
        content = read_back(fields, given, now)
        if act == course.APPROVE:
            content += [f"conditions read: {len(given.get(gate.ACKNOWLEDGED, '').split())}"]
            content += plan_envelope(read.state, now).lines

        def do(by: gate.By) -> str:
            after = gate.act(by, permit, act, {key: text for key, text in given.items() if text})
            return gate.done_words(act, after, now)

        row = course.ROWS[act]
        meaning = PERMIT_MEANINGS[act]
        done(
            self.context, self.lines, content, meaning, row.roles, do, plant=permit.plant, voltage_v=permit.voltage_v
        )
