"""The end of the interview: findings, controls to plan one by one, verdict, papers."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import answering, assessing, jobs
from riskhelper.acts.job.answering import PlanControl, ProveControl
from riskhelper.acts.job.findings import CAUTION, full_lines, rating_words, verdict_lines
from riskhelper.acts.job.papers import WritePapers, write_papers
from riskhelper.acts.job.site_details import lacking, site_header, tell_site
from riskhelper.acts.plan.given_back import can_ask
from riskhelper.assessment.result import Assessment, ControlState, HazardFinding
from riskhelper.plain import asking_permit
from riskhelper.plain.lines import Left, Lines
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Verdict


def end(context: Context, lines: Lines, number: str, milestone: str, folder: Path, paper: str) -> Verdict:
    """Tells the findings, plans controls, gives the verdict and writes the papers."""
    state, assessment = assessing.assess_job(context, number, milestone)
    lines.say("", "Nothing more is due now. These are the findings.", "", *full_lines(state.rules, assessment))
    _plan_controls(context, lines, number, milestone)
    state, assessment = assessing.assess_job(context, number, milestone)
    lines.say("", *verdict_lines(assessment))
    _complete_emergency_page(context, lines, state)
    written = write_papers(context, WritePapers(number, milestone, folder, paper))
    lines.say(f"Method statement for print: {written.pdf}", f"The same as plain text: {written.text}")
    if not state.history.plan_requested:
        lines.say("", "The plan can now be handed over to be read. Nothing before that can be taken back afterwards.")
        if lines.ask("Type yes to hand it over, or Enter alone to leave it open:").lower() == "yes":
            jobs.request_plan(context, number, milestone)
            lines.say("Handed over. Approving the plan and issuing a permit are two acts by other people.")
            asking_permit.ask(context, lines, number)
    elif can_ask(context, number):
        asking_permit.ask(context, lines, number)
    lines.say("", CAUTION)
    return assessment.verdict


def _complete_emergency_page(context: Context, lines: Lines, state: jobs.JobState) -> None:
    """Asks once for what the emergency page lacks; what nobody can say stays a blank to be filled in by hand."""
    while missing := lacking(site_header(context, state)):
        lines.say("", "Nobody has said this yet for the emergency page:", *(f"- {name}" for name in missing))
        typed = _words(lines, "Type one as `Muster point: ...`, or Enter alone to leave the rest blank:")
        if not typed:
            return
        name = next((n for n in missing if typed.casefold().startswith(f"{n.casefold()}:")), typed.split(":")[0])
        try:
            tell_site(context, state.number, name, typed[len(name) + 1 :])
        except Refused as refusal:
            lines.say(f"{refusal}.")
        state = jobs.resume_job(context, state.number)


def _plan_controls(context: Context, lines: Lines, number: str, milestone: str) -> None:
    offered: set[str] = set()
    planning = True
    while planning:
        state, assessment = assessing.assess_job(context, number, milestone)
        following = next((pair for pair in _open(assessment) if pair[1].id not in offered), None)
        if following is None:
            return
        hazard, control = following
        offered.add(control.id)
        planning = _offer(context, lines, number, state.rules, hazard, control, offered)


def _open(assessment: Assessment) -> Iterator[tuple[HazardFinding, ControlState]]:
    """Controls that need a decision: usable and not planned, or planned and due without evidence."""
    for hazard in assessment.hazards:
        for control in hazard.controls:
            if control.usable and not control.proved and (control.overdue or not control.planned):
                yield hazard, control


def _offer(
    context: Context,
    lines: Lines,
    number: str,
    rules: RuleSet,
    hazard: HazardFinding,
    control: ControlState,
    offered: set[str],
) -> bool:
    """Offers one control; whether planning goes on."""
    point = rules.hold_points.get(control.hold_point)
    due = point.words if point else control.hold_point.replace("_", " ")
    lines.say(
        "",
        f"Hazard: {hazard.title}",
        f"  As planned so far: {rating_words(rules, hazard.as_planned)}",
        f"A control against it ({control.kind.value}): {control.do}",
        f"  Evidence it will need: {'; '.join(control.evidence)}",
        f"  Due before {due}; brought about by {control.by}",
    )
    first = "Record its evidence now." if control.overdue else "Plan it."
    choice = lines.choose(
        "Your choice:", (first, "Leave it out.", "Go to the next hazard.", "End the planning."), empty=1
    )
    if choice == 2:
        offered.update(other.id for other in hazard.controls)
    if choice == 0:
        _decide(context, lines, number, control)
    return choice != 3


def _decide(context: Context, lines: Lines, number: str, control: ControlState) -> None:
    while True:
        try:
            if control.overdue:
                evidence = _words(lines, "What was seen or read, and where is it kept?")
                second = _words(lines, "Name of the second person who saw it, or Enter alone for none:")
                answering.prove(context, ProveControl(number, control.id, evidence, second))
                lines.say("Recorded.")
            else:
                by = _words(lines, f"Who brings it about? Enter alone for {control.by}:")
                evidence = _words(lines, "Which evidence? Enter alone for the evidence named above:")
                answering.plan(context, PlanControl(number, control.id, by, evidence))
                lines.say("Planned. It counts as proved only when its evidence is recorded.")
            return
        except Refused as refusal:
            lines.say(f"{refusal}.".replace("..", "."))


def _words(lines: Lines, prompt: str) -> str:
    typed = lines.ask(prompt)
    if typed == "q":
        raise Left
    return typed
