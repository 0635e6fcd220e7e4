"""A plan in words, the same on a screen and in plain lines; each line opens what stands behind it elsewhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from riskhelper.acts.job.findings import certain_stops, reason_words
from riskhelper.acts.job.stated_plant import contradiction, highest_v, plant_number, site_name
from riskhelper.acts.plan.changes import ChangedAnswer
from riskhelper.acts.plan.decided import moment_words
from riskhelper.acts.plan.pace import pace_words
from riskhelper.acts.plan.plan_reading import AgedNumber, PlanRead, age
from riskhelper.assessment.changing import find_out_first
from riskhelper.assessment.ranking import raised_by_aged, stops_in_order, waiting_for_aged, worst_in_order
from riskhelper.assessment.result import Assessment, HazardFinding, StopFinding
from riskhelper.assessment.wording import plain_name
from riskhelper.permit import course
from riskhelper.permit.document import State
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.figures import clause, sentence
from riskhelper.statement.over_shift import over_shift
from riskhelper.terms import StopKind

NEXT: Mapping[State, str] = {State.REQUESTED: ", to be evaluated", State.EVALUATED: ", to be approved"}
"""What the plant's side does next with a plan, by the state of its permit."""
COUNTED = "not known, counted at its worst"
LED_BY: Mapping[State, str] = {
    State.REQUESTED: course.REQUEST,
    State.EVALUATED: course.EVALUATE,
    State.APPROVED: course.APPROVE,
    State.REFUSED: course.REFUSE,
}
"""The act that leads to a state: whoever did it is named beside the state."""


def about_words(read: PlanRead) -> str:
    """Which plant, where, at which voltage; above all where the permit says other than the answers."""
    job = read.state.job
    volts = highest_v(job)
    named = [plant_number(job), site_name(job), f"{volts / 1000:g} kV" if volts else "voltage not known"]
    permit = read.permit
    against = contradiction(job, permit.plant, permit.voltage_v) if permit is not None else ""
    return ", ".join(word for word in named if word) + (f". {against}" if against else "")


def verdict_words(read: PlanRead) -> str:
    """Plan verdict with its counts."""
    found = read.assessment
    certain = len(certain_stops(found))
    counts = [f"{certain} certain", f"{len(found.stops) - certain} not ruled out"] if found.stops else ["none"]
    return f"PLAN VERDICT: {found.verdict.words}. Stops: {', '.join(counts)}. {unknown_counts(read)}"


def unknown_counts(read: PlanRead) -> str:
    """How many questions nobody knows, by why: said to be not known, answered too long ago, not answered at all."""
    counts = zip(
        read.assessment.unknown_counts(read.state.job.answers), ("not known", "aged", "to answer"), strict=True
    )
    told = ", ".join(f"{count} {words}" for count, words in counts if count)
    return f"Answers: {told}." if told else "Answers: nothing unknown."


def stop_mark(stop: StopFinding) -> str:
    """Stop or stop not ruled out, and its kind."""
    return f"{'STOP' if stop.holds else 'STOP NOT RULED OUT'}, {stop.kind.value}"


def stop_words(rules: RuleSet, stop: StopFinding, *, why: bool = False) -> str:
    """A stop by its title, where asked for with every reason, and who may lift it how."""
    how = "Lifted by" if stop.kind is StopKind.LIMIT else "Lifted or ruled on by"
    reasons = dict.fromkeys(reason_words(rules, reason) for reason in stop.reasons) if why else ()
    because = "".join(f" {sentence(words)}" for words in reasons)
    return f"{clause(stop.title)}.{because} {how}: {clause(stop.who)}."


def reason_line(rules: RuleSet, stop: StopFinding) -> str:
    """Why a stop is there, in one line: what holds, else the first answers that would rule it out."""
    if is_rated(rules, stop):
        rated = [clause(r.because) + ("" if r.holds else " (not known, at its worst)") for r in stop.reasons]
        return f"{'; '.join(dict.fromkeys(rated))}."
    surely = [reason.because for reason in stop.reasons if reason.holds]
    if surely:
        return sentence(surely[0]) + _and_more(len(surely))
    asks = dict.fromkeys(q for reason in stop.reasons for q in reason.rests_on)
    open_ = "Too close to call, measure better" if all(reason.too_close for reason in stop.reasons) else "Open"
    return (
        f"{open_}: {rules.questions[next(iter(asks))].ask}{_and_more(len(asks))}" if asks else sentence(stop.because)
    )


def _and_more(many: int) -> str:
    return f" And {many - 1} more." if many > 1 else ""


def is_rated(rules: RuleSet, stop: StopFinding) -> bool:
    """Whether a stop rests on ratings: then its title alone says nothing."""
    entry = rules.stops.get(stop.id)
    return entry is not None and bool(entry.fires_on)


AT_WORST = "Until then at its worst, and not below"


def more_stops_words(stops: Sequence[StopFinding]) -> str:
    """Stops that have no line of their own, by title."""
    return f"{len(stops)} more. {'; '.join(clause(stop.title) for stop in stops)}."


def special_stops(found: Assessment) -> tuple[StopFinding, ...]:
    """Stops that are there for more than answers that have aged."""
    aged = waiting_for_aged(found)
    return tuple(stop for stop in stops_in_order(found) if stop not in aged)


def aged_words(read: PlanRead) -> str:
    """What must be read again, who reads it and how many stops wait for it; empty where nothing has aged."""
    found = read.assessment
    names = [name for name in found.unknowns if name in found.stale]
    if not names:
        return ""
    named = ", ".join(dict.fromkeys(map(_short, names)))
    stops = waiting_for_aged(found)
    waits = f"{len(stops)} {'stop waits' if len(stops) == 1 else 'stops wait'} for it. " if stops else ""
    return f"{named}: too old. {waits}The worker's side reads it again on site."


def aged_stops_words(read: PlanRead) -> str:
    """The stops that only wait for aged answers, each with who lifts it; empty where none does."""
    stops = waiting_for_aged(read.assessment)
    return "; ".join(f"{clause(stop.title)} ({clause(stop.who)})" for stop in stops)


def aged_hazards_words(found: Assessment) -> str:
    """Hazards that count below by what is known, each with what it is until the aged answers are read again."""
    below = worst_in_order(found)
    aged = [hazard for hazard in found.hazards if raised_by_aged(found, hazard) and hazard not in below]
    least = min((hazard.as_found.product for hazard in below), default=0)
    high = sorted((h for h in aged if h.as_found.product >= least), key=lambda h: -h.as_found.product)
    return ", ".join(f"{clause(hazard.title)} {hazard.as_found.product}" for hazard in high)


def _short(name: str) -> str:
    """A question in one word or a few.

    >>> _short("job.control_ok"), _short("weather.air_c")
    ('control room', 'air')
    """
    said = plain_name(name).removesuffix(" in order")
    return "control room" if said == "control" else said


def stands_words(read: PlanRead) -> str:
    """Where the permit stands, by whom, what is next on the plant's side, on which road; and that the work is longer
    than one shift, where it is."""
    permit = read.permit
    longer = over_shift(read.state.rules, read.state.job, read.now)
    flagged = f" {longer}." if longer else ""
    if permit is None:
        return f"No permit is requested yet: the worker's side draws it up.{flagged}"
    state = permit.at(read.now)
    by = permit.signed.get(LED_BY.get(state, ""), "")
    stands = f"Permit {permit.words(read.now)}{f' by {by}' if by else ''}{NEXT.get(state, '')}: {permit.road.value}."
    return stands + flagged


def hazard_words(found: Assessment, hazard: HazardFinding) -> str:
    """A hazard in one line: as found and as planned, and what decides it, known or counted at its worst."""
    numbers = f"found {hazard.as_found.product}, planned {hazard.as_planned.product}"
    return f"{clause(hazard.title)} ({numbers}): {_because(found, hazard)}."


def _because(found: Assessment, hazard: HazardFinding) -> str:
    reasons = (*hazard.likelihood_reasons, *hazard.severity_reasons)
    holding = sorted((r for r in reasons if r.holds), key=lambda r: (not r.decides, -(r.level or r.by)))
    known = holding[0].because if holding else ""
    if hazard.known_product == hazard.as_found.product:
        return clause(known or hazard.harm)
    worst = "answers aged, counted at their worst" if raised_by_aged(found, hazard) else COUNTED
    if hazard.known_product == 0:
        return worst
    return f"{hazard.known_product} known{f', {clause(known)}' if known else ''}; the rest {worst}"


def number_words(number: AgedNumber, now: datetime) -> str:
    """A figure with its age, and what of it is assumed or belongs to another day."""
    assumed = ", counted at its worst" if number.quantity.assumed else ""
    known = f"answered {age(number.oldest, now)} ago" if number.oldest is not None else "age of its answers not known"
    old = "TOO OLD, to be read again: " if number.aged else ""
    if number.as_of is not None:
        old = f"AS OF {moment_words(number.as_of)}, ask again: "
    return f"{old}{number.quantity.title}: {number.figure}{assumed}; {known}."


def after_stop_words(changed: ChangedAnswer) -> str:
    """An answer changed after its stop was shown: the stop, old, new, how it is now known."""
    known = f" Now known: {changed.how}." if changed.how else ""
    return (
        f"{changed.ask} Was: {clause(changed.old)}. Now: {clause(changed.new)}.{known} ({'; '.join(changed.stops)})"
    )


def change_words(read: PlanRead) -> str:
    """What changed since the last look or version, counted."""
    changes = read.changes
    if not changes.any:
        return f"Nothing changed since {read.since}."
    counts = (
        (len(changes.answers), "answer changed", "answers changed"),
        (changes.new_answers, "answer new", "answers new"),
        (len(changes.controls), "control", "controls"),
    )
    said = [f"{count} {one if count == 1 else many}" for count, one, many in counts if count]
    return f"Since {read.since}: {', '.join(said)}."


def change_lines(read: PlanRead) -> list[str]:
    """Each change in words."""
    lines = [change_words(read), ""]
    for changed in read.changes.answers:
        lines += [changed.ask, f"    was: {clause(changed.old)}", f"    now: {clause(changed.new)}"]
        lines += [f"    known: {changed.how}"] if changed.how else []
    return lines + list(read.changes.controls)


def unknown_words(read: PlanRead) -> str:
    """What nobody has known so far, the gravest first; what has only aged stands elsewhere."""
    found, rules = read.assessment, read.state.rules
    names = [name for name in find_out_first(found) if name not in found.aged]
    partly = found.partly_known(read.state.job.answers)
    unknown = [name for name in names if name in found.unknowns or name in partly]
    if not unknown and names:
        return f"nothing, but too close to call. Measure better: {rules.questions[names[0]].ask}"
    if not unknown:
        still = found.unknown_counts(read.state.job.answers)[2]
        if still:
            return f"{still} {'question was' if still == 1 else 'questions were'} never answered; the rest is known."
        return "nothing else that was asked." if found.aged else "nothing that was asked so far."
    first = rules.questions[unknown[0]].ask
    return first if len(unknown) == 1 else f"{len(unknown)} questions. First: {first}"


def head_lines(read: PlanRead) -> list[str]:
    """What stands over everything: plant and voltage, verdict, where the permit stands, what was decided."""
    decided = [read.decided.words] if read.decided is not None else []
    return [verdict_words(read), *decided, stands_words(read)]


def plain_lines(read: PlanRead) -> list[str]:
    """The ten-second view in lines."""
    found, rules = read.assessment, read.state.rules
    lines = [f"{about_words(read)}.", *head_lines(read)]
    lines += [f"CHANGED AFTER ITS STOP WAS SHOWN: {after_stop_words(changed)}" for changed in read.after_a_stop]
    for stop in special_stops(found):
        lines.append(f"{stop_mark(stop)}: {stop_words(rules, stop)} {reason_line(rules, stop)}")
    if aged := aged_words(read):
        waits = aged_stops_words(read)
        lines.append(f"READ AGAIN: {aged}" + (f" Not ruled out until then: {waits}." if waits else ""))
        if hazards := aged_hazards_words(found):
            lines.append(f"  {AT_WORST}: {hazards}.")
    lines += [f"Not known: {unknown_words(read)}"]
    lines += [f"Worst: {hazard_words(found, hazard)}" for hazard in worst_in_order(found)]
    lines.append(change_words(read))
    lines += [f"Number: {number_words(number, read.now)}" for number in read.numbers]
    return [*lines, pace_words(read.pace)]
