"""A plan as the person who decides on it reads it in ten seconds: one value, and its lines in plain words.

Verdict, stops with kind and who may lift them, what is not known, the worst three with their reasons, the numbers
that matter with their age, what changed, and how it was answered.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.changes import ChangedAnswer, Changes, after_a_stop, changed_since
from riskhelper.acts.context import Context
from riskhelper.acts.findings import reason_words
from riskhelper.acts.gate import permit_in, site_with
from riskhelper.acts.jobs import JobState
from riskhelper.acts.pace import Pace, pace, pace_words
from riskhelper.acts.site_details import site_header
from riskhelper.acts.visits import keep_visit, last_visit
from riskhelper.assessment.changing import find_out_first
from riskhelper.assessment.result import Assessment, HazardFinding, QuantityShown, Reason, StopFinding
from riskhelper.evidence import Job
from riskhelper.permit import course
from riskhelper.permit.document import Permit
from riskhelper.record.entries import PERMIT, REQUEST_PLAN, Entry
from riskhelper.record.site import told_in
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.day_line import Window, day_line, drawn, site_place
from riskhelper.statement.figures import clause, figure, sentence
from riskhelper.statement.selection import Selection
from riskhelper.terms import StopKind

MOST_NUMBERS = 4


@dataclass(frozen=True, slots=True)
class AgedNumber:
    """A calculated figure and when the oldest answer it rests on was given; none where no answer carries a time."""

    quantity: QuantityShown
    oldest: datetime | None

    @property
    def figure(self) -> str:
        """The figure with its unit."""
        return figure(self.quantity.value, self.quantity.unit)


@dataclass(frozen=True, slots=True)
class Baseline:
    """What changes are counted from, in words, and the last entry that belongs to it."""

    words: str
    entry: int


@dataclass(frozen=True)
class PlanRead:
    """A plan as read now; `since` says in words what the changes are counted from."""

    state: JobState
    entries: tuple[Entry, ...]
    assessment: Assessment
    permit: Permit | None
    after_a_stop: tuple[ChangedAnswer, ...]
    since: str
    changes: Changes
    pace: Pace
    numbers: tuple[AgedNumber, ...]
    now: datetime


def begin_look(context: Context, entries: Sequence[Entry]) -> Baseline:
    """Begins a look at a plan: changes count from the last look on this machine, else from the handing over."""
    visit = last_visit(context, entries[0])
    keep_visit(context, entries[0], entries[-1].order)
    handed_over = next((entry for entry in entries if entry.draft.act == REQUEST_PLAN), None)
    if visit is not None:
        return Baseline(f"the last look here, {age(visit.at, context.clock())} ago", visit.entry)
    if handed_over is not None:
        return Baseline("the plan was handed over", handed_over.order)
    return Baseline("this first look", entries[-1].order)


def read_plan(
    context: Context, state: JobState, entries: Sequence[Entry], assessment: Assessment, baseline: Baseline
) -> PlanRead:
    """The plan of a job as it stands now, from its entries and its assessment at approval."""
    return PlanRead(
        state=state,
        entries=tuple(entries),
        assessment=assessment,
        permit=permit_in(site_with(context, entries), state.number),
        after_a_stop=after_a_stop(state.rules, entries, state.job),
        since=baseline.words,
        changes=changed_since(state.rules, entries, baseline.entry, state.job),
        pace=pace(state.rules, entries),
        numbers=_numbers(state.rules, state.job, assessment),
        now=context.clock(),
    )


def _numbers(rules: RuleSet, job: Job, assessment: Assessment) -> tuple[AgedNumber, ...]:
    """Figures that stops rest on, then those of the worst hazards, then the rest; the first few."""
    reasons = [reason for stop in assessment.stops for reason in stop.reasons]
    reasons += [r for h in assessment.worst for r in (*h.likelihood_reasons, *h.severity_reasons)]
    wanted = dict.fromkeys([name for reason in reasons for name in reason.facts])
    shown = {quantity.id: quantity for quantity in assessment.quantities}
    order = [name for name in wanted if name in shown] + [name for name in shown if name not in wanted]
    return tuple(AgedNumber(shown[name], _oldest(rules, job, name)) for name in order[:MOST_NUMBERS])


def _oldest(rules: RuleSet, job: Job, name: str) -> datetime | None:
    given = [job.answers[question].at for question in rules.supports[name] if question in job.answers]
    return min((at for at in given if at is not None), default=None)


def age(at: datetime | None, now: datetime) -> str:
    """How old something is, as one says it."""
    if at is None:
        return "of unknown age"
    minutes = max(int((now - at).total_seconds() // 60), 0)
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h" if minutes < 2880 else f"{minutes // 1440} days"


# -- the words of each line, the same on a screen and in plain lines


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
    """Where the permit stands, by whom, and on which road."""
    permit = read.permit
    if permit is None:
        return "No permit is requested yet: the worker's side draws it up."
    by = permit.signed.get("evaluate") or permit.signed.get("request", "")
    return f"Permit {permit.words(read.now)}{f' by {by}' if by else ''}: {permit.road.value}."


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
    return f"{number.quantity.title}: {number.figure}{assumed}; from answers {age(number.oldest, now)} old."


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
    lines += [f"Number: {number_words(number, read.now)}" for number in read.numbers]
    return [*lines, change_words(read), pace_words(read.pace)]


def day_lines(context: Context, read: PlanRead, width: int) -> list[str]:
    """The day of the job on one line, in characters."""
    selection = Selection(read.state.rules, read.state.job, read.assessment, read.now)
    permit = read.permit
    window = Window(
        starts=permit.starts if permit is not None else None,
        ends=permit.ends if permit is not None else None,
        passed=passed_at(read.entries),
        place=site_place(site_header(context, read.state)),
    )
    points = tuple(point.id for point, _maybe in selection.hold_points)
    return drawn(day_line(read.state.rules, read.state.job, points, window, read.now), width)


def passed_at(entries: Iterable[Entry]) -> dict[str, datetime]:
    """When each hold point of the latest revision of a permit was passed."""
    found: dict[str, datetime] = {}
    for entry in entries:
        if entry.draft.act == PERMIT + course.CHANGE:
            found.clear()
        elif entry.draft.act == PERMIT + course.PASS:
            found[told_in(entry).get("hold_point", "")] = entry.moment
    return found
