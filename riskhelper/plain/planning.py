"""One control in plain lines: planned, left out again, or proved by its evidence."""

from __future__ import annotations

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job import answering, assessing
from riskhelper.acts.job.answering import PlanControl, ProveControl
from riskhelper.acts.job.findings import rating_words
from riskhelper.acts.job.jobs import JobState
from riskhelper.assessment.result import ControlState, HazardFinding
from riskhelper.plain.lines import Lines
from riskhelper.ruleset.model import RuleSet

LEAVE_OUT, EVIDENCE, PLAN = "Leave it out of the plan again.", "Record its evidence now.", "Plan it."


def tell(lines: Lines, rules: RuleSet, hazard: HazardFinding, control: ControlState) -> None:
    """A control with its hazard, the evidence it will need, and when it is due."""
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


def plan(context: Context, lines: Lines, number: str, control: ControlState) -> None:
    """Asks who brings it about and by which evidence, and plans it."""

    def once() -> str:
        by = lines.words(f"Who brings it about? Enter alone for {control.by}:")
        evidence = lines.words("Which evidence? Enter alone for the evidence named above:")
        answering.plan(context, PlanControl(number, control.id, by, evidence))
        return "Planned. It counts as proved only when its evidence is recorded."

    lines.until_taken(once)


def prove(context: Context, lines: Lines, number: str, control: ControlState) -> None:
    """Asks what was seen and by whom, and records it."""

    def once() -> str:
        evidence = lines.words("What was seen or read, and where is it kept?")
        second = lines.words("Name of the second person who saw it, or Enter alone for none:")
        answering.prove(context, ProveControl(number, control.id, evidence, second))
        return "Recorded."

    lines.until_taken(once)


def choose(context: Context, lines: Lines, number: str, milestone: str) -> None:
    """Any hazard, any control of it that can be used, and what one may do about it."""
    while True:
        state, assessment = assessing.assess_job(context, number, milestone)
        hazards = [h for h in assessment.hazards if any(c.usable for c in h.controls)]
        said = [f"{h.title}: {sum(c.planned or c.proved for c in _usable(h))} of {len(_usable(h))}" for h in hazards]
        picked = lines.choose("Hazards, the worst first, with how many controls are planned:", _back(said), empty=0)
        if picked == 0:
            return
        _controls(context, lines, state, hazards[picked - 1])


def _controls(context: Context, lines: Lines, state: JobState, hazard: HazardFinding) -> None:
    usable = _usable(hazard)
    said = [f"{c.kind.value}, {_stands(c)}: {c.do}" for c in usable]
    picked = lines.choose("Its controls:", _back(said), empty=0)
    if picked == 0:
        return
    control = usable[picked - 1]
    tell(lines, state.rules, hazard, control)
    acts = () if control.proved else (EVIDENCE, LEAVE_OUT) if control.planned else (PLAN,)
    act = lines.choose("Your choice:", ("Go back without a change.", *acts), empty=0)
    if act == 0:
        return
    if acts[act - 1] == PLAN:
        plan(context, lines, state.number, control)
    elif acts[act - 1] == EVIDENCE:
        prove(context, lines, state.number, control)
    else:
        try:
            answering.leave_out(context, state.number, control.id)
            lines.say("Left out of the plan.")
        except Refused as refusal:
            lines.say(f"{refusal}.")


def _usable(hazard: HazardFinding) -> list[ControlState]:
    return [control for control in hazard.controls if control.usable]


def _stands(control: ControlState) -> str:
    return "proved" if control.proved else "planned" if control.planned else "not planned"


def _back(said: list[str]) -> tuple[str, ...]:
    return ("Go back.", *said)
