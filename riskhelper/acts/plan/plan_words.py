"""A plan in words, the same on a screen and in plain lines; each line opens what stands behind it elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from riskhelper.acts.job.findings import reason_words
from riskhelper.acts.plan.changes import ChangedAnswer
from riskhelper.acts.plan.pace import pace_words
from riskhelper.acts.plan.plan_reading import AgedNumber, PlanRead, age
from riskhelper.assessment.changing import find_out_first
from riskhelper.assessment.result import Assessment, HazardFinding, Reason, StopFinding
from riskhelper.permit.document import State
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.figures import clause, sentence
from riskhelper.statement.over_shift import over_shift
from riskhelper.terms import StopKind

NEXT: Mapping[State, str] = {State.REQUESTED: ", to be evaluated", State.EVALUATED: ", to be approved"}
"""What the plant's side does next with a plan, by the state of its permit."""


def verdict_words(read: PlanRead) -> str:
    """Plan verdict with its counts."""
    found = read.assessment
    certain = sum(stop.holds for stop in found.stops)
    counts = [f"{certain} certain", f"{len(found.stops) - certain} not ruled out"] if found.stops else ["none"]
    unknown = len(find_out_first(found))
    return f"PLAN VERDICT: {found.verdict.words}. Stops: {', '.join(counts)}. Not known: {unknown}."


def stop_mark(stop: StopFinding) -> str:
    """Stop or stop not ruled out, and its kind."""
    return f"{'STOP' if stop.holds else 'STOP NOT RULED OUT'}, {stop.kind.value}"


def stop_words(rules: RuleSet, stop: StopFinding, *, why: bool = False) -> str:
    """A stop in one line: title, where asked for its reason, and who may lift it how.

    A stop that rests on ratings says nothing by its title alone: its reason always stands there.
    """
    how = "Lifted by" if stop.kind is StopKind.LIMIT else "Lifted or ruled on by"
    entry = rules.stops.get(stop.id)
    rated = entry is not None and bool(entry.fires_on)
    reasons = dict.fromkeys(reason_words(rules, reason) for reason in stop.reasons) if why or rated else ()
    because = "".join(f" {sentence(words)}" for words in reasons)
    return f"{clause(stop.title)}.{because} {how}: {clause(stop.who)}."


def more_stops_words(stops: Sequence[StopFinding]) -> str:
    """Stops that have no line of their own, by title."""
    return f"{len(stops)} more. {'; '.join(clause(stop.title) for stop in stops)}."


def stops_in_order(found: Assessment) -> tuple[StopFinding, ...]:
    """Certain stops, then those that cannot be ruled out."""
    return tuple(sorted(found.stops, key=lambda stop: not stop.holds))


def stands_words(read: PlanRead) -> str:
    """Where the permit stands, by whom, what is next on the plant's side, on which road; and that the work is longer
    than one shift, where it is."""
    permit = read.permit
    longer = over_shift(read.state.rules, read.state.job, read.now)
    flagged = f" {longer}." if longer else ""
    if permit is None:
        return f"No permit is requested yet: the worker's side draws it up.{flagged}"
    by = permit.signed.get("evaluate") or permit.signed.get("request", "")
    following = NEXT.get(permit.at(read.now), "")
    stands = f"Permit {permit.words(read.now)}{f' by {by}' if by else ''}{following}: {permit.road.value}."
    return stands + flagged


def hazard_words(hazard: HazardFinding) -> str:
    """A hazard in one line: as found and as planned, and what decides it."""
    because = _deciding((*hazard.likelihood_reasons, *hazard.severity_reasons))
    numbers = f"found {hazard.as_found.product}, planned {hazard.as_planned.product}"
    return f"{clause(hazard.title)} ({numbers})" + (f": {clause(because)}." if because else ".")


def _deciding(reasons: Iterable[Reason]) -> str:
    listed = list(reasons)
    first = next((r for r in listed if r.decides), listed[0] if listed else None)
    return first.because if first is not None else ""


def number_words(number: AgedNumber, now: datetime) -> str:
    """A figure with its age, and what of it is assumed."""
    assumed = ", counted at its worst" if number.quantity.assumed else ""
    known = f"answers {age(number.oldest, now)} old" if number.oldest is not None else "age of its answers not known"
    return f"{number.quantity.title}: {number.figure}{assumed}; {known}."


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
    """What nobody knows, the most telling first."""
    rules = read.state.rules
    names = find_out_first(read.assessment)
    if not names:
        return "nothing that was asked so far."
    first = rules.questions[names[0]].ask
    aged = sum(name in read.assessment.stale for name in names)
    too_old = f", {aged} of them answered but too old" if aged else ""
    return first if len(names) == 1 and not aged else f"{len(names)} questions{too_old}. First: {first}"


def plain_lines(read: PlanRead) -> list[str]:
    """The ten-second view in lines."""
    found = read.assessment
    lines = [verdict_words(read), stands_words(read)]
    lines += [f"CHANGED AFTER ITS STOP WAS SHOWN: {after_stop_words(changed)}" for changed in read.after_a_stop]
    lines += [f"{stop_mark(stop)}: {stop_words(read.state.rules, stop, why=True)}" for stop in stops_in_order(found)]
    lines += [f"Not known: {unknown_words(read)}"]
    lines += [f"Worst: {hazard_words(hazard)}" for hazard in found.worst]
    lines.append(change_words(read))
    lines += [f"Number: {number_words(number, read.now)}" for number in read.numbers]
    return [*lines, pace_words(read.pace)]
