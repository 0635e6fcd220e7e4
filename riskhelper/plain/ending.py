"""The end of the interview: findings, controls to plan one by one, verdict, papers."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import assessing, jobs
from riskhelper.acts.job.findings import CAUTION, full_lines, verdict_lines
from riskhelper.acts.job.papers import WritePapers, write_papers
from riskhelper.acts.job.site_details import lacking, site_header, tell_site
from riskhelper.acts.plan.given_back import can_ask
from riskhelper.assessment.result import Assessment, ControlState, HazardFinding
from riskhelper.plain import asking_permit, planning
from riskhelper.plain.lines import Lines
from riskhelper.plain.more import hand_over
from riskhelper.ruleset.model import RuleSet


def end(context: Context, lines: Lines, number: str, milestone: str, folder: Path, paper: str) -> None:
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
        hand_over(context, lines, number, milestone)
    elif can_ask(context, number):
        asking_permit.ask(context, lines, number)
    lines.say("", CAUTION)


def _complete_emergency_page(context: Context, lines: Lines, state: jobs.JobState) -> None:
    """Asks once for what the emergency page lacks; what nobody can say stays a blank to be filled in by hand."""
    while missing := lacking(site_header(context, state)):
        lines.say("", "Nobody has said this yet for the emergency page:", *(f"- {name}" for name in missing))
        typed = lines.words("Type one as `Muster point: ...`, or Enter alone to leave the rest blank:")
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
    going_on = True
    while going_on:
        state, assessment = assessing.assess_job(context, number, milestone)
        following = next((pair for pair in _open(assessment) if pair[1].id not in offered), None)
        if following is None:
            return
        hazard, control = following
        offered.add(control.id)
        going_on = _offer(context, lines, number, state.rules, hazard, control, offered)


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
    planning.tell(lines, rules, hazard, control)
    first = planning.EVIDENCE if control.overdue else planning.PLAN
    choice = lines.choose(
        "Your choice:", (first, "Leave it out.", "Go to the next hazard.", "End the planning."), empty=1
    )
    if choice == 2:
        offered.update(other.id for other in hazard.controls)
    if choice == 0:
        (planning.prove if control.overdue else planning.plan)(context, lines, number, control)
    return choice != 3
